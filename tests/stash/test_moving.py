"""Cloth is put elsewhere."""

import pytest

from stash.models import Fabric, Movement, Piece
from stash.services import cloth, holds
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, bought, inches
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def test_moving_keeps_the_piece_and_changes_its_place(piece: Piece) -> None:
    movement = cloth.move(piece=piece, place="Sewing table", day=TODAY, now=NOW)

    piece.refresh_from_db()
    assert (piece.place, piece.on_shelf) == ("Sewing table", True)
    assert lines(movement) == [(piece.pk, -1), (piece.pk, 1)]
    assert [line.place for line in movement.lines.all()] == ["Blue box", "Sewing table"]
    assert (movement.difference_mm2, movement.waste_mm2) == (0, 0)
    assert balances(movement)


def test_a_piece_that_lies_there_already_is_not_moved(piece: Piece) -> None:
    with pytest.raises(StashError, match="It lies there already"):
        cloth.move(piece=piece, place="Blue box", day=TODAY, now=NOW)
    assert Movement.objects.count() == 1


def test_a_held_piece_may_be_moved(piece: Piece) -> None:
    holds.hold(pieces=[piece], reason="Medallion", link="/plans/1/", now=NOW)

    cloth.move(piece=piece, place="Sewing table", day=TODAY, now=NOW)

    piece.refresh_from_db()
    assert piece.place == "Sewing table"


def test_a_whole_fabric_is_moved_in_one_movement_without_what_lies_there(kelp: Fabric) -> None:
    here, there = bought(kelp, [inches(1, 1)] * 2, place="Box")
    cloth.move(piece=there, place="Drawer", day=TODAY, now=NOW)

    movement = cloth.move_all(pieces=[here, there], place="Drawer", day=TODAY, now=NOW)

    assert lines(movement) == [(here.pk, -1), (here.pk, 1)]
    assert set(Piece.objects.values_list("place", flat=True)) == {"Drawer"}
