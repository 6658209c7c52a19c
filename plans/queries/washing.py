"""Is cloth washed before it is cut, which pieces are still to be washed, and what will they lose?

Where the plan says so, its cloth is reckoned as her own washes of that kind of cloth have it. A printed panel is taken as it measures: its
picture shrinks with it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import floor

from plans.models import Plan
from quiltbook.measures import Size
from quiltbook.yardage.shrinkage import Shrinkage, after_washing
from stash.models import Fabric, Piece
from stash.queries.shrinkage import learned, to_reckon_with, washed_pieces


def shrinkage_of(plan: Plan, kind: str = Fabric.Kind.COTTON) -> Shrinkage | None:
    """What cloth of that kind loses before it is cut for the plan; None where it is cut as it comes."""
    if not plan.washes_first:
        return None
    return to_reckon_with(learned(owner=plan.owner, kind=kind))


def width_to_cut(plan: Plan, width: int) -> int:
    """Of cloth of that usable width, what is left to be cut: down to the cutting step where the wash takes some of it."""
    lost = shrinkage_of(plan)
    if lost is None:
        return width
    left = floor(width * (1 - Fraction(lost.width)))
    return left // plan.cutting_step * plan.cutting_step


def still_to_wash(plan: Plan, pieces: Sequence[Piece]) -> frozenset[int]:
    """Of pieces of one fabric or several, the ids of those the plan washes first and that are not washed yet. An offcut that is still
    to come is as washed as the cloth it comes from."""
    if not plan.washes_first:
        return frozenset()
    washed = washed_pieces(fabrics={piece.fabric_id for piece in pieces})
    return frozenset(piece.pk for piece in pieces if _there(piece).pk not in washed)


def once_washed(size: Size, shrinkage: Shrinkage) -> Size:
    """As the engine reckons it: down to whole nm."""
    left = after_washing(size, shrinkage)
    return Size(floor(Fraction(left.width)), floor(Fraction(left.length)))


def _there(piece: Piece) -> Piece:
    while piece.expected:
        piece = piece.sheet_offcut.cloth.piece
    return piece
