"""What stands in an uploaded table? Its headings in any order and wording, and its rows by heading; cells are not understood here yet.

RFC 4180 as spreadsheets write it: commas, semicolons or tabs between cells, UTF-8 or UTF-16."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from stash.services.exporting import unguarded

MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 20_000
MOST_HEADINGS = 200
_HEADINGS: Mapping[str, tuple[str, ...]] = {
    "fabric": ("fabric", "fabric name", "name", "cloth"),
    "kind": ("kind", "kind of cloth"),
    "colour": ("colour", "color"),
    "value": ("value",),
    "usable_width": ("usable width",),
    "direction": ("print direction", "direction of the print", "direction"),
    "width": ("width",),
    "length": ("length",),
    "amount": ("amount", "how much"),
    "place": ("place", "where it lies", "where"),
    "label": ("label",),
    "code": ("code",),
    "bought_on": ("bought on", "bought", "day", "date"),
    "price": ("price", "cost"),
    "currency": ("currency",),
    "shop": ("shop", "from", "bought from"),
    "note": ("note", "notes"),
    "tags": ("tags", "tag"),
}
_KEYS = {words: key for key, spellings in _HEADINGS.items() for words in spellings}
_LENGTHS = ("usable_width", "width", "length")
_UNIT = re.compile(r"(.*?)[\s(\[,]+(?:in\s+)?(in|inch|inches|cm|mm|m|yd|yards)[\s)\].]*", re.DOTALL)
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
_BROKEN = "From this row on the file cannot be read: a quotation mark stands where it cannot, or is not closed."


class CsvError(ValueError):
    """The file cannot be read as a table; the message says why in a sentence."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row: its number as a spreadsheet counts, its cells that are not empty, and what is wrong with the whole of it, if anything."""

    number: int
    cells: Mapping[str, str]
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """`headings`: how the file words each column that is understood; `unknown`: those that are not; `units`: of lengths, where a heading
    names one. `decimal_comma`: a comma in a number can be nothing else."""

    headings: Mapping[str, str]
    unknown: tuple[str, ...]
    units: Mapping[str, str]
    decimal_comma: bool
    lines: tuple[Line, ...]


def read(data: bytes) -> Sheet:
    """The table in a file. Raises CsvError."""
    if len(data) > MOST_BYTES:
        raise CsvError("That file is larger than 5 MB: send the table in several parts.")
    text = _text(data)
    delimiter = _delimiter(text)
    reader = _rows(text, delimiter)
    heading = _first(reader)
    if not heading:
        raise CsvError("There is nothing in that file.")
    columns = [_column(words) for words in heading]
    _check_headings(heading, [key for key, _ in columns])
    lines: list[Line] = []
    for row_number, row in reader:
        if len(lines) == MOST_ROWS:
            raise CsvError(f"There are more than {MOST_ROWS:,} rows in that file: send the table in several parts.")
        if isinstance(row, str):
            lines.append(Line(row_number, {}, row))
        elif any(cell.strip() for cell in row):
            lines.append(_line(row_number, row, [key for key, _ in columns]))
    if not lines:
        raise CsvError("There are headings in that file, but no rows below them.")
    return Sheet(
        headings={key: words for (key, _), words in zip(columns, heading, strict=True) if key},
        unknown=tuple(words for (key, _), words in zip(columns, heading, strict=True) if not key and words.strip()),
        units={key: unit for key, unit in columns if unit},
        decimal_comma=delimiter == ";",
        lines=tuple(lines),
    )


def _text(data: bytes) -> str:
    utf_16 = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        return data.decode("utf-16" if utf_16 else "utf-8-sig")
    except UnicodeDecodeError as wrong:
        raise CsvError(
            "The letters in that file cannot be read: in your spreadsheet, save it as CSV with UTF-8 and choose it again."
        ) from wrong


def _delimiter(text: str) -> str:
    """Whichever makes most of the first row's cells into headings that are known."""

    def known(delimiter: str) -> int:
        return sum(bool(_column(cell)[0]) for cell in _first(_rows(text, delimiter)))

    return max(",;\t", key=known)


def _first(rows: Iterator[tuple[int, list[str] | str]]) -> list[str]:
    """The first row with anything in it; none where there is no such row or it cannot be read."""
    row = next((row for _, row in rows if isinstance(row, str) or any(cell.strip() for cell in row)), [])
    return row if isinstance(row, list) else []


def _rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str] | str]]:
    """The rows, numbered from 1; where one cannot be read, a sentence in its place, and none after it."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    while True:
        number += 1
        try:
            yield number, next(reader)
        except StopIteration:
            return
        except csv.Error:
            yield number, _BROKEN
            return


def _column(heading: str) -> tuple[str, str]:
    """Which column a heading names, and of a length its unit; "" and "" where it is none that is known."""
    words = " ".join(heading.lower().split())
    if words in _KEYS:
        return _KEYS[words], ""
    if found := _UNIT.fullmatch(words):
        key = _KEYS.get(found[1].strip(), "")
        if key in _LENGTHS:
            return key, found[2]
    return "", ""


def _check_headings(heading: list[str], keys: list[str]) -> None:
    if len(heading) > MOST_HEADINGS:
        raise CsvError(f"There are more than {MOST_HEADINGS} columns in that file, which is no table of cloth.")
    twice = next((heading[n] for n, key in enumerate(keys) if key and key in keys[:n]), None)
    if twice is not None:
        raise CsvError(f"Two columns of that file mean the same, one of them “{twice.strip()[:40]}”: take one away.")
    if "fabric" not in keys:
        raise CsvError(
            "No column of that file is headed “Fabric”: its first row must be headings, and one must say which fabric."
        )
    if "length" not in keys and "amount" not in keys:
        raise CsvError(
            "No column of that file is headed “Length” or “Amount”: one of them must say how much cloth it is."
        )


def _line(number: int, row: list[str], keys: list[str]) -> Line:
    cells = {key: unguarded(cell).strip() for key, cell in zip(keys, row, strict=False) if key}
    if any(cell.strip() for cell in row[len(keys) :]):
        return Line(
            number,
            cells,
            "There are more cells in this row than headings: a cell with a comma in it needs quotation marks.",
        )
    if any(_CONTROL.search(cell) for cell in cells.values()):
        return Line(number, cells, "There is a character in this row that cannot be written: type the row anew.")
    return Line(number, {key: cell for key, cell in cells.items() if cell})
