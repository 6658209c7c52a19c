"""The yardage engine from the command line: `python -m quiltbook.yardage VERB FILE`, or `-` for standard input.

One JSON object in, one out on standard output. Bad input exits 2 with one line on standard error that names the field.
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from quiltbook.yardage import verbs
from quiltbook.yardage.cutjson import cut
from quiltbook.yardage.jsonface import InputError, dump, load
from quiltbook.yardage.patches import Refusal

VERBS: Mapping[str, Callable[[dict[str, object]], Mapping[str, object]]] = {**verbs.VERBS, "cut": cut}


def main(arguments: Sequence[str]) -> int:
    """Run one verb on one file; the exit code."""
    try:
        answer = dump(_answer(arguments))
    except Refusal as refusal:
        sys.stderr.write(" ".join(f"{refusal.field[:200]}: {refusal.problem}".split()) + "\n")
        return 2
    sys.stdout.write(answer + "\n")
    return 0


def _answer(arguments: Sequence[str]) -> Mapping[str, object]:
    if len(arguments) != 2:
        raise InputError(
            "arguments", f"It takes a verb and a file: VERB FILE, where VERB is one of: {', '.join(VERBS)}."
        )
    verb, file = arguments
    if verb not in VERBS:
        raise InputError("verb", f"It must be one of: {', '.join(VERBS)}.")
    return VERBS[verb](load(_text(file)))


def _text(file: str) -> str:
    try:
        data = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        return data.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "it is not text in UTF-8"
        raise InputError("file", f"It cannot be read ({reason}).") from None


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
