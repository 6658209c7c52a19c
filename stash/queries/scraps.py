"""How much lies in each scrap bin? By weight, and reckoned from it an area: an estimate, and called one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db.models import Sum

from quiltbook.measures import System, show_area
from quiltbook.people.models import Person
from stash.models import ScrapBin, ScrapChange
from stash.queries.history import undone
from stash.queries.notions import last_count

MM2_PER_M2 = 1_000_000
# What a square metre of quilting cotton weighs, in grams. Common practice, no source.
COTTON_WEIGHS = 140
# Both exact by definition.
GRAMS_PER_OUNCE = Fraction("28.349523125")
OUNCES_PER_POUND = 16


@dataclass(frozen=True, slots=True)
class BinRow:
    """One bin. `area_words` says how much cloth that is about; "" where it is empty."""

    id: int
    name: str
    place: str
    grams: int
    weight: str
    area_words: str
    grams_per_m2: int


@dataclass(frozen=True, slots=True)
class ScrapRow:
    """One change of a bin, and what was in it after. `movement`: of a piece that was scrapped into it; it is undone with that."""

    id: int
    day: date
    sentence: str
    after: str
    note: str
    movement: int | None
    undone: bool
    undoable: bool


def bins(*, owner: Person, system: System) -> tuple[BinRow, ...]:
    """All of hers, in one query."""
    return tuple(_row(each, system) for each in ScrapBin.objects.of(owner).annotate(total=Sum("changes__grams")))


def one_bin(*, owner: Person, bin_id: int, system: System) -> BinRow:
    """Raises ScrapBin.DoesNotExist where it is not hers."""
    return _row(ScrapBin.objects.of(owner).annotate(total=Sum("changes__grams")).get(pk=bin_id), system)


def grams_in(scrap_bin: ScrapBin) -> int:
    return int(ScrapChange.objects.filter(bin=scrap_bin).aggregate(total=Sum("grams"))["total"] or 0)


def weighed_since(change: ScrapChange) -> bool:
    """Whether the bin was weighed after it: what she weighed is the truth, whatever went before."""
    return change.pk < last_count(ScrapChange.objects.filter(bin_id=change.bin_id), ScrapChange.Kind.WEIGHED)


def bin_history(*, bin_id: int, system: System) -> tuple[ScrapRow, ...]:
    """The changes of a bin in the order they were written down, the newest first."""
    changes = list(ScrapChange.objects.filter(bin=bin_id).order_by("pk"))
    by_id = {change.pk: change for change in changes}
    reversed_by = {change.reverses_id: change.pk for change in changes if change.reverses_id}
    weighed_at, total = last_count(changes, ScrapChange.Kind.WEIGHED), sum(change.grams for change in changes)
    inside, rows = 0, []
    for change in changes:
        inside += change.grams
        open_ = change.movement_id is None and change.pk >= weighed_at and change.grams <= total
        rows.append(
            ScrapRow(
                id=change.pk,
                day=change.day,
                sentence=_told(change, by_id, inside, system),
                after=show_weight(inside, system=system),
                note=change.note,
                movement=change.movement_id,
                undone=undone(change.pk, reversed_by),
                undoable=open_ and change.pk not in reversed_by,
            )
        )
    return tuple(reversed(rows))


def show_weight(grams: int, *, system: System) -> str:
    """`250 g` or `1.2 kg`; for a person of inches `9 oz` or `2 lb 3.5 oz`, to a tenth of an ounce (a hundredth
    where there is less than one)."""
    if system is System.METRIC:
        return f"{grams} g" if abs(grams) < 1000 else f"{_decimals(Fraction(grams, 1000), 3)} kg"
    if abs(grams) < GRAMS_PER_OUNCE:
        return f"{_decimals(grams / GRAMS_PER_OUNCE, 2)} oz"
    tenths = round(Fraction(grams) / GRAMS_PER_OUNCE * 10)
    pounds, rest = divmod(tenths, OUNCES_PER_POUND * 10)
    ounces = _decimals(Fraction(rest, 10), 1)
    if not pounds:
        return f"{ounces} oz"
    return f"{pounds} lb {ounces} oz" if rest else f"{pounds} lb"


def area_of(grams: int, grams_per_m2: int) -> int:
    """How much cloth of that weight there is in so many grams, in mm²."""
    return round(Fraction(grams * MM2_PER_M2, grams_per_m2))


def _decimals(value: Fraction, places: int) -> str:
    text = f"{round(value, places):.{places}f}"
    return text.rstrip("0").rstrip(".")


def _row(scrap_bin: ScrapBin, system: System) -> BinRow:
    grams = int(getattr(scrap_bin, "total", None) or 0)
    area = show_area(area_of(grams, scrap_bin.grams_per_m2), system=system)
    return BinRow(
        id=scrap_bin.pk,
        name=scrap_bin.name,
        place=scrap_bin.place,
        grams=grams,
        weight=show_weight(grams, system=system),
        area_words=f"about {area} of cloth, reckoned by weight" if grams else "",
        grams_per_m2=scrap_bin.grams_per_m2,
    )


def _told(change: ScrapChange, by_id: Mapping[int, ScrapChange], inside: int, system: System) -> str:
    if change.reverses_id is None:
        return tell(change, system, inside=inside)
    steps, root = 1, by_id[change.reverses_id]
    while root.reverses_id is not None:
        steps, root = steps + 1, by_id[root.reverses_id]
    told = tell(root, system)
    return f"{'Undid' if steps % 2 else 'Did again'}: {told[0].lower()}{told[1:]}"


def tell(change: ScrapChange, system: System, *, inside: int | None = None) -> str:
    """A change as a sentence; of a weighing what it came to is said where it is known what is `inside` after it."""
    much = show_weight(abs(change.grams), system=system)
    match change.kind:
        case ScrapChange.Kind.ADDED:
            return f"Scrapped a piece, about {much}." if change.movement_id else f"Put {much} in."
        case ScrapChange.Kind.TAKEN:
            return f"Took {much} out."
        case ScrapChange.Kind.WEIGHED:
            differs = (
                "as written down"
                if not change.grams
                else f"{much} {'more' if change.grams > 0 else 'less'} than written down"
            )
            return (
                f"Weighed {differs}."
                if inside is None
                else f"Weighed: {show_weight(inside, system=system)}, {differs}."
            )
        case _:
            return f"Took back a change of {much}."
