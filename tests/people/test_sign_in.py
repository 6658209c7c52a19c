"""Does a name with its password let a person in, and nothing else?"""

import pytest
from django.test import Client
from django.urls import reverse

from quiltbook.people.models import Person
from tests.factories import PASSWORD

WRONG = "That name and that password do not go together."


@pytest.mark.parametrize("name", ["ada", "Ada", "ADA"])
def test_the_right_password_lets_her_in_however_her_name_is_written(client: Client, owner: Person, name: str) -> None:
    answer = client.post(reverse("people:sign_in"), {"username": name, "password": PASSWORD})
    assert answer.status_code == 302
    assert client.session["_auth_user_id"] == str(owner.pk)


@pytest.mark.parametrize(
    ("name", "password"),
    [("ada", "wrong"), ("ada", PASSWORD.upper()), ("nobody", PASSWORD), ("ada", "🧵" * 5000), ("<i>", "x")],
)
def test_a_wrong_pair_is_refused_in_one_sentence_and_the_name_kept(
    client: Client, owner: Person, name: str, password: str
) -> None:
    answer = client.post(reverse("people:sign_in"), {"username": name, "password": password})
    assert answer.status_code == 200
    assert WRONG in answer.text
    assert answer.context["form"]["username"].value() == name
    assert "_auth_user_id" not in client.session


def test_after_signing_in_she_stands_where_she_wanted_to_go(client: Client, owner: Person) -> None:
    asked = client.get(reverse("people:password"))
    assert asked.status_code == 302
    answer = client.post(
        reverse("people:sign_in"), {"username": "ada", "password": PASSWORD, "next": reverse("people:password")}
    )
    assert answer["Location"] == reverse("people:password")


def test_she_is_never_sent_on_to_another_site(client: Client, owner: Person) -> None:
    answer = client.post(
        reverse("people:sign_in"), {"username": "ada", "password": PASSWORD, "next": "https://elsewhere.example/"}
    )
    assert answer["Location"] == reverse("people:settings")


def test_a_part_of_a_page_asked_for_after_the_session_ran_out_leaves_the_page_for_the_sign_in(
    client: Client, db: None
) -> None:
    answer = client.get(
        reverse("people:sign_in"),
        headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/you/?system=metric"},
    )
    assert answer["HX-Redirect"] == "/you/sign-in/?next=%2Fyou%2F%3Fsystem%3Dmetric"


def test_signing_out_takes_a_form_and_not_a_link(at_home: Client) -> None:
    assert at_home.get(reverse("people:sign_out")).status_code == 405
    assert "_auth_user_id" in at_home.session
    assert at_home.post(reverse("people:sign_out")).status_code == 302
    assert "_auth_user_id" not in at_home.session


@pytest.mark.parametrize("name", ["settings", "password"])
def test_a_stranger_sees_nothing_and_is_asked_to_sign_in(client: Client, db: None, name: str) -> None:
    for answer in (client.get(reverse(f"people:{name}")), client.post(reverse(f"people:{name}"))):
        assert answer.status_code == 302
        assert answer["Location"].startswith(reverse("people:sign_in"))
