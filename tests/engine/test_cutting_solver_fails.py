"""What if the solver crashes, hangs, or lies? The plain layout stands in, is sound, and says so."""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from quiltbook.yardage import aside, cutting
from quiltbook.yardage.cutting import CuttingJob, Layout, check, lay_out
from tests.engine.cutting_jobs import cloth, flaw, job, patch, sound

ROOT = Path(__file__).parents[2]
JOB = job(
    [cloth("kelp", 42, 18, flaws=(flaw(3, 2, 1, 1),)), cloth("sand", 10, 10)],
    [patch("A", 2.5, 2.5, 50), patch("B", 2, 17)],
)

FAILURES = {
    "exits with an error": "raise SystemExit(3)",
    "kills itself": "import os, signal; os.kill(os.getpid(), signal.SIGKILL)",
    "crashes in native code": "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)",
    "says nothing": "pass",
    "prints garbage": "import sys; sys.stdout.buffer.write(b'\\xff\\x00{[')",
    "prints other JSON": "print('[1, 2, 3]')",
    "prints JSON nested without end": "print('[' * 100000)",
    "answers with text for numbers": """print('{"answers": [[0, [[0, [[["a", "b", "c", false]]]]]]]}')""",
    "answers with half numbers": """print('{"answers": [[0, [[0, [[[0, 0.5, 0, false]]]]]]]}')""",
    "names a cloth that is not there": """print('{"answers": [[0, [[9, [[[0, 0, 0, false]]]]]]]}')""",
    "names a patch that is not there": """print('{"answers": [[0, [[0, [[[7, 0, 0, false]]]]]]]}')""",
    "names a task that is not there": """print('{"answers": [[5, []]]}')""",
    "counts backwards": """print('{"answers": [[0, [[0, [[[0, -5, 0, false]]]]]]]}')""",
    "lists a cloth with no way of cutting it": """print('{"answers": [[0, [[0, []]]]]}')""",
    "lists a cloth with nothing on it": """print('{"answers": [[0, [[0, [[]]]]]]}')""",
    "has no answer": """print('{"answers": []}')""",
}


@pytest.mark.parametrize("code", FAILURES.values(), ids=FAILURES.keys())
def test_the_plain_layout_stands_in_for_a_solver_that(code: str) -> None:
    layout = sound(JOB, solver=[sys.executable, "-c", code])
    assert layout.stood_in
    assert not layout.uncut


def test_a_solver_that_never_ends_is_killed_at_the_limit() -> None:
    began = time.monotonic()
    layout = sound(JOB, limit=0.5, solver=[sys.executable, "-c", "while True: pass"])
    assert layout.stood_in
    assert time.monotonic() - began < 3


def test_a_solver_left_behind_by_its_parent_ends_by_itself() -> None:
    """Asked for seconds of work with no time for it: the alarm, two seconds later, and not the parent, ends it."""
    patches = [[10 + n, 30 - n, True] for n in range(20)]
    task = {
        "sheets": [[336, 9000, False, [], "kelp", 1]],
        "kinds": patches,
        "bundles": [[n, 1, [[n, None]], 15] for n in range(20)],
    }
    question = {"method": "close", "effort": "thorough", "limit": 0, "tasks": [task]}
    done = subprocess.run(
        aside.SOLVER, input=json.dumps(question).encode(), capture_output=True, cwd=ROOT, timeout=30, check=False
    )
    assert done.returncode == -signal.SIGALRM


def test_a_solver_that_is_not_there_is_stood_in_for() -> None:
    assert sound(JOB, solver=["/nowhere/solver"]).stood_in


def test_a_solver_that_works_is_not_stood_in_for() -> None:
    assert not sound(JOB).stood_in


# --- lies: the real answer, tampered with ------------------------------------------------------------------------------

LIES = {
    "lays one patch on another": "puts[1][1:3] = puts[0][1:3]",
    "lays a patch over the edge": "puts[0][1] = 10**6",
    "lays a patch on the flaw": "puts[:] = [[0, 6, 4, False]]",
    "turns nothing into something": "puts[0][3] = not puts[0][3]; puts[0][0] = 1",
    "lays more than was asked for": "puts *= 40",
    "gives two ways that lay unlike patches": "ways.append(puts[:-1])",
    "cuts a cloth twice": "choices.append(choices[0])",
}


def _liar(lie: str) -> list[str]:
    """A solver which asks the real one and tampers with every answer: its `choices` of sheet and `ways`, the first `puts` among them."""
    code = f"""
import json, subprocess, sys
done = subprocess.run([sys.executable, "-m", "quiltbook.yardage.solver"], stdin=sys.stdin, capture_output=True, check=True)
said = json.loads(done.stdout)
for _, choices in said["answers"]:
    choices.sort(key=lambda choice: choice[0])
    ways = choices[0][1]
    del ways[1:]
    puts = ways[0]
    {lie}
json.dump(said, sys.stdout)
"""
    return [sys.executable, "-c", code]


@pytest.mark.parametrize("lie", LIES.values(), ids=LIES.keys())
def test_no_lie_of_the_solver_is_believed_that(lie: str) -> None:
    layout = sound(JOB, solver=_liar(lie))
    assert layout.stood_in


def test_the_liar_is_believed_as_long_as_it_does_not_lie() -> None:
    assert not sound(JOB, solver=_liar("pass")).stood_in


# --- the last look -----------------------------------------------------------------------------------------------------


def _doubting(times: int) -> Callable[[CuttingJob, Layout], list[str]]:
    """The engine's check, which finds a fault with the first so many layouts it is shown."""
    shown: list[Layout] = []

    def doubt(asked: CuttingJob, layout: Layout) -> list[str]:
        shown.append(layout)
        return ["doubtful"] if len(shown) <= times else check(asked, layout)

    return doubt


def test_a_layout_that_fails_the_check_is_never_returned(monkeypatch: pytest.MonkeyPatch) -> None:
    best = lay_out(JOB)
    monkeypatch.setattr(cutting, "check", _doubting(1))
    second = sound(JOB)
    assert second.stood_in
    assert second.cloths != best.cloths


def test_when_no_layout_passes_the_check_everything_is_uncut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cutting, "check", _doubting(10**6))
    layout = sound(JOB)
    assert layout.stood_in
    assert layout.cloths == ()
