"""Does `manage.py yardage` hand the engine's answer, complaint and exit code on untouched?"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

BINDING = {"unit": "in", "top": {"width": 60, "length": 80}, "strip_width": 2.5, "cloth_width": 42, "join": "diagonal"}


def run(*command: str, given: str = "") -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
    return subprocess.run(
        [sys.executable, *command],
        cwd=settings.BASE_DIR,
        env=kept,
        input=given,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("bad", [False, True], ids=["a good job", "a bad job"])
def test_both_doors_to_the_engine_answer_alike(bad: bool, tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text(json.dumps({**BINDING, "strip_width": "no length at all"} if bad else BINDING))
    through_manage = run("manage.py", "yardage", "binding", str(job))
    straight = run("-m", "quiltbook.yardage", "binding", str(job))
    assert through_manage.returncode == straight.returncode == (2 if bad else 0)
    assert through_manage.stdout == straight.stdout
    assert through_manage.stderr == straight.stderr
    assert bad or json.loads(straight.stdout)["unit"] == "in"


def test_a_job_may_come_on_standard_input() -> None:
    result = run("manage.py", "yardage", "binding", "-", given=json.dumps(BINDING))
    assert result.returncode == 0, result.stderr
    assert json.loads(result.stdout)["perimeter"] == 280
