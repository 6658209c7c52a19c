"""Which rows, one under the other, take the least length for all shapes, or bring the most of them into a given one?

The shortest way through rows: a state is how many of a kind are laid and the row they end with. Where one kind ends and the next
begins they may share a row. Tables choose the rows; then every row is let down exactly. Lengths in nm.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from quiltbook.yardage.clearances import Floats, Form, Ints, Tables, below
from quiltbook.yardage.rows import Course, Row, courses, drops, first_of, mixed, patterns, rows

_ENDS = 8  # so many ways to end a kind are gone on with
_SHARED = 24  # so many rows shared by two kinds are gone on with
_SHARERS = 2  # of so many of the best and of the simplest rows of the one kind, and patterns of the other
_NEAR = 6  # rows further up are out of reach


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of shape, as any of `forms`, their numbers; `area` of one."""

    forms: tuple[int, ...]
    area: float


@dataclass(frozen=True, slots=True)
class Laid:
    """A form where it lies: the top left of its box, whole nm."""

    form: Form
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class _Choice:
    """A kind's rows for the width, how deep each lies under each, and its best courses."""

    rows: tuple[Row, ...]
    drops: Floats
    courses: tuple[Course, ...]
    heights: Floats
    counts: Ints


@dataclass(frozen=True, slots=True)
class _Way:
    """Rows laid so far: the last of them, its top, how many of its shapes are of the kind that comes next, and the way that led to it."""

    row: Row
    y: float
    ahead: int = 0
    before: "_Way | None" = None

    def path(self) -> list[Row]:
        rows, way = [self.row], self.before
        while way:
            rows.append(way.row)
            way = way.before
        return rows[::-1]


