"""Cloth leaves for good: scrapped, or given away."""

import pytest

from stash.models import Piece
from stash.services import cloth
from stash.services.errors import StashError
from tests.factories import NOW, TODAY
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def test_what_is_scrapped_is_waste(piece: Piece) -> None:
    movement = cloth.scrap(piece=piece, day=TODAY, now=NOW, note="Moth")

    assert lines(movement) == [(piece.pk, -1)]
    assert (movement.waste_mm2, movement.difference_mm2, movement.note) == (piece.area_mm2, 0, "Moth")
    assert balances(movement)
    assert not Piece.objects.on_shelf().exists()


def test_what_is_given_away_is_no_waste(piece: Piece) -> None:
    movement = cloth.give_away(piece=piece, day=TODAY, now=NOW)

    assert (movement.waste_mm2, movement.difference_mm2) == (0, piece.area_mm2)
    assert balances(movement)
    assert not Piece.objects.on_shelf().exists()


def test_nothing_leaves_twice(piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)

    with pytest.raises(StashError, match="is not on the shelf"):
        cloth.give_away(piece=Piece.objects.get(), day=TODAY, now=NOW)
