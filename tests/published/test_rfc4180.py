"""Is what goes out as CSV what RFC 4180 describes, and is what it describes read?

Y. Shafranovich, "Common Format and MIME Type for Comma-Separated Values (CSV) Files", RFC 4180, October 2005, section 2: its seven rules, and the
grammar (ABNF) that ends the section, turned into a regular expression here. The rules' own example rows are quoted below."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import System
from stash.forms.csv_file import read
from stash.queries.csv_rows import PieceLine
from stash.services.exporting import BOM, COLUMNS, STYLES, guarded, table, unguarded

# file = [header CRLF] record *(CRLF record) [CRLF]; field = (escaped / non-escaped);
# escaped = DQUOTE *(TEXTDATA / COMMA / CR / LF / 2DQUOTE) DQUOTE; non-escaped = *TEXTDATA;
# TEXTDATA = %x20-21 / %x23-2B / %x2D-7E, to which we add what UTF-8 has beyond ASCII, as the RFC's "charset" parameter allows.
TEXTDATA = r'[^\x00-\x1f",\x7f]'
FIELD = rf'(?:"(?:{TEXTDATA}|,|\r|\n|"")*"|{TEXTDATA}*)'
RECORD = rf"{FIELD}(?:,{FIELD})*"
FILE = re.compile(rf"{RECORD}(?:\r\n{RECORD})*(?:\r\n)?")
WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\r\n,\"'=+-@;"), max_size=12)


def line(**said: object) -> PieceLine:
    usual = {
        "fabric": "Kelp", "kind": "Lawn", "colour": "#2f4b7c", "value": "Dark", "usable_width": 1_066_800_000,
        "direction": "No direction", "width": 1_066_800_000, "length": 914_400_000, "place": "", "label": "",
        "code": "0011", "bought_on": date(2026, 11, 25), "price": Decimal("12.50"), "currency": "EUR", "shop": "",
        "note": "", "tags": (),
    }  # fmt: skip
    return PieceLine(**{**usual, **said})  # type: ignore[arg-type]


def written(*lines: PieceLine, bom: bool = False) -> str:
    return "".join(table(lines, system=System.INCHES, style=STYLES["comma"], bom=bom))


def cells(text: str) -> list[dict[str, str]]:
    return [dict(one.cells) for one in read(text.encode()).lines]


def test_the_grammar_here_takes_and_refuses_what_the_rules_say() -> None:
    for good in (
        "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",  # rule 1
        "aaa,bbb,ccc\r\nzzz,yyy,xxx",  # rule 2
        "field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",  # rule 3
        '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',  # rule 5
        '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',  # rule 6
        '"aaa","b""bb","ccc"',  # rule 7
    ):
        assert FILE.fullmatch(good)
    for bad in ('aaa,b"bb', '"aaa,bbb', '"aaa"b,ccc', "aaa\nbbb", '"a"a"'):
        assert not FILE.fullmatch(bad)


@given(WORDS, WORDS, WORDS)
def test_what_is_written_is_csv_by_the_grammar_whatever_is_in_it(fabric: str, place: str, note: str) -> None:
    text = written(line(fabric=fabric, place=place, note=note), line())
    assert FILE.fullmatch(text)


def test_every_line_ends_in_cr_and_lf_and_has_as_many_cells() -> None:
    """Rules 1, 2 and 4."""
    *rows, after = written(line(), line(note="a, b")).split("\r\n")
    assert after == ""
    assert [len(re.findall(r'"(?:[^"]|"")*"', row)) for row in rows] == [len(COLUMNS)] * 3
    assert all(re.fullmatch(r'"(?:[^"]|"")*"(?:,"(?:[^"]|"")*")*', row) for row in rows)


@pytest.mark.parametrize("text", ['a "b" c', "a,b", "a\r\nb", "a\nb", '"', '""', ",", " a ", "'"])
def test_quotation_marks_commas_and_line_breaks_come_back(text: str) -> None:
    [back] = cells(written(line(note=text)))
    assert back.get("note", "") == text.strip()


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("Fabric,Length\r\naaa,1\r\nzzz,2\r\n", [("aaa", "1"), ("zzz", "2")]),  # rule 1
        ("Fabric,Length\r\naaa,1\r\nzzz,2", [("aaa", "1"), ("zzz", "2")]),  # rule 2
        ('"Fabric","Length"\r\n"aaa","1"\r\nzzz,2', [("aaa", "1"), ("zzz", "2")]),  # rule 5
        ('Fabric,Length\r\n"b\r\nbb","1"\r\nzzz,2', [("b\r\nbb", "1"), ("zzz", "2")]),  # rule 6
        ('Fabric,Length\r\n"b""bb","1"', [('b"bb', "1")]),  # rule 7
    ],
)
def test_the_rules_examples_are_read(text: str, rows: list[tuple[str, str]]) -> None:
    assert [(row["fabric"], row["length"]) for row in cells(text)] == rows


@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "'=", "''@"])
def test_nothing_begins_as_a_formula_would_and_it_comes_back_as_it_was(first: str) -> None:
    text = f"{first}SUM(A1:A9)"
    for name in ("fabric", "place", "label", "shop", "note"):
        [row] = written(line(**{name: text})).split("\r\n", 1)[1:]
        assert f'"\'{text}"' in row
    assert unguarded(guarded(text)) == text


@given(WORDS)
def test_guarding_loses_nothing(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not re.match(r"[=+\-@\t\r\n＝＋－＠]", guarded(text))


def test_the_mark_of_utf_8_is_written_where_it_is_wanted_and_read_either_way() -> None:
    plain, marked = written(line()), written(line(), bom=True)
    assert marked == BOM + plain
    assert cells(plain) == cells(marked)
