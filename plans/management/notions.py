"""What does the demonstration's quilter keep besides cloth? Thread, wadding, papers, glue and needles, bought and used; and a bin of scraps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from plans.management.cloths import ago, at
from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size
from quiltbook.people.models import Person
from stash.models import Notion, NotionChange, ScrapBin, ScrapChange

INCH, YARD = NM_PER_INCH, NM_PER_YARD
Kind, Unit = Notion.Kind, Notion.Unit


@dataclass(frozen=True, slots=True)
class Kept:
    """One notion: what came of it `days` ago and for how much, and what went since, by how many days ago."""

    kind: str
    name: str
    unit: str
    came: str
    days: int
    price: str
    used: tuple[tuple[int, str], ...] = ()
    colour: str = ""
    weight: str = ""
    shape: str = ""
    size: Size | None = None
    width: int | None = None
    place: str = "Sewing table"


NOTIONS = (
    Kept(Kind.THREAD, "Grey for piecing", Unit.METRE, "914.4", 200, "7.80", ((150, "-210"), (31, "-120"), (8, "-85")), "#8d9094", "50"),
    Kept(Kind.THREAD, "Cream for hand quilting", Unit.METRE, "457.2", 120, "9.20", ((20, "-60"),), "#efe6d0", "40"),
    Kept(Kind.THREAD, "Dark blue for binding", Unit.METRE, "182.9", 90, "4.10", (), "#27324a", "50"),
    Kept(Kind.WADDING, "Cotton off the roll", Unit.METRE, "2.743", 160, "31.00", ((155, "-1.143"),), width=90 * INCH, place="Cupboard"),
    Kept(Kind.WADDING, "Wool for a lap quilt", Unit.PACK, "1", 60, "27.50", size=Size(60 * INCH, 60 * INCH), place="Cupboard"),
    Kept(Kind.PAPERS, "Hexagons of 1 in", Unit.PIECE, "200", 140, "6.00", ((30, "-98"),), shape="hexagon", size=Size(1_732 * INCH // 1000, 2 * INCH)),
    Kept(Kind.TEMPLATES, "Card hexagons of 2 in", Unit.PIECE, "24", 140, "5.50", shape="hexagon", size=Size(3_464 * INCH // 1000, 4 * INCH)),
    Kept(Kind.GLUE, "Glue pen", Unit.PIECE, "3", 100, "9.00", ((40, "-1"), (12, "-1"))),
    Kept(Kind.NEEDLES, "Sharps, size 10", Unit.PACK, "2", 100, "6.40", ((60, "-1"),)),
    Kept(Kind.NEEDLES, "Betweens, size 9", Unit.PACK, "1", 100, "3.20"),
    Kept(Kind.SPRAY, "Can for small quilts", Unit.PIECE, "1", 155, "12.90"),
)  # fmt: skip

# Days ago, what was done, grams.
SCRAPS = (
    (150, ScrapChange.Kind.ADDED, 95, "After the wall hanging"),
    (31, ScrapChange.Kind.ADDED, 60, ""),
    (24, ScrapChange.Kind.TAKEN, -35, "Stuffing for a pin cushion"),
    (7, ScrapChange.Kind.WEIGHED, 12, ""),
)
# Of quilting cotton, in grams. Common practice, no source.
COTTON_WEIGHS = 140


def keep(owner: Person, today: date) -> None:
    """Write them down as they came and went."""
    for row in NOTIONS:
        _notion(owner, row, today)
    scraps = ScrapBin.objects.create(
        owner=owner, name="Scrap basket", place="Sewing table", grams_per_m2=COTTON_WEIGHS, created_at=at(today, 150)
    )
    for days, kind, grams, note in SCRAPS:
        ScrapChange.objects.create(
            bin=scraps, kind=kind, grams=grams, day=ago(today, days), recorded_at=at(today, days), note=note
        )


def _notion(owner: Person, row: Kept, today: date) -> None:
    notion = Notion.objects.create(
        owner=owner,
        kind=row.kind,
        name=row.name,
        unit=row.unit,
        colour=row.colour,
        weight=row.weight,
        shape=row.shape,
        width=int(row.size.width) if row.size else row.width,
        length=int(row.size.length) if row.size else None,
        place=row.place,
        created_at=at(today, row.days),
    )
    NotionChange.objects.create(
        notion=notion,
        kind=NotionChange.Kind.BOUGHT,
        change=Decimal(row.came),
        day=ago(today, row.days),
        recorded_at=at(today, row.days),
        price=Decimal(row.price),
        currency="USD",
        bought_from="Corner shop",
    )
    for days, change in row.used:
        NotionChange.objects.create(
            notion=notion,
            kind=NotionChange.Kind.USED,
            change=Decimal(change),
            day=ago(today, days),
            recorded_at=at(today, days),
        )
