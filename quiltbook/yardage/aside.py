"""How is the solver asked without the page depending on it? In a process of its own, killed when it overruns.

Whatever goes wrong there (a crash, silence, garbage, too much time) comes back as None. What does come back is only well formed:
whether it is right is for the caller to check.
"""

import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from quiltbook.yardage.tasks import Laid, Put, Task, to_json

SOLVER = (sys.executable, "-m", "quiltbook.yardage.solver")
LIMITS = {"quick": 8.0, "thorough": 50.0}  # seconds; a quick answer takes about one, a thorough one less than twenty
_ROOT = Path(__file__).resolve().parent.parent.parent

type Choice = tuple[int, list[tuple[Put, ...]]]  # a sheet, and ways of laying the same rectangles on it


def ask(
    tasks: Sequence[Task], method: str, effort: str, *, limit: float | None = None, command: Sequence[str] = SOLVER
) -> list[tuple[int, list[Choice]]] | None:
    """Answers, each with the number of its task. `limit` in seconds. None when the solver failed."""
    limit = LIMITS[effort] if limit is None else limit
    asked = {"method": method, "effort": effort, "limit": limit, "tasks": [to_json(task) for task in tasks]}
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and module
            command,
            input=json.dumps(asked).encode(),
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=_ROOT,
            timeout=limit,
            check=True,
        )
        return [_answer(row, tasks) for row in _some(json.loads(done.stdout)["answers"])]
    except (OSError, subprocess.SubprocessError, ValueError, TypeError, LookupError, RecursionError):
        return None


def _answer(row: Sequence[object], tasks: Sequence[Task]) -> tuple[int, list[Choice]]:
    number, choices = row
    task = tasks[_whole(number, len(tasks))]
    if not isinstance(choices, list):
        raise TypeError
    return _whole(number, len(tasks)), [
        (_whole(sheet, len(task.sheets)), [_layout(_some(puts), task) for puts in _some(layouts)])
        for sheet, layouts in choices
    ]


def _some[T](rows: Sequence[T]) -> Sequence[T]:
    """A list that is one, and not empty."""
    if not isinstance(rows, list) or not rows:
        raise ValueError
    return rows


def _layout(puts: Sequence[Sequence[object]], task: Task) -> tuple[Put, ...]:
    return tuple(
        Put(_whole(kind, len(task.kinds)), _whole(x, sys.maxsize), _whole(y, sys.maxsize), bool(turned))
        for kind, x, y, turned in puts
    )


def _whole(value: object, end: int) -> int:
    """A whole number from 0 to below `end`."""
    if not isinstance(value, int) or not 0 <= value < end:
        raise ValueError
    return value


def one_each(choices: Sequence[Choice]) -> list[Laid]:
    """The first way of laying each cloth."""
    return [Laid(sheet, layouts[0]) for sheet, layouts in choices]
