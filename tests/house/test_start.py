"""Does `manage.py start` end serving, and stop cleanly?"""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

COMMAND = [sys.executable, "manage.py", "start"]


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


def environment(data: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
    return {**kept, "QUILTBOOK_DATA": str(data)}


@pytest.fixture
def started(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], str, str]]:
    """A server on an empty data folder that has said it is ready: process, address, all it printed."""
    port = free_port()
    with subprocess.Popen(
        [*COMMAND, "--port", str(port)],
        cwd=settings.BASE_DIR,
        env=environment(tmp_path),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        first = process.stdout.readline()
        assert first, process.stderr.read()
        yield process, f"http://127.0.0.1:{port}", first + process.stdout.readline()
        process.kill()


def test_it_serves_prints_where_and_how_to_sign_in_and_stops_cleanly(
    started: tuple[subprocess.Popen[str], str, str],
) -> None:
    process, address, printed = started
    assert f"{address}/" in printed
    assert "demo" in printed
    with urllib.request.urlopen(f"{address}/", timeout=10) as answer:
        assert answer.status == 200
        assert answer.url.startswith(f"{address}/you/")
        page = answer.read().decode()
    stylesheet = page.partition('rel="stylesheet" href="')[2].partition('"')[0]
    with urllib.request.urlopen(f"{address}{stylesheet}", timeout=10) as answer:
        assert answer.status == 200
        assert "immutable" in answer.headers["Cache-Control"]
    begun = time.monotonic()
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=15) == 0
    assert time.monotonic() - begun < 10


def test_a_taken_port_is_said_in_a_sentence(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        result = subprocess.run(
            [*COMMAND, "--port", port],
            cwd=settings.BASE_DIR,
            env=environment(tmp_path),
            capture_output=True,
            text=True,
            check=False,
        )
    assert result.returncode == 1
    assert f"Port {port} cannot be had" in result.stderr
    assert "Traceback" not in result.stderr
