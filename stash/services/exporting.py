"""How is the shelf written as a table that any spreadsheet opens, and none takes for a formula?

RFC 4180: lines end in CR and LF, every cell stands in quotes, a quote within is doubled. What a spreadsheet would take for a formula is
written with an apostrophe before it, and is read back without."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, System, default_unit, write_length
from stash.queries.csv_rows import PieceLine

BOM = "\ufeff"
# What a spreadsheet takes for the beginning of a formula; whole-width signs too, which some read as their narrow ones.
_FORMULA = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")
LENGTHS = ("Usable width", "Width", "Length")
COLUMNS = (
    "Fabric",
    "Kind",
    "Colour",
    "Value",
    "Usable width",
    "Print direction",
    "Width",
    "Length",
    "Place",
    "Label",
    "Code",
    "Bought on",
    "Price",
    "Currency",
    "Shop",
    "Note",
    "Tags",
)


@dataclass(frozen=True, slots=True)
class Style:
    """What stands between cells, and whether a decimal has a comma."""

    delimiter: str
    decimal_comma: bool = False


STYLES = {"comma": Style(","), "semicolon": Style(";", decimal_comma=True), "tab": Style("\t")}


def table(lines: Iterable[PieceLine], *, system: System, style: Style, bom: bool = True) -> Iterator[str]:
    """The shelf line by line, headings first. `bom`: with the mark by which a spreadsheet knows that it is UTF-8."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=style.delimiter, lineterminator="\r\n", quoting=csv.QUOTE_ALL)
    unit = default_unit(system)
    writer.writerow([f"{column} ({unit})" if column in LENGTHS else column for column in COLUMNS])
    yield (BOM if bom else "") + out.getvalue()
    for line in lines:
        out.seek(0)
        out.truncate()
        writer.writerow(_cells(line, system, style))
        yield out.getvalue()


def guarded(cell: str) -> str:
    """The cell as a spreadsheet may have it."""
    return f"'{cell}" if _FORMULA.match(cell) else cell


def unguarded(cell: str) -> str:
    """The cell as it was before `guarded`."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def _cells(line: PieceLine, system: System, style: Style) -> list[str]:
    def figure(text: str) -> str:
        return text.replace(".", ",") if style.decimal_comma else text

    def length(nm: int) -> str:
        return figure(_length(nm, system))

    return [
        guarded(line.fabric),
        line.kind,
        line.colour,
        line.value,
        length(line.usable_width),
        line.direction,
        length(line.width),
        length(line.length),
        guarded(line.place),
        guarded(line.label),
        line.code,
        line.bought_on.isoformat() if line.bought_on else "",
        figure(str(line.price)) if line.price is not None else "",
        line.currency,
        guarded(line.shop),
        guarded(line.note),
        guarded(", ".join(line.tags)),
    ]


def _length(nm: int, system: System) -> str:
    """A bare number in the heading's unit where six decimals say it exactly, as they do any 64th of an inch; else with its own unit."""
    value = Fraction(nm, NM_PER_INCH if system is System.INCHES else NM_PER_CM)
    if (value * 10**6).denominator > 1:
        return write_length(nm, system=System.METRIC)
    return f"{(Decimal(value.numerator) / value.denominator).normalize():f}"
