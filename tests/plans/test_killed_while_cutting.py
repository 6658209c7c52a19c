"""The process is killed (SIGKILL) at each step of recording a cut: afterwards it was recorded whole, or not at all."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

RECORD = """
import os, signal, sys
import django
django.setup()
from django.core.management import call_command
from stash.models import Hold, Movement, MovementLine, Piece
from plans.models import SheetCloth, CuttingSheet
from plans.services import at_the_table
from tests.factories import NOW, TODAY, PersonFactory, inches
from tests.plans.quilts import border_role, cloth, framed, held, only_cloth

if sys.argv[1] == "prepare":
    call_command("migrate", verbosity=0)
    owner = PersonFactory.create(username="ada")
    plan = framed(owner)
    held(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 18)))
elif sys.argv[1] == "cut":
    writes = 0
    from django.db import connection

    def die_at(execute, sql, params, many, context):
        global writes
        answer = execute(sql, params, many, context)
        if sql.startswith(("INSERT", "UPDATE", "DELETE")):
            writes += 1
            if writes == int(sys.argv[2]):
                os.kill(os.getpid(), signal.SIGKILL)
        return answer

    with connection.execute_wrapper(die_at):
        at_the_table.record_cut(cloth=SheetCloth.objects.get(), measured={}, day=TODAY, now=NOW)
    print(writes)
else:
    cut = Movement.objects.filter(kind="cut").count()
    lines = MovementLine.objects.filter(movement__kind="cut").count()
    shelf = sorted(Piece.objects.on_shelf().values_list("number", flat=True))
    print(cut, lines, shelf, Piece.objects.expected().count(), Hold.objects.live().count(), CuttingSheet.objects.get().state)
"""
BEFORE = "0 0 [1] 1 1 to cut"
AFTER = "1 2 [2] 0 0 cut"


type Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    env = {**os.environ, "QUILTBOOK_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "quiltbook.settings"}

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-c", RECORD, *words], env=env, capture_output=True, text=True, check=False, timeout=60
        )

    return run


def test_a_cut_is_recorded_whole_or_not_at_all(run: Run) -> None:
    assert run("prepare").returncode == 0
    assert run("look").stdout.strip() == BEFORE
    for write in range(1, 4):
        killed = run("cut", str(write))
        assert killed.returncode == -signal.SIGKILL, killed.stderr
        assert run("look").stdout.strip() == BEFORE
    done = run("cut", "999")
    assert int(done.stdout) > 3, done.stderr
    assert run("look").stdout.strip() == AFTER
