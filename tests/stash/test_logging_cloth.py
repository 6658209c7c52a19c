"""Logging cloth on its page: a new fabric, and more of one she has."""

from datetime import date
from decimal import Decimal

import pytest
from django.test import Client

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, Piece
from tests.factories import cm, inches
from tests.stash.typing_in import LOG, errors, log, words

pytestmark = pytest.mark.django_db


def test_the_form_starts_with_her_own_usual_figures(at_home: Client, owner: Person) -> None:
    form = at_home.get("/stash/log/").context["form"]

    assert form["usable_width"].value() == "42 in"
    assert form["currency"].value() == owner.settings.currency
    assert form["printed_seam"].value() == "1/4 in"


def test_a_purchase_becomes_a_fabric_its_pieces_and_a_movement(at_home: Client, owner: Person) -> None:
    response = log(at_home, amount="1 1/2 yd, 2 fat quarters")

    fabric = Fabric.objects.get()
    assert response.headers["Location"] == f"/stash/{fabric.pk}/"
    assert (fabric.owner, fabric.name, fabric.usable_width) == (owner, "Kelp", 42 * 25_400_000)
    assert [p.size for p in Piece.objects.on_shelf()] == [inches(42, 54), inches(21, 18), inches(21, 18)]
    movement = Movement.objects.get()
    assert (movement.kind, movement.day) == ("bought", date(2024, 11, 20))
    assert (movement.purchase.price, movement.purchase.bought_from) == (Decimal("21.50"), "Market stall")


def test_metric_amounts_are_kept_exactly_as_said(at_home: Client) -> None:
    log(at_home, amount="0.5 m", usable_width="107 cm")

    assert Piece.objects.get().size == cm(107, 50)


def test_a_length_off_the_bolt_is_as_wide_as_the_width_typed_beside_it(at_home: Client) -> None:
    log(at_home, amount="1 yd", usable_width="58 in")

    assert Piece.objects.get().size == inches(58, 36)


def test_cloth_she_had_already_needs_no_price_and_is_no_purchase(at_home: Client) -> None:
    log(at_home, came="there", price="a lot", currency="", bought_from="")

    movement = Movement.objects.get()
    assert movement.kind == "counted"
    assert not hasattr(movement, "purchase")


def test_what_was_logged_is_said_with_a_way_back(at_home: Client) -> None:
    page = words(at_home.get(log(at_home).headers["Location"]))

    assert "Kelp: bought no. 1 (42 × 54 in)." in page
    assert f'action="/stash/movements/{Movement.objects.get().pk}/undo/"' in page


def test_the_next_cloth_of_the_same_haul_starts_from_the_last(at_home: Client) -> None:
    response = log(at_home, another="yes", currency="CAD")
    assert response.headers["Location"].startswith("/stash/log/?after=")

    form = at_home.get(response.headers["Location"]).context["form"]
    assert [str(form[name].value()) for name in ("day", "place", "bought_from", "currency", "name")] == [
        "2024-11-20",
        "Blue box",
        "Market stall",
        "CAD",
        "None",
    ]


def test_a_name_she_has_already_offers_to_log_more_of_it(at_home: Client, kelp: Fabric) -> None:
    response = log(at_home, name=" kelp ")

    assert errors(response) == {"name": ["You have a fabric called Kelp already."]}
    assert f'formaction="/stash/{kelp.pk}/more/"' in response.content.decode()
    assert not Piece.objects.exists()


def test_what_was_typed_for_a_new_fabric_can_be_sent_as_more_of_an_old_one(at_home: Client, kelp: Fabric) -> None:
    response = at_home.post(f"/stash/{kelp.pk}/more/", LOG)

    assert response.headers["Location"] == f"/stash/{kelp.pk}/"
    assert Piece.objects.get().fabric == kelp


def test_while_a_name_is_typed_like_fabrics_are_offered(at_home: Client, kelp: Fabric) -> None:
    assert f"/stash/{kelp.pk}/more/" in at_home.get("/stash/log/names/", {"name": "elp"}).content.decode()
    assert "/more/" not in at_home.get("/stash/log/names/", {"name": "e"}).content.decode()
    assert "/more/" not in at_home.get("/stash/log/names/", {"name": "reed"}).content.decode()


@pytest.mark.parametrize(
    ("amount", "width", "understood"),
    [
        ("1 1/2 yd", "42 in", "One piece of 42 × 54 in"),
        ("3 x 1/2 yd, fat quarter", "42", "3 pieces of 42 × 18 in; one of 21 × 18 in"),
        ("45 x 18 in", "42", "is it the other way round?"),
        ("3 kg", "42", "is a weight"),
        ("1 yd", "wide", "Put the usable width right first"),
        ("", "42", ""),
    ],
)
def test_while_an_amount_is_typed_it_is_said_what_was_understood(
    at_home: Client, amount: str, width: str, understood: str
) -> None:
    response = at_home.post("/stash/log/understood/", {"amount": amount, "usable_width": width})

    assert understood in words(response)
    assert not Fabric.objects.exists()


def test_of_a_known_fabric_the_width_is_its_own(at_home: Client, kelp: Fabric) -> None:
    response = at_home.post(f"/stash/{kelp.pk}/more/understood/", {"amount": "1 yd", "usable_width": "10"})

    assert "42 × 36 in" in words(response)


def test_a_printed_panel_keeps_its_printed_size_and_seam(at_home: Client) -> None:
    log(at_home, kind="panel", amount="24 in", printed_width="23 1/2", printed_length="17.5", printed_seam="0")

    fabric = Fabric.objects.get()
    assert (fabric.printed, fabric.printed_seam) == (inches(23.5, 17.5), 0)


def test_the_printed_size_of_cloth_that_is_no_panel_is_passed_over(at_home: Client) -> None:
    log(at_home, printed_width="nonsense", printed_length="12")

    assert Fabric.objects.get().printed is None


@pytest.mark.parametrize(
    ("said", "field", "sentence"),
    [
        ({"printed_width": "10"}, "printed_length", "Give both sides of the printed picture, or neither."),
        (
            {"printed_width": "60", "printed_length": "60"},
            "printed_width",
            "The printed picture is larger than the cloth you have of it.",
        ),
    ],
)
def test_a_printed_size_that_cannot_be_is_said_at_its_field(
    at_home: Client, said: dict[str, str], field: str, sentence: str
) -> None:
    assert errors(log(at_home, kind="panel", **said)) == {field: [sentence]}


@pytest.mark.parametrize(
    ("picked", "code", "kept"),
    [
        ("#b7ae9f", "", "#b7ae9f"),  # nothing said: undyed
        ("#112233", "", "#112233"),  # picked, and no script to write its code
        ("#b7ae9f", "#445566", "#445566"),  # written
        ("#112233", "#445566", "#445566"),
    ],
)
def test_a_colour_is_picked_or_written(at_home: Client, picked: str, code: str, kept: str) -> None:
    log(at_home, picked=picked, colour=code)

    assert Fabric.objects.get().colour == kept
