"""What may be done with an account and its usual figures? Each call is one transaction."""

from collections.abc import Mapping

from django.conf import settings
from django.db import IntegrityError, transaction

from quiltbook.measures import System
from quiltbook.people.models import NAME_TAKEN, Person, Settings
from quiltbook.people.usual import CURRENCY, USUAL, words_at


class SignUpRefused(Exception):
    """Nobody was signed up; the message says in a sentence why."""


@transaction.atomic
def sign_up(*, username: str, password: str, system: System = System.INCHES, time_zone: str = "UTC") -> Person:
    """Make a person who signs in with `username`, with the usual figures of `system`.

    Raises SignUpRefused where sign-up is turned off, or where somebody took the name a moment ago.
    """
    if not settings.SIGN_UP_OPEN:
        raise SignUpRefused("Nobody new can sign up here just now. Ask whoever looks after this Quiltbook.")
    try:
        with transaction.atomic():
            person = Person.objects.create_user(username=username, password=password)
    except IntegrityError as taken:
        raise SignUpRefused(NAME_TAKEN) from taken
    change_settings(
        owner=person,
        changes={
            "system": system,
            "words": words_at(time_zone),
            "time_zone": time_zone,
            "currency": CURRENCY[system],
            **USUAL[system],
        },
    )
    return person


@transaction.atomic
def change_settings(*, owner: Person, changes: Mapping[str, object]) -> Settings:
    """Store `changes` (field name -> value, lengths in nm) in `owner`'s settings and return them.

    Raises Django's ValidationError, by field, where a value breaks a rule of the model.
    """
    usual = Settings.objects.get(person=owner)
    for name, value in changes.items():
        setattr(usual, name, value)
    usual.full_clean()
    usual.save(update_fields=list(changes))
    owner.settings = usual
    return usual
