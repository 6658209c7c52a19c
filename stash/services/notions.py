"""How do notions come, go and get counted? Each change is a row that is only ever added; a wrong one is taken back by its opposite.

More than is written down can never go: she counts first. A notion she keeps no longer is put away, its history with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import IntegrityError, transaction

from quiltbook.people.models import Person
from stash.models import Notion, NotionChange
from stash.queries.notions import counted_since, left_of
from stash.services.cloth import Paid
from stash.services.errors import StashError


@dataclass(frozen=True, slots=True)
class Facts:
    """What is said of a notion. Lengths in nm; `least` in its unit: less than so much is little."""

    kind: str
    unit: str
    name: str
    colour: str = ""
    weight: str = ""
    shape: str = ""
    width: int | None = None
    length: int | None = None
    least: Decimal | None = None
    place: str = ""
    note: str = ""


@transaction.atomic
def add(*, owner: Person, facts: Facts, now: datetime) -> Notion:
    """A notion with nothing of it yet. Raises StashError when she has one of that kind and name."""
    return _written(Notion(owner=owner, created_at=now), facts)


@transaction.atomic
def change(*, notion: Notion, facts: Facts) -> Notion:
    """Say other things of it; what it is measured in stays, for its history is written in that."""
    if facts.unit != notion.unit:
        raise StashError("What is left of it is written in another unit: add it as something else.")
    return _written(notion, facts)


@transaction.atomic
def bought(*, notion: Notion, amount: Decimal, paid: Paid, day: date, now: datetime, note: str = "") -> NotionChange:
    """So much of it came, for so much in all."""
    _left(notion)
    return NotionChange.objects.create(
        notion=notion,
        kind=NotionChange.Kind.BOUGHT,
        change=_positive(amount),
        day=day,
        recorded_at=now,
        price=paid.price,
        currency=paid.currency if paid.price is not None else "",
        bought_from=paid.bought_from,
        note=note,
    )


@transaction.atomic
def used(*, notion: Notion, amount: Decimal, day: date, now: datetime, note: str = "", link: str = "") -> NotionChange:
    """So much of it went. `link`: the page it was used for. Raises StashError when less than that is written down."""
    left = _left(notion)
    if _positive(amount) > left:
        raise StashError(
            f"Less than that of {notion.name} is written down: count it first, or write down what you bought."
        )
    return NotionChange.objects.create(
        notion=notion,
        kind=NotionChange.Kind.USED,
        change=-amount,
        day=day,
        recorded_at=now,
        note=note,
        link=link,
    )


@transaction.atomic
def counted(*, notion: Notion, found: Decimal, day: date, now: datetime, note: str = "") -> NotionChange:
    """She counted, and there is so much; the difference is written down, be it nothing."""
    if found < 0:
        raise StashError("There cannot be less than nothing of it.")
    return NotionChange.objects.create(
        notion=notion,
        kind=NotionChange.Kind.COUNTED,
        change=found - _left(notion),
        day=day,
        recorded_at=now,
        note=note,
    )


@transaction.atomic
def reverse(*, change: NotionChange, day: date, now: datetime) -> NotionChange:
    """Take a change back by its opposite; one that took back is done again. Raises StashError when it was taken back already, or when
    less would be left than nothing."""
    left = _left(change.notion)
    if NotionChange.objects.filter(reverses=change).exists():
        raise StashError("This has been undone already.")
    if counted_since(change):
        raise StashError(
            f"{change.notion.name} has been counted since, so this changes nothing any more: count it again."
        )
    if left - change.change < 0:
        raise StashError(f"Some of that {change.notion.name} has gone since, so this can no longer be undone.")
    return NotionChange.objects.create(
        notion=change.notion,
        kind=NotionChange.Kind.REVERSED,
        change=-change.change,
        day=day,
        recorded_at=now,
        note=change.note,
        link=change.link,
        reverses=change,
    )


@transaction.atomic
def keep(*, notion: Notion, put_away_at: datetime | None) -> None:
    """Put it away at that moment, or take it out again (None)."""
    notion.put_away_at = put_away_at
    notion.save(update_fields=["put_away_at"])


def _left(notion: Notion) -> Decimal:
    """What is written down of it; nobody else changes it to the end of the transaction."""
    Notion.objects.select_for_update().get(pk=notion.pk)
    return left_of(notion)


def _positive(amount: Decimal) -> Decimal:
    if amount <= 0:
        raise StashError("It must be more than nothing.")
    return amount


def _written(notion: Notion, facts: Facts) -> Notion:
    notion.kind, notion.unit, notion.name = facts.kind, facts.unit, facts.name
    notion.colour, notion.weight, notion.shape = facts.colour, facts.weight, facts.shape
    notion.width, notion.length = facts.width, facts.length
    notion.least, notion.place, notion.note = facts.least, facts.place, facts.note
    try:
        with transaction.atomic():
            notion.save()
    except IntegrityError as clash:
        same = Notion.objects.of(notion.owner).filter(kind=notion.kind, name=notion.name).exclude(pk=notion.pk).first()
        if same is None:
            raise
        away = " It is put away: take it out again at the end of your list." if same.put_away_at else ""
        raise StashError(f"You have {same.name} already.{away}") from clash
    return notion


@dataclass(frozen=True, slots=True)
class Came:
    """The first of a notion: so much, on that day, and what was paid (None: she had it already)."""

    amount: Decimal
    day: date
    paid: Paid | None = None


@transaction.atomic
def log(*, owner: Person, facts: Facts, came: Came, now: datetime) -> NotionChange:
    """A notion and what there is of it, both or neither."""
    notion = add(owner=owner, facts=facts, now=now)
    if came.paid is None:
        return counted(notion=notion, found=came.amount, day=came.day, now=now)
    return bought(notion=notion, amount=came.amount, paid=came.paid, day=came.day, now=now)
