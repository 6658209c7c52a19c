"""Can one more shape be got into a full rectangle by nudging the others aside?

It is put where it overlaps least; then whatever overlaps is moved, one shape after another, to where it overlaps less, and overlaps
that stay are made to weigh more. The places tried are spread evenly by a fixed sequence, and moves are counted, not timed. Lengths in nm.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from quiltbook.yardage.clearances import CLOSE, NONE, Floats, Form, Ints, below, beside

type Apart = Callable[[Form, Form, Floats], Floats]

_MARGIN = 15_000.0  # kept between shapes, since even fine tables are only nearly right
_STEPS = 1024
_GRID = 96  # marks of the coarse map of overlaps, in the widest form
_FAR, _NEAR = 24, 16  # places tried for each form: all over the rectangle, and round about
_ROUNDS = 7
_HEAVIEST = 1000.0
_STAR = np.array([(1, 0), (-1, 0), (0, 1), (0, -1), (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7)])


@dataclass(slots=True)
class Spots:
    """Where shapes lie: their forms' numbers, and the top left of their boxes."""

    forms: Ints
    x: Floats
    y: Floats

    def __len__(self) -> int:
        return len(self.forms)

    def copy(self) -> "Spots":
        return Spots(self.forms.copy(), self.x.copy(), self.y.copy())

    def but(self, n: int) -> "Spots":
        return Spots(np.delete(self.forms, n), np.delete(self.x, n), np.delete(self.y, n))

    def at(self, picked: Ints) -> "Spots":
        return Spots(self.forms[picked], self.x[picked], self.y[picked])

    def joined(self, other: "Spots") -> "Spots":
        return Spots(
            np.concatenate([self.forms, other.forms]),
            np.concatenate([self.x, other.x]),
            np.concatenate([self.y, other.y]),
        )


class _Depths:
    """How deep forms lie in each other along one axis, looked up by how far apart they are along the other."""

    def __init__(self, forms: Sequence[Form], apart: Apart, sizes: Floats, step: float) -> None:
        reach = math.ceil(float(sizes.max()) / step) + 2
        self._step, self._reach, self._marks = step, float(reach), 2 * reach + 1
        moved = np.arange(-reach, reach + 1, dtype=np.float64) * step
        # for each pair and mark: the first over the second, the second over the first, and what each changes by to the next mark
        table = np.empty((len(forms), len(forms), self._marks, 4))
        for a, first in enumerate(forms):
            for b, second in enumerate(forms):
                inside = (moved > -sizes[b] - step) & (moved < sizes[a] + step)
                within = np.clip(moved, 2 * CLOSE - sizes[b], sizes[a] - 2 * CLOSE)
                table[a, b, :, 0] = np.where(inside, apart(first, second, within), NONE)
                table[a, b, :, 1] = np.where(inside, apart(second, first, -within), NONE)
        table[:, :, :-1, 2:] = np.diff(table[..., :2], axis=2)
        table[:, :, -1, 2:] = 0.0
        self._table = table.reshape(-1, 4)

    def depth(self, pairs: Ints, moved: Floats, apart: Floats) -> Floats:
        """How much of a move along the axis, by which they are `apart`, would clear them; below 0 where they are clear."""
        place = np.minimum(np.maximum(moved / self._step + self._reach, 0.0), self._marks - 1.001)
        mark = place.astype(np.int64)
        found = self._table[pairs * self._marks + mark]
        part = place - mark
        depth: Floats = np.minimum(
            found[..., 0] + found[..., 2] * part - apart, found[..., 1] + found[..., 3] * part + apart
        )
        return depth + _MARGIN


