"""The pages of a count: places, ticks, another size, cloth from elsewhere, and the end."""

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from quiltbook.people.models import Person
from stash.models import Fabric, Piece, Stocktake, StocktakeMark
from tests.factories import FabricFactory, PieceFactory, inches
from tests.stash.typing_in import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def count(at_home: Client, piece: Piece) -> Stocktake:
    at_home.post("/stash/counting/", {"place": "Blue box"})
    return Stocktake.objects.get()


def url(count: Stocktake, *more: object) -> str:
    return "/".join(["/stash/counting", str(count.pk), *(str(part) for part in more), ""])


def test_each_place_is_listed_with_how_much_lies_there(at_home: Client, piece: Piece, kelp: Fabric) -> None:
    PieceFactory.create(fabric=kelp)

    page = words(at_home.get("/stash/counting/"))

    assert page.index("Blue box") < page.index("Nowhere in particular")
    assert page.count("1 piece, not counted yet") == 2


def test_a_count_survives_leaving_the_page(at_home: Client, count: Stocktake, piece: Piece) -> None:
    at_home.post(url(count, "pieces", piece.pk), {"found": "there"})

    assert "Go on" in words(at_home.get("/stash/counting/"))
    assert "1 of 1 looked at" in words(at_home.get(url(count)))


def test_a_tick_answers_htmx_with_the_list_alone(at_home: Client, count: Stocktake, piece: Piece) -> None:
    answer = at_home.post(url(count, "pieces", piece.pk), {"found": "missing"}, headers={"HX-Request": "true"})

    assert answer.status_code == 200
    assert "<html" not in answer.content.decode()
    assert "1</b> to be written down otherwise" in answer.content.decode()


def test_a_tick_pressed_again_is_taken_back(at_home: Client, count: Stocktake, piece: Piece) -> None:
    at_home.post(url(count, "pieces", piece.pk), {"found": "there"})
    at_home.post(url(count, "pieces", piece.pk), {"found": "not looked"})

    assert not StocktakeMark.objects.exists()


@pytest.mark.parametrize("said", ["", "resized", "perhaps"])
def test_what_no_button_says_changes_nothing(at_home: Client, count: Stocktake, piece: Piece, said: str) -> None:
    answer = at_home.post(url(count, "pieces", piece.pk), {"found": said}, follow=True)

    assert "Press one of the buttons" in words(answer)
    assert not StocktakeMark.objects.exists()


def test_a_size_that_cannot_be_read_is_told_at_its_field_and_kept(
    at_home: Client, count: Stocktake, piece: Piece
) -> None:
    answer = at_home.post(url(count, "pieces", piece.pk, "size"), {"width": "a hand", "length": "30"})

    page = words(answer)
    assert answer.status_code == 200
    assert 'value="a hand"' in page
    assert f'id="p{piece.pk}_width_error"' in page
    assert not StocktakeMark.objects.exists()


def test_the_end_says_what_differed_and_offers_to_take_it_back(at_home: Client, count: Stocktake, piece: Piece) -> None:
    at_home.post(url(count, "pieces", piece.pk, "size"), {"width": "42", "length": "30"})

    page = words(at_home.post(url(count, "finish"), follow=True))

    assert "Kelp: counted no. 1 (42 × 36 in): it is no. 2 (42 × 30 in)." in page
    assert Piece.objects.on_shelf().get().size == inches(42, 30)
    page = words(at_home.post(url(count, "reopen"), follow=True))
    assert "1 of 1 looked at" in page
    assert Piece.objects.on_shelf().get().size == piece.size


def test_cloth_from_elsewhere_is_found_by_its_words_and_put_here(
    at_home: Client, count: Stocktake, owner: Person
) -> None:
    stray = PieceFactory.create(fabric=FabricFactory.create(owner=owner, name="Ochre check"), place="Red box")

    assert "It is here" in words(at_home.get(url(count), {"words": "ochre"}))
    assert "called that" in words(at_home.get(url(count), {"words": "zebra"}))
    at_home.post(url(count, "pieces", stray.pk), {"found": "there"})
    assert "written down in Red box" in words(at_home.get(url(count)))
    at_home.post(url(count, "finish"))
    stray.refresh_from_db()
    assert stray.place == "Blue box"


def test_cloth_not_written_down_is_logged_with_the_place_filled_in(at_home: Client, count: Stocktake) -> None:
    assert "/stash/log/?place=Blue%20box" in words(at_home.get(url(count)))

    page = at_home.get("/stash/log/", {"place": "Blue box"})
    assert page.context["form"]["place"].value() == "Blue box"
    assert page.context["form"]["came"].value() == "there"


def test_an_empty_place_can_be_counted_too(at_home: Client) -> None:
    page = words(at_home.post("/stash/counting/", {"place": "  Attic   chest "}, follow=True))

    assert "Attic chest" in page
    assert "Nothing should lie here" in page


@pytest.mark.parametrize("place", ["", "   ", "x" * 81])
def test_a_place_that_is_none_is_refused_at_its_field(at_home: Client, place: str) -> None:
    answer = at_home.post("/stash/counting/", {"place": place})

    assert answer.context["form"].errors["place"]
    assert not Stocktake.objects.exists()


@pytest.mark.parametrize("how", ["rest", "finish", "drop", "reopen"])
def test_nobody_counts_what_is_not_hers(client: Client, stranger: Person, count: Stocktake, how: str) -> None:
    client.force_login(stranger)

    assert client.get(url(count)).status_code == 404
    assert client.post(url(count, how)).status_code == 404


def test_nobody_marks_a_piece_that_is_not_hers(at_home: Client, count: Stocktake, stranger: Person) -> None:
    theirs = PieceFactory.create(fabric=FabricFactory.create(owner=stranger))

    assert at_home.post(url(count, "pieces", theirs.pk), {"found": "there"}).status_code == 404
    assert at_home.post(url(count, "pieces", theirs.pk, "size"), {}).status_code == 404


def test_there_is_no_other_way_to_end_a_count(at_home: Client, count: Stocktake) -> None:
    assert at_home.post(url(count, "burn")).status_code == 404


def test_a_full_box_takes_no_more_queries_than_one_piece(
    at_home: Client, count: Stocktake, kelp: Fabric, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(20) as few:
        at_home.get(reverse("stash:count", args=[count.pk]))
    for _ in range(12):
        PieceFactory.create(fabric=kelp, place="Blue box")
    with django_assert_max_num_queries(len(few)):
        at_home.get(reverse("stash:count", args=[count.pk]))
