"""The shelf: every cloth with what is really free of it, and a way to find one."""

import pytest
from django.test import Client

from quiltbook.measures import System
from quiltbook.people.models import Person
from stash.models import Piece
from stash.services import cloth, holds, offcuts
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, PieceFactory, bought, cm, inches
from tests.stash.typing_in import errors, words

pytestmark = pytest.mark.django_db


def names(browser: Client, **looked_for: str) -> list[str]:
    return [cloth.row.name for cloth in browser.get("/stash/", looked_for).context["found"].cloths]


@pytest.fixture
def shelf(owner: Person) -> dict[str, Piece]:
    said = {
        "Harbour stripe": {"note": "bought on the coast"},
        "Kelp leaf": {"kind": "lawn"},
        "Moss": {},
    }
    return {
        name: PieceFactory.create(fabric=FabricFactory.create(owner=owner, name=name, **facts), place=f"Box {name[0]}")
        for name, facts in said.items()
    }


def test_an_empty_shelf_says_what_to_do_first(at_home: Client) -> None:
    page = words(at_home.get("/stash/"))

    assert "Your shelf is empty" in page
    assert 'href="/stash/log/"' in page
    assert 'role="search"' not in page


def test_what_is_free_is_what_lies_there_less_what_is_held(at_home: Client, owner: Person) -> None:
    kelp = FabricFactory.create(owner=owner, name="Kelp")
    _, held = bought(kelp, [inches(42, 36), inches(42, 18)], place="Box")
    holds.hold(pieces=[held], reason="Medallion", link="/plans/1/", now=NOW)
    offcuts.expect(fabric=kelp, sizes=[inches(42, 9)])

    page = words(at_home.get("/stash/"))

    assert "<b>1.17 sq yd</b> free in 1 piece<small>largest 42 × 36 in</small>" in page
    assert "0.58 sq yd more is held by plans" in page
    assert "0.29 sq yd to come from cutting" in page
    assert "1 fabric, 2 pieces on the shelf. <b>1.17 sq yd</b> free to use." in page


def test_a_metric_quilter_reads_square_metres() -> None:
    dora = PersonFactory.create(system=System.METRIC)
    PieceFactory.create(fabric__owner=dora, size=cm(110, 100))
    browser = Client()
    browser.force_login(dora)

    assert "<b>1.1 m²</b> free in 1 piece<small>largest 110 × 100 cm</small>" in words(browser.get("/stash/"))


@pytest.mark.parametrize(
    ("looked_for", "found"),
    [
        ({"words": "LEAF"}, ["Kelp leaf"]),
        ({"words": "leaf kelp"}, ["Kelp leaf"]),
        ({"words": "leaf moss"}, []),
        ({"words": "coast"}, ["Harbour stripe"]),
        ({"words": "box m"}, ["Moss"]),
        ({"kind": "lawn"}, ["Kelp leaf"]),
        ({"kind": "cotton", "words": "box"}, ["Harbour stripe", "Moss"]),
        ({}, ["Harbour stripe", "Kelp leaf", "Moss"]),
    ],
)
def test_cloth_is_found_by_words_and_kind(
    at_home: Client, shelf: dict[str, Piece], looked_for: dict[str, str], found: list[str]
) -> None:
    assert names(at_home, **looked_for) == found


def test_a_place_counts_only_while_something_lies_there(at_home: Client, shelf: dict[str, Piece]) -> None:
    cloth.move(piece=shelf["Moss"], place="Attic", day=TODAY, now=NOW)

    assert names(at_home, words="attic") == ["Moss"]
    assert names(at_home, words="box") == ["Harbour stripe", "Kelp leaf"]


def test_only_what_is_free_leaves_out_what_is_held_whole(at_home: Client, shelf: dict[str, Piece]) -> None:
    holds.hold(pieces=[shelf["Moss"]], reason="Medallion", link="/plans/1/", now=NOW)

    assert names(at_home, free="on") == ["Harbour stripe", "Kelp leaf"]
    assert "All of it held" in words(at_home.get("/stash/"))


def test_a_search_can_be_kept_as_an_address_and_is_shown_again(at_home: Client, shelf: dict[str, Piece]) -> None:
    page = words(at_home.get("/stash/?words=leaf&kind=lawn&free=on"))

    assert 'value="leaf"' in page
    assert '<option value="lawn" selected>' in page
    assert "checked" in page


def test_a_search_that_finds_nothing_says_so_and_leads_back(at_home: Client, shelf: dict[str, Piece]) -> None:
    page = words(at_home.get("/stash/", {"words": "zebra"}))

    assert "No cloth like that" in page
    assert "Show all cloth" in page


def test_a_search_that_cannot_be_is_told_at_its_field(at_home: Client, shelf: dict[str, Piece]) -> None:
    wrong = errors(at_home.get("/stash/", {"words": "x" * 101, "kind": "tin"}))

    assert wrong == {
        "words": ["Use at most 100 characters."],
        "kind": ["Choose a kind of cloth from the list."],
    }


def test_cloth_that_is_used_up_stands_apart(at_home: Client, shelf: dict[str, Piece]) -> None:
    cloth.scrap(piece=shelf["Moss"], day=TODAY, now=NOW)

    assert names(at_home) == ["Harbour stripe", "Kelp leaf"]
    assert '<a href="/stash/?used_up=on">1 fabric used up</a>' in words(at_home.get("/stash/"))
    assert names(at_home, used_up="on") == ["Moss"]


def test_only_the_cloth_is_sent_while_she_types(at_home: Client, shelf: dict[str, Piece]) -> None:
    response = at_home.get("/stash/", {"words": "leaf"}, headers={"HX-Request": "true"})

    assert "<html" not in words(response)
    assert "Kelp leaf" in words(response)
    assert "HX-Request" in response.headers["Vary"]
