"""A table of cloth is looked at before it comes in, comes in whole or not at all, and comes in once."""

from __future__ import annotations

import io
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.test import Client
from pytest_django import Settings

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Size
from quiltbook.people.models import Person
from stash.forms import csv_file
from stash.forms.csv_file import CsvError, read
from stash.forms.importing import Checked, check
from stash.models import Fabric, Hold, ImportedRow, Movement, MovementLine, Piece, Purchase, Tag
from stash.queries.labels import code_of
from stash.services import holds, importing, ledger
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, FabricFactory, bought, cm, inches
from tests.stash.ledger import balances, told_by_the_lines

pytestmark = pytest.mark.django_db
LATER = NOW + timedelta(hours=1)


@pytest.fixture(autouse=True)
def _own_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


def looked_at(owner: Person, text: str | bytes) -> Checked:
    data = text.encode() if isinstance(text, str) else text
    return check(owner=owner, today=TODAY, sheet=read(data))


def taken(owner: Person, text: str | bytes, now: Any = NOW) -> importing.TakenIn:
    checked = looked_at(owner, text)
    assert [(row.number, row.wrongs) for row in checked.wrong] == []
    return importing.take_in(owner=owner, cloths=checked.cloths, now=now)


def upload(browser: Client, text: str | bytes) -> str:
    """Send a file; the address of what it would bring."""
    file = io.BytesIO(text.encode() if isinstance(text, str) else text)
    file.name = "cloth.csv"
    answer = browser.post("/stash/exchange/", {"table": file})
    assert answer.status_code == 302, answer.context["form"].errors
    return answer.headers["Location"]


def everything() -> list[list[tuple[Any, ...]]]:
    tables: Iterable[Any] = (Fabric, Piece, Movement, MovementLine, Purchase, Hold, Tag, ImportedRow)
    return [list(table.objects.order_by("pk").values_list()) for table in tables]


def sizes(owner: Person) -> list[Size]:
    return [piece.size for piece in Piece.objects.of(owner).on_shelf().order_by("pk")]


GOOD = """\
Fabric,Kind,Colour,Width (in),Length (in),Place,Label,Bought on,Price,Currency,Shop,Note,Tags
Kelp,Quilting cotton,#2f4b7c,42,54,Blue box,,2024-11-20,21.50,EUR,Market stall,"Soft, a little sheer","sea, for Ada"
Kelp,,,21,18,Blue box,corner,,,,,,
Reed,lawn,#9c2c2b,42,1 1/2 yd,,,,,,,,
"""


def test_what_would_come_in_is_shown_and_nothing_changes_before_she_says_so(at_home: Client, owner: Person) -> None:
    before = everything()
    address = upload(at_home, GOOD)
    shown = at_home.get(address)
    assert everything() == before
    page = shown.content.decode()
    assert "3 pieces in 3 rows, 2 new fabrics" in page
    assert "Kelp" in page
    assert "Market stall" in page

    answer = at_home.post(address, follow=True)
    assert "Took in 3 pieces of 2 fabrics." in answer.content.decode()
    kelp = Fabric.objects.of(owner).get(name="Kelp")
    assert (kelp.kind, kelp.colour, kelp.note) == ("cotton", "#2f4b7c", "Soft, a little sheer")
    assert sorted(tag.name for tag in kelp.tags.all()) == ["for Ada", "sea"]
    assert sizes(owner) == [inches(42, 54), inches(21, 18), inches(42, 54)]
    movement = Movement.objects.of(owner).get(kind="bought")
    assert (movement.day, movement.purchase.price, movement.purchase.currency) == (
        date(2024, 11, 20),
        Decimal("21.50"),
        "EUR",
    )
    assert movement.purchase.bought_from == "Market stall"
    assert Movement.objects.of(owner).filter(kind="counted").count() == 2


