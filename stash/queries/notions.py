"""What is left of each notion, is it little, and what happened to it? Sums of what came and went, told in the reader's own measures."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from django.db.models import QuerySet, Sum

from quiltbook.measures import (
    NM_PER_METRE,
    NM_PER_MM,
    NM_PER_YARD,
    Length,
    Size,
    System,
    mm2,
    show_amount,
    show_length,
    show_size,
)
from quiltbook.people.models import Person
from stash.models import Notion, NotionChange, ScrapChange
from stash.queries.history import undone

THOUSANDTH = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class NotionRow:
    """One notion. `left` in its unit and `left_words` in hers; `facts` says its colour, weight, shape or size; `area` (mm²) is what is
    left of wadding. `state`: "none", "little" or "" where there is enough."""

    id: int
    kind: str
    kind_words: str
    name: str
    unit: str
    colour: str
    shape: str
    size: Size | None
    width: int | None
    facts: str
    place: str
    note: str
    left: Decimal
    left_words: str
    area: int | None
    least_words: str
    state: str
    put_away: bool


@dataclass(frozen=True, slots=True)
class Shelf:
    """Notions kept, by kind; those of which little is left; and those put away."""

    kinds: tuple[tuple[str, tuple[NotionRow, ...]], ...]
    running_low: tuple[NotionRow, ...]
    put_away: tuple[NotionRow, ...]


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One change told in a sentence, with what was left after it. `undoable`: not taken back, not counted since, and still there."""

    id: int
    day: date
    sentence: str
    after: str
    note: str
    link: str
    undone: bool
    undoable: bool
    price: Decimal | None
    currency: str
    bought_from: str


def notions(*, owner: Person, system: System) -> Shelf:
    """All of hers, in two queries at most however many there are."""
    rows = [_row(notion, system) for notion in _summed(Notion.objects.of(owner))]
    order = list(Notion.Kind.values)
    kept = sorted((row for row in rows if not row.put_away), key=lambda row: order.index(row.kind))
    return Shelf(
        kinds=tuple((words, tuple(each)) for words, each in groupby(kept, key=lambda row: row.kind_words)),
        running_low=tuple(row for row in kept if row.state),
        put_away=tuple(row for row in rows if row.put_away),
    )


def kept(*, owner: Person, system: System, kinds: Iterable[str]) -> tuple[NotionRow, ...]:
    """Those of some kinds that are not put away."""
    found = Notion.objects.of(owner).filter(kind__in=list(kinds), put_away_at=None)
    return tuple(_row(notion, system) for notion in _summed(found))


def one(*, owner: Person, notion_id: int, system: System) -> NotionRow:
    """Raises Notion.DoesNotExist where it is not hers."""
    return _row(_summed(Notion.objects.of(owner)).get(pk=notion_id), system)


def left_of(notion: Notion) -> Decimal:
    """What is written down of it, in its unit."""
    return _exact(NotionChange.objects.filter(notion=notion).aggregate(total=Sum("change"))["total"])


def counted_since(change: NotionChange) -> bool:
    """Whether a count that stands was made after it: what she counted is the truth, whatever went before."""
    return change.pk < last_count(NotionChange.objects.filter(notion_id=change.notion_id), NotionChange.Kind.COUNTED)


def last_count(changes: Iterable[NotionChange | ScrapChange], kind: str) -> int:
    """The id of the last of these changes that is of the kind and was not taken back; 0 where there is none."""
    changes = list(changes)
    reversed_by = {change.reverses_id: change.pk for change in changes if change.reverses_id}
    return max((c.pk for c in changes if c.kind == kind and not undone(c.pk, reversed_by)), default=0)


def history(*, notion: Notion, system: System) -> tuple[ChangeRow, ...]:
    """Its changes in the order they were written down, the newest first."""
    changes = list(NotionChange.objects.filter(notion=notion).order_by("pk"))
    by_id = {change.pk: change for change in changes}
    reversed_by = {change.reverses_id: change.pk for change in changes if change.reverses_id}
    counted_at, total = last_count(changes, NotionChange.Kind.COUNTED), sum((c.change for c in changes), Decimal(0))
    left, rows = Decimal(0), []
    for change in changes:
        before, left = left, left + change.change
        rows.append(
            ChangeRow(
                id=change.pk,
                day=change.day,
                sentence=_told(change, by_id, before, notion, system),
                after=said(left, notion, system),
                note=change.note,
                link=change.link,
                undone=undone(change.pk, reversed_by),
                undoable=change.pk not in reversed_by and change.pk >= counted_at and change.change <= total,
                price=change.price,
                currency=change.currency,
                bought_from=change.bought_from,
            )
        )
    return tuple(reversed(rows))


def said(amount: Decimal, notion: Notion | NotionRow, system: System) -> str:
    """So much of a notion in words: "120 m", "2 packs", "45"."""
    if notion.unit == Notion.Unit.METRE:
        return wadding_length(amount, system) if notion.kind == Notion.Kind.WADDING else thread_length(amount, system)
    figure = f"{amount.normalize():f}"
    return f"{figure} pack{'' if amount == 1 else 's'}" if notion.unit == Notion.Unit.PACK else figure


