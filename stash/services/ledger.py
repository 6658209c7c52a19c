"""How is a change of cloth written down? One function records every movement, keeps it balanced and keeps the projections true;
another reverses one. Callers hold a transaction already or get one here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from quiltbook.people.models import Person
from stash.models import Hold, Movement, MovementLine, Piece, refusals
from stash.services.errors import StashError


@dataclass(frozen=True, slots=True)
class Coming:
    """A piece that comes to the shelf, and where it is put."""

    piece: Piece
    place: str = ""


@transaction.atomic
def record(
    *,
    owner: Person,
    kind: Movement.Kind,
    day: date,
    now: datetime,
    leaving: Sequence[Piece] = (),
    coming: Sequence[Coming] = (),
    patches_mm2: int = 0,
    waste_mm2: int = 0,
    note: str = "",
    link: str = "",
    reverses: Movement | None = None,
) -> Movement:
    """Write one movement with its lines; the difference is what makes it balance. Raises StashError when a piece is not where the
    movement says it is. Holds are the caller's business: see `not_held`."""
    _lock([*leaving, *(line.piece for line in coming)])
    ended = sum(piece.area_mm2 for piece in leaving)
    begun = sum(line.piece.area_mm2 for line in coming)
    movement = Movement.objects.create(
        owner=owner,
        kind=kind,
        day=day,
        recorded_at=now,
        note=note,
        link=link,
        reverses=reverses,
        patches_mm2=patches_mm2,
        waste_mm2=waste_mm2,
        difference_mm2=ended - begun - patches_mm2 - waste_mm2,
    )
    for piece in leaving:
        _leave(movement, piece)
    for line in coming:
        _come(movement, line.piece, line.place)
    return movement


@transaction.atomic
def reverse(*, movement: Movement, day: date, now: datetime, note: str = "", link: str = "") -> Movement:
    """Undo a movement by its opposite; a reversal reversed is the movement done again. Refused, saying why, when it has been reversed
    already, or a piece that resulted has since moved or is held."""
    lines = list(movement.lines.all())
    pieces = {p.pk: p for p in Piece.objects.filter(lines__movement=movement).select_related("fabric").distinct()}
    _lock(list(pieces.values()))
    if Movement.objects.filter(reverses=movement).exists():
        raise StashError("This has been undone already.")
    leaving = [pieces[line.piece_id] for line in lines if line.change == 1]
    for piece in leaving:
        if MovementLine.objects.filter(piece=piece, movement__pk__gt=movement.pk).exists():
            raise StashError(refusals.moved_since(piece))
    not_held(leaving)
    return record(
        owner=movement.owner,
        kind=Movement.Kind.REVERSED,
        day=day,
        now=now,
        leaving=leaving,
        coming=[Coming(pieces[line.piece_id], line.place) for line in lines if line.change == -1],
        patches_mm2=-movement.patches_mm2,
        waste_mm2=-movement.waste_mm2,
        note=note,
        link=link,
        reverses=movement,
    )


@transaction.atomic
def undo(*, movement: Movement, day: date, now: datetime) -> Movement:
    """Reverse a movement from the stash's own pages: what a plan recorded is undone where the plan can follow."""
    if movement.root.link:
        raise StashError(refusals.elsewhere())
    return reverse(movement=movement, day=day, now=now)


def not_held(pieces: Iterable[Piece]) -> None:
    """Raise StashError, naming the reason, if any of the pieces is held. Within a transaction none can become so before its end."""
    ids = [piece.pk for piece in pieces]
    _locked(ids)
    hold = Hold.objects.live().filter(piece__in=ids).select_related("piece__fabric").first()
    if hold is not None:
        raise StashError(refusals.held(hold))


def _locked(ids: Iterable[int]) -> dict[int, Piece]:
    """The rows, locked to the end of the transaction on databases that lock rows (SQLite locks the whole file)."""
    return {p.pk: p for p in Piece.objects.select_for_update().filter(pk__in=list(ids)).order_by("pk")}


def _lock(pieces: Sequence[Piece]) -> None:
    """Lock the pieces and re-read what the ledger projects on them."""
    fresh = _locked(piece.pk for piece in pieces)
    for piece in pieces:
        now = fresh[piece.pk]
        piece.on_shelf, piece.expected, piece.place = now.on_shelf, now.expected, now.place


def _leave(movement: Movement, piece: Piece) -> None:
    if not piece.on_shelf:
        raise StashError(refusals.not_on_shelf(piece))
    MovementLine.objects.create(movement=movement, piece=piece, change=-1, place=piece.place)
    piece.on_shelf = False
    piece.save(update_fields=["on_shelf"])


def _come(movement: Movement, piece: Piece, place: str) -> None:
    if piece.on_shelf:
        raise StashError(f"{piece.full_name} is on the shelf already.")
    MovementLine.objects.create(movement=movement, piece=piece, change=1, place=place)
    piece.on_shelf, piece.expected, piece.place = True, False, place
    piece.save(update_fields=["on_shelf", "expected", "place"])
