"""What stands in a table of the shelf, a row a piece? And of a table that is to come in: which rows of it are here already?"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby
from operator import itemgetter

from quiltbook.people.models import Person
from stash.models import Fabric, ImportedRow, Movement, MovementLine, Piece
from stash.queries.labels import code_of
from stash.queries.money import costs_of_pieces


@dataclass(frozen=True, slots=True)
class PieceLine:
    """One piece on the shelf. Lengths in nm. `price` is its share of what was paid for the cloth it came from; that, `bought_on` and `shop`
    are those of the purchase it was cut from, and absent where nobody wrote one down."""

    fabric: str
    kind: str
    colour: str
    value: str
    usable_width: int
    direction: str
    width: int
    length: int
    place: str
    label: str
    code: str
    bought_on: date | None
    price: Decimal | None
    currency: str
    shop: str
    note: str
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bought:
    """When and where cloth was bought."""

    day: date
    shop: str


@dataclass(frozen=True, slots=True)
class Here:
    """What is here of what a table may bring: fabrics by their name in small letters, digests of rows that came in before, and pieces by
    their number."""

    fabrics: dict[str, Fabric]
    digests: frozenset[str]
    pieces: dict[int, Piece]


def piece_lines(*, owner: Person) -> tuple[PieceLine, ...]:
    """Every piece on her shelf, by fabric. Four queries, however many there are."""
    costs = costs_of_pieces(owner=owner)
    bought = _purchases(owner)
    pieces = Piece.objects.of(owner).on_shelf().select_related("fabric").prefetch_related("fabric__tags")
    lines = []
    for piece in pieces.order_by("fabric__name", "fabric_id", "number"):
        fabric, cost, come = piece.fabric, costs.get(piece.pk), bought.get(piece.pk)
        lines.append(
            PieceLine(
                fabric=fabric.name,
                kind=str(Fabric.Kind(fabric.kind).label),
                colour=fabric.colour,
                value=str(Fabric.Value(fabric.value).label),
                usable_width=fabric.usable_width,
                direction=str(Fabric.PrintDirection(fabric.print_direction).label),
                width=piece.width,
                length=piece.length,
                place=piece.place,
                label=piece.label,
                code=code_of(piece.pk),
                bought_on=come.day if come else None,
                price=cost.rounded if cost else None,
                currency=cost.currency if cost else "",
                shop=come.shop if come else "",
                note=fabric.note,
                tags=tuple(tag.name for tag in fabric.tags.all()),
            )
        )
    return tuple(lines)


def here(*, owner: Person, numbers: Collection[int]) -> Here:
    """What a table is laid beside; `numbers`: those of the pieces it names by their codes."""
    return Here(
        fabrics={fabric.name.casefold(): fabric for fabric in Fabric.objects.of(owner)},
        digests=frozenset(ImportedRow.objects.filter(owner=owner).values_list("digest", flat=True)),
        # By all that are hers rather than by number: a table may name more than a query takes.
        pieces={p.pk: p for p in Piece.objects.of(owner).select_related("fabric")} if numbers else {},
    )


def _purchases(owner: Person) -> dict[int, Bought]:
    """Of each piece there ever was, the purchase it was cut from; none of cloth that lay there, or of two purchases joined."""
    lines = MovementLine.objects.filter(movement__owner=owner).exclude(movement__kind__in=["moved", "reversed"])
    columns = (
        "movement_id",
        "movement__kind",
        "movement__day",
        "movement__purchase__bought_from",
        "change",
        "piece_id",
    )
    found: dict[int, Bought] = {}
    # In the order they were written down, so that a piece is known before what came of it.
    rows = lines.order_by("movement_id", "pk").values_list(*columns)
    for (_, kind, day, shop), group in groupby(rows, key=itemgetter(0, 1, 2, 3)):
        moved = list(group)
        come = [row[5] for row in moved if row[4] == 1]
        if kind == Movement.Kind.BOUGHT:
            whence = {Bought(day, shop or "")}
        else:
            whence = {found[row[5]] for row in moved if row[4] == -1 and row[5] in found}
        if len(whence) == 1:
            found |= dict.fromkeys(come, *whence)
    return found
