"""A piece's page: everything that can be done to it, each with a way back."""

import pytest
from django.test import Client

from stash.models import Movement, Piece
from stash.services import cloth, holds
from tests.factories import NOW, TODAY, inches
from tests.stash.typing_in import plain, words

pytestmark = pytest.mark.django_db

DEEDS = {
    "move": ({"place": "Table"}, "moved no. 1 (42 × 36 in) from Blue box to Table."),
    "wash": ({"width": "41", "length": "35"}, "washed no. 1 (42 × 36 in); it is now no. 2 (41 × 35 in)."),
    "count": ({"width": "42", "length": "35 1/2"}, "counted no. 1 (42 × 36 in): it is no. 2 (42 × 35 1/2 in)."),
    "split": (
        {"amount": "1/4 yd", "keep_rest": "on"},
        "cut no. 1 (42 × 36 in) into no. 2 (42 × 9 in) and no. 3 (42 × 27 in).",
    ),
    "give": ({"note": "To Bea"}, "gave away no. 1 (42 × 36 in)."),
    "scrap": ({"note": ""}, "scrapped no. 1 (42 × 36 in)."),
    "gone": ({"note": "Not in the box"}, "counted: no. 1 (42 × 36 in) is no longer there."),
}


def shelf() -> list[tuple[int, str]]:
    return [(piece.pk, piece.place) for piece in Piece.objects.on_shelf()]


@pytest.mark.parametrize("deed", DEEDS)
def test_each_deed_is_said_and_can_be_undone_at_once(at_home: Client, piece: Piece, deed: str) -> None:
    said, sentence = DEEDS[deed]
    before = shelf()

    page = at_home.post(f"/stash/pieces/{piece.pk}/{deed}/", said, follow=True)
    movement = Movement.objects.latest("pk")
    undo = f"/stash/movements/{movement.pk}/undo/"

    assert shelf() != before
    assert f"Kelp: {sentence}" in words(page)
    assert movement.note == said.get("note", "")
    assert f'action="{undo}"' in words(page)
    at_home.post(undo)
    assert shelf() == before


def test_the_size_it_has_stands_ready_to_be_corrected(at_home: Client, piece: Piece) -> None:
    page = words(at_home.get(f"/stash/pieces/{piece.pk}/"))

    assert page.count('value="42 in"') == 2  # washed, and measured again
    assert page.count('value="36 in"') == 2
    assert 'value="Blue box"' in page


def test_a_held_piece_can_only_be_moved_and_says_where_to_release_it(at_home: Client, piece: Piece) -> None:
    holds.hold(pieces=[piece], reason="Tide medallion", link="/plans/7/", now=NOW)

    page = at_home.get(f"/stash/pieces/{piece.pk}/")
    assert [each["key"] for each in page.context["acts"]] == ["move"]
    assert 'Held for <a href="/plans/7/">Tide medallion</a>' in words(page)

    refused = at_home.post(f"/stash/pieces/{piece.pk}/scrap/", {"note": "Moth"})
    assert "Kelp no. 1 is held for Tide medallion: release it there first." in words(refused)
    assert 'value="Moth"' in words(refused)
    assert shelf() == [(piece.pk, "Blue box")]

    at_home.post(f"/stash/pieces/{piece.pk}/move/", {"place": "Table"})
    assert shelf() == [(piece.pk, "Table")]


def test_a_piece_that_is_no_longer_there_keeps_its_page_and_its_history(at_home: Client, piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)

    page = at_home.get(f"/stash/pieces/{piece.pk}/")
    assert page.context["acts"] == []
    assert "No longer there" in words(page)
    assert "Scrapped no. 1" in words(page)

    refused = at_home.post(f"/stash/pieces/{piece.pk}/wash/", {"width": "1", "length": "1"})
    assert "Kelp no. 1 is not on the shelf." in words(refused)


def test_its_history_is_only_its_own(at_home: Client, piece: Piece) -> None:
    cloth.find(fabric=piece.fabric, sizes=[inches(3, 3)], place="", day=TODAY, now=NOW)

    rows = at_home.get(f"/stash/pieces/{piece.pk}/").context["history"]

    assert [plain(row.sentence) for row in rows] == ["Bought no. 1 (42 × 36 in)."]


def test_of_two_tabs_that_change_the_same_piece_the_second_is_told(at_home: Client, piece: Piece) -> None:
    at_home.post(f"/stash/pieces/{piece.pk}/wash/", {"width": "41", "length": "35"})

    second = at_home.post(f"/stash/pieces/{piece.pk}/count/", {"width": "40", "length": "30"})

    assert "Kelp no. 1 is not on the shelf." in words(second)
    assert [p.size for p in Piece.objects.on_shelf()] == [inches(41, 35)]
