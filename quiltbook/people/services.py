"""What may be done with an account and its usual figures? Each call is one transaction."""

from collections.abc import Mapping

from django.conf import settings
from django.db import transaction

from quiltbook.measures import System
from quiltbook.people.models import Person, Settings
from quiltbook.people.usual import CURRENCY, USUAL


class SignUpClosed(Exception):
    """This Quiltbook takes no new people."""


@transaction.atomic
def sign_up(
    *, username: str, password: str, system: System = System.INCHES, time_zone: str = "UTC", email: str = ""
) -> Person:
    """Make a person who signs in with `username`, with the usual figures of `system`.

    Raises SignUpClosed, whose message is a sentence, where sign-up is turned off.
    """
    if not settings.SIGN_UP_OPEN:
        raise SignUpClosed("Nobody new can sign up here just now. Ask whoever looks after this Quiltbook.")
    person = Person.objects.create_user(username=username, email=email, password=password)
    change_settings(
        owner=person,
        changes={"system": system, "time_zone": time_zone, "currency": CURRENCY[system], **USUAL[system]},
    )
    return person


@transaction.atomic
def change_settings(*, owner: Person, changes: Mapping[str, object]) -> Settings:
    """Store `changes` (field name -> value, lengths in nm) in `owner`'s settings and return them.

    Raises django's ValidationError, by field, where a value breaks a rule of the model.
    """
    usual = owner.settings
    for name, value in changes.items():
        setattr(usual, name, value)
    usual.full_clean()
    usual.save(update_fields=list(changes))
    return usual
