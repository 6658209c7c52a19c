"""How does a person leave, with all that is hers? Her rows go together, the ledger with them, and her pictures after."""

from __future__ import annotations

from functools import partial

from django.db import transaction

from quiltbook.people.models import Person
from stash.models import Fabric
from stash.services import photos


@transaction.atomic
def remove_person(*, person: Person) -> None:
    """Delete an account and everything it owns; the pictures are deleted once that is done."""
    photos.forget(fabrics=Fabric.objects.of(person).prefetch_related("photos"))
    transaction.on_commit(partial(photos.clear_aside, owner_id=person.pk))
    person.delete()
