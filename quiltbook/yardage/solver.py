"""The solver's own process: a task in JSON on standard input, answers in JSON on standard output.

Native code can crash, hang or lie. So it runs here, where it can be killed (`quiltbook.yardage.aside` does), and nothing here is believed before
the parent has checked it.
"""

import json
import signal
import sys

from quiltbook.yardage.search import answers
from quiltbook.yardage.tasks import from_json


def main() -> None:
    """`{"method", "effort", "limit", "tasks"}` in; `{"answers": [[task, [[sheet, [layout, ...]], ...]], ...]}` out."""
    asked = json.load(sys.stdin)
    if hasattr(signal, "alarm"):
        signal.alarm(int(asked["limit"]) + 2)  # ends this process even where the parent is no longer there to do it
    tasks = [from_json(task) for task in asked["tasks"]]
    found = [
        [n, answer]
        for n, task in enumerate(tasks)
        for answer in answers(task, asked["method"], asked["effort"], 1 / len(tasks))
    ]
    json.dump({"answers": found}, sys.stdout)


if __name__ == "__main__":
    main()
