"""Is a layout of rows loose, and can it then be filled up or shortened by nudging?

Rows leave little room between shapes that fit together; for those that do not, clamshells for instance, and near the edges of a small
cloth, nudging gets more in. It takes a fixed number of moves, so large layouts are left as they are. Lengths in nm.
"""

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np

from quiltbook.yardage.clearances import Form
from quiltbook.yardage.nudging import Nudger, Spots
from quiltbook.yardage.stacking import Kind, Laid

LOOSE = 0.82  # of the cloth taken: above it nudging was not seen to gain anything
MOST = 90  # shapes
_TO_FILL, _TO_SHORTEN, _TO_TRY = 250, 300, 100  # moves
_AIR = 1.6  # of its height, that a shape must be clear of the end to stay
_FIRST, _LEAST = 0.04, 0.005  # of its length, that a layout is to be shortened by


def filled_up(
    forms: Sequence[Form], kinds: Sequence[Kind], counts: Sequence[int], laid: list[Laid], width: float, room: float
) -> list[Laid]:
    """The layout with more shapes in it, up to `counts` of the kinds; as it is where it is dense or large."""
    if len(laid) == sum(counts) or not _loose(laid, width, room):
        return laid
    # rows may be wedged in; without the lowest there is room to move
    nudger, loose = Nudger(forms, width, room), [one for one in laid if one.y + _AIR * one.form.height < room]
    found = [laid, *(_filled_up(nudger, kinds, counts, start) for start in (loose, laid) if start)]
    return max(found, key=lambda more: sum(kinds[one.form.kind].area for one in more))


def shortened(forms: Sequence[Form], laid: list[Laid], width: float) -> list[Laid]:
    """The same shapes in less length, as far as that goes; as it is where it is dense or large."""
    return _shortened(Nudger(forms, width, _end(laid)), laid) if _loose(laid, width, _end(laid)) else laid


def _loose(laid: Sequence[Laid], width: float, length: float) -> bool:
    return 1 < len(laid) <= MOST and sum(one.form.area for one in laid) < LOOSE * width * length


def _filled_up(nudger: Nudger, kinds: Sequence[Kind], counts: Sequence[int], laid: list[Laid]) -> list[Laid]:
    """With as many more as can be got in, of the largest kind first."""
    there = Counter(one.form.kind for one in laid)
    left = [count - there[n] for n, count in enumerate(counts)]
    spots, moves = _spots(nudger.forms, laid), _TO_FILL
    for kind in sorted(range(len(kinds)), key=lambda n: -kinds[n].area):
        while left[kind] and moves > 0:
            more, moves = nudger.add(spots, kind, moves)
            if more is None:
                break
            spots, left[kind] = more, left[kind] - 1
    return _laid(nudger.forms, spots)


def _shortened(nudger: Nudger, laid: list[Laid]) -> list[Laid]:
    """With what would stick out of a shorter cloth got in elsewhere."""
    moves, share = _TO_SHORTEN, _FIRST
    while moves > 0 and share >= _LEAST:
        room = _end(laid) * (1 - share)
        nudger.lengthen(room)
        found: Spots | None = _spots(nudger.forms, [one for one in laid if one.y + one.form.height <= room])
        out = [one.form.kind for one in laid if one.y + one.form.height > room]
        tries = min(moves, _TO_TRY)
        moves -= tries
        for kind in out:
            if found is not None:
                found, tries = nudger.add(found, kind, tries)
        if found is None:
            share /= 2
        else:
            moves, laid = moves + tries, _laid(nudger.forms, found)
    return laid


def _end(laid: Sequence[Laid]) -> float:
    return max((one.y + one.form.height for one in laid), default=0.0)


def _spots(forms: Sequence[Form], laid: Sequence[Laid]) -> Spots:
    numbers = {(form.kind, form.turn): n for n, form in enumerate(forms)}
    return Spots(
        np.array([numbers[one.form.kind, one.form.turn] for one in laid], dtype=np.int64),
        np.array([float(one.x) for one in laid]),
        np.array([float(one.y) for one in laid]),
    )


def _laid(forms: Sequence[Form], spots: Spots) -> list[Laid]:
    return [Laid(forms[n], math.floor(x), math.floor(y)) for n, x, y in zip(spots.forms, spots.x, spots.y, strict=True)]
