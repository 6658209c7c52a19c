"""What should lie in this place, and what was found there? Places to count, one count with its pieces, and cloth that lies elsewhere by
the ledger but may be here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count as CountRows
from django.db.models import Max, Q

from quiltbook.measures import Size, System
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Movement, Piece, Stocktake, StocktakeMark, refusals
from stash.queries.history import tell_of

MOST_ELSEWHERE = 12
MOST_WORDS = 12
_OTHERWISE = (StocktakeMark.Found.MISSING, StocktakeMark.Found.RESIZED)


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A place ("" is nowhere in particular) with how many pieces lie there; `under_way`: the id of its open count."""

    place: str
    pieces: int
    under_way: int | None
    counted_at: datetime | None


@dataclass(frozen=True, slots=True)
class PieceHere:
    """A piece as it is written down, and what was found of it: "" where she has not looked yet. `from_place`: where it lies by the
    ledger, for one found here that should not be. `held`: a sentence, empty where nobody holds it."""

    id: int
    fabric: str
    fabric_id: int
    colour: str
    thumbnail_url: str
    name: str
    size: Size
    place: str
    found: str
    measured: Size | None
    held: str

    @property
    def words(self) -> str:
        return f"{self.fabric} {self.name}"


@dataclass(frozen=True, slots=True)
class Count:
    """One count. `here`: what should lie there; `found_here`: what lay elsewhere; `gone`: marked, and no longer on the shelf.

    `outcome`: of one that was recorded, a sentence a movement."""

    id: int
    place: str
    begun_at: datetime
    ended_at: datetime | None
    recorded: bool
    here: tuple[PieceHere, ...]
    found_here: tuple[PieceHere, ...]
    gone: tuple[PieceHere, ...]
    outcome: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        return self.place or "Nowhere in particular"

    @property
    def in_place(self) -> str:
        """The place as the page of labels asks for it."""
        return f"in:{self.place}"

    @property
    def left(self) -> tuple[PieceHere, ...]:
        """Of one that was recorded: what she found otherwise, and could not be written down."""
        return tuple(piece for piece in (*self.here, *self.found_here) if piece.found in _OTHERWISE)

    @property
    def looked_at(self) -> int:
        return sum(bool(piece.found) for piece in self.here)

    @property
    def not_looked_at(self) -> int:
        return len(self.here) - self.looked_at

    @property
    def differing(self) -> int:
        """How many pieces would be written down otherwise."""
        return len(self.found_here) + sum(piece.found in _OTHERWISE for piece in self.here)


def places_to_count(*, owner: Person) -> tuple[PlaceRow, ...]:
    """Every place with cloth in it or with a count under way, by name; nowhere in particular last."""
    pieces = dict(Piece.objects.of(owner).on_shelf().order_by().values_list("place").annotate(n=CountRows("pk")))
    counts = Stocktake.objects.of(owner).order_by()
    open_ = dict(counts.under_way().values_list("place", "pk"))
    ended = dict(counts.filter(recorded=True).values_list("place").annotate(last=Max("ended_at")))
    names = sorted({*pieces, *open_}, key=lambda place: (not place, place.casefold()))
    return tuple(PlaceRow(name, pieces.get(name, 0), open_.get(name), ended.get(name)) for name in names)


def count(*, owner: Person, stocktake_id: int, system: System) -> Count:
    """Raises Stocktake.DoesNotExist when the owner has none of that id."""
    known = Stocktake.objects.of(owner).get(pk=stocktake_id)
    marks = {mark.piece_id: mark for mark in known.marks.all()}
    listed = Piece.objects.of(owner).filter(Q(on_shelf=True, place=known.place) | Q(pk__in=list(marks)))
    listed = listed.select_related("fabric").order_by("fabric__name", "fabric_id", "number")
    rows = [(piece, _row(piece, marks.get(piece.pk), hold)) for piece, hold in _with_holds(list(listed))]
    return Count(
        id=known.pk,
        place=known.place,
        begun_at=known.begun_at,
        ended_at=known.ended_at,
        recorded=known.recorded,
        here=tuple(row for piece, row in rows if piece.on_shelf and piece.place == known.place),
        found_here=tuple(row for piece, row in rows if piece.on_shelf and piece.place != known.place),
        gone=tuple(row for piece, row in rows if not piece.on_shelf),
        outcome=tuple(tell_of(movement, system) for movement in reversed(recorded_by(known))),
    )


def elsewhere(*, owner: Person, stocktake_id: int, words: str) -> tuple[PieceHere, ...]:
    """A few pieces that lie elsewhere, whose fabric, label or place has all of these words in it."""
    known = Stocktake.objects.of(owner).get(pk=stocktake_id)
    typed = words.split()[:MOST_WORDS]
    if not typed:
        return ()
    found = Piece.objects.of(owner).on_shelf().exclude(place=known.place).exclude(stocktake_marks__stocktake=known)
    for word in typed:
        found = found.filter(Q(fabric__name__icontains=word) | Q(label__icontains=word) | Q(place__icontains=word))
    pieces = list(found.select_related("fabric").order_by("fabric__name", "fabric_id", "number")[:MOST_ELSEWHERE])
    return tuple(_row(piece, None, hold) for piece, hold in _with_holds(pieces))


def recorded_by(stocktake: Stocktake) -> list[Movement]:
    """What ending the count wrote and is not undone, newest first. All of it was written at the moment the count ended; an undoing of
    one reversal by another leaves a movement that stands."""
    if stocktake.ended_at is None or not stocktake.recorded:
        return []
    written = (
        Movement.objects.of(stocktake.owner)
        .filter(recorded_at=stocktake.ended_at, lines__piece__stocktake_marks__stocktake=stocktake)
        .exclude(kind=Movement.Kind.REVERSED)
        .distinct()
    )
    standing = [_standing(movement) for movement in written.order_by("-pk")]
    return [movement for movement in standing if movement is not None]


def _standing(movement: Movement) -> Movement | None:
    """The movement as it stands: itself, the reversal that did it again, or nothing where it is undone."""
    undone = Movement.objects.filter(reverses=movement).first()
    if undone is None:
        return movement
    again = Movement.objects.filter(reverses=undone).first()
    return _standing(again) if again is not None else None


def _with_holds(pieces: list[Piece]) -> list[tuple[Piece, Hold | None]]:
    live = Hold.objects.live().filter(piece__in=[piece.pk for piece in pieces]).select_related("piece__fabric")
    holds = {hold.piece_id: hold for hold in live}
    return [(piece, holds.get(piece.pk)) for piece in pieces]


def _row(piece: Piece, mark: StocktakeMark | None, hold: Hold | None) -> PieceHere:
    cloth: Fabric = piece.fabric
    measured = None
    if mark is not None and mark.width is not None and mark.length is not None:
        measured = Size(mark.width, mark.length)
    return PieceHere(
        id=piece.pk,
        fabric=cloth.name,
        fabric_id=cloth.pk,
        colour=cloth.colour,
        thumbnail_url=cloth.thumbnail_url,
        name=piece.name,
        size=piece.size,
        place=piece.place,
        found=mark.found if mark else "",
        measured=measured,
        held=refusals.held(hold) if hold else "",
    )
