"""The shelf as a table: a row a piece, in her unit, that gives the same pieces wherever it is taken in."""

from __future__ import annotations

import csv
import io
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from pytest_django import DjangoAssertNumQueries

from quiltbook.measures import NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from stash.models import Fabric, Movement, Piece, Purchase
from stash.queries.csv_rows import piece_lines
from stash.queries.labels import code_of
from stash.services import cloth, fabrics, importing
from stash.services.cloth import Paid
from stash.services.exporting import STYLES, table
from stash.services.fabrics import Facts
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, cm, inches
from tests.stash.test_csv_in import looked_at, taken

pytestmark = pytest.mark.django_db


def written(owner: Person, style: str = "comma") -> str:
    return "".join(table(piece_lines(owner=owner), system=owner.settings.measures, style=STYLES[style]))


def rows(text: str, delimiter: str = ",") -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=delimiter))


def pieces(owner: Person) -> list[tuple[Any, ...]]:
    """All that a table says of what lies on her shelf, the places of the pieces in their fabric aside."""
    return sorted(
        (
            fabric.name, fabric.kind, fabric.colour, fabric.value, fabric.usable_width, fabric.print_direction, fabric.note,
            sorted(tag.name for tag in fabric.tags.all()), piece.width, piece.length, piece.place, piece.label,
        )
        for piece in Piece.objects.of(owner).on_shelf().select_related("fabric").prefetch_related("fabric__tags")
        for fabric in [piece.fabric]
    )  # fmt: skip


def test_a_row_says_all_of_a_piece(owner: Person) -> None:
    facts = Facts(
        name="Kelp",
        usable_width=42 * NM_PER_INCH,
        kind="lawn",
        colour="#2f4b7c",
        note="Soft",
        tags=("sea", "for Ada"),
    )
    fabric = fabrics.add(owner=owner, facts=facts, now=NOW)
    paid = Paid(Decimal("21.50"), "EUR", "Market stall")
    movement = cloth.buy(
        fabric=fabric, sizes=[inches(42, 54.125)], paid=paid, place="Box", label="whole", day=TODAY, now=NOW
    )
    assert rows(written(owner)) == [
        {
            "Fabric": "Kelp", "Kind": "Lawn", "Colour": "#2f4b7c", "Value": "Dark", "Usable width (in)": "42",
            "Print direction": "No direction", "Width (in)": "42", "Length (in)": "54.125", "Place": "Box", "Label": "whole",
            "Code": code_of(movement.lines.get().piece_id), "Bought on": "2026-11-25", "Price": "21.50", "Currency": "EUR",
            "Shop": "Market stall", "Note": "Soft", "Tags": "for Ada, sea",
        }
    ]  # fmt: skip


def test_what_is_cut_from_a_purchase_says_where_it_was_bought_and_its_share_of_the_price(owner: Person) -> None:
    fabric = FabricFactory.create(owner=owner, name="Kelp")
    paid = Paid(Decimal(30), "EUR", "Market stall")
    movement = cloth.buy(
        fabric=fabric,
        sizes=[inches(42, 36), inches(42, 18)],
        paid=paid,
        place="",
        day=TODAY - timedelta(days=9),
        now=NOW,
    )
    whole = movement.lines.order_by("pk")[0].piece
    cloth.split(piece=whole, sizes=[inches(42, 18)], keep_rest=True, day=TODAY, now=NOW)
    cloth.move(piece=Piece.objects.on_shelf().order_by("-pk")[0], place="Box", day=TODAY, now=NOW)
    cloth.find(fabric=fabric, sizes=[inches(5, 5)], place="", day=TODAY, now=NOW)
    told = [(row["Length (in)"], row["Bought on"], row["Price"], row["Shop"]) for row in rows(written(owner))]
    assert told == [("18", "2026-11-16", "10.00", "Market stall")] * 3 + [("5", "", "", "")]


def test_lengths_are_exact_in_her_unit_or_in_their_own() -> None:
    english, metric = PersonFactory.create(), PersonFactory.create(system=System.METRIC)
    for person in (english, metric):
        bought(
            FabricFactory.create(owner=person, name="Kelp"),
            [inches(1.015625, 18), cm(45, 55.5), Size(123_456_789, 10**9)],
        )
    told = [(row["Width (in)"], row["Length (in)"]) for row in rows(written(english))]
    assert told == [("1.015625", "18"), ("45 cm", "55.5 cm"), ("12.3456789 cm", "100 cm")]
    told = [(row["Width (cm)"], row["Length (cm)"]) for row in rows(written(metric))]
    assert told == [("2.5796875 cm", "45.72"), ("45", "55.5"), ("12.3456789 cm", "100")]


def test_semicolons_come_with_decimal_commas(owner: Person) -> None:
    bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 10.125)])
    [row] = rows(written(owner, "semicolon"), ";")
    assert row["Length (in)"] == "10,125"


