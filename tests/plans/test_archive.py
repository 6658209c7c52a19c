"""Everything of one person as one file: what is in it, and that it gives the same stash and plans elsewhere, movement by movement."""

from __future__ import annotations

import io
import json
import re
import zipfile
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.conf import settings as site
from django.core.management import call_command
from django.db import models, transaction
from django.test import Client, override_settings
from pytest_django import DjangoDbBlocker, Settings

from plans.models import Miscut, NotionChoice, Plan, PrintWish, SheetLine
from plans.queries.sheets import confirmed
from plans.queries.worked import worked
from plans.services import archive
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, ImportedRow, Movement, Notion, Photo, Piece, Stocktake, StocktakeMark, Tag
from stash.services import cloth, ledger
from stash.services.archive import ArchiveError
from stash.services.holds import hold
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches
from tests.stash.ledger import balances, told_by_the_lines
from tests.stash.typing_in import photo

pytestmark = pytest.mark.django_db

# What an archive leaves out, and why.
LEFT_OUT = {
    "people.person": "an account is made where she signs up, with a password of its own",
    "people.person_groups": "what an account may do is decided where it is",
    "people.person_user_permissions": "likewise",
    "plans.layoutsearch": "only how far a search in the background is",
    "stash.fabric_tags": "written with the fabrics",
}


@pytest.fixture(autouse=True)
def _own_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@dataclass(frozen=True)
class Original:
    """Somebody with something in every table that can have it: her archive, and what the database told of her when it was made."""

    data: bytes
    story: list[Any]
    shelf: list[Any]
    shown: list[bytes]


@pytest.fixture(scope="module")
def original(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker, tmp_path_factory: pytest.TempPathFactory
) -> Original:
    """Made once, since the demonstration takes its seconds, and rolled back."""
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("media")),
        transaction.atomic(),
    ):
        person = somebody()
        made = Original(made_by(person), story(person), shelf(person), shown(person))
        transaction.set_rollback(True)
    return made


def somebody() -> Person:
    call_command("demo", stdout=io.StringIO())
    person = Person.objects.get(username="demo")
    fabric = Fabric.objects.of(person)[0]
    fabric.tags.set([Tag.objects.get_or_create(owner=person, name=name)[0] for name in ("sea", "for Ada")])
    fabric.note = 'A note with "quotes", a line\nbreak, round-7-petals and ünïcode'
    fabric.save()
    if not Photo.objects.of(person).exists():
        Photo.objects.create(
            owner=person, fabric=fabric, position=0, whole=fabric.photo.name, medium=fabric.photo.name,
            small=fabric.thumbnail.name, width=10, height=10, right=10, bottom=10,
            palette=[["#2f4b7c", 600], ["#ffffff", 400]], added_at=NOW,
        )  # fmt: skip
    washed = bought(FabricFactory.create(owner=person, name="Undone and done again"), [inches(42, 36)])[0]
    movement = cloth.wash(piece=washed, measured=inches(41, 35), day=TODAY, now=NOW)
    ledger.reverse(movement=ledger.reverse(movement=movement, day=TODAY, now=NOW), day=TODAY, now=NOW)
    count = Stocktake.objects.create(owner=person, place="", begun_at=NOW)
    StocktakeMark.objects.create(stocktake=count, piece=washed, found="there")
    ImportedRow.objects.create(owner=person, digest="a" * 64, imported_at=NOW)
    first, second = Plan.objects.of(person).order_by("pk")[:2]
    # A plan may have the top of one that was made later.
    Plan.objects.filter(pk=first.pk).update(sewn_top=second)
    # What the demonstration has no use for: a wish for a print, a patch spoiled, a notion chosen.
    NotionChoice.objects.get_or_create(plan=first, need="wadding", notion=Notion.objects.of(person)[0])
    PrintWish.objects.create(plan=second, role=f"round-{second.rounds.all()[0].pk}-border", stripes="down")
    Miscut.objects.create(line=SheetLine.objects.filter(cloth__sheet__plan=first)[0], count=1, recorded_at=NOW)
    return person


@pytest.fixture
def demo(original: Original) -> Person:
    return loaded(original.data, "demo")


def made_by(person: Person) -> bytes:
    with archive.write(owner=person, now=NOW) as file:
        return file.read()


def records(data: bytes) -> dict[str, list[dict[str, Any]]]:
    with zipfile.ZipFile(io.BytesIO(data)) as opened:
        tables: dict[str, list[dict[str, Any]]] = json.loads(opened.read("quiltbook.json"))["tables"]
        return tables


def loaded(data: bytes, name: str = "elsewhere") -> Person:
    person = PersonFactory.create(username=name)
    archive.load(owner=person, file=io.BytesIO(data), size=len(data))
    return Person.objects.get(pk=person.pk)


