"""A place is counted: what differs is written down when the count is done, all at once, and not before."""

from datetime import timedelta

import pytest

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, Piece, Stocktake, StocktakeMark
from stash.services import cloth, holds, ledger, stocktake
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, inches
from tests.stash.ledger import balances

pytestmark = pytest.mark.django_db

THEN = NOW + timedelta(hours=1)
LATER = NOW + timedelta(hours=2)
THERE, MISSING, RESIZED = StocktakeMark.Found.THERE, StocktakeMark.Found.MISSING, StocktakeMark.Found.RESIZED
BOX = "Blue box"


@pytest.fixture
def count(owner: Person, piece: Piece) -> Stocktake:
    """A count of the blue box, in which a yard of kelp should lie."""
    return stocktake.begin(owner=owner, place=BOX, now=THEN)


def finish(count: Stocktake) -> list[str]:
    return stocktake.finish(stocktake=count, day=TODAY, now=LATER)


def recorded() -> list[str]:
    return [
        str(kind) for kind in Movement.objects.filter(recorded_at=LATER).order_by("pk").values_list("kind", flat=True)
    ]


def test_marking_changes_no_cloth_until_the_count_is_done(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)

    assert Piece.objects.on_shelf().get() == piece
    assert Movement.objects.count() == 1


def test_a_place_is_counted_once_at_a_time_and_gone_on_with(count: Stocktake, owner: Person) -> None:
    assert stocktake.begin(owner=owner, place=BOX, now=LATER) == count
    assert stocktake.begin(owner=owner, place="", now=LATER) != count


def test_what_is_there_is_written_down_as_nothing(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=THERE)

    assert finish(count) == []
    assert recorded() == []
    count.refresh_from_db()
    assert (count.recorded, count.ended_at) == (True, LATER)


def test_what_is_missing_leaves_the_shelf_and_what_is_another_size_is_that_size(
    count: Stocktake, piece: Piece, kelp: Fabric
) -> None:
    other = PieceFactory.create(fabric=kelp, size=inches(42, 18), place=BOX)
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)
    stocktake.mark(stocktake=count, piece=other, found=RESIZED, size=inches(42, 17))

    assert finish(count) == []

    assert [(p.size, p.place) for p in Piece.objects.on_shelf()] == [(inches(42, 17), BOX)]
    assert recorded() == ["counted", "counted"]
    assert all(balances(movement) for movement in Movement.objects.all())


def test_the_size_written_down_is_no_other_size(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=RESIZED, size=piece.size)

    assert StocktakeMark.objects.get().found == THERE


def test_what_she_did_not_look_at_stays_as_it_is(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)
    stocktake.unmark(stocktake=count, piece=piece)

    assert finish(count) == []
    assert Piece.objects.on_shelf().get() == piece


def test_all_the_rest_is_there_marks_only_what_is_not_marked(count: Stocktake, piece: Piece, kelp: Fabric) -> None:
    PieceFactory.create(fabric=kelp, place=BOX)
    PieceFactory.create(fabric=kelp, place="Red box")
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)

    assert stocktake.rest_is_there(stocktake=count) == 1
    assert sorted(StocktakeMark.objects.values_list("found", flat=True)) == [MISSING, THERE]


@pytest.mark.parametrize("measured", [None, inches(40, 30)])
def test_what_lay_elsewhere_and_is_found_here_is_moved_here(count: Stocktake, kelp: Fabric, measured: object) -> None:
    stray = PieceFactory.create(fabric=kelp, size=inches(42, 31), place="Red box")
    size = inches(40, 30) if measured else None
    stocktake.mark(stocktake=count, piece=stray, found=RESIZED if size else THERE, size=size)

    assert finish(count) == []
    found = Piece.objects.on_shelf().filter(place=BOX).latest("pk")
    assert found.size == (size or stray.size)
    assert recorded() == (["moved", "counted"] if size else ["moved"])


def test_held_cloth_is_told_of_and_not_ended_while_the_rest_is_written_down(
    count: Stocktake, piece: Piece, kelp: Fabric
) -> None:
    other = PieceFactory.create(fabric=kelp, place=BOX)
    holds.hold(pieces=[piece], reason="the medallion", link="/plans/1/", now=NOW)
    for each in (piece, other):
        stocktake.mark(stocktake=count, piece=each, found=MISSING)

    [sentence] = finish(count)

    assert "is held for the medallion" in sentence
    assert Piece.objects.on_shelf().get() == piece
    assert recorded() == ["counted"]


