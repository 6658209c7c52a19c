"""What does `python3 manage.py …` run on? Finds a Python that is new enough, makes .venv from the locked
requirements, and runs the command again from there. Standard library only, and itself fit for Python 3.8;
everything it says goes to standard error, since a command's standard output is its own.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from importlib import metadata
from pathlib import Path
from typing import Iterator, NoReturn

OLDEST = (3, 12)
NEWEST = (3, 14)  # the newest for which every locked package has a ready-made wheel
DJANGO = "6.1."

HERE = Path(__file__).resolve().parent.parent
VENV = HERE / ".venv"
VENV_PYTHON = VENV / "bin" / "python"
STAMP = VENV / "installed-from"  # digests of the lock files installed here; written last
FOR_USE = "requirements.txt"
FOR_WORK = "requirements-dev.txt"  # holds the other one whole, at the same versions

# What a Python must say of itself before it is used: a command of that name may exist and fail.
PROBE = f"""
import sys, sysconfig, ensurepip, venv
fits = sys.implementation.name == "cpython" and {OLDEST} <= sys.version_info[:2] <= {NEWEST}
fits = fits and sys.version_info.releaselevel == "final" and not sysconfig.get_config_var("Py_GIL_DISABLED")
print("fits" if fits else "does not fit")
"""


def enter(argv: list[str]) -> None:
    """Return where this Python will do; otherwise replace this process by the same command in .venv."""
    lock = FOR_WORK if argv[1:2] == ["test"] else FOR_USE
    inside = Path(sys.prefix).resolve() == VENV
    if _will_do() and not (inside and _outdated(lock)):
        return
    _prepare(lock)
    if inside and not _will_do():
        _give_up(f"{VENV} is damaged: delete that folder and run this command again.")
    sys.stderr.flush()
    os.execv(VENV_PYTHON, [str(VENV_PYTHON), *argv])  # noqa: S606 (our own interpreter, made above)


def _will_do() -> bool:
    """Is this Python new enough, with the right Django?"""
    try:
        return sys.version_info[:2] >= OLDEST and metadata.version("django").startswith(DJANGO)
    except metadata.PackageNotFoundError:
        return False


def _prepare(lock: str) -> None:
    """Make .venv hold what the lock file asks for; at once where it does already."""
    if not VENV_PYTHON.exists():
        _make_venv()
        _stamp("unfinished")
    if _outdated(lock):
        _stamp("unfinished")
        pip = [str(VENV_PYTHON), "-m", "pip", "install", "-qq", "--no-input", "--disable-pip-version-check"]
        _run(f"Installing the packages of {lock}", [*pip, "--require-hashes", "-r", str(HERE / lock)])
        _stamp(*map(_digest, [FOR_USE, FOR_WORK] if lock == FOR_WORK else [FOR_USE]))


def _outdated(lock: str) -> bool:
    """Does .venv lack what this lock file asks for? One without a stamp was made by hand: it is left alone."""
    return STAMP.exists() and _digest(lock) not in STAMP.read_text(encoding="ascii").split()


def _digest(lock: str) -> str:
    return hashlib.sha256((HERE / lock).read_bytes()).hexdigest()


def _stamp(*words: str) -> None:
    STAMP.write_text(" ".join(words) + "\n", encoding="ascii")


def _make_venv() -> None:
    if VENV.exists():
        shutil.rmtree(VENV)  # what an interrupted attempt left behind
    python = _find_python()
    if python:
        _run(f"Making .venv with {python}", [python, "-m", "venv", str(VENV)])
    else:
        _make_venv_with_uv()


def _find_python() -> str | None:
    """The first Python that says of itself that it fits, or None."""
    for candidate in _candidates():
        try:
            answer = subprocess.run(  # noqa: S603 (the names listed below, no shell)
                [candidate, "-c", PROBE], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, timeout=20, check=False
            )
        except (OSError, subprocess.TimeoutExpired):
            continue
        if answer.returncode == 0 and answer.stdout.strip() == b"fits":
            return candidate
    return None


def _candidates() -> Iterator[str]:
    """Where a Python may be: this one, the usual names, and pyenv's versions, newest first."""
    yield sys.executable
    minors = [f"3.{minor}" for minor in range(NEWEST[1], OLDEST[1] - 1, -1)]
    for name in ["python3", *(f"python{minor}" for minor in minors)]:
        yield from filter(None, [shutil.which(name)])
    pyenv = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    for minor in minors:
        yield from sorted(map(str, pyenv.glob(f"versions/{minor}.*/bin/python3")), reverse=True)


def _make_venv_with_uv() -> None:
    """Let uv, from the package index, bring a Python; uv keeps it among its own files."""
    _say(f"No fitting Python from 3.{OLDEST[1]} to 3.{NEWEST[1]} on this machine: uv is asked for one.")
    with tempfile.TemporaryDirectory() as helper:
        _run("Making a helper environment", [sys.executable, "-m", "venv", helper])
        pip = [f"{helper}/bin/python", "-m", "pip", "install", "-qq", "--no-input", "--disable-pip-version-check"]
        _run("Fetching uv", [*pip, "uv"])
        uv = [f"{helper}/bin/uv", "venv", "--quiet", "--seed", "--managed-python", "--python", f"3.{NEWEST[1] - 1}"]
        _run("Fetching a Python and making .venv", [*uv, str(VENV)])


def _run(what: str, command: list[str]) -> None:
    """Run one step, saying what it is and, every ten seconds, that it goes on."""
    _say(f"{what} …")
    begun = time.monotonic()
    done = threading.Event()

    def tell() -> None:
        while not done.wait(10):
            _say(f"  … {time.monotonic() - begun:.0f} s")

    threading.Thread(target=tell, daemon=True).start()
    result = subprocess.run(command, stdout=sys.stderr, check=False)  # noqa: S603 (built above, no shell)
    done.set()
    if result.returncode:
        hint = " On Debian and Ubuntu its package is python3-venv." if command[1:3] == ["-m", "venv"] else ""
        _give_up(f"{what} did not work; the reason stands above.{hint}")


def _say(line: str) -> None:
    print(f"quiltbook: {line}", file=sys.stderr, flush=True)


def _give_up(why: str) -> NoReturn:
    _say(why)
    _say(f"Quiltbook needs Python 3.{OLDEST[1]} or newer and the packages of {FOR_USE}.")
    raise SystemExit(1)
