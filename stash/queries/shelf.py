"""What is really there? Fabrics with the area on the shelf, what plans hold of it, and what is free to promise."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Prefetch, Q, QuerySet

from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Piece


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece and what is true of it now. `held_for` and `held_link` are empty when nobody holds it."""

    id: int
    name: str
    size: Size
    area_mm2: int
    place: str
    on_shelf: bool
    expected: bool
    held_for: str
    held_link: str

    @property
    def free(self) -> bool:
        return (self.on_shelf or self.expected) and not self.held_for


@dataclass(frozen=True, slots=True)
class FabricRow:
    """One fabric with its living pieces (on the shelf or expected). Areas in mm²; `free` is on the shelf less what plans hold."""

    id: int
    name: str
    kind: str
    colour: str
    photo_url: str
    one_way: bool
    usable_width: int
    printed: Size | None
    printed_seam: int | None
    note: str
    pieces: tuple[PieceRow, ...]

    @property
    def on_shelf(self) -> tuple[PieceRow, ...]:
        return tuple(p for p in self.pieces if p.on_shelf)

    @property
    def free_pieces(self) -> tuple[PieceRow, ...]:
        return tuple(p for p in self.pieces if p.free)

    @property
    def shelf_mm2(self) -> int:
        return sum(p.area_mm2 for p in self.on_shelf)

    @property
    def held_mm2(self) -> int:
        return sum(p.area_mm2 for p in self.on_shelf if p.held_for)

    @property
    def free_mm2(self) -> int:
        return self.shelf_mm2 - self.held_mm2

    @property
    def expected_mm2(self) -> int:
        """Offcuts that confirmed sheets will leave and nobody holds yet."""
        return sum(p.area_mm2 for p in self.pieces if p.expected and not p.held_for)

    @property
    def places(self) -> tuple[str, ...]:
        return tuple(sorted({p.place for p in self.on_shelf if p.place}))


def fabrics(*, owner: Person, words: str = "", kind: str = "", only_free: bool = False) -> tuple[FabricRow, ...]:
    """The owner's fabrics by name. `words` must all occur in the name, the note, or a place of a piece."""
    found = Fabric.objects.of(owner)
    for word in words.split():
        here = Q(pieces__place__icontains=word, pieces__on_shelf=True)
        found = found.filter(Q(name__icontains=word) | Q(note__icontains=word) | here)
    if kind:
        found = found.filter(kind=kind)
    rows = _rows(found.distinct())
    return tuple(row for row in rows if row.free_mm2 > 0) if only_free else rows


def fabric(*, owner: Person, fabric_id: int) -> FabricRow:
    """One fabric; raises Fabric.DoesNotExist when the owner has none of that id."""
    rows = _rows(Fabric.objects.of(owner).filter(pk=fabric_id))
    if not rows:
        raise Fabric.DoesNotExist
    return rows[0]


def fabrics_by_id(*, owner: Person, ids: Iterable[int]) -> dict[int, FabricRow]:
    return {row.id: row for row in _rows(Fabric.objects.of(owner).filter(pk__in=list(ids)))}


def _rows(found: QuerySet[Fabric]) -> tuple[FabricRow, ...]:
    living = Piece.objects.filter(Q(on_shelf=True) | Q(expected=True))
    listed = list(found.prefetch_related(Prefetch("pieces", queryset=living, to_attr="living")))
    holds: dict[int, Hold] = {}
    for hold in Hold.objects.live().filter(piece__fabric__in=[f.pk for f in listed]):
        holds[hold.piece_id] = hold
    by_fabric: dict[int, list[PieceRow]] = defaultdict(list)
    for cloth in listed:
        for piece in cloth.living:
            by_fabric[cloth.pk].append(piece_row(piece, holds.get(piece.pk)))
    return tuple(_row(cloth, tuple(by_fabric[cloth.pk])) for cloth in listed)


def piece_row(piece: Piece, hold: Hold | None) -> PieceRow:
    return PieceRow(
        id=piece.pk,
        name=piece.name,
        size=piece.size,
        area_mm2=piece.area_mm2,
        place=piece.place,
        on_shelf=piece.on_shelf,
        expected=piece.expected,
        held_for=hold.reason if hold else "",
        held_link=hold.link if hold else "",
    )


def _row(cloth: Fabric, pieces: tuple[PieceRow, ...]) -> FabricRow:
    return FabricRow(
        id=cloth.pk,
        name=cloth.name,
        kind=cloth.get_kind_display(),
        colour=cloth.colour,
        photo_url=cloth.photo.url if cloth.photo else "",
        one_way=cloth.one_way,
        usable_width=cloth.usable_width,
        printed=cloth.printed,
        printed_seam=cloth.printed_seam,
        note=cloth.note,
        pieces=pieces,
    )
