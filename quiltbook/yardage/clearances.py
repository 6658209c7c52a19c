"""How near may two shapes lie to each other, one below or beside the other?

A shape as it lies is a `Form`: a polygon drawn round its outline, arcs by their tangents, so that it is never too small. What lies
between a form's first and last point of a line counts as the form's, so nothing is ever pushed into a hollow from the side. Lengths in nm.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from quiltbook.yardage.outline import Edge, Outline, Point

type Floats = NDArray[np.float64]
type Ints = NDArray[np.int64]
type Chain = tuple[Floats, Floats]  # where along the box, and how far across it

SAGITTA = 50_000.0  # a twentieth of a millimetre: how far a polygon may stand out from an arc
CLOSE = 0.5  # half a nanometre: less of an overlap than this is none
NONE = -1e18  # so far the other way that nothing is in it
_STEPS = 128  # of a table, in the widest form; straight between


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """One kind of shape, turned clockwise by `turn` degrees; `points` are told from the top left of its box.

    `top` and `bottom` are how far up and down it reaches at each x, `left` and `right` how far out at each y.
    """

    kind: int
    turn: int
    points: tuple[Point, ...]
    width: float
    height: float
    top: Chain
    bottom: Chain
    left: Chain
    right: Chain

    @property
    def area(self) -> float:
        return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*self.points, self.points[0]]))) / 2

    def transposed(self) -> "Form":
        """Seen with x and y changed over."""
        points = tuple((y, x) for x, y in self.points)
        return Form(self.kind, self.turn, points, self.height, self.width, self.left, self.right, self.top, self.bottom)


def form(kind: int, turn: int, points: Sequence[Point]) -> Form:
    left, top = min(x for x, _ in points), min(y for _, y in points)
    points = tuple((x - left, y - top) for x, y in points)
    upper, lower = _reach(points)
    first, last = _reach([(y, x) for x, y in points])
    return Form(
        kind,
        turn,
        points,
        max(x for x, _ in points),
        max(y for _, y in points),
        top=upper,
        bottom=lower,
        left=first,
        right=last,
    )


def polygon_round(outline: Outline, sagitta: float = SAGITTA) -> list[Point]:
    """The corners of a polygon that holds the outline; nowhere does it stand out further than `sagitta`."""
    return [point for edge in outline.edges for point in _drawn(edge, sagitta)]


def _drawn(edge: Edge, sagitta: float) -> list[Point]:
    """An edge's start and the corners up to its end: where an arc's tangents meet, or, of a hollow one, points on it.

    An arc is broken where it runs level or upright, so that the polygon is no larger there than the shape.
    """
    if not edge.rise:
        return [edge.start]
    radius, (cx, cy) = edge.radius, edge.centre
    first = math.atan2(edge.start[1] - cy, edge.start[0] - cx)
    way = math.copysign(1.0, edge.rise)
    breaks = sorted({0.0, edge.angle, *(way * (n * math.pi / 2 - first) % (2 * math.pi) for n in range(4))})
    breaks = [turn for turn in breaks if turn <= edge.angle]
    widest = 2 * math.acos(radius / (radius + sagitta))
    corners = [edge.start]
    for start, end in pairwise(breaks):
        steps = math.ceil((end - start) / widest)
        step = (end - start) / steps
        if edge.rise > 0:
            out, at = radius / math.cos(step / 2), [start + (n + 0.5) * step for n in range(steps)]
        else:
            out, at = radius, [start + n * step for n in range(0 if start else 1, steps)]
        corners += [(cx + out * math.cos(first + way * turn), cy + out * math.sin(first + way * turn)) for turn in at]
    return corners


def _reach(points: Sequence[Point]) -> tuple[Chain, Chain]:
    """How far up and how far down a polygon reaches at each x: corners do not cross, so it is straight between two of them."""
    edges = [(min(a, b), max(a, b)) for a, b in pairwise([*points, points[0]])]
    edges = [(a, b) for a, b in edges if b[0] - a[0] > CLOSE]
    stops = [
        x for x, after in pairwise([*sorted({x for edge in edges for x, _ in edge}), math.inf]) if after - x > CLOSE
    ]
    upper, lower = list[Point](), list[Point]()
    for start, end in pairwise(stops):
        middle = (start + end) / 2
        over = [(a, (b[1] - a[1]) / (b[0] - a[0])) for a, b in edges if a[0] < middle < b[0]]
        lines = sorted(
            (a[1] + slope * (middle - a[0]), a[1] + slope * (start - a[0]), a[1] + slope * (end - a[0]))
            for a, slope in over
        )
        for chain, (_, first, last) in ((upper, lines[0]), (lower, lines[-1])):
            # a jump is told by two points a hair apart, so that the chain runs on
            if not chain or abs(chain[-1][1] - first) > CLOSE:
                chain.append((start + (CLOSE / 10 if chain else 0.0), first))
            chain.append((end, last))
    return _chain(upper), _chain(lower)


def _chain(points: Sequence[Point]) -> Chain:
    xs, ys = zip(*points, strict=True)
    return np.array(xs), np.array(ys)


def below(a: Form, b: Form, dx: Floats) -> Floats:
    """How far down `b`, moved across by each `dx`, must lie from `a` to be clear of it, come from below; `NONE` where it is beside it."""
    return _apart(a.bottom, b.top, a.width, b.width, dx)


def beside(a: Form, b: Form, dy: Floats) -> Floats:
    """How far to the right `b`, moved down by each `dy`, must lie from `a`, come from the right."""
    return _apart(a.right, b.left, a.height, b.height, dy)


def _apart(far: Chain, near: Chain, a: float, b: float, moved: Floats) -> Floats:
    """The most that `far` of the first reaches beyond `near` of the second: both are straight between their corners, so it is at one."""
    shift = moved[:, None]
    at = np.clip(far[0][None] - shift, 0.0, b)
    gaps = np.where(np.abs(at + shift - far[0][None]) < CLOSE, far[1][None] - np.interp(at, *near), NONE)
    at = np.clip(near[0][None] + shift, 0.0, a)
    others = np.where(np.abs(at - shift - near[0][None]) < CLOSE, np.interp(at, *far) - near[1][None], NONE)
    most = np.maximum(gaps.max(axis=1), others.max(axis=1))
    return np.where((moved >= a - CLOSE) | (moved <= CLOSE - b), NONE, most)


class Tables:
    """`below` and `beside` of all pairs of `forms`, to be looked up quickly: near enough to choose by, not to cut by."""

    def __init__(self, forms: Sequence[Form]) -> None:
        self.forms = tuple(forms)
        self.widths = np.array([form.width for form in forms])
        self.heights = np.array([form.height for form in forms])
        self._step = float(max(self.widths.max(), self.heights.max())) / _STEPS
        moved = np.arange(-_STEPS - 1, _STEPS + 2, dtype=np.float64) * self._step
        self._exact = dict[tuple[int, int, int], int]()
        self._below = self._table(below, self.widths, moved)
        self._beside = self._table(beside, self.heights, moved)

    def _table(self, apart: Callable[[Form, Form, Floats], Floats], sizes: Floats, moved: Floats) -> Floats:
        table = np.empty((len(self.forms), len(self.forms), len(moved)))
        for a, first in enumerate(self.forms):
            for b, second in enumerate(self.forms):
                # beyond the ends the last value stands, so that none is lost between two marks of the table
                within = np.clip(moved, 2 * CLOSE - sizes[b], sizes[a] - 2 * CLOSE)
                table[a, b] = apart(first, second, within)
        return table

    def below(self, a: Ints | int, b: Ints | int, dx: Floats) -> Floats:
        """`below` of the forms numbered `a` and `b`, arrays that go together."""
        return self._look_up(self._below, self.widths, a, b, dx)

    def beside(self, a: Ints | int, b: Ints | int, dy: Floats) -> Floats:
        return self._look_up(self._beside, self.heights, a, b, dy)

    def exactly_beside(self, a: int, b: int, dy: int) -> int:
        """`beside` of two forms, not looked up, in whole nm."""
        key = (a, b, dy)
        if key not in self._exact:
            apart = beside(self.forms[a], self.forms[b], np.array([float(dy)]))
            self._exact[key] = math.ceil(float(apart[0]) - 1e-3)
        return self._exact[key]

    def _look_up(self, table: Floats, sizes: Floats, a: Ints | int, b: Ints | int, moved: Floats) -> Floats:
        place = np.clip(moved / self._step + (_STEPS + 1), 0.0, 2.0 * _STEPS + 1.999)
        mark = place.astype(np.int64)
        part = place - mark
        found = table[a, b, mark] * (1 - part) + table[a, b, mark + 1] * part
        clear = (moved >= sizes[a] - 2 * CLOSE) | (moved <= 2 * CLOSE - sizes[b])
        return np.where(clear, NONE, found)