def plain(tables: dict[str, list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """The tables with every number of a row said as its place in its table, so that two archives can be laid side by side."""
    place = {label: {row["id"]: n for n, row in enumerate(rows)} for label, rows in tables.items()}
    plan, sheet, round_ = (place[f"plans.{one}"] for one in ("plan", "cuttingsheet", "round"))

    def told(value: Any) -> Any:
        if isinstance(value, str) and re.match("round-[0-9]|/plans/", value):
            value = re.sub(r"(?<=^round-)\d+", lambda found: str(round_[int(found[0])]), value)
            value = re.sub(r"(?<=/plans/)\d+", lambda found: str(plan[int(found[0])]), value)
            return re.sub(r"(?<=/sheets/)\d+", lambda found: str(sheet[int(found[0])]), value)
        if isinstance(value, list):
            return [told(one) for one in value]
        return {key: told(one) for key, one in value.items()} if isinstance(value, dict) else value

    def row_told(label: str, row: dict[str, Any]) -> dict[str, Any]:
        model = apps.get_model(label)
        said: dict[str, Any] = {"id": place[label][row["id"]]}
        for name, value in row.items():
            column = model._meta.get_field(name)
            if isinstance(column, models.ManyToManyField | models.ForeignKey) and value is not None:
                there = place[column.related_model._meta.label_lower]
                said[name] = sorted(there[one] for one in value) if isinstance(value, list) else there[value]
            elif name != "id":
                said[name] = value if isinstance(column, models.FileField) else told(value)
        return said

    return {label: [row_told(label, row) for row in rows] for label, rows in tables.items()}


def story(person: Person) -> list[Any]:
    """Every movement of hers as it reads, by the database alone."""
    movements = list(Movement.objects.of(person).order_by("pk").prefetch_related("lines__piece__fabric"))
    number = {movement.pk: n for n, movement in enumerate(movements)}
    return [
        (
            movement.kind, movement.day, movement.recorded_at, movement.note, bool(movement.link),
            number.get(movement.reverses_id or 0), movement.patches_mm2, movement.waste_mm2, movement.difference_mm2,
            [(line.piece.fabric.name, line.piece.name, line.piece.size, line.change, line.place) for line in movement.lines.all()],
            [(p.price, p.currency, p.bought_from) for p in [getattr(movement, "purchase", None)] if p],
        )
        for movement in movements
    ]  # fmt: skip


def shelf(person: Person) -> list[Any]:
    held = set(Hold.objects.live().values_list("piece", flat=True))
    return [
        (p.fabric.name, p.number, p.label, p.size, p.place, p.on_shelf, p.expected, p.pk in held)
        for p in Piece.objects.of(person).order_by("fabric__name", "number").select_related("fabric")
    ]


def shown(person: Person) -> list[bytes]:
    fabrics = Fabric.objects.of(person).exclude(photo="").order_by("name")
    return [(Path(site.MEDIA_ROOT) / str(fabric.photo.name)).read_bytes() for fabric in fabrics]


def test_every_table_that_belongs_to_somebody_is_in_the_archive_or_left_out_for_a_reason() -> None:
    ours = {
        model._meta.label_lower
        for app in ("people", "stash", "plans")
        for model in apps.get_app_config(app).get_models(include_auto_created=True)
    }
    within = [table.label for table in archive.TABLES]
    forgotten = ours - set(within) - set(LEFT_OUT)
    assert not forgotten, (
        f"Put {forgotten} into the tables of plans/services/archive.py, or say here why they are left out."
    )
    assert set(LEFT_OUT) <= ours
    assert len(set(within)) == len(within)


def test_every_table_comes_after_those_it_refers_to() -> None:
    seen: set[str] = set()
    for table in archive.TABLES:
        seen.add(table.label)
        refers = {c.related_model._meta.label_lower for c in (*table.columns, *table.many) if c.related_model}
        assert refers <= seen, table.label


def test_what_mentions_a_row_in_words_is_renumbered(original: Original) -> None:
    mention = re.compile(r"round-\d+-|/plans/\d+/")
    known = {(table.label, name) for table in archive.TABLES for name in table.mentions}
    found = {
        (label, name)
        for label, rows in records(original.data).items()
        for row in rows
        for name, value in row.items()
        if mention.search(json.dumps(value)) and name != "note"
    }
    assert found
    assert found <= known


def test_loaded_elsewhere_it_gives_the_same_stash_movement_by_movement(original: Original) -> None:
    PersonFactory.create_batch(3)  # so that numbers are not the same by chance
    bought(FabricFactory.create(), [inches(10, 10)])
    other = loaded(original.data)

    assert len(original.story) > 50
    assert story(other) == original.story
    assert shelf(other) == original.shelf
    assert all(balances(movement) for movement in Movement.objects.of(other))
    assert told_by_the_lines() == {piece.pk: int(piece.on_shelf) for piece in Piece.objects.all()}


def test_nothing_is_lost_on_the_way_whichever_table_it_is_in(original: Original) -> None:
    bought(FabricFactory.create(), [inches(10, 10)])
    tables = records(original.data)
    assert not {label for label, rows in tables.items() if not rows}, "fill these tables in somebody()"

    again = records(made_by(loaded(original.data)))
    assert plain(again) == plain(tables)


def test_the_pictures_come_along_as_they_are_under_names_of_their_own(original: Original) -> None:
    one, other = loaded(original.data, "one"), loaded(original.data, "other")

    assert len(original.shown) > 10
    assert shown(one) == shown(other) == original.shown
    names = list(Fabric.objects.exclude(photo="").values_list("photo", flat=True))
    assert len(set(names)) == len(names)
    hers = Fabric.objects.of(other).exclude(photo="")
    assert all(str(fabric.photo.name).startswith(f"{other.pk}/fabrics/") for fabric in hers)


def test_the_plans_are_whole_and_their_pages_open(original: Original, client: Client) -> None:
    one, other = loaded(original.data, "one"), loaded(original.data, "other")
    client.force_login(other)

    pairs = list(zip(*(Plan.objects.of(person).order_by("pk") for person in (one, other)), strict=True))
    assert len(pairs) == 3
    for theirs, hers in pairs:
        before, after = (
            [
                (sheet.fabric, sheet.state, [[(n.role, n.good) for n in c.lines] for c in sheet.cloths])
                for sheet in confirmed(plan, worked(plan))
            ]
            for plan in (theirs, hers)
        )
        assert after == before
        assert "No longer in the plan" not in str(after)
        for part in ("", "top/", "cloth/", "cutting/", "sewing/", "hours/", "finishing/", "left/"):
            assert client.get(f"/plans/{hers.pk}/{part}", follow=True).status_code == 200, part
    links = {hold.link for hold in Hold.objects.of(other).live()}
    assert links
    for address in ("/", "/stash/", "/shopping/", "/you/", *links):
        assert client.get(address).status_code == 200


def test_it_holds_only_what_is_hers(demo: Person, friend: Person) -> None:
    theirs = FabricFactory.create(owner=friend, name="Bea's own")
    bought(theirs, [inches(10, 10)])
    assert b"Bea's own" not in zipfile.ZipFile(io.BytesIO(made_by(demo))).read("quiltbook.json")
    assert records(made_by(friend))["stash.fabric"][0]["name"] == "Bea's own"


def test_what_is_loaded_can_be_gone_on_with(demo: Person) -> None:
    other = loaded(made_by(demo))
    fabric = Fabric.objects.of(other).get(name="Undone and done again")
    piece = Piece.objects.on_shelf().get(fabric=fabric)
    last = Movement.objects.of(other).filter(lines__piece=piece).order_by("-pk")[0]
    ledger.reverse(movement=last, day=TODAY, now=NOW + timedelta(days=1))
    assert Piece.objects.on_shelf().get(fabric=fabric).size == inches(42, 36)
    [new] = bought(fabric, [inches(5, 5)])
    hold(pieces=[new], reason="a plan", link="/plans/1/", now=NOW)


def test_an_account_with_anything_in_it_is_refused(demo: Person, friend: Person) -> None:
    data = made_by(demo)
    Tag.objects.create(owner=friend, name="sea")
    with pytest.raises(ArchiveError, match="nothing in it"):
        archive.load(owner=friend, file=io.BytesIO(data), size=len(data))
    assert not Fabric.objects.of(friend).exists()
    assert not (Path(site.MEDIA_ROOT) / str(friend.pk) / "fabrics").exists() or not any(
        (Path(site.MEDIA_ROOT) / str(friend.pk) / "fabrics").iterdir()
    )


def test_she_downloads_it_and_loads_it_on_the_page(
    at_home: Client, owner: Person, friend: Person, client: Client
) -> None:
    fabric = FabricFactory.create(owner=owner, name="Kelp")
    bought(fabric, [inches(42, 36)])
    fabric.photo.save("kelp.webp", photo("WEBP"))
    answer = at_home.get("/you/everything/download/")
    data = answer.getvalue()
    assert re.fullmatch(r'attachment; filename="quiltbook-\d{4}-\d\d-\d\d\.zip"', answer.headers["Content-Disposition"])

    there = Client()
    there.force_login(friend)
    assert "Nothing here changes" in there.get("/you/everything/").content.decode()
    file = io.BytesIO(data)
    file.name = "quiltbook.zip"
    page = there.post("/you/everything/", {"archive": file}, follow=True).content.decode()
    assert "Loaded 1 fabric, 1 movement and 0 plans" in page
    assert shelf(friend) == shelf(owner)


def test_without_a_sign_in_there_is_nothing_to_have(client: Client) -> None:
    for address in ("/you/everything/", "/you/everything/download/"):
        assert client.get(address).status_code == 302
