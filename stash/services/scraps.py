"""How do scraps come into a bin and go out of it, by weight? A piece too small to keep may go there too: it is scrapped and weighed by its
area in one go, and comes back out in one go when that is undone."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction

from django.db import IntegrityError, transaction

from quiltbook.people.models import Person
from stash.models import Movement, Piece, ScrapBin, ScrapChange
from stash.queries.scraps import MM2_PER_M2, grams_in, weighed_since
from stash.services import cloth, ledger
from stash.services.errors import StashError

Kind = ScrapChange.Kind


@transaction.atomic
def add_bin(*, owner: Person, name: str, grams_per_m2: int, now: datetime, place: str = "") -> ScrapBin:
    """An empty bin. Raises StashError when she has one of that name."""
    return _written(ScrapBin(owner=owner, created_at=now), name, place, grams_per_m2)


@transaction.atomic
def change_bin(*, scrap_bin: ScrapBin, name: str, grams_per_m2: int, place: str = "") -> ScrapBin:
    return _written(scrap_bin, name, place, grams_per_m2)


@transaction.atomic
def put_in(*, scrap_bin: ScrapBin, grams: int, day: date, now: datetime, note: str = "") -> ScrapChange:
    _locked(scrap_bin)
    return _record(scrap_bin, Kind.ADDED, _positive(grams), day, now, note)


@transaction.atomic
def take_out(*, scrap_bin: ScrapBin, grams: int, day: date, now: datetime, note: str = "") -> ScrapChange:
    """Raises StashError when less than that is written down."""
    if _positive(grams) > _locked(scrap_bin):
        raise StashError(f"Less than that is written down for {scrap_bin.name}: weigh it first.")
    return _record(scrap_bin, Kind.TAKEN, -grams, day, now, note)


@transaction.atomic
def weigh(*, scrap_bin: ScrapBin, grams: int, day: date, now: datetime, note: str = "") -> ScrapChange:
    """The scraps in it weigh so much; the difference is written down, be it nothing."""
    if grams < 0:
        raise StashError("Scraps cannot weigh less than nothing.")
    return _record(scrap_bin, Kind.WEIGHED, grams - _locked(scrap_bin), day, now, note)


@transaction.atomic
def reverse(*, change: ScrapChange, day: date, now: datetime) -> ScrapChange:
    """Take a change back by its opposite. Raises StashError when it was taken back already, when the bin was weighed since, or when a
    piece was scrapped by it: that is undone with the piece."""
    grams = _locked(change.bin)
    if change.movement_id is not None:
        raise StashError("A piece went with this: undo it on the piece's page.")
    if ScrapChange.objects.filter(reverses=change).exists():
        raise StashError("This has been undone already.")
    if weighed_since(change):
        raise StashError(f"{change.bin.name} has been weighed since, so this changes nothing any more: weigh it again.")
    if grams - change.grams < 0:
        raise StashError(f"Some of that has been taken out of {change.bin.name} since: weigh it instead.")
    return _record(change.bin, Kind.REVERSED, -change.grams, day, now, change.note, reverses=change)


@transaction.atomic
def scrap_piece(*, piece: Piece, scrap_bin: ScrapBin, day: date, now: datetime, note: str = "") -> Movement:
    """The piece is scrapped, and what it weighs by its area goes into the bin. Raises StashError as `cloth.scrap` does."""
    _locked(scrap_bin)
    movement = cloth.scrap(piece=piece, day=day, now=now, note=note)
    grams = max(1, weighs(piece, scrap_bin))
    _record(scrap_bin, Kind.ADDED, grams, day, now, f"{piece.full_name}"[:300], movement=movement)
    return movement


def weighs(piece: Piece, scrap_bin: ScrapBin) -> int:
    """Grams, by its area and what its fabric weighs, or else what the bin's cloth does."""
    return round(Fraction(piece.area_mm2, MM2_PER_M2) * (piece.fabric.grams_per_m2 or scrap_bin.grams_per_m2))


@transaction.atomic
def undo(*, movement: Movement, day: date, now: datetime) -> Movement:
    """As `ledger.undo`; a piece that was scrapped into a bin comes out of it again. Where the bin was weighed since, its weight stays:
    what she weighed is the truth."""
    change = ScrapChange.objects.filter(movement=movement).select_related("bin").first()
    if change is None:
        return ledger.undo(movement=movement, day=day, now=now)
    grams = _locked(change.bin)
    reversal = ledger.undo(movement=movement, day=day, now=now)
    back = 0 if weighed_since(change) else -min(change.grams, grams)
    _record(change.bin, Kind.REVERSED, back, day, now, change.note, reverses=change, movement=reversal)
    return reversal


def _record(
    scrap_bin: ScrapBin,
    kind: ScrapChange.Kind,
    grams: int,
    day: date,
    now: datetime,
    note: str,
    *,
    reverses: ScrapChange | None = None,
    movement: Movement | None = None,
) -> ScrapChange:
    return ScrapChange.objects.create(
        bin=scrap_bin,
        kind=kind,
        grams=grams,
        day=day,
        recorded_at=now,
        note=note,
        reverses=reverses,
        movement=movement,
    )


def _locked(scrap_bin: ScrapBin) -> int:
    """What is in it; nobody else changes it to the end of the transaction."""
    ScrapBin.objects.select_for_update().get(pk=scrap_bin.pk)
    return grams_in(scrap_bin)


def _positive(grams: int) -> int:
    if grams <= 0:
        raise StashError("It must weigh more than nothing.")
    return grams


def _written(scrap_bin: ScrapBin, name: str, place: str, grams_per_m2: int) -> ScrapBin:
    scrap_bin.name, scrap_bin.place, scrap_bin.grams_per_m2 = name, place, grams_per_m2
    try:
        with transaction.atomic():
            scrap_bin.save()
    except IntegrityError as clash:
        if not ScrapBin.objects.of(scrap_bin.owner).filter(name=name).exclude(pk=scrap_bin.pk).exists():
            raise
        raise StashError(f"You have a bin called {name} already.") from clash
    return scrap_bin