def test_what_was_put_elsewhere_while_it_was_counted_stays_there(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=THERE)
    cloth.move(piece=piece, place="Sewing table", day=TODAY, now=THEN + timedelta(minutes=1))

    [sentence] = finish(count)

    assert "was moved to Sewing table since" in sentence
    assert Piece.objects.on_shelf().get().place == "Sewing table"


def test_what_was_used_up_while_it_was_counted_is_told_of(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=THERE)
    cloth.scrap(piece=piece, day=TODAY, now=THEN)

    [sentence] = finish(count)
    assert "no longer written down as cloth you have" in sentence


def test_a_dropped_count_writes_nothing_down_and_can_be_gone_on_with(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)
    stocktake.drop(stocktake=count, now=LATER)

    assert recorded() == []
    stocktake.reopen(stocktake=count, day=TODAY, now=LATER)
    assert Stocktake.objects.under_way().get().marks.get().found == MISSING


def test_a_count_taken_back_undoes_all_it_wrote_and_can_be_done_again(
    count: Stocktake, piece: Piece, kelp: Fabric
) -> None:
    stray = PieceFactory.create(fabric=kelp, place="Red box")
    stocktake.mark(stocktake=count, piece=piece, found=RESIZED, size=inches(41, 30))
    stocktake.mark(stocktake=count, piece=stray, found=THERE)
    finish(count)

    stocktake.reopen(stocktake=count, day=TODAY, now=LATER + timedelta(minutes=1))

    assert {(p.pk, p.place) for p in Piece.objects.on_shelf()} == {(piece.pk, BOX), (stray.pk, "Red box")}
    assert stocktake.finish(stocktake=count, day=TODAY, now=LATER + timedelta(minutes=2)) == []
    assert sorted(p.place for p in Piece.objects.on_shelf()) == [BOX, BOX]


def test_a_count_is_taken_back_whole_or_not_at_all(count: Stocktake, piece: Piece, kelp: Fabric) -> None:
    other = PieceFactory.create(fabric=kelp, place=BOX)
    stocktake.mark(stocktake=count, piece=piece, found=RESIZED, size=inches(41, 30))
    stocktake.mark(stocktake=count, piece=other, found=MISSING)
    finish(count)
    after = Piece.objects.on_shelf().get()
    cloth.move(piece=after, place="Sewing table", day=TODAY, now=LATER)

    with pytest.raises(StashError, match="has been moved or cut since"):
        stocktake.reopen(stocktake=count, day=TODAY, now=LATER)
    assert list(Piece.objects.on_shelf()) == [after]


def test_what_was_undone_by_hand_meanwhile_is_not_undone_again(count: Stocktake, piece: Piece) -> None:
    stocktake.mark(stocktake=count, piece=piece, found=MISSING)
    finish(count)
    ledger.undo(movement=Movement.objects.get(recorded_at=LATER), day=TODAY, now=LATER)

    stocktake.reopen(stocktake=count, day=TODAY, now=LATER)
    assert Piece.objects.on_shelf().get() == piece


def test_a_count_that_has_ended_takes_no_more_marks(count: Stocktake, piece: Piece) -> None:
    finish(count)

    for act in (
        lambda: stocktake.mark(stocktake=count, piece=piece, found=MISSING),
        lambda: stocktake.rest_is_there(stocktake=count),
        lambda: finish(count),
        lambda: stocktake.drop(stocktake=count, now=LATER),
    ):
        with pytest.raises(StashError, match="has ended"):
            act()


def test_cloth_that_is_no_longer_there_cannot_be_marked(count: Stocktake, piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=THEN)

    with pytest.raises(StashError, match="not on the shelf"):
        stocktake.mark(stocktake=count, piece=piece, found=THERE)


def test_a_count_cannot_be_taken_back_while_the_place_is_counted_again(count: Stocktake, owner: Person) -> None:
    finish(count)
    stocktake.begin(owner=owner, place=BOX, now=LATER)

    with pytest.raises(StashError, match="counted again already"):
        stocktake.reopen(stocktake=count, day=TODAY, now=LATER)


def test_her_own_pieces_alone_are_the_rest(count: Stocktake, friend: Person) -> None:
    PieceFactory.create(fabric=FabricFactory.create(owner=friend), place=BOX)

    assert stocktake.rest_is_there(stocktake=count) == 1
