"""Whatever is typed into the stash's forms, there is a sentence at the field, nothing is lost and nothing breaks."""

import pytest
from django.test import Client

from stash.models import Fabric, Movement, Piece
from tests.stash.typing_in import LOG, errors, log

pytestmark = pytest.mark.django_db

LONG = "kelp " * 2000
MARKUP = "<script>alert(1)</script>"

WRONG = [
    ("amount", "2 km", "longer than a kilometre"),
    ("amount", "101 m", "longer than any bolt"),
    ("amount", "0 yd", "more than nothing"),
    ("amount", "-1 yd", "more than nothing"),
    ("amount", "3 kg", "is a weight"),
    ("amount", "1/0 yd", "nothing below the line"),
    ("amount", "9**9**9 m", "cannot be read"),
    ("amount", "🧵🪡", "cannot be read"),
    ("amount", MARKUP, "cannot be read"),
    ("amount", LONG, "too long"),
    ("amount", "", "Write how much cloth"),
    ("amount", "500 x 1 yd", "more than 200 pieces"),
    ("amount", "\x00", "cannot be read"),
    ("usable_width", "2 km", "longer than a kilometre"),
    ("usable_width", "20 m", "too much here"),
    ("usable_width", "0", "more than nothing"),
    ("usable_width", LONG, "too long"),
    ("name", "", "Give the cloth a name"),
    ("name", "   ", "Give the cloth a name"),
    ("name", "\u200b\u200b", "Nothing in that can be read"),
    ("name", LONG, "at most 120 characters"),
    ("name", "Kelp\x00", "Null characters"),
    ("place", LONG, "at most 80 characters"),
    ("label", LONG, "at most 50 characters"),
    ("bought_from", LONG, "at most 120 characters"),
    ("note", LONG, "at most 2000 characters"),
    ("price", "1e30", "more than any cloth costs"),
    ("price", "1e999999999", "more than any cloth costs"),
    ("price", "-1", "less than nothing"),
    ("price", "NaN", "Write a price in figures"),
    ("price", "Infinity", "Write a price in figures"),
    ("price", "12.345", "two figures after the point"),
    ("price", "free", "Write a price in figures"),
    ("price", LONG, "Write a price in figures"),
    ("price", "9" * 10_000, "more than any cloth costs"),
    ("currency", "XXX", "Choose a currency"),
    ("currency", "", "Choose a currency"),
    ("day", "9999-12-31", "still to come"),
    ("day", "10000-01-01", "Write a date like"),
    ("day", "0001-01-01", "before 1900"),
    ("day", "2026-02-30", "Write a date like"),
    ("day", "yesterday", "Write a date like"),
    ("day", "", "Say which day"),
    ("day", LONG, "Write a date like"),
    ("kind", "tin", "Choose a kind of cloth"),
    ("print_direction", "sideways", "Choose a direction"),
    ("came", "fell", "Choose how it came"),
    ("colour", "indigo", "Choose a colour"),
    ("colour", "#12345g", "Choose a colour"),
    ("colour", LONG, "Choose a colour"),
    ("picked", MARKUP, "Choose a colour"),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), WRONG, ids=[f"{f}={t[:12]!a}" for f, t, _ in WRONG])
def test_a_wrong_figure_is_told_at_its_field_and_all_else_is_kept(
    at_home: Client, field: str, typed: str, sentence: str
) -> None:
    response = log(at_home, **{field: typed})

    wrong = errors(response)
    assert list(wrong) == [field]
    assert sentence in " ".join(wrong[field])
    form = response.context["form"]
    assert {name: form[name].value() for name in LOG} == {**LOG, field: typed}
    assert MARKUP not in response.content.decode()
    assert not Fabric.objects.exists()
    assert not Movement.objects.exists()


