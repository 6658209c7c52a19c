"""The demonstration, loaded once for all the tests of a file: import `demo`. It is gone again after them."""

from collections.abc import Iterator
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from quiltbook.people.models import Person


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Person]:
    with django_db_blocker.unblock(), transaction.atomic():
        sentence = call_command("demo", stdout=StringIO())
        assert "demo" in sentence
        yield Person.objects.get(username="demo")
        transaction.set_rollback(True)
