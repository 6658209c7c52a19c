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
_FIRST, _LEAST = 0.03, 0.005  # of its length, that a layout is to be shortened by
# moves: for each shape more at first, for each later, for all of those, and to shorten
_A_SHAPE, _A_LATER_SHAPE, _ALL, _TO_SHORTEN, _TO_TRY = 120, 250, 1000, 900, 300


def filled_up(
    forms: Sequence[Form],
    kinds: Sequence[Kind],
    counts: Sequence[int],
    starts: Sequence[list[Laid]],
    width: float,
    room: float,
) -> list[Laid]:
    """The fullest layout that comes of the starts, with up to `counts` of the kinds."""
    nudger = Nudger(forms, width, room)
    found = list[Spots]()
    for start in starts:
        more: Spots | None = _spots(forms, start)
        while more is not None:
            found.append(more)
            more, _ = _one_more(nudger, kinds, counts, more, _A_SHAPE)

    def area(spots: Spots) -> float:
        return math.fsum(kinds[nudger.forms[n].kind].area for n in spots.forms)

    moves = _ALL
    while moves > 0:
        before, most = moves, max(area(spots) for spots in found)
        for spots in [spots for spots in found if area(spots) > most * 0.999]:
            tries = min(moves, _A_LATER_SHAPE)
            more, left = _one_more(nudger, kinds, counts, spots, tries)
            moves -= tries - left
            found += [more] if more is not None else []
        if moves == before:
            break
    return _laid(forms, max(found, key=area))


def _one_more(
    nudger: Nudger, kinds: Sequence[Kind], counts: Sequence[int], spots: Spots, moves: int
) -> tuple[Spots | None, int]:
    """With one shape more, of the largest kind there is some left of; and the moves left."""
    there = Counter(nudger.forms[n].kind for n in spots.forms)
    for kind in sorted(range(len(kinds)), key=lambda n: -kinds[n].area):
        if there[kind] < counts[kind]:
            more, moves = nudger.add(spots, kind, moves)
            if more is not None:
                return more, moves
    return None, moves


def shortened(forms: Sequence[Form], laid: list[Laid], width: float) -> list[Laid]:
    """The same shapes in less length, as far as that goes; as it is where it is dense or large."""
    return _shortened(Nudger(forms, width, _end(laid)), laid) if loose(laid, width, _end(laid)) else laid


def loose(laid: Sequence[Laid], width: float, length: float) -> bool:
    """Whether nudging may gain anything in a time that anyone waits."""
    return 1 < len(laid) <= MOST and sum(one.form.area for one in laid) < LOOSE * width * length


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
