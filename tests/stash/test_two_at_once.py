"""Two tabs do something to the same cloth at the same moment: one of them wins, the other is told why."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from stash.models import Hold, Movement, Piece
from stash.services import cloth, holds, ledger
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, inches
from tests.stash.ledger import balances, told_by_the_lines

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*deeds: Callable[[], object]) -> list[str]:
    """Do all of them from threads of their own, started together; returns what the refused ones were told."""
    start = Barrier(len(deeds))

    def attempt(deed: Callable[[], object]) -> str:
        try:
            start.wait(timeout=10)
            deed()
        except StashError as why:
            return str(why)
        finally:
            connection.close()
        return ""

    with ThreadPoolExecutor(len(deeds)) as threads:
        return [told for told in threads.map(attempt, deeds) if told]


def own(piece: Piece) -> Piece:
    """The piece as a tab of its own would have read it."""
    return Piece.objects.select_related("fabric").get(pk=piece.pk)


def test_of_two_holds_exactly_one_wins(piece: Piece) -> None:
    def hold(reason: str) -> Callable[[], object]:
        mine = own(piece)
        return lambda: holds.hold(pieces=[mine], reason=reason, link="/plans/1/", now=NOW)

    [told] = at_once(hold("Medallion"), hold("Pond"))

    winner = Hold.objects.live().get()
    assert told == f"Kelp no. 1 is held already for {winner.reason}."


def test_cloth_is_either_held_or_scrapped(piece: Piece) -> None:
    one, other = own(piece), own(piece)

    [told] = at_once(
        lambda: holds.hold(pieces=[one], reason="Medallion", link="/plans/1/", now=NOW),
        lambda: cloth.scrap(piece=other, day=TODAY, now=NOW),
    )

    held, there = Hold.objects.live().exists(), Piece.objects.on_shelf().exists()
    assert held == there
    assert told in {
        "Kelp no. 1 is held for Medallion: release it there first.",
        "Kelp no. 1 is no longer on the shelf.",
    }


def test_the_same_cloth_is_changed_once(piece: Piece) -> None:
    tabs = [own(piece) for _ in range(4)]

    told = at_once(*(lambda p=p: cloth.wash(piece=p, measured=inches(41, 35), day=TODAY, now=NOW) for p in tabs))

    assert told == ["Kelp no. 1 is not on the shelf."] * 3
    assert [p.size for p in Piece.objects.on_shelf()] == [inches(41, 35)]


def test_a_movement_is_undone_once(piece: Piece) -> None:
    scrapped = cloth.scrap(piece=piece, day=TODAY, now=NOW)

    told = at_once(*[lambda: ledger.undo(movement=scrapped, day=TODAY, now=NOW)] * 3)

    assert told == ["This has been undone already."] * 2
    assert Movement.objects.count() == 3


def test_pieces_that_come_at_once_are_numbered_apart(piece: Piece) -> None:
    def find() -> object:
        return cloth.find(fabric=piece.fabric, sizes=[inches(1, 1)] * 3, place="", day=TODAY, now=NOW)

    assert at_once(*[find] * 4) == []

    assert list(Piece.objects.order_by("number").values_list("number", flat=True)) == list(range(1, 14))
    assert all(balances(movement) for movement in Movement.objects.all())
    assert set(told_by_the_lines().values()) == {1}
