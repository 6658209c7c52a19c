"""Which offcuts will a cutting leave, before it is done? Expected pieces: rows that others may hold, but no cloth yet, so no movement.
Their size is a forecast until they come to the shelf; from then on it never changes."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from quiltbook.measures import Size
from stash.models import Fabric, Piece
from stash.services.cloth import new_pieces
from stash.services.errors import StashError
from stash.services.ledger import not_held


@transaction.atomic
def expect(*, fabric: Fabric, sizes: Sequence[Size]) -> list[Piece]:
    return new_pieces(fabric=fabric, sizes=sizes, expected=True)


@transaction.atomic
def no_longer_expect(*, pieces: Sequence[Piece]) -> None:
    """Withdraw expected offcuts that nobody holds."""
    not_held(pieces)
    Piece.objects.filter(pk__in=[p.pk for p in pieces], expected=True).update(expected=False)


@transaction.atomic
def measured(*, piece: Piece, size: Size) -> Piece:
    """The size an expected offcut really came out at, just before it comes to the shelf."""
    if not piece.expected or piece.lines.exists():
        raise StashError(
            f"{piece.fabric.name} {piece.name} is not an expected offcut: the size of a piece never changes."
        )
    piece.width, piece.length = int(size.width), int(size.length)
    piece.save(update_fields=["width", "length"])
    return piece
