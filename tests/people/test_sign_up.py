"""Can somebody new make an account, and is she told why where she cannot?"""

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings as Site

from quiltbook.measures import NM_PER_CM, System
from quiltbook.people.models import NAME_TAKEN, Person
from quiltbook.people.services import SignUpRefused, sign_up
from tests.factories import PASSWORD

GOOD = {"username": "cleo", "password": PASSWORD, "again": PASSWORD, "system": "metric", "time_zone": "Europe/Oslo"}


@pytest.mark.django_db
def test_a_new_person_is_signed_in_with_the_usual_figures_of_the_system_she_chose(client: Client) -> None:
    answer = client.post(reverse("people:sign_up"), GOOD)
    assert answer.status_code == 302
    cleo = Person.objects.get(username="cleo")
    assert client.session["_auth_user_id"] == str(cleo.pk)
    assert cleo.settings.measures is System.METRIC
    assert cleo.settings.usable_width == 107 * NM_PER_CM
    assert cleo.settings.time_zone == "Europe/Oslo"
    assert cleo.settings.currency == "EUR"


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"username": ""}, "This field is required."),
        ({"username": "two words"}, "Use letters, digits and @ . + - _ only, with no spaces."),
        ({"username": "🧵"}, "Use letters, digits and @ . + - _ only, with no spaces."),
        ({"username": "<b>cleo</b>"}, "Use letters, digits and @ . + - _ only, with no spaces."),
        ({"username": "c" * 10_000}, "Ensure this value has at most 60 characters (it has 10000)."),
        ({"username": "cl\x00eo"}, "Null characters are not allowed."),
        ({"password": "short", "again": "short"}, "This password is too short. It must contain at least 8 characters."),
        ({"password": "83649271", "again": "83649271"}, "This password is entirely numeric."),
        (
            {"username": "cleoanna", "password": "cleoanna1", "again": "cleoanna1"},
            "The password is too similar to the sign-in name.",
        ),
        ({"again": "another-stitch-9"}, "The two passwords differ. Type the same one twice."),
        ({"system": "cubits"}, "Choose inches or centimetres."),
        ({"system": ""}, "Choose inches or centimetres."),
        ({"time_zone": "Mars/Olympus"}, "Choose a time zone from the list."),
    ],
)
@pytest.mark.django_db
def test_what_will_not_do_is_said_at_its_field_and_nobody_is_made(
    client: Client, changed: dict[str, str], sentence: str
) -> None:
    answer = client.post(reverse("people:sign_up"), {**GOOD, **changed})
    assert answer.status_code == 200
    errors = answer.context["form"].errors
    assert any(sentence in errors.get(name, ()) for name in changed)
    assert set(errors) <= set(changed)
    assert not Person.objects.exists()


def test_a_name_taken_in_another_case_is_refused_and_kept_in_the_form(client: Client, owner: Person) -> None:
    answer = client.post(reverse("people:sign_up"), {**GOOD, "username": "ADA"})
    assert answer.context["form"].errors["username"] == [NAME_TAKEN]
    assert 'value="ADA"' in answer.text
    assert Person.objects.count() == 1


def test_a_name_taken_between_the_check_and_the_writing_is_refused_in_a_sentence(owner: Person) -> None:
    with pytest.raises(SignUpRefused, match="Somebody already signs in with that name"):
        sign_up(username="Ada", password=PASSWORD)
    assert Person.objects.count() == 1


@pytest.mark.django_db
def test_where_sign_up_is_off_the_page_says_so_and_nobody_is_made(client: Client, settings: Site) -> None:
    settings.SIGN_UP_OPEN = False
    assert "No new accounts just now" in client.get(reverse("people:sign_up")).text
    assert "No new accounts just now" in client.post(reverse("people:sign_up"), GOOD).text
    with pytest.raises(SignUpRefused, match="Nobody new can sign up here just now"):
        sign_up(username="cleo", password=PASSWORD)
    assert not Person.objects.exists()
    assert reverse("people:sign_up") not in client.get(reverse("people:sign_in")).text


@pytest.mark.django_db
def test_a_password_typed_is_never_sent_back(client: Client) -> None:
    answer = client.post(reverse("people:sign_up"), {**GOOD, "username": ""})
    assert PASSWORD not in answer.text


def test_somebody_signed_in_is_not_asked_to_sign_up_again(at_home: Client) -> None:
    assert at_home.get(reverse("people:sign_up")).status_code == 302


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("time_zone", "words"), [("America/Denver", "us"), ("Pacific/Honolulu", "us"), ("Europe/Oslo", "uk"), ("UTC", "uk")]
)
def test_she_starts_with_the_words_of_where_her_clock_is(client: Client, time_zone: str, words: str) -> None:
    client.post(reverse("people:sign_up"), GOOD | {"time_zone": time_zone})
    assert Person.objects.get(username="cleo").settings.words == words
