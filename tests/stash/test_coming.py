"""Cloth comes: bought, or counted for the first time."""

from decimal import Decimal

import pytest

from stash.models import Fabric, Movement, Piece
from stash.services import cloth
from stash.services.cloth import Paid
from tests.factories import NOW, TODAY, inches
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def test_a_purchase_puts_every_piece_on_the_shelf_in_one_movement(kelp: Fabric) -> None:
    movement = cloth.buy(
        fabric=kelp,
        sizes=[inches(42, 54), inches(21, 18)],
        paid=Paid(Decimal("21.50"), "USD", "Market stall"),
        place="Blue box",
        day=TODAY,
        now=NOW,
    )

    first, second = Piece.objects.on_shelf()
    assert lines(movement) == [(first.pk, 1), (second.pk, 1)]
    assert [(p.number, p.size, p.place, p.on_shelf) for p in (first, second)] == [
        (1, inches(42, 54), "Blue box", True),
        (2, inches(21, 18), "Blue box", True),
    ]
    assert (movement.purchase.price, movement.purchase.bought_from) == (Decimal("21.50"), "Market stall")


def test_what_is_bought_comes_from_outside_so_the_difference_is_its_area_below_nothing(kelp: Fabric) -> None:
    movement = cloth.buy(fabric=kelp, sizes=[inches(10, 10)], paid=Paid(None, "USD"), place="", day=TODAY, now=NOW)

    assert movement.difference_mm2 == -64516  # 254 mm x 254 mm
    assert balances(movement)


def test_cloth_that_lay_there_unrecorded_is_counted_without_a_purchase(kelp: Fabric) -> None:
    movement = cloth.find(fabric=kelp, sizes=[inches(42, 9)], place="Drawer", day=TODAY, now=NOW)

    assert movement.kind == Movement.Kind.COUNTED
    assert not hasattr(movement, "purchase")
    assert Piece.objects.get().place == "Drawer"
    assert balances(movement)


def test_numbers_go_on_within_a_fabric_and_are_never_given_twice(kelp: Fabric, piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)
    cloth.find(fabric=kelp, sizes=[inches(1, 1)], place="", day=TODAY, now=NOW)

    assert list(Piece.objects.values_list("number", flat=True)) == [1, 2]


def test_several_pieces_share_a_label_by_counting_on_it(kelp: Fabric) -> None:
    cloth.find(fabric=kelp, sizes=[inches(1, 1)] * 2, place="", label="Scrap", day=TODAY, now=NOW)
    cloth.find(fabric=kelp, sizes=[inches(2, 2)], place="", label="Good one", day=TODAY, now=NOW)

    assert [p.name for p in Piece.objects.all()] == ["Scrap 1", "Scrap 2", "Good one"]