def test_what_comes_in_is_a_true_ledger(owner: Person) -> None:
    bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(10, 10)])
    taken(owner, GOOD)
    assert all(balances(movement) for movement in Movement.objects.all())
    assert told_by_the_lines() == {piece.pk: int(piece.on_shelf) for piece in Piece.objects.all()}
    numbers = Piece.objects.filter(fabric__name="Kelp").values_list("number", flat=True)
    assert sorted(numbers) == [1, 2, 3]
    places = {(line.place, line.piece.place) for line in MovementLine.objects.select_related("piece")}
    assert all(one == other for one, other in places)


def test_the_same_file_twice_adds_nothing(at_home: Client, owner: Person) -> None:
    at_home.post(upload(at_home, GOOD))
    before = everything()

    address = upload(at_home, GOOD)
    page = at_home.get(address).content.decode()
    assert "3 rows, left as they are" in page
    assert "There is nothing in it that could come in" in page
    assert "nothing new" in at_home.post(address, follow=True).content.decode()
    assert everything() == before


def test_its_columns_moved_its_cells_parted_otherwise_it_is_still_the_same_file(owner: Person) -> None:
    taken(owner, "Fabric,Length (in),Width (in),Price\nKelp,54,42,12.50\nKelp,54,42,12.50\nReed,18,21,\n")
    again = "price;LENGTH in;fabric;width in;code\n12,5;54,0;Kelp;42;\n12,50;54;Kelp;42;\n;18;Reed;21;\n"
    assert taken(owner, again, LATER).pieces == 0


def test_equal_rows_are_as_many_pieces_and_one_more_of_them_later_comes_in(owner: Person) -> None:
    two = "Fabric,Amount\nKelp,FQ\nKelp,FQ\n"
    assert taken(owner, two).pieces == 2
    assert taken(owner, two + "Kelp,FQ\n", LATER).pieces == 1
    assert len(sizes(owner)) == 3


def test_what_she_sends_twice_at_once_comes_in_once(owner: Person) -> None:
    checked = looked_at(owner, GOOD)
    importing.take_in(owner=owner, cloths=checked.cloths, now=NOW)
    assert importing.take_in(owner=owner, cloths=checked.cloths, now=LATER).first_row is None
    assert len(sizes(owner)) == 3


def test_a_piece_that_is_here_already_by_its_code_stays_out(owner: Person, friend: Person) -> None:
    [piece] = bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 36)])
    table = f"Fabric,Width,Length,Code\nKelp,42,36,{code_of(piece.pk)}\n"
    assert [row.standing for row in looked_at(owner, table).rows] == ["here"]
    # A used-up piece does not come back by an old table.
    ledger.record(
        owner=owner, kind=Movement.Kind.SCRAPPED, day=TODAY, now=NOW, leaving=[piece], waste_mm2=piece.area_mm2
    )
    assert [row.standing for row in looked_at(owner, table).rows] == ["here"]
    # To somebody else the code says nothing.
    assert [row.standing for row in looked_at(friend, table).rows] == ["comes"]


def test_a_table_of_a_fabric_she_has_leaves_what_is_said_of_it(owner: Person) -> None:
    kelp = FabricFactory.create(owner=owner, name="Kelp", colour="#2f4b7c")
    table = "Fabric,Length,Colour,Note\nkelp,10,#ffffff,Other\n"
    [row] = looked_at(owner, table).rows
    assert "stays as it is" in row.remark
    taken(owner, table)
    kelp.refresh_from_db()
    assert (kelp.colour, kelp.note, kelp.pieces.count()) == ("#2f4b7c", "", 1)
    assert kelp.pieces.get().size == Size(kelp.usable_width, 10 * NM_PER_INCH)


def test_what_several_rows_say_of_a_new_fabric_is_put_together(owner: Person) -> None:
    taken(
        owner,
        "Fabric,Length,Colour,Kind,Value,Print direction,Usable width\nKelp,10,,,,,\nKelp,10,#2f4b7c,linen,,,44\nKelp,10,,,Light,one way,\n",
    )
    kelp = Fabric.objects.get()
    assert (kelp.colour, kelp.kind, kelp.value, kelp.value_by_hand) == ("#2f4b7c", "linen", "light", True)
    assert kelp.one_way
    assert kelp.usable_width == 44 * NM_PER_INCH
    assert sizes(owner)[2] == inches(44, 10)