def thread_length(metres: Decimal, system: System) -> str:
    """Thread, to the yard or metre; to a tenth of it where there are less than ten."""
    unit, size = ("yd", NM_PER_YARD) if system is System.INCHES else ("m", NM_PER_METRE)
    value = in_nm(metres) / Fraction(size)
    shown = f"{float(value):.0f}" if abs(value) >= 10 else f"{float(value):.1f}".removesuffix(".0")
    return f"{shown} {unit}"


def wadding_length(metres: Decimal, system: System) -> str:
    """A length off the roll, as cloth is told; metres to the millimetre hold no eighth of a yard exactly, so "about" is left out."""
    return show_amount(in_nm(metres), system=system).removeprefix("about ")


def side_of(shape: str, size: Size) -> int | None:
    """The side of a shape of that box, in whole nm, where it is one that is sold by its side: nothing for any other."""
    width, length = float(size.width), float(size.length)
    sides = {"hexagon": length / 2, "hexagon petal": width / 2, "diamond": math.hypot(width, length) / 2}
    if shape not in sides:
        return None
    return round(sides[shape] / 125) * 125  # its box was rounded to the nm; 64ths and tenths of a mm are whole 125 nm


def in_nm(metres: Decimal) -> int:
    return round(Fraction(metres) * NM_PER_METRE)


def in_metres(nm: Length) -> Decimal:
    """A length in nm as the metres a change is written in, to the millimetre."""
    return (Decimal(round(Fraction(nm) / NM_PER_MM)) / 1000).quantize(THOUSANDTH)


def _summed(found: QuerySet[Notion]) -> QuerySet[Notion]:
    return found.annotate(total=Sum("changes__change"))


def _exact(total: Decimal | None) -> Decimal:
    """SQLite adds decimals as floats."""
    return (total or Decimal(0)).quantize(THOUSANDTH)


def _row(notion: Notion, system: System) -> NotionRow:
    left = _exact(getattr(notion, "total", None))
    return NotionRow(
        id=notion.pk,
        kind=notion.kind,
        kind_words=str(notion.get_kind_display()),
        name=notion.name,
        unit=notion.unit,
        colour=notion.colour,
        shape=notion.shape,
        size=notion.size,
        width=notion.width,
        facts=_facts(notion, system),
        place=notion.place,
        note=notion.note,
        left=left,
        left_words=said(left, notion, system),
        area=_area(notion, left),
        least_words=said(notion.least, notion, system) if notion.least else "",
        state="none" if left <= 0 else "little" if notion.least is not None and left < notion.least else "",
        put_away=notion.put_away_at is not None,
    )


def _area(notion: Notion, left: Decimal) -> int | None:
    if notion.kind != Notion.Kind.WADDING or notion.width is None:
        return None
    if notion.unit == Notion.Unit.METRE:
        return mm2(notion.width, in_nm(left))
    return None if notion.length is None else round(Fraction(left) * mm2(notion.width, notion.length))


def _facts(notion: Notion, system: System) -> str:
    """What tells it from others of its kind, besides its name."""
    parts = [f"weight {notion.weight}"] if notion.weight else []
    if notion.shape:
        parts.append(notion.shape)
    if notion.size is not None:
        side = side_of(notion.shape, notion.size)
        told = show_size(notion.size, system=system) if side is None else f"sides of {show_length(side, system=system)}"
        parts.append(told.removeprefix("about "))
    elif notion.width is not None:
        parts.append(f"{show_length(notion.width, system=system)} wide")
    return ", ".join(parts)


def _told(
    change: NotionChange, by_id: Mapping[int, NotionChange], before: Decimal, notion: Notion, system: System
) -> str:
    if change.reverses_id is None:
        return tell(change, notion, system, before=before)
    steps, root = 1, by_id[change.reverses_id]
    while root.reverses_id is not None:
        steps, root = steps + 1, by_id[root.reverses_id]
    told = tell(root, notion, system)
    return f"{'Undid' if steps % 2 else 'Did again'}: {told[0].lower()}{told[1:]}"


def tell(change: NotionChange, notion: Notion, system: System, *, before: Decimal | None = None) -> str:
    """A change as a sentence; of a count what was found is said where it is known what was there `before`."""
    much = said(abs(change.change), notion, system)
    match change.kind:
        case NotionChange.Kind.BOUGHT:
            return f"Bought {much}."
        case NotionChange.Kind.USED:
            return f"Used {much}."
        case NotionChange.Kind.COUNTED:
            return _counted(change.change, much, notion, system, before)
        case _:
            return f"Took back a change of {much}."


def _counted(change: Decimal, much: str, notion: Notion, system: System, before: Decimal | None) -> str:
    differs = "as written down" if not change else f"{much} {'more' if change > 0 else 'less'} than written down"
    if before is None:
        return f"Counted {differs}."
    return f"Counted {said(before + change, notion, system)}: {differs}."
