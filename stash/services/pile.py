"""How is a pile of cloth logged quickly? Each photo becomes a fabric that is still to be filled in; its name and how much there is of it are
said later, one after another."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from quiltbook.people.models import Person
from stash.models import Fabric, Movement
from stash.services import fabrics, ledger, photos
from stash.services.errors import StashError
from stash.services.fabrics import Arrival, Facts

_OF_A_PHOTO = {"stash.Fabric", "stash.Photo", "stash.Fabric_tags"}


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What brings back a fabric that was left out: its name, and the name its photo is set aside by."""

    name: str
    photo: str


def log_photo(*, owner: Person, photo: bytes, day: date, now: datetime, name: str = "") -> Fabric:
    """A fabric known by its photo alone, called `name` or "Photo 3 of 25 November". Raises StashError if the photo cannot be read."""
    ready = photos.pictures(photo)
    with transaction.atomic():
        facts = Facts(name=name or _next_name(owner, day), usable_width=owner.settings.usable_width)
        fabric = fabrics.add(owner=owner, facts=facts, now=now)
        fabric.to_fill_in = True
        fabric.save(update_fields=["to_fill_in"])
        photos.add(fabric=fabric, photo=ready, now=now)
    return fabric


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a fabric as it is filled in."""

    name: str
    kind: str
    usable_width: int
    print_direction: str


@transaction.atomic
def fill_in(*, fabric: Fabric, said: Said, arrival: Arrival, now: datetime) -> Movement:
    """Name the fabric and put its cloth on the shelf. Raises StashError where another has the name."""
    fabric.name, fabric.kind = said.name, said.kind
    fabric.usable_width, fabric.print_direction = said.usable_width, said.print_direction
    fabrics.save_named(fabric=fabric)
    return fabrics.arrive(fabric=fabric, arrival=arrival, now=now)


@transaction.atomic
def fill_in_again(*, fabric: Fabric, movement: Movement, day: date, now: datetime) -> None:
    """Take the cloth that was filled in off the shelf again. Raises StashError where it has moved since."""
    ledger.undo(movement=movement, day=day, now=now)
    fabric.to_fill_in = True
    fabric.save(update_fields=["to_fill_in"])


@transaction.atomic
def leave_out(*, fabric: Fabric, now: datetime) -> LeftOut | None:
    """Forget a fabric that was logged by a photo alone; None where the photo is lost. Raises StashError once more is known of it."""
    known = StashError(f"{fabric.name} is more than a photo by now, so it stays.")
    if not fabric.to_fill_in or fabric.pieces.exists():
        raise known
    face = fabric.photos.first()
    whole = photos.read(face) if face else None
    name = photos.set_aside(owner=fabric.owner, photo=whole, now=now) if whole else ""
    photos.forget(fabrics=[fabric])
    _, went = fabric.delete()
    if went.keys() - _OF_A_PHOTO:
        # Such as a plan's roles that were given it: bringing the photo back would not bring those back.
        raise known
    return LeftOut(fabric.name, name) if name else None


def bring_back(*, owner: Person, gone: LeftOut, day: date, now: datetime) -> Fabric:
    """A fabric that was left out. Raises StashError when its photo is set aside no longer, or its name is another's by now."""
    photo = photos.aside(owner=owner, name=gone.photo)
    if photo is None:
        raise StashError("That photo is no longer here: add it again.")
    return log_photo(owner=owner, photo=photo, day=day, now=now, name=gone.name)


def _next_name(owner: Person, day: date) -> str:
    of_day = f"of {day.day} {day:%B}"
    known = Fabric.objects.of(owner).filter(name__startswith="Photo ", name__endswith=of_day)
    numbers = [re.fullmatch(rf"Photo (\d{{1,6}}) {of_day}", name) for name in known.values_list("name", flat=True)]
    return f"Photo {1 + max((int(found[1]) for found in numbers if found), default=0)} {of_day}"