def test_only_what_lies_on_her_own_shelf_is_in_it(owner: Person, friend: Person) -> None:
    bought(FabricFactory.create(owner=friend, name="Reed"), [inches(42, 36)])
    [piece] = bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 36)])
    cloth.give_away(piece=piece, day=TODAY, now=NOW)
    assert rows(written(owner)) == []


def test_it_takes_as_many_queries_for_many_pieces_as_for_one(
    owner: Person, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for name in ("Kelp", "Reed", "Slate"):
        bought(FabricFactory.create(owner=owner, name=name), [inches(42, 36)] * 5)
    with django_assert_num_queries(4):
        assert len(piece_lines(owner=owner)) == 15


@pytest.mark.parametrize(("query", "start"), [("", b"\xef\xbb\xbf\"Fabric\",\"Kind\""), ("?cells=semicolon", b"\xef\xbb\xbf\"Fabric\";"), ("?cells=x", b"\xef\xbb\xbf\"Fabric\",")])  # fmt: skip
def test_she_downloads_it(at_home: Client, owner: Person, query: str, start: bytes) -> None:
    bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 36)])
    answer = at_home.get(f"/stash/exchange/table/{query}")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert answer.headers["Content-Disposition"].startswith('attachment; filename="stash-')
    text = answer.getvalue()
    assert text.startswith(start)
    assert text.endswith(b"\r\n")


def test_her_own_table_taken_in_again_adds_nothing(owner: Person) -> None:
    bought(FabricFactory.create(owner=owner, name="Kelp"), [inches(42, 36), inches(42, 36)])
    for style in STYLES:
        assert {row.standing for row in looked_at(owner, written(owner, style)).rows} == {"here"}


def test_the_settings_page_leads_to_it(at_home: Client) -> None:
    assert 'href="/stash/exchange/"' in at_home.get("/you/").content.decode()
    page = at_home.get("/stash/exchange/").content.decode()
    assert 'href="/you/everything/"' in page


SIDES = (
    st.integers(5_000_000, 2_000_000_000)
    | st.integers(1, 100).map(lambda n: n * 396_875 * 16)
    | st.integers(1, 200).map(lambda n: n * 5_000_000)
)
TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]) | st.sampled_from("=+-@'\",;"), max_size=20)
WORDS = TEXT.map(lambda text: " ".join(text.split())).filter(
    lambda text: not text or any(c.isprintable() and not c.isspace() for c in text)
)
TAGS = st.lists(
    WORDS.map(lambda text: " ".join(text.replace(",", " ").split())).filter(bool), max_size=3, unique_by=str.casefold
)
FACTS = st.builds(
    Facts,
    name=WORDS.filter(bool),
    usable_width=st.integers(100_000_000, 3_000_000_000),
    kind=st.sampled_from(Fabric.Kind.values),
    print_direction=st.sampled_from(Fabric.PrintDirection.values),
    colour=st.sampled_from(["#2f4b7c", "#ffffff", "#808080", ""]),
    value=st.sampled_from(["", *Fabric.Value.values]),
    note=st.lists(WORDS, max_size=3).map("\n".join).map(str.strip),
    tags=TAGS.map(tuple),
)
ARRIVALS = st.tuples(
    st.lists(st.builds(Size, SIDES, SIDES), min_size=1, max_size=3),
    st.none() | st.builds(Paid, st.none() | st.decimals(0, 999, places=2), st.sampled_from(["EUR", "USD"]), WORDS),
    WORDS,
    WORDS,
)
STASH = st.lists(
    st.tuples(FACTS, st.lists(ARRIVALS, max_size=2)), max_size=3, unique_by=lambda one: one[0].name.casefold()
)


class TestAnyStash(TestCase):
    """Whatever lies on a shelf, its table gives the same pieces on another's."""

    @settings(max_examples=40)
    @given(STASH, st.sampled_from(list(STYLES)), st.sampled_from(System), st.sampled_from(System))
    def test_taken_in_elsewhere_it_gives_the_same_pieces(
        self, stash: Any, style: str, system: System, other: System
    ) -> None:
        owner, friend = PersonFactory.create(system=system), PersonFactory.create(system=other)
        for facts, arrivals in stash:
            fabric = fabrics.add(owner=owner, facts=facts, now=NOW)
            for sizes, paid, place, label in arrivals:
                came = fabrics.Arrival(sizes, TODAY, paid, place, label)
                fabrics.arrive(fabric=fabric, arrival=came, now=NOW)
        text = written(owner, style)
        if not pieces(owner):
            return
        taken(friend, text)
        assert pieces(friend) == pieces(owner)
        assert written(friend, style).count("\r\n") == text.count("\r\n")
        assert importing.take_in(owner=friend, cloths=looked_at(friend, text).cloths, now=NOW).pieces == 0
        spent, again = (
            {
                (p.price, p.currency, p.bought_from)
                for p in Purchase.objects.filter(movement__owner=person)
                if p.movement.lines.count() == 1
            }
            for person in (owner, friend)
        )
        assert {one for one in spent if one[0] is not None} <= again
        assert not Movement.objects.of(friend).exclude(kind__in=["bought", "counted"]).exists()
