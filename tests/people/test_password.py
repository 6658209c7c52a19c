"""Can a person change her password, and nobody without the old one?"""

from django.test import Client
from django.urls import reverse

from quiltbook.people.models import Person
from tests.factories import PASSWORD

NEW = "backstitch-in-blue-3"


def test_the_old_password_and_a_new_one_twice_change_it(at_home: Client, owner: Person) -> None:
    answer = at_home.post(
        reverse("people:password"), {"old_password": PASSWORD, "new_password1": NEW, "new_password2": NEW}, follow=True
    )
    assert "Your password is changed." in answer.text
    owner.refresh_from_db()
    assert owner.check_password(NEW)


def test_without_the_old_password_nothing_changes(at_home: Client, owner: Person) -> None:
    answer = at_home.post(
        reverse("people:password"), {"old_password": "guess", "new_password1": NEW, "new_password2": NEW}
    )
    assert "That is not your present password." in answer.text
    owner.refresh_from_db()
    assert owner.check_password(PASSWORD)


def test_two_new_passwords_that_differ_change_nothing(at_home: Client, owner: Person) -> None:
    answer = at_home.post(
        reverse("people:password"), {"old_password": PASSWORD, "new_password1": NEW, "new_password2": NEW + "x"}
    )
    assert "The two new passwords differ. Type the same one twice." in answer.text
    owner.refresh_from_db()
    assert owner.check_password(PASSWORD)
