"""What did the cloth cost? Each piece carries its share, by area, of what was paid for the cloth it was cut from; currencies stay apart.

Cloth whose price nobody wrote down, or that was found in a count, has no cost here: it is told as an area, never guessed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import groupby
from operator import itemgetter

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, MovementLine, Piece
from stash.queries.history import undone

_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in a currency, exact: rounded only to be shown."""

    amount: Fraction
    currency: str

    @property
    def rounded(self) -> Decimal:
        """To the hundredth, halves up."""
        return (Decimal(self.amount.numerator) / self.amount.denominator).quantize(_HUNDREDTH, ROUND_HALF_UP)

    @property
    def words(self) -> str:
        return f"{self.rounded} {self.currency}"


@dataclass(frozen=True, slots=True)
class Costs:
    """What some cloth cost, one sum a currency, and how much of it (mm²) has a price and how much has none."""

    sums: tuple[Money, ...] = ()
    priced_mm2: int = 0
    unpriced_mm2: int = 0


@dataclass(frozen=True, slots=True)
class FabricCosts:
    """One fabric: what was paid for all that was ever bought of it, and the share of what lies on the shelf."""

    paid: Costs
    here: Costs


@dataclass(frozen=True, slots=True)
class WorthRow:
    """One fabric on the shelf and its share of what was paid."""

    fabric_id: int
    name: str
    here: Costs

    @property
    def area_mm2(self) -> int:
        return self.here.priced_mm2 + self.here.unpriced_mm2


@dataclass(frozen=True, slots=True)
class Worth:
    """The whole shelf at cost, fabric by fabric, the dearest first."""

    all: Costs
    rows: tuple[WorthRow, ...]


def costs_of_pieces(*, owner: Person, fabrics: Collection[int] | None = None) -> dict[int, Money]:
    """What each piece there ever was cost, by its id, of these fabrics (all where not given); one without a known price is left out.

    A purchase is shared out by area; cut or split, a piece hands on its cost by area, so what is cut away takes its share along; washed, it
    is the same cloth and keeps its cost. Counted smaller, it keeps the part that is there. Found in a count, it cost nobody knows what."""
    lines = MovementLine.objects.filter(piece__owner=owner).exclude(movement__kind__in=["moved", "reversed"])
    if fabrics is not None:
        lines = lines.filter(piece__fabric__in=fabrics)
    paid = ("movement__purchase__price", "movement__purchase__currency")
    columns = ("movement_id", "movement__kind", *paid, "change", "piece_id", "piece__width", "piece__length")
    found: dict[int, Money] = {}
    # In the order they were written down, so that a piece is priced before what came of it.
    rows = lines.order_by("movement_id", "pk").values_list(*columns)
    for (_, kind, price, currency), group in groupby(rows, key=itemgetter(0, 1, 2, 3)):
        came: dict[int, int] = {}
        left: dict[int, int] = {}
        for *_, change, piece, width, length in group:
            (came if change == 1 else left)[piece] = width * length
        begun, ended = sum(came.values()), sum(left.values())
        if kind == Movement.Kind.BOUGHT:
            whole = None if price is None else Money(Fraction(price), currency)
        else:
            whole = _together(left, found)
        if whole is not None and came:
            over = begun if kind in (Movement.Kind.BOUGHT, Movement.Kind.WASHED) else max(begun, ended)
            for piece, area in came.items():
                found[piece] = Money(whole.amount * area / over, whole.currency)
    return found


def of_fabric(*, owner: Person, fabric: Fabric) -> FabricCosts:
    """What was paid for a fabric, purchases that were taken back left out, and what of it lies on the shelf."""
    known = costs_of_pieces(owner=owner, fabrics=[fabric.pk])
    lines = MovementLine.objects.filter(piece__fabric=fabric, piece__owner=owner).order_by("pk")
    reversals = lines.filter(movement__kind=Movement.Kind.REVERSED).values_list("movement__reverses_id", "movement_id")
    back = {of: by for of, by in reversals if of is not None}
    bought = lines.filter(movement__kind=Movement.Kind.BOUGHT).select_related("piece")
    paid = costs((line.piece for line in bought if not undone(line.movement_id, back)), known)
    return FabricCosts(paid, costs(Piece.objects.of(owner).on_shelf().filter(fabric=fabric), known))


def worth(*, owner: Person) -> Worth:
    """The shelf at cost. Two queries, however much lies there."""
    known = costs_of_pieces(owner=owner)
    by_fabric: dict[int, list[Piece]] = defaultdict(list)
    for piece in Piece.objects.of(owner).on_shelf().select_related("fabric"):
        by_fabric[piece.fabric_id].append(piece)
    rows = [WorthRow(key, pieces[0].fabric.name, costs(pieces, known)) for key, pieces in by_fabric.items()]
    whole = costs((piece for pieces in by_fabric.values() for piece in pieces), known)
    order = {money.currency: n for n, money in enumerate(whole.sums)}
    rows.sort(key=lambda row: _dearness(row.here, order))
    return Worth(whole, tuple(rows))


def costs(pieces: Iterable[Piece], known: Mapping[int, Money]) -> Costs:
    """These pieces together; `known`: what `costs_of_pieces` says of them."""
    priced, unpriced, amounts = 0, 0, []
    for piece in pieces:
        if piece.pk in known:
            priced += piece.area_mm2
            amounts.append(known[piece.pk])
        else:
            unpriced += piece.area_mm2
    return Costs(summed(amounts), priced, unpriced)


def summed(amounts: Iterable[Money]) -> tuple[Money, ...]:
    """One sum a currency, in the order of their codes."""
    sums: dict[str, Fraction] = defaultdict(Fraction)
    for money in amounts:
        sums[money.currency] += money.amount
    return tuple(Money(amount, currency) for currency, amount in sorted(sums.items()))


def _together(pieces: Iterable[int], known: Mapping[int, Money]) -> Money | None:
    """What pieces that left together cost; None where of one of them it is not known, or they were paid for in two currencies."""
    each = [known.get(piece) for piece in pieces]
    sums = summed(money for money in each if money is not None)
    return sums[0] if None not in each and len(sums) == 1 else None


def _dearness(here: Costs, order: Mapping[str, int]) -> tuple[bool, int, Fraction]:
    """Currency by currency, the dearest first; what has no price last."""
    if not here.sums:
        return (True, 0, Fraction())
    return (False, order[here.sums[0].currency], -here.sums[0].amount)