@dataclass(slots=True)
class Stacker:
    """Stacks kinds of shapes in any order across one `width`, as far down as there is `room`."""

    tables: Tables
    kinds: Sequence[Kind]
    width: float
    room: float = math.inf
    keep: int = 6
    _choices: dict[int, _Choice | None] = field(default_factory=dict)
    _areas: dict[int, float] = field(init=False)

    def __post_init__(self) -> None:
        self._areas = {form: kind.area for kind in self.kinds for form in kind.forms}

    def stack(self, order: Sequence[int], counts: Sequence[int]) -> list[Laid]:
        """As many of the kinds, taken in that order, as there is room for; in the least length where that is all."""
        room, laid = self.room, list[Laid]()
        for _ in range(3):
            laid = lay(self.tables, self._rows(order, counts, room))
            over = max((one.y + one.form.height for one in laid), default=0.0) - self.room
            if over <= 1e-3:
                return laid
            room -= over + 1.0  # the tables were too hopeful
        return [one for one in laid if one.y + one.form.height <= self.room + 1e-3]

    def _rows(self, order: Sequence[int], counts: Sequence[int], room: float) -> list[Row]:
        ways = list[_Way]()
        order = [kind for kind in order if self._choice(kind)]
        for kind, after in pairwise([*order, None]):
            if kind is not None:
                ways = self._kind(kind, ways, after, counts, room)
        paths = [(way.y + way.row.height, way.path()) for way in ways]
        return min(paths, key=lambda one: (-self._area(one[1]), one[0]))[1] if paths else []

    def _area(self, path: Sequence[Row]) -> float:
        area = sum(self._areas[int(one)] for row in path for one in row.forms)
        return round(area / self.width)

    def _choice(self, kind: int) -> _Choice | None:
        if kind not in self._choices:
            forms = self.kinds[kind].forms
            found = patterns(self.tables, forms, self.width, self.keep)
            made = tuple(rows(self.tables, found, self.width))
            self._choices[kind] = None
            if made:
                sharers = [*found[:_SHARERS], *[one for one in found[_SHARERS:] if len(one.forms) == 1][:_SHARERS]]
                self._choices[kind] = _Choice(
                    made,
                    drops(self.tables, made, made),
                    tuple(course for pattern in sharers for course in courses(self.tables, pattern)),
                    np.array([one.height for one in made]),
                    np.array([len(one) for one in made]),
                )
        return self._choices[kind]

    def _kind(
        self, kind: int, ways: Sequence[_Way], after: int | None, counts: Sequence[int], room: float
    ) -> list[_Way]:
        """The ways on from `ways` that lay all of a kind, or as many as there is room for; among them those that share a row with the kind `after`."""
        choice, count = self._choices[kind], counts[kind]
        if choice is None:
            return list(ways)
        reach = np.full((count + 1, len(choice.rows)), math.inf)
        origin = np.full(reach.shape, -1, dtype=np.int64)  # below -1: the way it came from
        everyone = np.arange(len(choice.rows))
        if not ways:
            fits = choice.heights <= room
            reach[np.minimum(count, choice.counts)[fits], everyone[fits]] = 0.0
        else:
            apart = drops(self.tables, [way.row for way in ways], choice.rows)
            for n, way in enumerate(ways):
                if way.ahead < count:
                    self._step(reach, origin, choice, way.ahead, way.y + apart[n], -2 - n, room)
        full = len(choice.rows)
        for laid in range(1, count):
            y = reach[laid]
            if np.isfinite(y).any():
                through = y[:, None] + choice.drops
                best = through.argmin(axis=0)
                self._step(reach, origin, choice, laid, through[best, everyone], laid * full + best, room)
        most = int(np.flatnonzero(np.isfinite(reach).any(axis=1)).max(initial=0))
        done = [_Way(way.row, way.y, 0, way.before) for way in ways if way.ahead >= max(most, 1)]
        if not most:
            return done or list(ways)
        found = done + [
            self._back(reach, origin, choice, ways, most, int(t)) for t in self._best(reach[most], choice.heights)
        ]
        if after is not None and most == count:
            found += self._sharing(reach, origin, choice, ways, kind, after, counts, room)
        return found

    @staticmethod
    def _step(
        reach: Floats, origin: Ints, choice: _Choice, laid: int, y: Floats, come_from: Ints | int, room: float
    ) -> None:
        """Put every row at `y` under `laid` shapes, where that is shorter than what is known."""
        to = np.minimum(len(reach) - 1, laid + choice.counts)
        everyone = np.arange(len(y))
        better = (y < reach[to, everyone] - 1e-3) & (y + choice.heights <= room)
        reach[to[better], everyone[better]] = y[better]
        origin[to[better], everyone[better]] = np.broadcast_to(come_from, y.shape)[better]

    @staticmethod
    def _best(y: Floats, heights: Floats) -> Ints:
        ends = np.argsort(y + heights, kind="stable")[:_ENDS]
        return ends[np.isfinite(y[ends])]

    def _back(self, reach: Floats, origin: Ints, choice: _Choice, ways: Sequence[_Way], laid: int, t: int) -> _Way:
        """The way to a state."""
        steps = list[tuple[Row, float]]()
        while True:
            came = int(origin[laid, t])
            earlier = came // len(choice.rows) if came >= 0 else (0 if came == -1 else ways[-2 - came].ahead)
            steps.append((first_of(self.tables, choice.rows[t], laid - earlier), float(reach[laid, t])))
            if came < 0:
                break
            laid, t = earlier, came % len(choice.rows)
        way = _Way(*steps.pop(), 0, ways[-2 - came] if came < -1 else None)
        while steps:
            way = _Way(*steps.pop(), 0, way)
        return way

    def _sharing(
        self,
        reach: Floats,
        origin: Ints,
        choice: _Choice,
        ways: Sequence[_Way],
        kind: int,
        after: int,
        counts: Sequence[int],
        room: float,
    ) -> list[_Way]:
        """The ways that end with a row in which the next kind begins."""
        following, count = self._choices[after], counts[kind]
        if following is None:
            return []
        left_set = [row for row in choice.rows if row.x[0] == 0]
        longest, flattest = sorted(left_set, key=len, reverse=True), sorted(left_set, key=lambda row: row.height)
        found = list[tuple[float, int, int, Row]]()
        for left in range(1, min(count, int(choice.counts.max()))):
            y = reach[count - left]
            ends = self._best(y, choice.heights)
            if not len(ends):
                continue
            begun = [row for rows in (longest, flattest) for row in [row for row in rows if len(row) > left][:_SHARERS]]
            made = [
                row
                for one in begun
                for course in following.courses
                if (row := mixed(self.tables, one, left, course, self.width, counts[after]))
            ]
            if made:
                tops = y[ends][:, None] + drops(self.tables, [choice.rows[t] for t in ends], made)
                for n, row in enumerate(made):
                    end = int(tops[:, n].argmin())
                    if tops[end, n] + row.height <= room:
                        found.append((float(tops[end, n]), left, int(ends[end]), row))
        # the next kind's shapes in it are a gain
        pitch = float(np.median(np.diagonal(following.drops))) / float(following.counts.max())
        found.sort(key=lambda one: one[0] - pitch * (len(one[3]) - one[3].split))
        return [
            _Way(row, y, len(row) - row.split, self._back(reach, origin, choice, ways, count - left, end))
            for y, left, end, row in found[:_SHARED]
        ]


def lay(tables: Tables, path: Sequence[Row]) -> list[Laid]:
    """Let every row down exactly on those above it."""
    placed = list[tuple[Row, int]]()
    for row in path:
        y = 0
        for above, top in placed[-_NEAR:]:
            y = max(y, top + _exact_drop(tables.forms, above, row))
        placed.append((row, y))
    return [
        Laid(tables.forms[one], round(x), y + round(down))
        for row, y in placed
        for one, x, down in zip(row.forms, row.x, row.y, strict=True)
    ]


def _exact_drop(forms: Sequence[Form], upper: Row, lower: Row) -> int:
    most = 0.0
    for a in np.unique(upper.forms):
        for b in np.unique(lower.forms):
            first, second = upper.forms == a, lower.forms == b
            dx = lower.x[second][None] - upper.x[first][:, None]
            apart = below(forms[a], forms[b], dx.ravel()).reshape(dx.shape)
            most = max(most, float((apart + upper.y[first][:, None] - lower.y[second][None]).max()))
    return math.ceil(most - 1e-3)
