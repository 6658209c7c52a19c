"""Reading a page takes as many queries for much cloth as for little."""

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, Piece
from stash.services import cloth, holds, ledger
from tests.factories import NOW, TODAY, FabricFactory, bought, inches

pytestmark = pytest.mark.django_db


def fill(owner: Person, kelp: Fabric) -> None:
    """One more fabric with two pieces, and two more pieces and five more movements of kelp."""
    first, second = bought(FabricFactory.create(owner=owner), [inches(1, 1)] * 2, place="Box")
    holds.hold(pieces=[second], reason="Medallion", link="/plans/1/", now=NOW)
    first, second = bought(kelp, [inches(1, 1)] * 2, place=f"Box {kelp.pieces.count()}")
    holds.hold(pieces=[second], reason="Medallion", link="/plans/1/", now=NOW)
    cloth.move(piece=first, place="Table", day=TODAY, now=NOW)
    scrapped = cloth.scrap(piece=first, day=TODAY, now=NOW)
    back = ledger.reverse(movement=scrapped, day=TODAY, now=NOW)
    again = ledger.reverse(movement=back, day=TODAY, now=NOW)
    ledger.reverse(movement=again, day=TODAY, now=NOW)


def queries(read: Callable[[], object]) -> int:
    with CaptureQueriesContext(
        connection,
    ) as seen:
        read()
    return len(seen)


@pytest.mark.parametrize(
    "address",
    [
        "/stash/",
        "/stash/?words=box+kelp&free=on",
        "/stash/?near=%232f4b7c&amount=1+in&sort=most&tags=sea&place=Box",
        "/stash/?hue=blue&in_one=on&amount=1x1in&sort=rest&direction=any",
        "/stash/?like={fabric}&sort=hue",
        "/stash/colours/",
        "/stash/{fabric}/",
        "/stash/{fabric}/colours/",
        "/stash/{fabric}/more/",
    ],
)
def test_a_page_reads_as_often_for_much_cloth_as_for_little(
    at_home: Client, owner: Person, kelp: Fabric, address: str
) -> None:
    def read() -> None:
        assert at_home.get(address.format(fabric=kelp.pk)).status_code == 200

    fill(owner, kelp)
    few = queries(read)
    for _ in range(4):
        fill(owner, kelp)

    assert queries(read) == few
    assert few <= 20


def test_a_pieces_page_reads_as_often_after_many_deeds_as_after_few(at_home: Client, piece: Piece) -> None:
    def read() -> None:
        assert at_home.get(f"/stash/pieces/{piece.pk}/").status_code == 200

    few = queries(read)
    for n in range(6):
        cloth.move(piece=piece, place=f"Box {n}", day=TODAY, now=NOW)
    ledger.reverse(movement=Movement.objects.latest("pk"), day=TODAY, now=NOW)

    assert queries(read) == few
