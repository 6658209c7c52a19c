"""A piece is counted: another size than written down, or not there any more."""

import pytest

from stash.models import Movement, Piece
from stash.services import cloth
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, inches
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def test_another_size_ends_the_piece_and_begins_one_of_that_size_in_the_same_place(piece: Piece) -> None:
    movement = cloth.recount(piece=piece, measured=inches(41.5, 36), day=TODAY, now=NOW)

    found = Piece.objects.on_shelf().get()
    assert lines(movement) == [(piece.pk, -1), (found.pk, 1)]
    assert (found.size, found.place) == (inches(41.5, 36), "Blue box")
    assert movement.difference_mm2 == piece.area_mm2 - found.area_mm2
    assert balances(movement)


def test_the_label_goes_with_the_cloth(piece: Piece) -> None:
    piece.label = "Good one"
    cloth.recount(piece=piece, measured=inches(41, 36), day=TODAY, now=NOW)

    assert Piece.objects.on_shelf().get().name == "Good one"


def test_a_piece_that_is_not_there_any_more_leaves_its_area_as_the_difference(piece: Piece) -> None:
    movement = cloth.recount(piece=piece, measured=None, day=TODAY, now=NOW)

    assert not Piece.objects.on_shelf().exists()
    assert (movement.difference_mm2, movement.waste_mm2) == (piece.area_mm2, 0)


def test_a_count_that_finds_what_is_written_down_changes_nothing(piece: Piece) -> None:
    with pytest.raises(StashError, match="just what is written down"):
        cloth.recount(piece=piece, measured=inches(42, 36), day=TODAY, now=NOW)

    assert Movement.objects.count() == 1


def test_a_piece_that_has_left_the_shelf_cannot_be_counted(piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)

    with pytest.raises(StashError, match=r"Kelp no\. 1 is not on the shelf"):
        cloth.recount(piece=piece, measured=inches(1, 1), day=TODAY, now=NOW)
    assert Piece.objects.count() == 1
