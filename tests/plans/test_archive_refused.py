"""A file that is no sound archive is refused with a sentence, and nothing of it is kept: no row, no picture."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as site
from django.test import Client
from PIL import Image
from pytest_django import Settings

from plans.services import archive
from quiltbook.people.models import Person
from quiltbook.people.models import Settings as Usual
from stash.models import Fabric, Movement, Piece
from stash.services import archive_reading, cloth
from stash.services.archive import ArchiveError
from stash.services.cloth import Paid
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, inches
from tests.plans.quilts import border_role, framed, held
from tests.stash.typing_in import photo

pytestmark = pytest.mark.django_db
type Tables = dict[str, list[dict[str, Any]]]


@pytest.fixture(autouse=True)
def _own_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def files(owner: Person) -> dict[str, bytes]:
    """The files of an archive of a small stash: a fabric with its picture, bought, washed, and held by a plan."""
    fabric = FabricFactory.create(owner=owner, name="Kelp")
    fabric.photo.save("kelp.webp", photo("WEBP"))
    paid = Paid(Decimal("12.50"), "EUR", "Market stall")
    bought = cloth.buy(fabric=fabric, sizes=[inches(42, 36)], paid=paid, place="Box", day=TODAY, now=NOW)
    cloth.wash(piece=bought.lines.get().piece, measured=inches(41, 35), day=TODAY, now=NOW)
    plan = framed(owner)
    held(plan, border_role(plan), fabric)
    with archive.write(owner=owner, now=NOW) as file, zipfile.ZipFile(file) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def packed(files: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as made:
        for name, data in files.items():
            made.writestr(name, data)
    return out.getvalue()


def refused(data: bytes) -> str:
    """The sentence with which an account that is empty refuses it, having kept nothing."""
    person = PersonFactory.create()
    before = Usual.objects.filter(person=person).values().get()
    with pytest.raises(ArchiveError) as why:
        archive.load(owner=person, file=io.BytesIO(data), size=len(data))
    for table in archive.TABLES:
        assert table.there or not table.model._base_manager.filter(**{table.owner: person}).exists()
    assert Usual.objects.filter(person=person).values().get() == before
    assert not list((Path(site.MEDIA_ROOT) / str(person.pk)).rglob("*.*"))
    assert str(why.value).endswith(".")
    return str(why.value)


def spoilt(files: dict[str, bytes], spoil: Callable[[Tables], object]) -> bytes:
    """The archive with its records changed."""
    records = json.loads(files["quiltbook.json"])
    spoil(records["tables"])
    return packed({**files, "quiltbook.json": json.dumps(records).encode()})


def test_unspoilt_it_is_taken(files: dict[str, bytes]) -> None:
    person = PersonFactory.create()
    data = spoilt(files, lambda tables: None)
    archive.load(owner=person, file=io.BytesIO(data), size=len(data))
    assert Fabric.objects.of(person).get().name == "Kelp"
    assert Piece.objects.of(person).held().count() == 1


def test_what_is_no_archive_is_refused(files: dict[str, bytes]) -> None:
    whole = packed(files)
    assert "empty" in refused(b"")
    assert "damaged" in refused(b"no zip at all")
    assert "damaged" in refused(whole[: len(whole) // 2])
    assert "not an archive of Quiltbook" in refused(packed({"notes.txt": b"hello"}))
    wrong = bytearray(whole)
    wrong[whole.index(b"quiltbook.json") + 40] ^= 0xFF
    assert "damaged" in refused(bytes(wrong))


@pytest.mark.parametrize(
    "name",
    [
        "../../evil.webp", "/etc/evil.webp", "pictures/../evil.webp", "pictures\\..\\evil.webp", "pictures/evil.html",
        "C:evil.webp", "pictures/" + "x" * 200 + ".webp", "pictures/deep/evil.webp", "evil", "pictures/",
    ],
)  # fmt: skip
def test_a_name_that_we_never_give_is_refused(files: dict[str, bytes], name: str) -> None:
    assert "never puts there" in refused(packed({**files, name: b"x"}))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_name_twice_is_refused(files: dict[str, bytes]) -> None:
    out = io.BytesIO(packed(files))
    with zipfile.ZipFile(out, "a") as made:
        made.writestr("quiltbook.json", b"{}")
    assert "never puts there" in refused(out.getvalue())


def test_a_bomb_is_refused_before_it_is_unpacked(files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    monkeypatch.setattr(archive_reading, "_read", lambda _, name: read.append(name))
    zeros = b"\0" * 14 * 1024 * 1024
    assert "unpack to far more" in refused(packed({**files, "pictures/a.webp": zeros}))
    assert "unpack to far more" in refused(packed({"quiltbook.json": zeros}))
    monkeypatch.setattr(archive_reading, "MOST_UNPACKED", 100)
    assert "unpack to far more" in refused(packed(files))
    assert read == []


def test_limits_of_size_and_number_hold(files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    data = packed(files)
    monkeypatch.setattr(archive_reading, "MOST_ENTRIES", 1)
    assert "unpack to far more" in refused(data)
    monkeypatch.setattr(archive_reading, "MOST_ENTRIES", 100)
    monkeypatch.setattr(archive_reading, "MOST_PICTURE", 10)
    assert "unpack to far more" in refused(data)
    monkeypatch.setattr(archive_reading, "MOST_BYTES", 10)
    assert "larger than" in refused(data)


def test_a_locked_archive_is_refused(files: dict[str, bytes]) -> None:
    data = bytearray(packed(files))
    at = data.index(b"PK\x01\x02")
    data[at + 8] |= 1
    assert "locked" in refused(bytes(data))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (b"{", "damaged"),
        (b"[]", "damaged"),
        (b"\xff\xfe", "damaged"),
        (b'{"format": 1}', "damaged"),
        (b'{"tables": {}}', "damaged"),
        (b'{"format": true, "tables": {}}', "damaged"),
        (b'{"format": 2, "tables": {}}', "format 2"),
        (b'{"format": 1, "tables": {"stash.fabric": {}}}', "damaged"),
        (b'{"format": 1, "tables": {"stash.fabric": [1]}}', "damaged"),
        (b'{"format": 1, "tables": {}}', "damaged"),
        (b'{"format": 1, "tables": {"people.person": []}}', "does not know"),
        (b'{"format": 1, "tables": ' + b"[" * 100_000 + b"}", "damaged"),
        (b'{"format": ' + b"9" * 5000 + b', "tables": {}}', "damaged"),
    ],
)
def test_records_that_cannot_be_read_are_refused(files: dict[str, bytes], text: bytes, sentence: str) -> None:
    padding = {name: data for name, data in files.items() if name != "quiltbook.json"}
    assert sentence in refused(packed({"quiltbook.json": text, **padding}, zipfile.ZIP_STORED))


def test_a_picture_must_be_there_and_be_one(files: dict[str, bytes]) -> None:
    [name] = [name for name in files if name != "quiltbook.json"]
    png = io.BytesIO()
    Image.new("RGB", (4, 4)).save(png, "PNG")
    assert "picture is missing" in refused(packed({"quiltbook.json": files["quiltbook.json"]}))
    for data in (b"", b"<script>", png.getvalue(), files[name][:40]):
        assert "not a picture" in refused(packed({**files, name: data}))


def _set(label: str, name: str, value: Any, row: int = 0) -> Callable[[Tables], None]:
    return lambda tables: tables[label][row].__setitem__(name, value)


def _again(label: str) -> Callable[[Tables], None]:
    return lambda tables: tables[label].append({**tables[label][0], "id": 999_999})


SPOILS: dict[str, Callable[[Tables], Any]] = {
    "a column nobody knows": _set("stash.fabric", "is_staff", True),
    "whose it is said": _set("stash.fabric", "owner", 1),
    "a colour that is none": _set("stash.fabric", "colour", '"><script>'),
    "a kind that is none": _set("stash.fabric", "kind", "silk"),
    "no name": _set("stash.fabric", "name", ""),
    "a name too long": _set("stash.fabric", "name", "x" * 121),
    "a character that is none": _set("stash.fabric", "note", "a\x00b"),
    "half a character": _set("stash.fabric", "note", "\ud800"),
    "nothing where something must be": _set("stash.piece", "width", None),
    "text for a number": _set("stash.piece", "width", "12"),
    "a yes for a number": _set("stash.piece", "width", True),
    "a broken number": _set("stash.piece", "width", 1.5),
    "a number beyond all": _set("stash.piece", "width", 10**30),
    "a number below nothing": _set("stash.piece", "width", -1),
    "a number for a yes": _set("stash.piece", "on_shelf", 1),
    "a list for text": _set("stash.piece", "place", ["Box"]),
    "a price that is none": _set("stash.purchase", "price", "NaN"),
    "a day that is none": _set("stash.movement", "day", "2026-02-30"),
    "a day beyond all": _set("stash.movement", "day", "9999-12-31"),
    "a moment without a zone": _set("stash.movement", "recorded_at", "2026-11-25T10:00:00"),
    "a row of nobody": _set("stash.piece", "fabric", 987_654),
    "a row by its name": _set("stash.piece", "fabric", "1"),
    "a number twice": lambda tables: tables["stash.piece"].append(tables["stash.piece"][0]),
    "no number": lambda tables: tables["stash.piece"][0].pop("id"),
    "a number that is text": _set("stash.piece", "id", "1"),
    "a thing twice": _again("stash.fabric"),
    "a purchase twice": _again("stash.purchase"),
    "a hold twice": _again("stash.hold"),
    "tags that are none": _set("stash.fabric", "tags", [5]),
    "tags in no list": _set("stash.fabric", "tags", "sea"),
    "a picture that is a number": _set("stash.fabric", "photo", 5),
    "no settings": lambda tables: tables["people.settings"].clear(),
    "two rows of settings": _again("people.settings"),
    "a time zone that is none": _set("people.settings", "time_zone", "Mars/Olympus"),
    "a currency that is none": _set("people.settings", "currency", "XXX"),
    "a usual width of nothing": _set("people.settings", "usable_width", 0),
    "a piece shown where it is not": _set("stash.piece", "place", "Elsewhere", row=1),
    "a piece shown that is gone": _set("stash.piece", "on_shelf", True),
    "cloth from nowhere": _set("stash.movement", "difference_mm2", -5),
    "a line left out": lambda tables: tables["stash.movementline"].pop(),
    "a line the wrong way": _set("stash.movementline", "change", -1),
    "a reversal of nothing": _set("stash.movement", "kind", "reversed"),
    "a drawing that is none": _set("plans.sheetcloth", "layout", {}),
    "a drawing of text": lambda tables: tables["plans.sheetcloth"][0]["layout"].update(width="wide"),
    "ticks that are none": _set("plans.sheetcloth", "ticks", ["x"]),
    "a part nobody knows": _set("plans.sheetline", "part", "sleeve"),
    "uncut patches that are none": _set("plans.cuttingsheet", "uncut", [{"role": "x"}]),
    "a round of no plan": _set("plans.round", "plan", None),
}  # fmt: skip


@pytest.mark.parametrize("what", SPOILS)
def test_a_record_that_cannot_be_is_refused(files: dict[str, bytes], what: str) -> None:
    refused(spoilt(files, SPOILS[what]))


def test_what_fails_at_the_very_end_leaves_nothing_behind(
    files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(owner: Person) -> None:
        assert Movement.objects.of(owner).exists()
        raise ArchiveError("Not this one.")

    monkeypatch.setattr(archive, "_sheets_can_be_drawn", fail)
    assert refused(packed(files)) == "Not this one."


def test_an_archive_from_before_a_column_was_there_is_taken(files: dict[str, bytes]) -> None:
    person = PersonFactory.create()
    data = spoilt(files, lambda tables: tables["stash.fabric"][0].pop("print_scale"))
    archive.load(owner=person, file=io.BytesIO(data), size=len(data))
    assert Fabric.objects.of(person).get().print_scale == ""


def test_the_page_says_what_is_wrong_at_the_field(at_home: Client) -> None:
    answer = at_home.post("/you/everything/", {"archive": photo()})
    assert answer.status_code == 200
    assert "damaged" in answer.context["form"].errors["archive"][0]
    assert "Choose the archive" in at_home.post("/you/everything/", {}).context["form"].errors["archive"][0]
