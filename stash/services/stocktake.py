"""How is a place counted? Each piece is marked as it is found, which changes no cloth; when the count is done, what differs becomes
movements, all in one transaction. A count can be dropped, and one that was recorded taken back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from django.db import transaction

from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash.models import Hold, Movement, MovementLine, Piece, Stocktake, StocktakeMark, refusals
from stash.queries.stocktake import recorded_by
from stash.services import cloth, ledger
from stash.services.errors import StashError

type Found = StocktakeMark.Found


@transaction.atomic
def begin(*, owner: Person, place: str, now: datetime) -> Stocktake:
    """Begin to count a place, or go on with the count of it that is under way."""
    Person.objects.select_for_update().get(pk=owner.pk)  # two windows that begin at once go on with one count
    found = Stocktake.objects.of(owner).under_way().filter(place=place).first()
    return found or Stocktake.objects.create(owner=owner, place=place, begun_at=now)


@transaction.atomic
def mark(*, stocktake: Stocktake, piece: Piece, found: Found, size: Size | None = None) -> None:
    """Say what she found of one piece. `size` is what it measures, where `found` is another size; the size written down is no other
    size. A piece that lies elsewhere by the ledger is moved here when the count is done."""
    _under_way(stocktake)
    if not piece.on_shelf:
        raise StashError(refusals.not_on_shelf(piece))
    if found == StocktakeMark.Found.RESIZED:
        if size is None:
            raise StashError("Say what it measures.")
        if size == piece.size:
            found, size = StocktakeMark.Found.THERE, None
    else:
        size = None
    StocktakeMark.objects.update_or_create(
        stocktake=stocktake,
        piece=piece,
        defaults={
            "found": found,
            "width": int(size.width) if size else None,
            "length": int(size.length) if size else None,
        },
    )


@transaction.atomic
def unmark(*, stocktake: Stocktake, piece: Piece) -> None:
    """She has not looked at it after all."""
    _under_way(stocktake)
    StocktakeMark.objects.filter(stocktake=stocktake, piece=piece).delete()


@transaction.atomic
def rest_is_there(*, stocktake: Stocktake) -> int:
    """Every piece of the place that is not marked is there; returns how many those were."""
    _under_way(stocktake)
    rest = Piece.objects.of(stocktake.owner).on_shelf().filter(place=stocktake.place)
    rest = rest.exclude(stocktake_marks__stocktake=stocktake)
    marks = [StocktakeMark(stocktake=stocktake, piece=piece, found=StocktakeMark.Found.THERE) for piece in rest]
    return len(StocktakeMark.objects.bulk_create(marks))


@transaction.atomic
def finish(*, stocktake: Stocktake, day: date, now: datetime) -> list[str]:
    """Record what differs: pieces that are gone, measure otherwise, or lay elsewhere. Pieces not marked stay as they are. Returns a
    sentence for each that could not be recorded: it is held, or something was done with it since it was marked."""
    stocktake = _under_way(stocktake)
    note = f"Found when {stocktake.place or 'what lies nowhere in particular'} was counted"
    left = []
    marks = StocktakeMark.objects.filter(stocktake=stocktake).select_related("piece__fabric", "piece__owner")
    for each in marks.order_by("pk"):
        try:
            _record(stocktake, each, day=day, now=now, note=note)
        except StashError as why:
            left.append(str(why))
    stocktake.ended_at, stocktake.recorded = now, True
    stocktake.save(update_fields=["ended_at", "recorded"])
    return left


@transaction.atomic
def drop(*, stocktake: Stocktake, now: datetime) -> None:
    """End the count with nothing recorded; its marks are kept, so that it can be gone on with."""
    stocktake = _under_way(stocktake)
    stocktake.ended_at = now
    stocktake.save(update_fields=["ended_at"])


@transaction.atomic
def reopen(*, stocktake: Stocktake, day: date, now: datetime) -> None:
    """Take the end of a count back: what it recorded is undone, all or nothing, and it is under way again."""
    Person.objects.select_for_update().get(pk=stocktake.owner_id)
    stocktake = Stocktake.objects.select_for_update().get(pk=stocktake.pk)
    if stocktake.ended_at is None:
        raise StashError("This count is under way already.")
    if Stocktake.objects.of(stocktake.owner).under_way().filter(place=stocktake.place).exists():
        raise StashError("This place is being counted again already: go on with that count.")
    for movement in recorded_by(stocktake):
        ledger.reverse(movement=movement, day=day, now=now)
    if stocktake.recorded:
        stocktake.begun_at = now  # what it had moved here itself is no longer taken for put elsewhere since
    stocktake.ended_at, stocktake.recorded = None, False
    stocktake.save(update_fields=["begun_at", "ended_at", "recorded"])


def _record(stocktake: Stocktake, mark: StocktakeMark, *, day: date, now: datetime, note: str) -> None:
    piece, place = mark.piece, stocktake.place
    if not piece.on_shelf:
        if mark.found == StocktakeMark.Found.MISSING:
            return  # written down meanwhile
        raise StashError(f"{piece.full_name} is no longer written down as cloth you have: log it again if it is there.")
    if piece.place != place and _taken_away_since(stocktake, piece):
        raise StashError(f"{piece.full_name} was moved to {piece.place or 'no set place'} since: it stays there.")
    match StocktakeMark.Found(mark.found):
        case StocktakeMark.Found.MISSING:
            if piece.place == place:
                _unless_held(piece, lambda: cloth.recount(piece=piece, measured=None, day=day, now=now, note=note))
        case StocktakeMark.Found.RESIZED:
            measured = Size(mark.width or 0, mark.length or 0)
            if piece.place != place:
                cloth.move(piece=piece, place=place, day=day, now=now, note=note)
            _unless_held(piece, lambda: cloth.recount(piece=piece, measured=measured, day=day, now=now, note=note))
        case StocktakeMark.Found.THERE:
            if piece.place != place:
                cloth.move(piece=piece, place=place, day=day, now=now, note=note)


def _unless_held(piece: Piece, change: Callable[[], Movement]) -> None:
    hold = Hold.objects.live().filter(piece=piece).select_related("piece__fabric").first()
    if hold is not None:
        raise StashError(f"{refusals.held(hold)} It stays as it was.")
    change()


def _taken_away_since(stocktake: Stocktake, piece: Piece) -> bool:
    """It lay here when the count had begun, and was put elsewhere on purpose."""
    return MovementLine.objects.filter(
        piece=piece, change=-1, place=stocktake.place, movement__recorded_at__gt=stocktake.begun_at
    ).exists()


def _under_way(stocktake: Stocktake) -> Stocktake:
    """The count locked, for two windows may have it open."""
    fresh = Stocktake.objects.select_for_update().select_related("owner").get(pk=stocktake.pk)
    if fresh.ended_at is not None:
        raise StashError("This count has ended.")
    return fresh
