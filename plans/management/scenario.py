"""What does the demonstration show? A made-up quilter's cloth and two quilts: a medallion half sewn, and a small quilt that waits for its
offcuts. Everything goes through the services, as if she had typed it over the last weeks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from django.core.files.base import ContentFile

from plans.models import CuttingSheet, Plan
from plans.models.plan import State
from plans.queries.planned import CUTTING, keys_of
from plans.queries.worked import Fault, Worked, worked
from plans.services import allotting, at_the_table, layout, plans, rounds, sheets, shopping, sittings
from plans.services.plans import Centre
from plans.services.rounds import Flowers, RoundSpec
from plans.services.sittings import Entry
from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size
from quiltbook.people.models import Person
from quiltbook.people.services import change_settings
from quiltbook.web.photos import tidy
from quiltbook.web.swatches import swatch
from stash.models import Fabric
from stash.services import cloth, fabrics
from stash.services.cloth import Paid
from stash.services.fabrics import Arrival, Facts

YARD, INCH = NM_PER_YARD, NM_PER_INCH
WIDTH = 42 * INCH
FAT_QUARTER = Size(21 * INCH, 18 * INCH)
COTTON, PANEL, WIDE = Fabric.Kind.COTTON, Fabric.Kind.PANEL, Fabric.Kind.WIDE


@dataclass(frozen=True, slots=True)
class Bought:
    """One fabric of the demonstration and how it came: `days` ago, in these sizes."""

    name: str
    print: str
    colours: tuple[str, ...]
    sizes: tuple[Size, ...]
    days: int
    price: str | None
    place: str
    shop: str
    kind: str = COTTON
    one_way: bool = False
    width: int = WIDTH
    printed: Size | None = None


def length(yards: str) -> Size:
    """A length off the bolt."""
    return Size(WIDTH, int(Decimal(yards) * YARD))


STASH = (
    Bought("Heron in the reeds", "leaves", ("#e9e2cf", "#4f6b5b", "#8fa68a", "#2f4a4d"), (Size(26 * INCH, 20 * INCH),), 160, "14.50", "Shelf A", "Market stall", PANEL, True, 26 * INCH, Size(25 * INCH, 19 * INCH)),
    Bought("Kelp", "tonal", ("#2f5d50", "#274d43"), (length("1.25"), FAT_QUARTER), 150, "14.00", "Shelf A", "Corner shop"),
    Bought("Oat", "plain", ("#e6dcc4",), (length("2.5"), FAT_QUARTER), 150, "24.00", "Shelf A", "Corner shop"),
    Bought("Rose hip", "florals", ("#b8433a", "#e8a598", "#7d2a25"), (length("0.5"), FAT_QUARTER, FAT_QUARTER), 120, "9.00", "Red box", "Swapped with a friend"),
    Bought("Marigold", "dots", ("#dd9a34", "#fff3d6"), (FAT_QUARTER, FAT_QUARTER, FAT_QUARTER), 120, "6.40", "Yellow box", "Corner shop"),
    Bought("Plum", "tonal", ("#6b4468", "#5a3757"), (length("0.5"), FAT_QUARTER), 110, "8.20", "Red box", "Market stall"),
    Bought("Tide line", "stripes", ("#dfe8ea", "#3f6f83", "#9fbcc7"), (length("1.5"),), 100, "17.25", "Shelf B", "Corner shop", one_way=True),
    Bought("Slate", "tonal", ("#46515c", "#3a444e"), (length("2"),), 100, "21.00", "Shelf B", "Corner shop"),
    Bought("Lichen", "sprigs", ("#cfd3b4", "#76834f"), (length("1"), FAT_QUARTER, FAT_QUARTER), 90, "11.50", "Shelf A", "Market stall"),
    Bought("Brick check", "checks", ("#c98a6b", "#a4573c"), (FAT_QUARTER, FAT_QUARTER), 80, "6.40", "Red box", "Corner shop"),
    Bought("Fog", "dots", ("#c9cfd2", "#f4f5f5"), (length("0.5"),), 70, "8.60", "Shelf B", "Corner shop"),
    Bought("Butter", "sprigs", ("#f3e2a6", "#c7a24a"), (FAT_QUARTER, FAT_QUARTER), 60, "3.20", "Yellow box", "Corner shop"),
    Bought("Ink", "plain", ("#27324a",), (length("1"),), 60, "10.80", "Shelf B", "Corner shop"),
    Bought("Pebble", "tonal", ("#a69a8a", "#948876"), (Size(42 * INCH, 9 * INCH), Size(14 * INCH, 11 * INCH)), 50, None, "Scrap basket", ""),
    Bought("Wide linen look", "plain", ("#d8d2c4",), (Size(106 * INCH, 2 * YARD),), 40, "38.00", "Cupboard", "Market stall", WIDE, False, 106 * INCH),
)  # fmt: skip


def load(*, owner: Person, today: date) -> None:
    """Fill an empty account. Several transactions, in the order she did it."""
    change_settings(owner=owner, changes={"hours_a_week": Decimal(5), "currency": "USD"})
    stash = {row.name: _buy(owner, row, today) for row in STASH}
    cloth.move(piece=stash["Fog"].pieces.get(number=1), place="Shelf A", day=_ago(today, 45), now=_at(today, 45))
    medallion = _medallion(owner, stash, today)
    _sew(medallion, today)
    _pond(owner, stash, today)


def _medallion(owner: Person, stash: dict[str, Fabric], today: date) -> Plan:
    """A printed panel in three rounds; the middle one carries flowers. Its first two rounds are cut and half sewn."""
    now = _at(today, 34)
    plan = plans.start(
        owner=owner,
        name="Heron medallion",
        centre=Centre(width=24 * INCH, length=18 * INCH, printed=Size(25 * INCH, 19 * INCH), printed_seam=INCH // 2),
        note="For the spare room. Hand quilted, a line at a time.",
        panel=stash["Heron in the reeds"],
        now=now,
    )
    inner = rounds.add(plan=plan, spec=RoundSpec(width=2 * INCH, first="ends"), now=now)
    flowers = Flowers(side=INCH, petal_rise=INCH, turn=INCH * 3 // 8, left=3, right=3, top=4, bottom=4)
    wide = rounds.add(plan=plan, spec=RoundSpec(width=7 * INCH, corners="cornerstones", flowers=flowers), now=now)
    outer = rounds.add(plan=plan, spec=RoundSpec(width=3 * INCH, corners="mitred"), now=now)
    given = (
        (f"round-{inner.pk}-border", "Kelp", None),
        (f"round-{wide.pk}-border", "Oat", None),
        (f"round-{wide.pk}-cornerstones", "Kelp", None),
        (f"round-{wide.pk}-petals", "Rose hip", 30),
        (f"round-{wide.pk}-petals", "Plum", 30),
        (f"round-{wide.pk}-petals", "Brick check", None),
        (f"round-{wide.pk}-centres", "Marigold", None),
        (f"round-{outer.pk}-border", "Slate", None),
        ("binding", "Ink", None),
        ("backing", "Wide linen look", None),
    )
    for role, name, count in given:
        allotting.allot(plan=plan, role_key=role, fabric=stash[name], count=count, now=now)
    layout.lay_out_plan(plan=plan, now=now)
    not_yet = {"Slate", "Ink", "Wide linen look"}
    for sheet in CuttingSheet.objects.drafts().filter(plan=plan).select_related("plan", "fabric"):
        sheets.confirm(sheet=sheet, now=now)
        if sheet.fabric.name not in not_yet:
            for one in sheet.cloths.all():
                at_the_table.record_cut(cloth=one, measured={}, day=_ago(today, 31), now=_at(today, 31))
    return plan


def _sew(plan: Plan, today: date) -> None:
    """A month of evenings on the medallion."""
    work = _work(plan)
    inner, wide, _ = (keys_of(row) for row in work.rounds)
    log = (
        (31, CUTTING, 95, None, "Panel, first two rounds and all the petals."),
        (30, inner.join, 40, 4, "The first border went on flat."),
        (28, wide.baste, 60, 38, ""),
        (27, wide.baste, 45, 30, "Radio play, part one."),
        (25, wide.baste, 50, 30, ""),
        (24, wide.piece, 55, 2, ""),
        (22, wide.piece, 80, 3, "Found the knack of the curved edge."),
        (20, wide.piece, 45, 2, ""),
        (18, wide.piece, 60, 2, ""),
        (15, wide.piece, 75, 3, ""),
        (13, wide.sew_on, 50, 1, "Pinned all of the left strip first."),
        (11, wide.sew_on, 65, 2, ""),
        (8, wide.piece, 50, 2, "All fourteen done."),
        (6, wide.sew_on, 70, 2, ""),
        (3, wide.sew_on, 45, 1, ""),
        (1, wide.sew_on, 55, 1, "Halfway along the top strip."),
    )
    for days, key, minutes, units, note in log:
        entry = Entry(
            day=_ago(today, days), minutes=minutes, units=None if units is None else Decimal(units), note=note
        )
        sittings.log(plan=plan, work=work, key=key, entry=entry, today=today, now=_at(today, days))


def _pond(owner: Person, stash: dict[str, Fabric], today: date) -> None:
    """A small quilt round a square of cloth: laid out, partly held, short of one fabric."""
    now = _at(today, 5)
    plan = plans.start(
        owner=owner, name="Pond lap quilt", centre=Centre(width=20 * INCH, length=20 * INCH), note="", now=now
    )
    first = rounds.add(plan=plan, spec=RoundSpec(width=3 * INCH, corners="cornerstones"), now=now)
    second = rounds.add(plan=plan, spec=RoundSpec(width=6 * INCH), now=now)
    given = (
        ("panel", "Lichen"),
        (f"round-{first.pk}-border", "Tide line"),
        (f"round-{first.pk}-cornerstones", "Slate"),
        (f"round-{second.pk}-border", "Fog"),
        ("binding", "Slate"),
    )
    for role, name in given:
        allotting.allot(plan=plan, role_key=role, fabric=stash[name], count=None, now=now)
    for sheet in layout.lay_out_plan(plan=plan, now=now):
        if sheet.uncut:
            buy = shopping.length_to_buy(sheet=sheet)
            shopping.put_on_list(plan=plan, fabric=sheet.fabric, length=buy, now=now)
        elif sheet.fabric.name == "Slate":
            sheets.confirm(sheet=sheet, now=now)
    plan.refresh_from_db()
    if plan.state == State.IDEA:
        plans.move(plan=plan, to=State.ON_THE_GO, now=now)


def _buy(owner: Person, row: Bought, today: date) -> Fabric:
    facts = Facts(
        name=row.name,
        usable_width=row.width,
        kind=row.kind,
        print_direction=Fabric.PrintDirection.ONE_WAY if row.one_way else Fabric.PrintDirection.ANY,
        colour=row.colours[0],
        printed=row.printed,
        printed_seam=INCH // 2 if row.printed else 0,
    )
    now = _at(today, row.days)
    fabric = fabrics.add(owner=owner, facts=facts, now=now, photo=_photo(row))
    paid = Paid(Decimal(row.price), "USD", row.shop) if row.price else None
    arrival = Arrival(sizes=row.sizes, day=_ago(today, row.days), paid=paid, place=row.place)
    fabrics.arrive(fabric=fabric, arrival=arrival, now=now)
    return fabric


def _photo(row: Bought) -> bytes:
    return tidy(ContentFile(swatch(row.name, row.colours, row.print), "swatch.png")).data


def _work(plan: Plan) -> Worked:
    work = worked(plan)
    assert not isinstance(work, Fault)  # noqa: S101 - the scenario's own quilt can be worked out
    return work


def _ago(today: date, days: int) -> date:
    return today - timedelta(days=days)


def _at(today: date, days: int) -> datetime:
    """Eight in the evening of that day."""
    return datetime.combine(_ago(today, days), time(20, 0), tzinfo=UTC)
