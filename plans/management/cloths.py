"""Which cloth does the demonstration's quilter own? Forty fabrics, bought over a year in shops of no name, with pictures drawn by our own code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from django.core.files.base import ContentFile

from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size
from quiltbook.people.models import Person
from quiltbook.web.photos import tidy
from quiltbook.web.swatches import swatch
from stash.models import Fabric
from stash.services import cloth, fabrics
from stash.services.cloth import Paid
from stash.services.fabrics import Arrival, Facts

YARD, INCH = NM_PER_YARD, NM_PER_INCH
WIDTH = 42 * INCH
FAT_QUARTER = Size(21 * INCH, 18 * INCH)
COTTON, PANEL, WIDE, LAWN, LINEN, FLANNEL = (
    Fabric.Kind.COTTON, Fabric.Kind.PANEL, Fabric.Kind.WIDE, Fabric.Kind.LAWN, Fabric.Kind.LINEN, Fabric.Kind.FLANNEL
)  # fmt: skip
PLAIN, SMALL, MEDIUM, LARGE = (
    Fabric.PrintScale.PLAIN, Fabric.PrintScale.SMALL, Fabric.PrintScale.MEDIUM, Fabric.PrintScale.LARGE
)  # fmt: skip
# How large the prints are as they are drawn.
SCALES = {
    "plain": PLAIN, "tonal": PLAIN, "dots": SMALL, "grid": SMALL, "sprigs": SMALL, "gingham": SMALL, "waves": MEDIUM,
    "checks": MEDIUM, "stripes": MEDIUM, "leaves": MEDIUM, "florals": LARGE,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bought:
    """One fabric of the demonstration and how it came: `days` ago, in these sizes. `washed`: its first piece, to so many hundredths of its
    width and length."""

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
    currency: str = "USD"
    tags: tuple[str, ...] = ()
    washed: tuple[int, int] | None = None


def length(yards: str, width: int = WIDTH) -> Size:
    """A length off the bolt."""
    return Size(width, int(Decimal(yards) * YARD))


FQ = FAT_QUARTER
STASH = (
    Bought("Heron in the reeds", "leaves", ("#e9e2cf", "#4f6b5b", "#8fa68a", "#2f4a4d"), (Size(26 * INCH, 20 * INCH),), 160, "14.50", "Shelf A", "Market stall", PANEL, True, 26 * INCH, Size(25 * INCH, 19 * INCH), tags=("water",)),
    Bought("Kelp", "tonal", ("#2f5d50", "#274d43"), (length("1.25"), FQ), 150, "14.00", "Shelf A", "Corner shop", tags=("water",)),
    Bought("Oat", "plain", ("#e6dcc4",), (length("2.5"), FQ), 150, "24.00", "Shelf A", "Corner shop", tags=("grounds",)),
    Bought("Rose hip", "florals", ("#b8433a", "#e8a598", "#7d2a25"), (length("0.5"), FQ, FQ), 120, "9.00", "Red box", "Swapped with a friend", tags=("hedgerow",)),
    Bought("Marigold", "dots", ("#dd9a34", "#fff3d6"), (FQ, FQ, FQ), 120, "6.40", "Yellow box", "Corner shop"),
    Bought("Plum", "tonal", ("#6b4468", "#5a3757"), (length("0.5"), FQ), 110, "8.20", "Red box", "Market stall", tags=("hedgerow",)),
    Bought("Tide line", "stripes", ("#dfe8ea", "#3f6f83", "#9fbcc7"), (length("1.5"),), 100, "17.25", "Shelf B", "Corner shop", one_way=True, tags=("water",)),
    Bought("Slate", "tonal", ("#46515c", "#3a444e"), (length("2"),), 100, "21.00", "Shelf B", "Corner shop"),
    Bought("Lichen", "sprigs", ("#cfd3b4", "#76834f"), (length("1"), FQ, FQ), 90, "11.50", "Shelf A", "Market stall"),
    Bought("Brick check", "checks", ("#c98a6b", "#a4573c"), (FQ, FQ), 80, "6.40", "Red box", "Corner shop"),
    Bought("Fog", "dots", ("#c9cfd2", "#f4f5f5"), (length("0.5"),), 70, "8.60", "Shelf B", "Corner shop", tags=("grounds",)),
    Bought("Butter", "sprigs", ("#f3e2a6", "#c7a24a"), (FQ, FQ), 60, "3.20", "Yellow box", "Corner shop"),
    Bought("Ink", "plain", ("#27324a",), (length("1"),), 60, "10.80", "Shelf B", "Corner shop"),
    Bought("Pebble", "tonal", ("#a69a8a", "#948876"), (Size(42 * INCH, 9 * INCH), Size(14 * INCH, 11 * INCH)), 50, None, "Scrap basket", ""),
    Bought("Wide linen look", "plain", ("#d8d2c4",), (Size(106 * INCH, 2 * YARD),), 40, "38.00", "Cupboard", "Market stall", WIDE, False, 106 * INCH),
    Bought("Quince", "tonal", ("#d9a441", "#c18c2c"), (length("0.75"), FQ), 320, "9.75", "Yellow box", "Corner shop", tags=("hedgerow",)),
    Bought("Dusk", "tonal", ("#4a4166", "#3c3554"), (length("1"), FQ), 320, "13.00", "Red box", "Corner shop"),
    Bought("Chalk", "plain", ("#f4f1ea",), (length("3"), FQ), 320, "29.40", "Cupboard", "Market stall", tags=("grounds",)),
    Bought("Ripple", "waves", ("#d5e3e6", "#5e8fa3"), (length("1"), FQ), 210, "14.20", "Shelf B", "Corner shop", one_way=True, tags=("water",)),
    Bought("Barn gingham", "gingham", ("#f3efe6", "#a83b32"), (FQ, FQ), 200, "6.80", "Red box", "Market stall"),
    Bought("Sky gingham", "gingham", ("#eef3f6", "#5a86ad"), (length("0.5"), FQ), 200, "9.10", "Shelf B", "Market stall"),
    Bought("Moss", "tonal", ("#5d6b3c", "#4c5930"), (length("0.75"),), 190, "8.90", "Shelf A", "Corner shop", washed=(98, 97)),
    Bought("Pear", "dots", ("#c7cf7a", "#f6f3d9"), (FQ, FQ), 190, "6.40", "Yellow box", "Corner shop"),
    Bought("Rust", "plain", ("#a0522d",), (length("0.5"), FQ), 180, "7.60", "Red box", "Corner shop", tags=("hedgerow",), washed=(99, 96)),
    Bought("Night wave", "waves", ("#3b3f45", "#6a7078"), (length("1"),), 180, "12.50", "Shelf B", "Market stall"),
    Bought("Foxglove", "florals", ("#f0dfe6", "#9c4f78", "#6c7f55", "#e3b94f"), (length("0.5"), FQ), 170, "9.40", "Red box", "Corner shop", tags=("hedgerow",)),
    Bought("Nettle", "leaves", ("#dfe6d2", "#56754a", "#89a06c"), (length("1.25"),), 170, "15.00", "Shelf A", "Market stall", tags=("hedgerow",)),
    Bought("Thimble", "dots", ("#7b3f57", "#f0cfd6"), (FQ, FQ), 140, None, "Red box", ""),
    Bought("Rain", "stripes", ("#4c6379", "#a9bccb", "#e4ecf1"), (length("0.75"),), 140, "9.30", "Shelf B", "Corner shop", one_way=True, tags=("water",)),
    Bought("Honey", "grid", ("#e8b64a", "#a8741f"), (FQ, FQ), 130, "6.40", "Yellow box", "Corner shop"),
    Bought("Robin", "sprigs", ("#b4553f", "#f2d9bf", "#5c3a2e"), (FQ,), 130, "3.20", "Red box", "Corner shop"),
    Bought("Sea glass", "plain", ("#a8cfc4",), (length("0.5"), FQ), 115, "8.80", "Shelf B", "Corner shop", tags=("water",), washed=(98, 97)),
    Bought("Teasel", "leaves", ("#e6e0ee", "#7a6a99", "#5d7a5a"), (length("1", 53 * INCH),), 115, "19.50", "Cupboard", "Market stall", LAWN, width=53 * INCH),
    Bought("Flax", "plain", ("#cbbd9a",), (length("1.5", 54 * INCH),), 105, "27.00", "Cupboard", "Holiday market", LINEN, width=54 * INCH, currency="EUR", tags=("grounds",)),
    Bought("Hearth", "checks", ("#c9b8a4", "#7a3b2e"), (length("1.5", 41 * INCH),), 95, "16.50", "Cupboard", "Corner shop", FLANNEL, width=41 * INCH, washed=(95, 93)),
    Bought("Cherry pip", "dots", ("#f7f2ea", "#b3273a"), (FQ, FQ), 75, "6.40", "Red box", "Corner shop"),
    Bought("Night sky", "dots", ("#1f2a44", "#e9e4c8"), (length("1"), FQ), 65, "13.40", "Shelf B", "Corner shop", washed=(98, 96)),
    Bought("Clover", "sprigs", ("#e4efdf", "#4f8050", "#b9639a"), (FQ, FQ), 45, "6.80", "Shelf A", "Market stall"),
    Bought("Gravel", "tonal", ("#8c8f92", "#7b7e81"), (length("0.75"), FQ), 30, "9.90", "Shelf B", "Holiday market", currency="EUR"),
    Bought("Lantern", "florals", ("#2f3d4f", "#e0a03c", "#6f8a6a", "#f0e2c0"), (length("0.5"), FQ, FQ), 30, "13.50", "Shelf B", "Holiday market", currency="EUR"),
)  # fmt: skip


def buy(owner: Person, row: Bought, today: date) -> Fabric:
    """One fabric with its picture, its pieces and what it cost; washed soon after, where she did."""
    facts = Facts(
        name=row.name,
        usable_width=row.width,
        kind=row.kind,
        print_direction=Fabric.PrintDirection.ONE_WAY if row.one_way else Fabric.PrintDirection.ANY,
        colour=row.colours[0],
        printed=row.printed,
        printed_seam=INCH // 2 if row.printed else 0,
        print_scale=SCALES[row.print],
        tags=row.tags,
    )
    now = at(today, row.days)
    fabric = fabrics.add(owner=owner, facts=facts, now=now, photo=picture(row))
    paid = Paid(Decimal(row.price), row.currency, row.shop) if row.price else None
    arrival = Arrival(sizes=row.sizes, day=ago(today, row.days), paid=paid, place=row.place)
    fabrics.arrive(fabric=fabric, arrival=arrival, now=now)
    if row.washed is not None:
        _wash(fabric, row.washed, today, row.days - 2)
    return fabric


def picture(row: Bought) -> bytes:
    return tidy(ContentFile(swatch(row.name, row.colours, row.print), "swatch.png")).data


def _wash(fabric: Fabric, hundredths: tuple[int, int], today: date, days: int) -> None:
    """The first piece, measured again to the quarter inch."""
    piece = fabric.pieces.select_related("fabric__owner").get(number=1)
    quarter = INCH // 4
    width, long = (
        side * part // 100 // quarter * quarter
        for side, part in zip((piece.width, piece.length), hundredths, strict=True)
    )
    cloth.wash(piece=piece, measured=Size(width, long), day=ago(today, days), now=at(today, days))


def ago(today: date, days: int) -> date:
    return today - timedelta(days=days)


def at(today: date, days: int) -> datetime:
    """Eight in the evening of that day."""
    return datetime.combine(ago(today, days), time(20, 0), tzinfo=UTC)
