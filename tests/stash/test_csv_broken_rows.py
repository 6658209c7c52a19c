"""Each kind of broken row is refused by row and cell in a sentence, and nothing changes while one is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client
from pytest_django import Settings

from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from stash.queries.labels import code_of
from tests.factories import FabricFactory, bought, inches
from tests.stash.test_csv_in import everything, looked_at, upload

pytestmark = pytest.mark.django_db

HEADINGS = "Fabric,Kind,Colour,Value,Print direction,Usable width,Width,Length,Amount,Place,Label,Code,Bought on,Price,Currency,Shop,Note,Tags"
COLUMNS = HEADINGS.split(",")
LONG = "x" * 2001
# What is wrong; the cells of the row, its fabric and length right where they are not named; where the fault is told, and in which words.
BROKEN: dict[str, tuple[dict[str, str], str, str]] = {
    "no fabric": ({"Fabric": ""}, "Fabric", "Say which fabric"),
    "a name too long": ({"Fabric": LONG[:121]}, "Fabric", "at most 120"),
    "a name of nothing to read": ({"Fabric": "\u200b"}, "Fabric", "Nothing in that can be read"),
    "a character that cannot be": ({"Note": "a\x00b"}, "", "character in this row"),
    "no kind of cloth": ({"Kind": "silk"}, "Kind", "no kind of cloth"),
    "no colour": ({"Colour": "red"}, "Colour", "six digits"),
    "no value": ({"Value": "darkish"}, "Value", "no value"),
    "no direction": ({"Print direction": "up"}, "Print direction", "no direction"),
    "a usable width too wide": ({"Usable width": "600 cm"}, "Usable width", "too much"),
    "an unreadable width": ({"Width": "wide"}, "Width", "cannot be read as a length"),
    "a width of nothing": ({"Width": "0"}, "Width", "more than nothing"),
    "a length below nothing": ({"Length": "-5"}, "Length", "more than nothing"),
    "a length divided by nothing": ({"Length": "1/0"}, "Length", "below the line"),
    "a length that could be a thousand": ({"Length": "1,250"}, "Length", "a thousand or a decimal"),
    "a length of weight": ({"Length": "200 g"}, "Length", "a weight, not a length"),
    "a length beyond any bolt": ({"Length": "101 m"}, "Length", "too much"),
    "a piece too narrow": ({"Width": "4 mm"}, "Length", "check the unit"),
    "no length": ({"Length": ""}, "Length", "how long it is"),
    "an amount without a unit": ({"Length": "", "Amount": "3"}, "Amount", "Add a unit"),
    "an amount of too many": ({"Length": "", "Amount": "201 x 1 yd"}, "Amount", "more than 200 pieces"),
    "an amount too long": ({"Length": "", "Amount": "150 yd"}, "Amount", "longer than any bolt"),
    "an amount and a length": ({"Amount": "1 yd"}, "Amount", "not both"),
    "a place too long": ({"Place": LONG[:81]}, "Place", "at most 80"),
    "a label too long": ({"Label": LONG[:61]}, "Label", "at most 60"),
    "a label too long for two": ({"Length": "", "Amount": "2 FQ", "Label": LONG[:51]}, "Label", "at most 50"),
    "no code": ({"Code": "over there"}, "Code", "no code of a piece"),
    "no date": ({"Bought on": "11/25/2026"}, "Bought on", "a date like 2026-11-25"),
    "a day that is none": ({"Bought on": "2026-02-30"}, "Bought on", "a date like 2026-11-25"),
    "a day to come": ({"Bought on": "2026-11-26"}, "Bought on", "still to come"),
    "a day long ago": ({"Bought on": "1899-12-31"}, "Bought on", "before 1900"),
    "no price": ({"Price": "$12"}, "Price", "in figures"),
    "a price below nothing": ({"Price": "-1"}, "Price", "less than nothing"),
    "a price beyond all": ({"Price": "123456789.00"}, "Price", "more than any cloth costs"),
    "no currency": ({"Currency": "ECU"}, "Currency", "no currency"),
    "a shop too long": ({"Shop": LONG[:121]}, "Shop", "at most 120"),
    "a note too long": ({"Note": LONG}, "Note", "at most 2000"),
    "a tag too long": ({"Tags": LONG[:41]}, "Tags", "A tag has at most"),
    "another kind than in row 2": ({"Fabric": "Reed", "Kind": "linen"}, "Kind", "Row 2 says something else"),
    "another colour than in row 2": ({"Fabric": "REED", "Colour": "#ffffff"}, "Colour", "Row 2 says something else"),
    "her piece's code at another size": ({"Fabric": "Kelp", "Code": "CODE"}, "Code", "code of a piece of yours"),
}  # fmt: skip
GOOD = {"Fabric": "Reed", "Kind": "lawn", "Colour": "#9c2c2b", "Length": "36", "Width": "42"}


@pytest.fixture(autouse=True)
def _own_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def code(owner: Person) -> str:
    [piece] = bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 36)])
    return code_of(piece.pk)


def line(cells: dict[str, str]) -> str:
    return ",".join(f'"{cells.get(column, "")}"' for column in COLUMNS)


def table(cells: dict[str, str], code: str) -> str:
    said = {"Fabric": "Slate", "Length": "30", **cells}
    return (
        "\r\n".join([HEADINGS, line(GOOD), line(said).replace("CODE", code), line({**GOOD, "Length": "18"})]) + "\r\n"
    )


def test_there_are_more_than_twenty_kinds() -> None:
    assert len(BROKEN) >= 20


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_row_is_told_by_its_cell_and_nothing_changes(
    at_home: Client, owner: Person, code: str, what: str
) -> None:
    cells, heading, words = BROKEN[what]
    text = table(cells, code)
    before = everything()

    checked = looked_at(owner, text)
    [wrong] = checked.wrong
    assert wrong.number == 3
    assert [one.heading for one in wrong.wrongs] == [heading]
    assert words in wrong.wrongs[0].sentence
    assert wrong.wrongs[0].sentence.endswith(".")
    assert [row.number for row in checked.coming] == [2, 4]

    address = upload(at_home, text)
    assert "Row&nbsp;3<" in at_home.get(address).content.decode()
    refused = at_home.post(address)
    assert refused.status_code == 200
    assert "nothing was taken in" in refused.content.decode()
    assert everything() == before


@pytest.mark.parametrize("what", ["no fabric", "no price", "a length below nothing"])
def test_with_the_wrong_ones_left_out_the_right_ones_come_in(
    at_home: Client, owner: Person, code: str, what: str
) -> None:
    address = upload(at_home, table(BROKEN[what][0], code))
    answer = at_home.post(address, {"leave_out": "on"}, follow=True)
    assert "Took in 2 pieces of 1 fabric. 1 row left out." in answer.content.decode()
    assert not Fabric.objects.filter(name="Slate").exists()
    assert Piece.objects.of(owner).filter(fabric__name="Reed").count() == 2


def test_everything_wrong_with_a_row_is_told_at_once(owner: Person) -> None:
    [row] = looked_at(owner, "Fabric,Length,Price,Colour\n,long,dear,blue\n").wrong
    assert [one.heading for one in row.wrongs] == ["Fabric", "Colour", "Length", "Price"]
    assert [one.typed for one in row.wrongs] == ["", "blue", "long", "dear"]


def test_a_row_with_more_cells_than_headings_is_wrong(owner: Person) -> None:
    [row] = looked_at(owner, "Fabric,Length\nKelp, blue,36\nReed,36\n").wrong
    assert "more cells in this row" in row.wrongs[0].sentence


@pytest.mark.parametrize(
    "end", ['"Slate,36\r\nKelp,36\r\n', 'Sl"ate,36\r\n"a"b,36\r\n', '"' + "x" * 200_000 + '",36\r\n']
)
def test_from_a_broken_quotation_mark_on_nothing_is_believed(at_home: Client, owner: Person, end: str) -> None:
    text = f"Fabric,Length\r\nReed,36\r\n{end}"
    checked = looked_at(owner, text)
    assert "From this row on" in checked.wrong[-1].wrongs[0].sentence
    at_home.post(upload(at_home, text))
    assert not Piece.objects.exists()


def test_what_is_typed_is_shown_as_text_only(at_home: Client) -> None:
    page = at_home.get(upload(at_home, "Fabric,Length,<b>\n<script>alert(1)</script>,<i>x</i>,\n")).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;" in page
    assert "<i>x" not in page


def test_a_table_that_makes_too_many_pieces_is_wrong_from_there_on(owner: Person) -> None:
    checked = looked_at(owner, "Fabric,Amount\n" + "Kelp,200 x 1 yd\n" * 102)
    assert [row.number for row in checked.wrong] == [102, 103]
    assert "more than 20,000 pieces" in checked.wrong[0].wrongs[0].sentence
