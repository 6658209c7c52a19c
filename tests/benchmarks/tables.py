"""How is a benchmark's outcome shown? As one plain table, kept until the tests have run and printed below them."""

from collections.abc import Callable, Sequence

type Show = Callable[[str, Sequence[str], Sequence[Sequence[object]]], None]


def table(title: str, columns: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """The rows under their columns, the first to the left and figures to the right; floats to four decimals."""
    lines = [list(columns), *([_cell(value) for value in row] for row in rows)]
    widths = [max(len(line[n]) for line in lines) for n in range(len(columns))]
    shown = [
        "  ".join(cell.rjust(width) if n else cell.ljust(width) for n, (cell, width) in enumerate(zip(line, widths, strict=True)))
        for line in lines
    ]  # fmt: skip
    return "\n".join([title, *(line.rstrip() for line in shown)])


def _cell(value: object) -> str:
    return f"{value:.4f}" if isinstance(value, float) else str(value)
