"""How does cloth come, change and go? One service a kind of movement; each is one transaction and refuses in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.db.models import Max

from quiltbook.measures import Size
from stash.models import Fabric, Movement, Piece, Purchase
from stash.services.errors import StashError
from stash.services.ledger import Coming, not_held, record

# Relaxed by the wash, some cloth comes out a little wider than it was. Common practice, no source.
MOST_GROWTH = Fraction(110, 100)


@dataclass(frozen=True, slots=True)
class Paid:
    """What was paid for a purchase, and where. `price` None: not remembered, or a gift."""

    price: Decimal | None
    currency: str
    bought_from: str = ""


def new_pieces(*, fabric: Fabric, sizes: Sequence[Size], label: str = "", expected: bool = False) -> list[Piece]:
    """Rows for cloth that is about to come: neither on the shelf nor in the ledger yet. Several share a label by counting on it."""
    Fabric.objects.select_for_update().get(pk=fabric.pk)  # two who add at once must not count from the same last number
    last = Piece.objects.filter(fabric=fabric).aggregate(last=Max("number"))["last"] or 0
    return [
        Piece.objects.create(
            owner=fabric.owner,
            fabric=fabric,
            number=last + i,
            label=f"{label} {i}" if label and len(sizes) > 1 else label,
            width=int(size.width),
            length=int(size.length),
            expected=expected,
        )
        for i, size in enumerate(sizes, start=1)
    ]


@transaction.atomic
def buy(
    *,
    fabric: Fabric,
    sizes: Sequence[Size],
    paid: Paid,
    place: str,
    day: date,
    now: datetime,
    label: str = "",
    note: str = "",
) -> Movement:
    """Log a purchase: one movement, one piece a size."""
    pieces = new_pieces(fabric=fabric, sizes=sizes, label=label)
    movement = record(
        owner=fabric.owner,
        kind=Movement.Kind.BOUGHT,
        day=day,
        now=now,
        coming=[Coming(piece, place) for piece in pieces],
        note=note,
    )
    Purchase.objects.create(movement=movement, price=paid.price, currency=paid.currency, bought_from=paid.bought_from)
    return movement


@transaction.atomic
def find(
    *, fabric: Fabric, sizes: Sequence[Size], place: str, day: date, now: datetime, label: str = "", note: str = ""
) -> Movement:
    """Count cloth that lay there unrecorded."""
    pieces = new_pieces(fabric=fabric, sizes=sizes, label=label)
    return record(
        owner=fabric.owner,
        kind=Movement.Kind.COUNTED,
        day=day,
        now=now,
        coming=[Coming(piece, place) for piece in pieces],
        note=note,
    )


@transaction.atomic
def recount(*, piece: Piece, measured: Size | None, day: date, now: datetime, note: str = "") -> Movement:
    """What a count found: another size than recorded, or (`measured` None) no such piece any more."""
    not_held([piece])
    if measured == piece.size:
        raise StashError("It measures just what is written down, so there is nothing to change.")
    found = new_pieces(fabric=piece.fabric, sizes=[measured], label=piece.label) if measured is not None else []
    return record(
        owner=piece.owner,
        kind=Movement.Kind.COUNTED,
        day=day,
        now=now,
        leaving=[piece],
        coming=[Coming(p, piece.place) for p in found],
        note=note,
    )


@transaction.atomic
def wash(*, piece: Piece, measured: Size, day: date, now: datetime, note: str = "") -> Movement:
    """Washed and measured again: the piece as it was ends, the piece as it is begins."""
    if measured.width > piece.width * MOST_GROWTH or measured.length > piece.length * MOST_GROWTH:
        raise StashError("Washing does not make cloth that much larger. Measure it again, or correct its size instead.")
    not_held([piece])
    [washed] = new_pieces(fabric=piece.fabric, sizes=[measured], label=piece.label)
    return record(
        owner=piece.owner,
        kind=Movement.Kind.WASHED,
        day=day,
        now=now,
        leaving=[piece],
        coming=[Coming(washed, piece.place)],
        note=note,
    )


@transaction.atomic
def split(
    *, piece: Piece, sizes: Sequence[Size], day: date, now: datetime, note: str = "", keep_rest: bool = False
) -> Movement:
    """Cut a piece into smaller ones outside any plan; what they leave over is waste. With `keep_rest` what is left of its length (or of
    its width, where all parts run the whole length) is a piece too."""
    not_held([piece])
    for size in sizes:
        if size.width > piece.width or size.length > piece.length:
            raise StashError(
                "One of the parts is larger than the piece it is cut from: say its width first, then its length."
            )
    if keep_rest:
        sizes = [*sizes, *_rest(piece, sizes)]
    if sum(size.width * size.length for size in sizes) > piece.width * piece.length:
        raise StashError("The parts together are larger than the piece.")
    if list(sizes) == [piece.size]:
        raise StashError("That is the whole piece, so there is nothing to cut.")
    pieces = new_pieces(fabric=piece.fabric, sizes=sizes)
    # Each area is rounded by itself, so parts that use a piece up may come to a few mm² more than it: that is no waste, but a difference.
    parts = sum(part.area_mm2 for part in pieces)
    return record(
        owner=piece.owner,
        kind=Movement.Kind.SPLIT,
        day=day,
        now=now,
        leaving=[piece],
        coming=[Coming(p, piece.place) for p in pieces],
        waste_mm2=max(0, piece.area_mm2 - parts),
        note=note,
    )


@transaction.atomic
def scrap(*, piece: Piece, day: date, now: datetime, note: str = "") -> Movement:
    """Thrown away, or too small to count any more: all of it is waste."""
    not_held([piece])
    return record(
        owner=piece.owner,
        kind=Movement.Kind.SCRAPPED,
        day=day,
        now=now,
        leaving=[piece],
        waste_mm2=piece.area_mm2,
        note=note,
    )


@transaction.atomic
def give_away(*, piece: Piece, day: date, now: datetime, note: str = "") -> Movement:
    not_held([piece])
    return record(owner=piece.owner, kind=Movement.Kind.GIVEN, day=day, now=now, leaving=[piece], note=note)


@transaction.atomic
def move(*, piece: Piece, place: str, day: date, now: datetime, note: str = "") -> Movement:
    """Put a piece elsewhere; a held piece may be moved too, since it stays the same cloth."""
    return move_all(pieces=[piece], place=place, day=day, now=now, note=note)


@transaction.atomic
def move_all(*, pieces: Sequence[Piece], place: str, day: date, now: datetime, note: str = "") -> Movement:
    """Put several pieces in one place, in one movement; those that lie there already stay out of it."""
    elsewhere = [piece for piece in pieces if piece.place != place]
    if not elsewhere:
        raise StashError("It lies there already.")
    return record(
        owner=elsewhere[0].owner,
        kind=Movement.Kind.MOVED,
        day=day,
        now=now,
        leaving=elsewhere,
        coming=[Coming(piece, place) for piece in elsewhere],
        note=note,
    )


def _rest(piece: Piece, sizes: Sequence[Size]) -> list[Size]:
    """What whole widths (or whole lengths) cut off a piece leave of it: one size, or none where nothing is left."""
    if all(size.width == piece.width for size in sizes):
        left = piece.length - sum(int(size.length) for size in sizes)
        rest = Size(piece.width, left)
    elif all(size.length == piece.length for size in sizes):
        left = piece.width - sum(int(size.width) for size in sizes)
        rest = Size(left, piece.length)
    else:
        raise StashError(
            "What is left can be worked out only where every part runs the whole width or the whole length: write the rest as a part."
        )
    if left < 0:
        raise StashError("The parts together are larger than the piece.")
    return [rest] if left else []
