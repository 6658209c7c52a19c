"""What is a piece of the stash to the engine? Its size, its fabric's print, and whether an end of it is still to be squared up."""

from __future__ import annotations

from quiltbook.yardage.cloths import Cloth, Repeat
from stash.models import Fabric, Piece


def cloth_of(piece: Piece, fabric: Fabric) -> Cloth:
    """`piece` of `fabric`. What a cutting sheet left over was cut square; all other cloth has a raw end."""
    return of_fabric(str(piece.pk), fabric, piece.width, piece.length, raw_ends=0 if _is_offcut(piece) else 1)


def of_fabric(name: str, fabric: Fabric, width: int, length: int, *, raw_ends: int = 1) -> Cloth:
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
        raw_ends=raw_ends,
    )


def _is_offcut(piece: Piece) -> bool:
    return hasattr(piece, "sheet_offcut")
