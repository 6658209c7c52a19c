"""The solver's own process: a task in JSON on standard input, answers in JSON on standard output.

Native code can crash, hang or lie. So it runs here, where it can be killed (`quiltbook.yardage.aside` does), and nothing here is believed before
the parent has checked it.
"""

import json
import sys

from quiltbook.yardage.search import answers
from quiltbook.yardage.tasks import from_json


def main() -> None:
    """`{"method", "effort", "tasks"}` in; `{"answers": [[task, [[sheet, [layout, ...]], ...]], ...]}` out."""
    asked = json.load(sys.stdin)
    tasks = [from_json(task) for task in asked["tasks"]]
    found = [
        [n, answer]
        for n, task in enumerate(tasks)
        for answer in answers(task, asked["method"], asked["effort"], 1 / len(tasks))
    ]
    json.dump({"answers": found}, sys.stdout)


if __name__ == "__main__":
    main()
