"""What is a piece of the stash to the engine? Its size, its fabric's print, and whether an end of it is still to be squared up."""

from __future__ import annotations

from plans.models import Plan
from quiltbook.yardage.buying import Buying
from quiltbook.yardage.cloths import Cloth, Repeat
from quiltbook.yardage.cutting import Wanted
from quiltbook.yardage.shrinkage import Shrinkage
from stash.models import Fabric, Piece


def cloth_of(piece: Piece, fabric: Fabric, *, washed: bool = True) -> Cloth:
    """`piece` of `fabric`. What a cutting sheet left over was cut square; all other cloth has a raw end, and the wash leaves no end
    square."""
    raw_ends = 0 if _is_offcut(piece) and washed else 1
    return of_fabric(str(piece.pk), fabric, piece.width, piece.length, raw_ends=raw_ends, washed=washed)


def of_fabric(name: str, fabric: Fabric, width: int, length: int, *, raw_ends: int = 1, washed: bool = True) -> Cloth:
    """So much cloth of `fabric`, in nm, be it there or not."""
    repeat = fabric.repeat
    return Cloth(
        name,
        str(fabric.pk),
        width,
        length,
        one_way=fabric.one_way,
        stripes=fabric.stripes or None,
        repeat=Repeat(int(repeat.width), int(repeat.length)) if repeat else None,
        washed=washed,
        raw_ends=raw_ends,
    )


def off_the_bolt(
    plan: Plan, cloth: Cloth, patches: tuple[Wanted, ...], method: str, shrinkage: Shrinkage | None
) -> Buying:
    """What is to be bought of such cloth for these patches, by the plan's figures. `shrinkage`: of cloth that is washed first."""
    return Buying(
        width=cloth.width,
        increment=plan.shop_step,
        patches=patches,
        method=method,
        one_way=cloth.one_way,
        stripes=cloth.stripes,
        repeat=cloth.repeat,
        least_offcut=plan.least_offcut,
        straightening=plan.straightening,
        shrinkage=shrinkage,
    )


def _is_offcut(piece: Piece) -> bool:
    return hasattr(piece, "sheet_offcut")
