"""Offcuts that a cutting will leave are expected, and come out as they measure."""

import pytest

from stash.models import Fabric, Movement, Piece
from stash.services import holds, ledger, offcuts
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, inches

pytestmark = pytest.mark.django_db


def test_an_expected_offcut_is_neither_on_the_shelf_nor_in_the_ledger(kelp: Fabric) -> None:
    [offcut] = offcuts.expect(fabric=kelp, sizes=[inches(8, 30)])

    assert (offcut.expected, offcut.on_shelf) == (True, False)
    assert not Movement.objects.exists()


def test_it_comes_to_the_shelf_with_the_size_it_measures(kelp: Fabric, piece: Piece) -> None:
    [offcut] = offcuts.expect(fabric=kelp, sizes=[inches(8, 30)])

    offcuts.measured(piece=offcut, size=inches(7.5, 30))
    ledger.record(
        owner=piece.owner,
        kind=Movement.Kind.CUT,
        day=TODAY,
        now=NOW,
        leaving=[piece],
        coming=[ledger.Coming(offcut, "Drawer")],
    )

    offcut.refresh_from_db()
    assert (offcut.size, offcut.on_shelf, offcut.expected, offcut.place) == (inches(7.5, 30), True, False, "Drawer")


def test_the_size_of_a_piece_that_has_lain_on_the_shelf_never_changes(piece: Piece) -> None:
    with pytest.raises(StashError, match="the size of a piece never changes"):
        offcuts.measured(piece=piece, size=inches(1, 1))


def test_it_is_no_longer_expected_once_withdrawn_unless_somebody_holds_it(kelp: Fabric) -> None:
    free, held = offcuts.expect(fabric=kelp, sizes=[inches(8, 30)] * 2)
    holds.hold(pieces=[held], reason="Second plan", link="/plans/2/", now=NOW)

    offcuts.no_longer_expect(pieces=[free])
    with pytest.raises(StashError, match="is held for Second plan"):
        offcuts.no_longer_expect(pieces=[held])

    assert list(Piece.objects.expected()) == [held]
