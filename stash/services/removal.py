"""How does a person leave, with all that is hers? Her rows go together, the ledger with them, and her pictures after."""

from __future__ import annotations

from django.db import transaction

from quiltbook.people.models import Person
from stash.models import Fabric
from stash.services import photos


@transaction.atomic
def remove_person(*, person: Person) -> None:
    """Delete an account and everything it owns; the pictures are deleted once that is done."""
    for fabric in Fabric.objects.of(person).exclude(photo=""):
        photos.drop(fabric=fabric)
    person.delete()
