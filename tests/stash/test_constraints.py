"""What the database itself will not take, each rule tried on both sides."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Movement, MovementLine, Piece, Purchase
from tests.factories import NOW, TODAY, FabricFactory

pytestmark = pytest.mark.django_db


def refused(make: Callable[[], object], rule: str) -> None:
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        make()


def make_fabric(owner: Person, **said: Any) -> Fabric:
    facts = {"name": "Reed", "usable_width": 1, "colour": "#2f4b7c", "created_at": NOW}
    return Fabric.objects.create(owner=owner, **(facts | said))


def make_piece(fabric: Fabric, **said: Any) -> Piece:
    facts = {"number": Piece.objects.count() + 1, "width": 1, "length": 1}
    return Piece.objects.create(owner=fabric.owner, fabric=fabric, **(facts | said))


def make_movement(owner: Person, **said: Any) -> Movement:
    facts = {"kind": "counted", "day": TODAY, "recorded_at": NOW}
    return Movement.objects.create(owner=owner, **(facts | said))


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"usable_width": 0}, "fabric_has_width"),
        ({"name": ""}, "fabric_has_a_name"),
        ({"kind": "tin"}, "fabric_kind_known"),
        ({"print_direction": "sideways"}, "fabric_direction_known"),
        ({"printed_width": 1}, "fabric_printed_size_whole_or_absent"),
        ({"printed_width": 1, "printed_length": 1}, "fabric_printed_size_whole_or_absent"),
        ({"printed_width": 0, "printed_length": 1, "printed_seam": 0}, "fabric_printed_size_whole_or_absent"),
        ({"printed_width": 1, "printed_length": 1, "printed_seam": -1}, "fabric_printed_size_whole_or_absent"),
    ],
)
def test_a_fabric_that_makes_no_sense_is_refused(owner: Person, said: dict[str, Any], rule: str) -> None:
    refused(lambda: make_fabric(owner, **said), rule)


@pytest.mark.parametrize("kind", Fabric.Kind)
@pytest.mark.parametrize("direction", Fabric.PrintDirection)
def test_every_kind_and_direction_is_known_to_the_database(owner: Person, kind: str, direction: str) -> None:
    make_fabric(owner, kind=kind, print_direction=direction)


def test_a_printed_size_is_whole_or_absent(owner: Person) -> None:
    make_fabric(owner, name="With", printed_width=1, printed_length=1, printed_seam=0)
    make_fabric(owner, name="Without")


def test_a_name_is_hers_once_but_others_may_have_it_too(owner: Person, friend: Person) -> None:
    make_fabric(owner)
    make_fabric(friend)

    refused(lambda: make_fabric(owner), r"fabric_name_once_per_owner|owner_id, stash_fabric\.name")


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"width": 0}, "piece_has_a_size"),
        ({"length": -1}, "piece_has_a_size"),
        ({"on_shelf": True, "expected": True}, "piece_not_both_here_and_expected"),
        ({"number": 1}, r"piece_number_once_per_fabric|fabric_id, stash_piece\.number"),
    ],
)
def test_a_piece_that_makes_no_sense_is_refused(kelp: Fabric, said: dict[str, Any], rule: str) -> None:
    make_piece(kelp)
    refused(lambda: make_piece(kelp, **said), rule)


def test_a_piece_is_here_or_expected_or_neither_and_numbered_within_its_fabric(kelp: Fabric) -> None:
    for said in ({"on_shelf": True}, {"expected": True}, {}):
        make_piece(kelp, **said)
    make_piece(FabricFactory.create(owner=kelp.owner), number=1)


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"kind": "lost"}, "movement_kind_known"),
        ({"kind": "reversed"}, "movement_reversal_names_what_it_reverses"),
        ({"patches_mm2": -1}, "movement_patches_and_waste_not_negative"),
        ({"waste_mm2": -1}, "movement_patches_and_waste_not_negative"),
    ],
)
def test_a_movement_that_makes_no_sense_is_refused(owner: Person, said: dict[str, Any], rule: str) -> None:
    refused(lambda: make_movement(owner, **said), rule)


def test_only_a_reversal_names_what_it_reverses_and_may_give_waste_back(owner: Person) -> None:
    for kind in Movement.Kind:
        if kind != Movement.Kind.REVERSED:
            make_movement(owner, kind=kind, difference_mm2=-1)
    undone = make_movement(owner, waste_mm2=1)
    make_movement(owner, kind="reversed", reverses=undone, waste_mm2=-1)

    refused(lambda: make_movement(owner, reverses=make_movement(owner)), "movement_reversal_names_what_it_reverses")


def test_a_movement_is_reversed_once(owner: Person) -> None:
    undone = make_movement(owner)
    make_movement(owner, kind="reversed", reverses=undone)

    refused(lambda: make_movement(owner, kind="reversed", reverses=undone), "reverses_id")


def test_a_line_is_minus_or_plus_one_and_once_each_way(kelp: Fabric) -> None:
    movement, piece = make_movement(kelp.owner), make_piece(kelp)

    def line(change: int) -> MovementLine:
        return MovementLine.objects.create(movement=movement, piece=piece, change=change)

    line(-1)
    line(1)
    refused(lambda: line(1), r"line_once_each_way_per_movement|movement_id, .*piece_id, .*change")
    refused(lambda: line(2), "line_is_minus_or_plus_one")
    refused(lambda: line(0), "line_is_minus_or_plus_one")


def test_a_price_is_nothing_or_more_or_not_known(owner: Person) -> None:
    for price in (None, Decimal(0), Decimal("0.01")):
        Purchase.objects.create(movement=make_movement(owner), price=price, currency="EUR")

    refused(
        lambda: Purchase.objects.create(movement=make_movement(owner), price=Decimal("-0.01"), currency="EUR"),
        "purchase_price_not_negative",
    )


def test_a_piece_has_one_live_hold_and_any_number_of_past_ones(kelp: Fabric) -> None:
    piece = make_piece(kelp)

    def hold(**said: Any) -> Hold:
        return Hold.objects.create(
            owner=kelp.owner, piece=piece, reason="Medallion", link="/plans/1/", held_at=NOW, **said
        )

    hold(released_at=NOW)
    hold(released_at=NOW + timedelta(days=1))
    hold()
    refused(hold, r"one_live_hold_a_piece|stash_hold\.piece_id")
    refused(lambda: hold(released_at=NOW - timedelta(seconds=1)), "hold_released_after_held")
