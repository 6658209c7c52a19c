"""What every test shares: a small cast, and how far generated examples go."""

import pytest
from django.test import Client
from hypothesis import settings

from quiltbook.people.models import Person
from tests.factories import PersonFactory

# Derandomised, so that a red test is red again when it is looked at.
settings.register_profile("quiltbook", deadline=None, max_examples=25, derandomize=True)
settings.load_profile("quiltbook")


@pytest.fixture
def owner(db: None) -> Person:
    """Whose cloth and plans it is."""
    return PersonFactory.create(username="ada")


@pytest.fixture
def friend(db: None) -> Person:
    """Somebody else with things of her own."""
    return PersonFactory.create(username="bea")


@pytest.fixture
def stranger(db: None) -> Person:
    """Somebody who has no business here."""
    return PersonFactory.create(username="cleo")


@pytest.fixture
def at_home(client: Client, owner: Person) -> Client:
    """The owner's own browser, signed in."""
    client.force_login(owner)
    return client
