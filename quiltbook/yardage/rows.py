"""In what rows can a shape be laid across the cloth so that many fit?

A pattern repeats one form, or two in turn, along the row; every pattern is weighed by how deep the next row nests into it. Of the best
of them rows are made for a width: set left, right or apart, and with one shape less, which lets the next row sink deeper. Lengths in nm.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from quiltbook.yardage.clearances import NONE, Floats, Ints, Tables

_HEIGHTS = 33  # how many ways to set the second form of a pattern higher or lower than the first
_SHIFTS = 24  # how many ways to set the next row along
_ALIKE = 3  # so many patterns of the same forms are kept


@dataclass(frozen=True, slots=True)
class Pattern:
    """`forms`, one or two, in turn; the second `dy` lower. The next row fits best moved along by `shift`; `rate`: shapes per length."""

    forms: tuple[int, ...]
    dy: float
    shift: float
    rate: float


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """Forms by their number, from left to right; `y` from the row's top. The first `split` are of the row's first kind, the others of the next."""

    forms: Ints
    x: Floats
    y: Floats
    height: float
    split: int

    def __len__(self) -> int:
        return len(self.forms)


def row(tables: Tables, forms: Sequence[int], x: Sequence[float], y: Sequence[float], split: int | None = None) -> Row:
    numbers, down = np.array(forms, dtype=np.int64), np.array(y, dtype=np.float64)
    down = down - down.min()
    height = float((down + tables.heights[numbers]).max())
    return Row(numbers, np.array(x, dtype=np.float64), down, height, len(forms) if split is None else split)


def first_of(tables: Tables, whole: Row, count: int) -> Row:
    """The `count` leftmost shapes of a row."""
    if count >= len(whole):
        return whole
    return row(tables, list(whole.forms[:count]), list(whole.x[:count]), list(whole.y[:count]), min(whole.split, count))


def patterns(tables: Tables, forms: Sequence[int], width: float, keep: int) -> list[Pattern]:
    """The best patterns of these forms for rows of that width, and every form's own, so that no row of boxes is better."""
    alone = [pattern for one in forms for pattern in _weighed(tables, (one,), width) if pattern.rate > 0]
    found = alone + [pattern for two in combinations(forms, 2) for pattern in _weighed(tables, two, width)]
    found.sort(key=lambda pattern: -pattern.rate)
    kept, alike = list[Pattern](), dict[tuple[int, ...], int]()
    for pattern in found:
        seen = alike.get(pattern.forms, 0)
        if seen < _ALIKE and len(kept) < keep and pattern.rate > 0:
            kept.append(pattern)
            alike[pattern.forms] = seen + 1
    return kept + [pattern for pattern in alone if pattern not in kept]


def _weighed(tables: Tables, forms: tuple[int, ...], width: float) -> Iterator[Pattern]:
    """The pattern of these forms with its second set at every height, each with its best shift."""
    first, last = forms[0], forms[-1]
    high = min(tables.heights[first], tables.heights[last])
    dy = np.zeros(1) if len(forms) == 1 else np.linspace(-0.75, 0.75, _HEIGHTS) * high
    second, period = _steps(tables, forms, dy)
    places = [(first, np.zeros_like(dy), np.zeros_like(dy)), (last, second, dy)][: len(forms)]
    shift = period[:, None] * (np.arange(_SHIFTS) / _SHIFTS)
    again = period[:, None, None] * np.arange(-3, 3)
    pitch = np.full(shift.shape, NONE)
    for a, ax, ay in places:
        for b, bx, by in places:
            dx = (bx - ax)[:, None, None] + shift[..., None] + again
            apart = tables.below(a, b, dx).max(axis=2) + (ay - by)[:, None]
            pitch = np.maximum(pitch, apart)
    pitch = np.maximum(np.rint(pitch), 1.0)
    for n in range(len(dy)):
        fits = [
            sum(max(0, math.floor((room - at[n] - tables.widths[one]) / period[n] + 1e-9) + 1) for one, at, _ in places)
            for room in (width - np.minimum(shift[n], period[n] - shift[n]))
        ]
        full = fits[0]
        rates = (np.array(fits) + full) / (2 * pitch[n])
        best = int(np.argmax(rates))
        yield Pattern(forms, float(dy[n]), float(shift[n, best]), float(rates[best]))


def _steps(tables: Tables, forms: tuple[int, ...], dy: Floats) -> tuple[Floats, Floats]:
    """Where the second form lies along the row, and where the first comes again."""
    first, last = forms[0], forms[-1]
    zero = np.zeros_like(dy)
    alone = np.maximum(tables.beside(first, first, zero), tables.beside(last, last, zero))
    if len(forms) == 1:
        return alone, alone
    second = np.maximum(tables.beside(first, last, dy), 0.0)
    return second, np.maximum(second + np.maximum(tables.beside(last, first, -dy), 0.0), alone)