class Nudger:
    """Shapes in a rectangle `width` across and `room` long."""

    def __init__(self, forms: Sequence[Form], width: float, room: float) -> None:
        self.forms = tuple(forms)
        self._widths = np.array([form.width for form in forms])
        self._heights = np.array([form.height for form in forms])
        longest = float(max(self._widths.max(), self._heights.max()))
        self._upright = _Depths(forms, below, self._widths, longest / _STEPS)
        self._level = _Depths(forms, beside, self._heights, longest / _STEPS)
        self.kinds = np.array([form.kind for form in forms])
        self._even = _evenly(4096)
        self._turn = 0
        self._mark = longest / _GRID
        self._map = self._coarse_map(len(forms))
        self._across = width - self._widths
        self.lengthen(room)

    def lengthen(self, room: float) -> None:
        """Go on with a rectangle of that length."""
        self._down = room - self._heights
        self._fit = (self._across >= 0) & (self._down >= 0)

    def add(self, laid: Spots, kind: int, moves: int) -> tuple[Spots | None, int]:
        """The layout with one more of a kind in it, None where it was not found within so many moves; and the moves left."""
        forms = self._forms(kind)
        if not len(forms):
            return None, moves
        places = self._all_over(forms, 400)
        spot = places.at(self._coarsely(places, laid).sum(axis=1).argmin()[None])
        return self._apart(laid.joined(spot), moves)

    def _forms(self, kind: int) -> Ints:
        return np.flatnonzero((self.kinds == kind) & self._fit)

    def _apart(self, spots: Spots, moves: int) -> tuple[Spots | None, int]:
        weights = np.ones((len(spots), len(spots)))
        while moves > 0:
            overlaps = self._overlaps(Spots(spots.forms[:, None], spots.x[:, None], spots.y[:, None]), spots)
            np.fill_diagonal(overlaps, 0.0)
            if not overlaps.any():
                return spots, moves
            heavier = weights * (1.1 + 0.4 * overlaps / overlaps.max())
            weights = np.clip(np.where(overlaps > 0, heavier, weights * 0.95), 1.0, _HEAVIEST)
            weights = np.rint(weights * 16) / 16
            self._turn += 1
            caught = np.flatnonzero(overlaps.any(axis=1))
            for n in caught[np.argsort(self._even[(caught + self._turn * 31) % len(self._even), 0], kind="stable")]:
                moves -= self._move(spots, int(n), weights[n])
        return None, 0

    def _move(self, spots: Spots, n: int, weights: Floats) -> bool:
        """Move the nth to where it overlaps least, if it still does."""
        others, weights = spots.but(n), np.delete(weights, n)
        here = spots.at(np.array([n]))
        if not self._overlaps(_column(here), others).any():
            return False
        self._turn += 1
        forms = self._forms(int(self.kinds[spots.forms[n]]))
        places = here.joined(self._all_over(forms, _FAR)).joined(self._round_about(here, forms))
        rough = _weighed(self._coarsely(places, others), weights)
        best = places.at(np.argsort(rough, kind="stable")[:3]).joined(here)
        near = self._near(best, others)
        best, cost = self._refined(best, others.at(near), weights[near])
        k = int(cost.argmin())
        spots.forms[n], spots.x[n], spots.y[n] = best.forms[k], best.x[k], best.y[k]
        return True

    def _near(self, places: Spots, others: Spots) -> Ints:
        """Which of the others a shape at one of the places, or a little off it, could touch."""
        reach = self._mark * _GRID * 1.3
        away = np.maximum(np.abs(others.x - places.x[:, None]), np.abs(others.y - places.y[:, None]))
        return np.flatnonzero((away < reach).any(axis=0))

    def _refined(self, best: Spots, others: Spots, weights: Floats) -> tuple[Spots, Floats]:
        """Each place moved on in ever smaller steps, to where it overlaps less."""
        cost = _weighed(self._overlaps(_column(best), others), weights)
        step = float(min(self._widths.min(), self._heights.min())) / 4
        each = np.arange(len(best))
        for _ in range(_ROUNDS):
            tried = self._within(
                np.repeat(best.forms, len(_STAR)),
                (best.x[:, None] + _STAR[:, 0] * step).ravel(),
                (best.y[:, None] + _STAR[:, 1] * step).ravel(),
            )
            costs = _weighed(self._overlaps(_column(tried), others), weights).reshape(len(best), -1)
            least = costs.argmin(axis=1)
            picked = each * len(_STAR) + least
            better = costs[each, least] < cost
            best.x, best.y = np.where(better, tried.x[picked], best.x), np.where(better, tried.y[picked], best.y)
            cost = np.where(better, costs[each, least], cost)
            step *= 0.55
        return best, cost

    # --- places ---

    def _all_over(self, forms: Ints, count: int) -> Spots:
        even = self._take(count)
        numbers = np.repeat(forms, count)
        x, y = (np.tile(even[:, axis], len(forms)) for axis in (0, 1))
        return Spots(numbers, x * self._across[numbers], y * self._down[numbers])

    def _round_about(self, here: Spots, forms: Ints) -> Spots:
        even = self._take(_NEAR) - 0.5
        form, widths, heights = here.forms[0], self._widths, self._heights
        reach = min(widths[form], heights[form])
        numbers = np.repeat(forms, _NEAR)
        x = here.x[0] + (widths[form] - widths[numbers]) / 2 + np.tile(even[:, 0], len(forms)) * reach
        y = here.y[0] + (heights[form] - heights[numbers]) / 2 + np.tile(even[:, 1], len(forms)) * reach
        return self._within(numbers, x, y)

    def _within(self, forms: Ints, x: Floats, y: Floats) -> Spots:
        return Spots(forms, np.clip(x, 0.0, self._across[forms]), np.clip(y, 0.0, self._down[forms]))

    def _take(self, count: int) -> Floats:
        """The next of the evenly spread points."""
        self._turn += 1
        start = self._turn * 131 % (len(self._even) - count)
        return self._even[start : start + count]

    # --- overlaps ---

    def _overlaps(self, these: Spots, others: Spots) -> Floats:
        """How far each of these (a column) would have to move, up, down or sideways, to be clear of each of the others; 0 where it is."""
        dx, dy = others.x - these.x, others.y - these.y
        pairs = these.forms * len(self.forms) + others.forms
        down, aside = self._upright.depth(pairs, dx, dy), self._level.depth(pairs, dy, dx)
        # both are above 0 where they overlap; but where an edge is steep one of them is unreliable
        least, most = np.minimum(down, aside), np.maximum(down, aside)
        # whole nm, so that sums come out the same in whatever order they are made
        overlaps: Floats = np.rint(np.where(least > 0, least, np.maximum(most, 0.0)))
        return overlaps

    def _coarse_map(self, forms: int) -> Floats:
        """`_overlaps` of all pairs of forms on a grid of how far the second lies from the first."""
        marks = np.arange(-_GRID - 1, _GRID + 2, dtype=np.float64) * self._mark
        found = np.empty((forms, forms, len(marks), len(marks)))
        zero = np.zeros(1)
        for a in range(forms):
            for b in range(forms):
                there = Spots(np.array([b]), marks[None, :, None], marks[None, None, :])
                found[a, b] = self._overlaps(Spots(np.array([a]), zero, zero), there)[0]
        return found

    def _coarsely(self, these: Spots, others: Spots) -> Floats:
        marks = [
            np.clip(np.rint((far - near[:, None]) / self._mark), -_GRID - 1, _GRID + 1).astype(np.int64) + _GRID + 1
            for near, far in ((these.x, others.x), (these.y, others.y))
        ]
        return self._map[these.forms[:, None], others.forms, marks[0], marks[1]]


def _weighed(overlaps: Floats, weights: Floats) -> Floats:
    total: Floats = (overlaps * weights).sum(axis=1)
    return total


def _column(spots: Spots) -> Spots:
    return Spots(spots.forms[:, None], spots.x[:, None], spots.y[:, None])


def _evenly(count: int) -> Floats:
    """Points of the unit square, spread by Halton's sequence in the bases 2 and 3 (J. H. Halton, Numerische Mathematik 2, 1960)."""

    def mirrored(n: int, base: int) -> float:
        share, total = 1.0, 0.0
        while n:
            share /= base
            n, digit = divmod(n, base)
            total += digit * share
        return total

    return np.array([(mirrored(n, 2), mirrored(n, 3)) for n in range(1, count + 1)])
