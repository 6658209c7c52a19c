"""Rectangles in whole numbers, and what is clear of others: the geometry that laying out, cutting up and checking share.

A `Box` runs from (`x0`, `y0`) to (`x1`, `y1`), the far edges excluded, so that boxes which only touch do not overlap.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple


class Box(NamedTuple):
    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def width(self) -> int:
        return self.x1 - self.x0

    @property
    def length(self) -> int:
        return self.y1 - self.y0

    @property
    def area(self) -> int:
        return self.width * self.length


def overlap(a: Box, b: Box) -> bool:
    return a.x0 < b.x1 and b.x0 < a.x1 and a.y0 < b.y1 and b.y0 < a.y1


def clear(box: Box, others: Iterable[Box]) -> bool:
    """Whether none of the others reaches into the box."""
    return not any(overlap(box, other) for other in others)


def clipped(box: Box, width: int, length: int) -> Box | None:
    """What of the box lies on a cloth `width` by `length`; None where nothing does."""
    inside = Box(max(box.x0, 0), max(box.y0, 0), min(box.x1, width), min(box.y1, length))
    return inside if inside.width > 0 and inside.length > 0 else None


def free_runs(width: int, flaws: Sequence[Box], top: int, bottom: int) -> list[tuple[int, int]]:
    """The stretches across a cloth of that width which are clear of flaws from `top` to `bottom`."""
    runs, x = [], 0
    for flaw in sorted(f for f in flaws if f.y0 < bottom and f.y1 > top):
        if flaw.x0 > x:
            runs.append((x, flaw.x0))
        x = max(x, flaw.x1)
    return [*runs, (x, width)] if x < width else runs


def strip_tops(flaws: Sequence[Box], start: int) -> Iterator[int]:
    """Where a strip across may begin, from `start` on: there, or just below a flaw."""
    yield start
    yield from sorted({flaw.y1 for flaw in flaws if flaw.y1 > start})


def longest_run(width: int, length: int, flaws: Sequence[Box], thick: int) -> int:
    """The longest clear strip across a cloth that is `thick` along it; 0 where there is none."""
    tops = (top for top in strip_tops(flaws, 0) if top + thick <= length)
    return max((b - a for top in tops for a, b in free_runs(width, flaws, top, top + thick)), default=0)