@pytest.mark.parametrize(
    ("table", "size"),
    [
        ("Fabric,Width,Length\nKelp,42,36\n", inches(42, 36)),
        ("Fabric,Width (cm),Length (cm)\nKelp,107.5,50\n", cm(107.5, 50)),
        ("Fabric;Width (cm);Length in cm\nKelp;107,5;50,125\n", cm(107.5, 50.125)),
        ("Fabric\tWidth cm\tLength cm\nKelp\t107,5\t50\n", cm(107.5, 50)),
        ("Fabric,Width,Length\nKelp,45 cm,1 yd 9 in\n", Size(45 * NM_PER_CM, 45 * NM_PER_INCH)),
        ('Fabric,Width,Length\nKelp,"42 1/2",36\n', inches(42.5, 36)),
        ("Fabric,Length (yd)\nKelp,1 1/2\n", inches(42, 54)),
        ("Fabric,Amount\nKelp,18 x 22 in\n", inches(18, 22)),
        ("FABRIC , how much \nKelp,½ yd\n", inches(42, 18)),
        ("\ufefffabric,length\r\nKelp,36\r\n", inches(42, 36)),
        ("fabric,length\rKelp,36\r", inches(42, 36)),
        ("\n\nfabric,length\n\nKelp,36\n\n", inches(42, 36)),
        ("length,fabric\n36,Kelp\n", inches(42, 36)),
        ('"Fabric","Length"\n"Kelp","36"\n', inches(42, 36)),
    ],
)  # fmt: skip
def test_amounts_are_read_as_she_writes_them_whatever_stands_between_cells(
    owner: Person, table: str, size: Size
) -> None:
    taken(owner, table)
    assert sizes(owner) == [size]


def test_a_table_from_a_spreadsheet_that_saves_utf_16_is_read(owner: Person) -> None:
    taken(owner, "Fabric\tLength\nBlätter\t36\n".encode("utf-16"))
    assert Fabric.objects.get().name == "Blätter"


def test_an_amount_of_several_pieces_is_several_pieces_of_one_purchase(owner: Person) -> None:
    taken(owner, "Fabric,Amount,Label,Price\nKelp,2 FQ,corner,9\n")
    assert [piece.label for piece in Piece.objects.all()] == ["corner 1", "corner 2"]
    assert Purchase.objects.get().movement.lines.count() == 2


def test_columns_that_are_not_understood_are_told(at_home: Client) -> None:
    page = at_home.get(upload(at_home, "Fabric,Length,Mood\nKelp,36,calm\n")).content.decode()
    assert "Columns not understood" in page
    assert "Mood" in page


def test_taking_in_can_be_undone_and_done_again(at_home: Client, owner: Person) -> None:
    at_home.post(upload(at_home, GOOD))
    first = ImportedRow.objects.order_by("pk")[0]
    page = at_home.post(f"/stash/exchange/{first.pk}/undo/", follow=True).content.decode()
    assert "taken back" in page
    assert sizes(owner) == []
    assert all(balances(movement) for movement in Movement.objects.all())
    at_home.post(upload(at_home, GOOD))
    assert len(sizes(owner)) == 3


def test_undoing_is_refused_whole_once_a_piece_is_held(owner: Person) -> None:
    first = taken(owner, GOOD).first_row or 0
    holds.hold(pieces=[Piece.objects.order_by("pk")[0]], reason="Framed square", link="", now=LATER)
    before = everything()
    with pytest.raises(StashError, match="held for Framed square"):
        importing.undo(row=ImportedRow.objects.get(pk=first), day=TODAY, now=LATER)
    assert everything() == before


