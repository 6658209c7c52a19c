"""A piece is promised to one plan at a time."""

from datetime import timedelta
from typing import Any

import pytest

from stash.models import Fabric, Hold, Piece
from stash.services import cloth, holds, offcuts
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, bought, inches

pytestmark = pytest.mark.django_db


def hold(*pieces: Piece, reason: str = "Medallion") -> list[Hold]:
    return holds.hold(pieces=pieces, reason=reason, link="/plans/1/", now=NOW)


def test_a_held_piece_is_still_on_the_shelf_but_no_longer_free(piece: Piece) -> None:
    hold(piece)

    assert Piece.objects.on_shelf().get() == piece
    assert Piece.objects.held().get() == piece
    assert not Piece.objects.free().exists()


def test_who_comes_second_is_told_whom_it_is_held_for(piece: Piece) -> None:
    hold(piece)

    with pytest.raises(StashError, match=r"Kelp no\. 1 is held already for Medallion"):
        hold(piece, reason="Another")
    assert Hold.objects.live().get().reason == "Medallion"


def test_every_piece_is_held_or_none(kelp: Fabric) -> None:
    first, second = bought(kelp, [inches(1, 1)] * 2)
    hold(second)

    with pytest.raises(StashError):
        hold(first, second, reason="Another")
    assert Hold.objects.get().piece == second


def test_a_released_piece_can_be_held_again(piece: Piece) -> None:
    assert holds.release(holds=hold(piece), now=NOW) == 1
    assert Piece.objects.free().get() == piece

    hold(piece, reason="Another")
    assert [h.reason for h in Hold.objects.live()] == ["Another"]


def test_what_was_released_already_is_not_released_again(piece: Piece) -> None:
    held = hold(piece)
    holds.release(holds=held, now=NOW)

    assert holds.release(holds=held, now=NOW + timedelta(days=1)) == 0
    assert Hold.objects.get().released_at == NOW


def test_a_piece_that_has_left_the_shelf_cannot_be_held(piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)

    with pytest.raises(StashError, match="no longer on the shelf"):
        hold(piece)


def test_an_expected_offcut_can_be_held_before_it_is_cut(kelp: Fabric) -> None:
    [offcut] = offcuts.expect(fabric=kelp, sizes=[inches(8, 30)])

    hold(offcut)

    assert Piece.objects.held().get() == offcut
    assert not Piece.objects.on_shelf().exists()


@pytest.mark.parametrize("deed", ["wash", "recount", "split", "scrap", "give_away"])
def test_a_held_piece_cannot_be_changed_or_let_go(piece: Piece, deed: str) -> None:
    hold(piece)
    needed: dict[str, dict[str, Any]] = {
        "wash": {"measured": inches(41, 35)},
        "recount": {"measured": None},
        "split": {"sizes": [inches(42, 18)]},
    }

    with pytest.raises(StashError, match=r"Kelp no\. 1 is held for Medallion: release it there first"):
        getattr(cloth, deed)(piece=piece, day=TODAY, now=NOW, **needed.get(deed, {}))
    assert Piece.objects.get().on_shelf
