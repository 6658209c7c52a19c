"""What was done is undone by its opposite, unless something has come of it since."""

from collections.abc import Callable

import pytest

from stash.models import Fabric, Movement, Piece
from stash.services import cloth, holds, ledger
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, bought, inches
from tests.stash.ledger import balances

pytestmark = pytest.mark.django_db

DEEDS: dict[str, Callable[[Piece], Movement]] = {
    "counted": lambda p: cloth.recount(piece=p, measured=inches(41, 36), day=TODAY, now=NOW),
    "gone": lambda p: cloth.recount(piece=p, measured=None, day=TODAY, now=NOW),
    "washed": lambda p: cloth.wash(piece=p, measured=inches(41, 35), day=TODAY, now=NOW),
    "split": lambda p: cloth.split(piece=p, sizes=[inches(42, 12), inches(20, 12)], day=TODAY, now=NOW),
    "scrapped": lambda p: cloth.scrap(piece=p, day=TODAY, now=NOW),
    "given away": lambda p: cloth.give_away(piece=p, day=TODAY, now=NOW),
    "moved": lambda p: cloth.move(piece=p, place="Table", day=TODAY, now=NOW),
}


def shelf() -> list[tuple[int, str]]:
    return [(piece.pk, piece.place) for piece in Piece.objects.on_shelf()]


def undo(movement: Movement) -> Movement:
    return ledger.reverse(movement=movement, day=TODAY, now=NOW)


@pytest.mark.parametrize("deed", DEEDS)
def test_a_reversal_puts_the_shelf_back_as_it_was(piece: Piece, deed: str) -> None:
    before = shelf()
    movement = DEEDS[deed](piece)
    assert shelf() != before

    reversal = undo(movement)

    assert shelf() == before
    assert balances(reversal)
    assert (reversal.waste_mm2, reversal.difference_mm2) == (-movement.waste_mm2, -movement.difference_mm2)
    assert reversal.reverses == movement


@pytest.mark.parametrize("deed", DEEDS)
def test_a_reversal_reversed_is_the_deed_done_again(piece: Piece, deed: str) -> None:
    movement = DEEDS[deed](piece)
    after = shelf()

    again = undo(undo(movement))

    assert shelf() == after
    assert balances(again)
    assert again.waste_mm2 == movement.waste_mm2
    assert again.root == movement


def test_a_purchase_undone_takes_its_cloth_off_the_shelf(piece: Piece) -> None:
    undo(Movement.objects.get())

    assert shelf() == []


@pytest.mark.parametrize("deed", DEEDS)
def test_a_reversal_is_refused_when_a_piece_that_resulted_has_moved_since(piece: Piece, deed: str) -> None:
    purchase = Movement.objects.get()
    DEEDS[deed](piece)
    told = Movement.objects.count()

    with pytest.raises(StashError, match=r"Kelp no\. 1 has been moved or cut since"):
        undo(purchase)
    assert Movement.objects.count() == told


def test_a_reversal_is_refused_while_a_piece_that_resulted_is_held(piece: Piece) -> None:
    purchase = Movement.objects.get()
    [hold] = holds.hold(pieces=[piece], reason="Medallion", link="/plans/1/", now=NOW)

    with pytest.raises(StashError, match=r"Kelp no\. 1 is held for Medallion: release it there first"):
        undo(purchase)

    holds.release(holds=[hold], now=NOW)
    undo(purchase)
    assert shelf() == []


def test_one_of_several_pieces_that_moved_keeps_the_whole_purchase(kelp: Fabric) -> None:
    _, second = bought(kelp, [inches(1, 1)] * 2)
    cloth.move(piece=second, place="Drawer", day=TODAY, now=NOW)

    with pytest.raises(StashError, match=r"no\. 2 has been moved"):
        undo(Movement.objects.earliest("pk"))
    assert len(shelf()) == 2


def test_nothing_is_undone_twice(piece: Piece) -> None:
    movement = cloth.scrap(piece=piece, day=TODAY, now=NOW)
    undo(movement)

    with pytest.raises(StashError, match="undone already"):
        undo(movement)


def test_what_a_plan_recorded_is_undone_on_the_plans_page_only(piece: Piece) -> None:
    cut = ledger.record(
        owner=piece.owner, kind=Movement.Kind.CUT, day=TODAY, now=NOW, leaving=[piece], link="/plans/1/cutting/"
    )

    with pytest.raises(StashError, match="undo it there"):
        ledger.undo(movement=cut, day=TODAY, now=NOW)
    with pytest.raises(StashError, match="undo it there"):
        ledger.undo(movement=undo(cut), day=TODAY, now=NOW)