@pytest.mark.parametrize("name", ["🧵🪡 thread", MARKUP, 'O\'Hara & "daughters"', "قماش", "%s %(x)d {0}", "a" * 120])
def test_any_words_will_do_for_a_name_and_are_shown_as_words(at_home: Client, name: str) -> None:
    page = at_home.get(log(at_home, name=name, place=name[:80]).headers["Location"])

    assert Fabric.objects.get().name == name
    assert page.status_code == 200
    assert MARKUP not in page.content.decode()
    assert at_home.get("/stash/", {"words": name[:100]}).status_code == 200
    assert at_home.get(f"/stash/pieces/{Piece.objects.get().pk}/").status_code == 200


def test_spaces_and_lines_in_a_name_are_tidied(at_home: Client) -> None:
    log(at_home, name="  Kelp \n  leaf ")

    assert Fabric.objects.get().name == "Kelp leaf"


def test_an_empty_form_asks_for_what_is_needed_only(at_home: Client) -> None:
    wrong = errors(at_home.post("/stash/log/", {}))

    assert set(wrong) == {"name", "amount", "usable_width", "kind", "print_direction", "came", "currency", "day"}


@pytest.mark.parametrize("amount", ["0", "2 km", "🧵", MARKUP, LONG, "", "\x00"])
def test_the_preview_of_an_amount_never_breaks(at_home: Client, amount: str) -> None:
    response = at_home.post("/stash/log/understood/", {"amount": amount, "usable_width": amount})

    assert response.status_code == 200
    assert MARKUP not in response.content.decode()


@pytest.mark.parametrize("words", [LONG, MARKUP, "%", "_", "🧵", "a b c d e f g h i j k l m n o p q r s t", "\x00"])
def test_looking_for_anything_never_breaks(at_home: Client, words: str) -> None:
    response = at_home.get("/stash/", {"words": words, "kind": words, "free": words})

    assert response.status_code == 200
    assert MARKUP not in response.content.decode()


@pytest.mark.parametrize("after", ["x", "-1", "9" * 40, "²", "1"])
def test_a_haul_that_is_not_there_is_passed_over(at_home: Client, after: str) -> None:
    assert at_home.get("/stash/log/", {"after": after}).status_code == 200


WRONG_OF_A_PIECE = [
    ("move", {"place": LONG}, "place", "at most 80 characters"),
    ("move", {"place": "Blue box"}, "place", "It lies there already."),
    ("wash", {"width": "0", "length": "36"}, "width", "more than nothing"),
    ("wash", {"width": "2 km", "length": "36"}, "width", "longer than a kilometre"),
    ("wash", {"width": "42", "length": ""}, "length", "Write a length"),
    ("wash", {"width": "42", "length": "200 m"}, "length", "too much here"),
    ("count", {"width": MARKUP, "length": "36"}, "width", "cannot be read"),
    ("count", {"width": "42", "length": "36"}, "__all__", "just what is written down"),
    ("split", {"amount": ""}, "amount", "Write how much cloth"),
    ("split", {"amount": "50 yd"}, "amount", "larger than the piece"),
    ("split", {"amount": "20 x 20 in", "keep_rest": "on"}, "amount", "write the rest as a part"),
    ("split", {"amount": "200 of 42 x 1 in"}, "amount", "together are larger"),
    ("scrap", {"note": LONG}, "note", "at most 300 characters"),
    ("give", {"note": "\x00"}, "note", "Null characters"),
]


@pytest.mark.parametrize(("act", "said", "field", "sentence"), WRONG_OF_A_PIECE)
def test_what_is_wrong_about_a_piece_is_told_in_its_own_form(
    at_home: Client, piece: Piece, act: str, said: dict[str, str], field: str, sentence: str
) -> None:
    response = at_home.post(f"/stash/pieces/{piece.pk}/{act}/", said)

    assert response.status_code == 200
    [tried] = [each for each in response.context["acts"] if each["tried"]]
    assert sentence in " ".join(tried["form"].errors[field])
    assert Movement.objects.count() == 1


def test_moving_a_whole_fabric_to_where_it_lies_is_told_at_the_field(at_home: Client, piece: Piece) -> None:
    response = at_home.post(f"/stash/{piece.fabric_id}/", {"place": "Blue box"})

    assert errors(response) == {"place": ["It lies there already."]}
