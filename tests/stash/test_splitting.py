"""A piece is cut into smaller ones outside any plan."""

import pytest

from quiltbook.measures import Size
from stash.models import Fabric, Movement, Piece
from stash.services import cloth
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, bought, inches
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def sizes_on_shelf() -> list[Size]:
    return [piece.size for piece in Piece.objects.on_shelf()]


def test_the_parts_come_to_the_shelf_where_the_piece_lay_and_what_they_leave_is_waste(piece: Piece) -> None:
    movement = cloth.split(piece=piece, sizes=[inches(42, 18), inches(21, 18)], day=TODAY, now=NOW)

    assert sizes_on_shelf() == [inches(42, 18), inches(21, 18)]
    assert {p.place for p in Piece.objects.on_shelf()} == {"Blue box"}
    assert movement.waste_mm2 == piece.area_mm2 - sum(p.area_mm2 for p in Piece.objects.on_shelf())
    assert movement.difference_mm2 == 0
    assert lines(movement)[0] == (piece.pk, -1)
    assert balances(movement)


def test_what_whole_widths_leave_of_the_length_can_stay_a_piece(piece: Piece) -> None:
    movement = cloth.split(piece=piece, sizes=[inches(42, 9), inches(42, 4.5)], keep_rest=True, day=TODAY, now=NOW)

    assert sizes_on_shelf() == [inches(42, 9), inches(42, 4.5), inches(42, 22.5)]
    assert movement.waste_mm2 <= 2  # each area is rounded to a whole mm² by itself
    assert balances(movement)


def test_what_whole_lengths_leave_of_the_width_can_stay_a_piece(piece: Piece) -> None:
    cloth.split(piece=piece, sizes=[inches(12, 36)], keep_rest=True, day=TODAY, now=NOW)

    assert sizes_on_shelf() == [inches(12, 36), inches(30, 36)]


def test_areas_that_round_up_do_not_make_the_parts_larger_than_the_piece(kelp: Fabric) -> None:
    [piece] = bought(kelp, [inches(21, 18)])  # 243,870.48 mm², where the parts come to 60,967.62 and 182,902.86

    movement = cloth.split(piece=piece, sizes=[inches(21, 4.5)], keep_rest=True, day=TODAY, now=NOW)

    assert sizes_on_shelf() == [inches(21, 4.5), inches(21, 13.5)]
    assert (movement.waste_mm2, movement.difference_mm2) == (0, -1)
    assert balances(movement)


def test_parts_that_use_it_all_leave_no_rest(piece: Piece) -> None:
    cloth.split(piece=piece, sizes=[inches(42, 18)] * 2, keep_rest=True, day=TODAY, now=NOW)

    assert sizes_on_shelf() == [inches(42, 18)] * 2


@pytest.mark.parametrize(
    ("sizes", "keep_rest", "sentence"),
    [
        ([inches(43, 1)], False, "larger than the piece it is cut from"),
        ([inches(36, 42)], False, "larger than the piece it is cut from"),  # it would fit only across the grain
        ([inches(42, 20)] * 2, False, "together are larger"),
        ([inches(42, 20)] * 2, True, "together are larger"),
        ([inches(20, 20)], True, "write the rest as a part"),
        ([inches(42, 36)], False, "the whole piece"),
        ([inches(42, 36)], True, "the whole piece"),
    ],
)
def test_parts_that_cannot_be_are_refused(piece: Piece, sizes: list[Size], keep_rest: bool, sentence: str) -> None:
    with pytest.raises(StashError, match=sentence):
        cloth.split(piece=piece, sizes=sizes, keep_rest=keep_rest, day=TODAY, now=NOW)

    assert (Movement.objects.count(), sizes_on_shelf()) == (1, [inches(42, 36)])
