"""A piece is washed, and measures less."""

import pytest

from stash.models import Movement, Piece
from stash.services import cloth
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, inches
from tests.stash.ledger import balances, lines

pytestmark = pytest.mark.django_db


def test_washing_ends_the_piece_and_begins_the_shrunken_one(piece: Piece) -> None:
    movement = cloth.wash(piece=piece, measured=inches(41, 34.5), day=TODAY, now=NOW)

    washed = Piece.objects.on_shelf().get()
    assert movement.kind == Movement.Kind.WASHED
    assert lines(movement) == [(piece.pk, -1), (washed.pk, 1)]
    assert (washed.size, washed.place) == (inches(41, 34.5), "Blue box")


def test_what_it_shrank_by_is_a_difference_and_no_waste(piece: Piece) -> None:
    movement = cloth.wash(piece=piece, measured=inches(41, 34.5), day=TODAY, now=NOW)

    shrunk_to = Piece.objects.on_shelf().get().area_mm2
    assert (movement.difference_mm2, movement.waste_mm2) == (piece.area_mm2 - shrunk_to, 0)
    assert balances(movement)


def test_cloth_that_did_not_shrink_was_washed_all_the_same(piece: Piece) -> None:
    movement = cloth.wash(piece=piece, measured=piece.size, day=TODAY, now=NOW)

    assert movement.difference_mm2 == 0
    assert Piece.objects.on_shelf().get().pk != piece.pk


def test_cloth_that_grew_beyond_belief_is_refused(piece: Piece) -> None:
    with pytest.raises(StashError, match="does not make cloth that much larger"):
        cloth.wash(piece=piece, measured=inches(42, 72), day=TODAY, now=NOW)
    assert piece.on_shelf