def test_undoing_takes_back_only_what_came_in_together(owner: Person) -> None:
    first = taken(owner, GOOD).first_row or 0
    taken(owner, "Fabric,Length\nSlate,10\n", LATER)
    importing.undo(row=ImportedRow.objects.get(pk=first), day=TODAY, now=LATER)
    assert [piece.fabric.name for piece in Piece.objects.on_shelf().select_related("fabric")] == ["Slate"]


@pytest.mark.parametrize(
    ("table", "sentence"),
    [
        (b"", "nothing in that file"),
        (b"\n \n", "nothing in that file"),
        (b"Fabric,Length\n", "no rows below"),
        (b"Kelp,36\n", "headed .Fabric."),
        (b"Fabric,Colour\nKelp,#ffffff\n", "headed .Length. or .Amount."),
        (b"Fabric,Name,Length\nKelp,Kelp,36\n", "mean the same"),
        (b"Fabric,Length\nBl\xe4tter,36\n", "UTF-8"),
        (b"PK\x03\x04\xff\xfe", "UTF-8"),
        (b"\xff\xfeF", "UTF-8"),
        (b'"Fabric,Length\nKelp,36\n', "nothing in that file|headed"),
        (b"Fabric,Length" + b",x" * 300 + b"\nKelp,36\n", "columns"),
        (b"Fabric,Length\n" + b"Kelp,36\n" * 20_001, "20,000 rows"),
        (b"Fabric,Length\n" + b"x" * csv_file.MOST_BYTES, "5 MB"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_table_is_refused_with_a_sentence(table: bytes, sentence: str) -> None:
    with pytest.raises(CsvError, match=sentence) as why:
        read(table)
    assert str(why.value).endswith(".")


def test_the_page_says_what_is_wrong_with_a_file_at_the_field(at_home: Client) -> None:
    file = io.BytesIO(b"Kelp,36\n")
    file.name = "cloth.csv"
    assert "Fabric" in at_home.post("/stash/exchange/", {"table": file}).context["form"].errors["table"][0]
    assert "Choose the file" in at_home.post("/stash/exchange/", {}).context["form"].errors["table"][0]
    big = io.BytesIO(b"Fabric,Length\n" + b"x" * csv_file.MOST_BYTES)
    big.name = "cloth.csv"
    assert "5 MB" in at_home.post("/stash/exchange/", {"table": big}).context["form"].errors["table"][0]


def test_a_table_set_aside_is_hers_alone_and_kept_for_a_day(owner: Person, friend: Person) -> None:
    name = importing.set_aside(owner=owner, table=b"x", now=NOW)
    assert importing.aside(owner=owner, name=name) == b"x"
    for who, what in ((friend, name), (owner, "x" * 22), (owner, "../../x"), (owner, "")):
        with pytest.raises(StashError, match="kept for a day"):
            importing.aside(owner=who, name=what)
    stored = f"{owner.pk}/tables/{name}.csv"
    made = default_storage.get_modified_time(stored)
    importing.set_aside(owner=owner, table=b"y", now=made + timedelta(hours=23))
    assert default_storage.exists(stored)
    importing.set_aside(owner=owner, table=b"z", now=made + timedelta(hours=25))
    assert not default_storage.exists(stored)


def test_somebody_elses_table_and_undoing_are_not_found(at_home: Client, friend: Person) -> None:
    address = upload(at_home, GOOD)
    at_home.post(address)
    row = ImportedRow.objects.order_by("pk")[0]
    other = Client()
    other.force_login(friend)
    assert other.post(f"/stash/exchange/{row.pk}/undo/").status_code == 404
    assert "kept for a day" in other.get(address, follow=True).content.decode()
    assert not Piece.objects.of(friend).exists()


def test_a_long_table_is_taken_in_with_few_queries(owner: Person, django_assert_max_num_queries: Any) -> None:
    table = "Fabric,Length,Place\n" + "".join(f"Kelp,{n + 1},Box {n % 7}\n" for n in range(2_000))
    checked = looked_at(owner, table)
    with django_assert_max_num_queries(60):
        assert importing.take_in(owner=owner, cloths=checked.cloths, now=NOW).pieces == 2_000
