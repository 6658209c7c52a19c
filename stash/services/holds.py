"""Who may promise a piece? Nobody who comes second: the database allows one live hold a piece, and this says so in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import IntegrityError, transaction

from stash.models import Hold, Piece
from stash.services.errors import StashError


@transaction.atomic
def hold(*, pieces: Sequence[Piece], reason: str, link: str, now: datetime) -> list[Hold]:
    """Hold every piece or none. A piece must be on the shelf, or expected from a cutting sheet, and held by nobody."""
    fresh = {
        p.pk: p
        for p in Piece.objects.select_for_update().select_related("fabric").filter(pk__in=[p.pk for p in pieces])
    }
    for piece in fresh.values():
        if not (piece.on_shelf or piece.expected):
            raise StashError(f"{piece.fabric.name} {piece.name} is no longer on the shelf.")
    return [_hold_one(fresh[piece.pk], reason, link, now) for piece in pieces]


def _hold_one(piece: Piece, reason: str, link: str, now: datetime) -> Hold:
    try:
        with transaction.atomic():
            return Hold.objects.create(owner=piece.owner, piece=piece, reason=reason, link=link, held_at=now)
    except IntegrityError as clash:
        held = Hold.objects.live().filter(piece=piece).first()
        by = f" for {held.reason}" if held else ""
        raise StashError(f"{piece.fabric.name} {piece.name} is held already{by}.") from clash


@transaction.atomic
def release(*, holds: Sequence[Hold], now: datetime) -> int:
    """Let go of those that are still live; returns how many were."""
    return Hold.objects.live().filter(pk__in=[h.pk for h in holds]).update(released_at=now)
