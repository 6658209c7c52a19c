"""What is really there? Fabrics with the area on the shelf, what plans hold of it, and what is free to promise."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch, Q, QuerySet

from quiltbook.measures import NM_PER_MM, Size
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Piece, Purchase

MOST_ALIKE = 4


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
    def width_mm(self) -> int:
        """For drawing."""
        return max(1, int(self.size.width) // NM_PER_MM)

    @property
    def length_mm(self) -> int:
        return max(1, int(self.size.length) // NM_PER_MM)

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
    thumbnail_url: str = ""
    value: str = ""
    print_scale: str = ""
    tags: tuple[str, ...] = ()
    to_fill_in: bool = False
    stripes: str = ""
    repeat: Size | None = None

    @property
    def on_shelf(self) -> tuple[PieceRow, ...]:
        return tuple(p for p in self.pieces if p.on_shelf)

    @property
    def free_pieces(self) -> tuple[PieceRow, ...]:
        return tuple(p for p in self.pieces if p.free)

    @property
    def free_on_shelf(self) -> tuple[PieceRow, ...]:
        """What can be taken off the shelf now: free, and not only expected."""
        return tuple(p for p in self.on_shelf if p.free)

    @property
    def longest_mm(self) -> int:
        """The longest side of any piece, for drawing them to one scale."""
        return max((side for p in self.pieces for side in (p.width_mm, p.length_mm)), default=1)

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
    def largest_free(self) -> Size | None:
        """The largest piece that is on the shelf and held by nobody."""
        return max(self.free_on_shelf, key=lambda p: p.area_mm2).size if self.free_on_shelf else None

    @property
    def places(self) -> tuple[str, ...]:
        return tuple(sorted({p.place for p in self.on_shelf if p.place}))


def fabrics(*, owner: Person, only_free: bool = False) -> tuple[FabricRow, ...]:
    """The owner's fabrics by name; `only_free`: those of which some can be taken off the shelf now."""
    found = _rows(Fabric.objects.of(owner))
    return tuple(row for row in found if row.free_mm2 > 0) if only_free else found


def rows(ids: Sequence[int]) -> tuple[FabricRow, ...]:
    """Fabrics of these ids, in their order. The caller has fetched the ids through their owner."""
    found = {row.id: row for row in _rows(Fabric.objects.filter(pk__in=ids))}
    return tuple(found[pk] for pk in ids)


def fabric(*, owner: Person, fabric_id: int) -> FabricRow:
    """One fabric; raises Fabric.DoesNotExist when the owner has none of that id."""
    rows = _rows(Fabric.objects.of(owner).filter(pk=fabric_id))
    if not rows:
        raise Fabric.DoesNotExist
    return rows[0]


def one_piece(*, owner: Person, piece_id: int) -> PieceRow:
    """One piece, whether or not it is still there; raises Piece.DoesNotExist when the owner has none of that id."""
    piece = Piece.objects.of(owner).get(pk=piece_id)
    return piece_row(piece, Hold.objects.live().filter(piece=piece).first())


def alike(*, owner: Person, name: str) -> tuple[FabricRow, ...]:
    """A few fabrics whose name holds what was typed of one: is the cloth that came more of one of these?"""
    typed = " ".join(name.split())
    if len(typed) < 2:
        return ()
    ids = Fabric.objects.of(owner).filter(name__icontains=typed).values_list("pk", flat=True)[:MOST_ALIKE]
    return _rows(Fabric.objects.filter(pk__in=list(ids)))


def places(*, owner: Person) -> tuple[str, ...]:
    """Where she keeps cloth: offered where a place is typed."""
    named = Piece.objects.of(owner).on_shelf().exclude(place="")
    return tuple(named.order_by("place").values_list("place", flat=True).distinct())


def shops(*, owner: Person) -> tuple[str, ...]:
    """Where she has bought cloth."""
    named = Purchase.objects.filter(movement__owner=owner).exclude(bought_from="")
    return tuple(named.order_by("bought_from").values_list("bought_from", flat=True).distinct())


def _rows(found: QuerySet[Fabric]) -> tuple[FabricRow, ...]:
    living = Piece.objects.filter(Q(on_shelf=True) | Q(expected=True))
    listed = list(found.prefetch_related(Prefetch("pieces", queryset=living, to_attr="living"), "tags"))
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
        photo_url=cloth.photo_url,
        one_way=cloth.one_way,
        usable_width=cloth.usable_width,
        printed=cloth.printed,
        printed_seam=cloth.printed_seam,
        note=cloth.note,
        pieces=pieces,
        thumbnail_url=cloth.thumbnail_url,
        value=cloth.get_value_display(),
        print_scale=cloth.get_print_scale_display() if cloth.print_scale else "",
        tags=tuple(tag.name for tag in cloth.tags.all()),
        to_fill_in=cloth.to_fill_in,
        stripes=cloth.stripes,
        repeat=cloth.repeat,
    )