@dataclass(frozen=True, slots=True)
class Course:
    """A pattern begun with one of its forms, measured exactly: whole nm."""

    forms: tuple[int, ...]
    dy: int
    second: int
    period: int

    def at(self, n: int) -> int:
        """How far along the nth shape lies."""
        return n // 2 * self.period + n % 2 * self.second

    def fitting(self, tables: Tables, width: float) -> int:
        """How many fit in a width."""
        n = 0
        while self.at(n) + tables.widths[self.forms[n % 2]] <= width + 1e-3:
            n += 1
        return n

    def laid(self, tables: Tables, count: int, offset: int = 0, spread: int = 0) -> Row:
        """`count` shapes from `offset` on, with `spread` shared out among the gaps."""
        gaps = max(count - 1, 1)
        x = [offset + self.at(n) + n * spread // gaps for n in range(count)]
        return row(tables, [self.forms[n % 2] for n in range(count)], x, [n % 2 * self.dy for n in range(count)])


def courses(tables: Tables, pattern: Pattern) -> list[Course]:
    """The pattern begun with its first form, and with its second."""
    forms, dy = pattern.forms, round(pattern.dy)
    turns = [(forms[0], forms[-1], dy)] + ([(forms[1], forms[0], -dy)] if len(forms) == 2 else [])
    return [_course(tables, a, b, down) for a, b, down in turns]


def _course(tables: Tables, a: int, b: int, dy: int) -> Course:
    beside = tables.exactly_beside
    alone = max(beside(a, a, 0), beside(b, b, 0))
    if a == b:
        return Course((a, a), 0, alone, 2 * alone)
    second = max(0, beside(a, b, dy))
    return Course((a, b), dy, second, max(second + max(0, beside(b, a, -dy)), alone))


def rows(tables: Tables, found: Sequence[Pattern], width: float) -> list[Row]:
    """Rows across a width, each set along in several ways."""
    made = list[Row]()
    for pattern in found:
        for course in courses(tables, pattern):
            most = course.fitting(tables, width)
            for count in {most, most - 1} - {0, -1}:
                made += _set_along(tables, pattern, course, count, width)
    return made


def _set_along(tables: Tables, pattern: Pattern, course: Course, count: int, width: float) -> Iterator[Row]:
    slack = math.floor(
        width + 1e-3 - max(course.at(n) + tables.widths[course.forms[n % 2]] for n in range(max(0, count - 2), count))
    )
    shift = round(pattern.shift)
    offsets = {0, slack, slack // 2, shift, slack - shift, course.period - shift, slack - course.period + shift}
    for offset in sorted(offset for offset in offsets if 0 <= offset <= slack):
        yield course.laid(tables, count, offset)
    if count > 1 and slack:
        yield course.laid(tables, count, 0, slack)


def mixed(tables: Tables, begun: Row, count: int, course: Course, width: float, most: int) -> Row | None:
    """The `count` leftmost shapes of a row, and beside them as many of another course as fit, at `most` so many."""
    head = first_of(tables, begun, count)
    lead = [(course.forms[n], course.at(n), n * course.dy) for n in (0, 1)]
    start = 0
    for n in range(max(0, count - 3), count):
        for one, x, y in lead:
            apart = tables.exactly_beside(int(head.forms[n]), one, round(y - head.y[n]))
            start = max(start, math.ceil(head.x[n]) + apart - x)
    fit = min(course.fitting(tables, width - start), most)
    if fit < 1:
        return None
    tail = course.laid(tables, fit, start)
    down = [*head.y, *(float(n % 2 * course.dy) for n in range(fit))]
    return row(tables, [*head.forms, *tail.forms], [*head.x, *tail.x], down, count)


def drops(tables: Tables, upper: Sequence[Row], lower: Sequence[Row]) -> Floats:
    """How far below the top of each of the `upper` rows the top of each of the `lower` ones comes to lie."""
    forms, x, y = (np.concatenate([getattr(one, name) for one in lower]) for name in ("forms", "x", "y"))
    starts = np.cumsum([0, *(len(one) for one in lower[:-1])])
    found = np.empty((len(upper), len(lower)))
    for n, one in enumerate(upper):
        apart = tables.below(one.forms[:, None], forms[None], x[None] - one.x[:, None])
        found[n] = np.maximum.reduceat((apart + one.y[:, None]).max(axis=0) - y, starts)
    return np.rint(np.maximum(found, 0.0))  # whole nm add up exactly
