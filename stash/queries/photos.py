"""Which photos has a fabric, and which fabrics are known by a photo alone?"""

from __future__ import annotations

from dataclasses import dataclass

from quiltbook.people.models import Person
from stash.models import Fabric, Photo


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """One photo: the address of the part that is shown, of all of it, whether that part is less, and how much cloth it is wide (nm)."""

    id: int
    url: str
    whole_url: str
    cut: bool
    shows: int | None


@dataclass(frozen=True, slots=True)
class Waiting:
    """A fabric that is still to be filled in. `photo_url` is empty where its photo was taken off."""

    id: int
    name: str
    colour: str
    photo_url: str


def photos_of(*, owner: Person, fabric: Fabric) -> tuple[PhotoRow, ...]:
    """The fabric's photos, its face first."""
    return tuple(
        PhotoRow(
            photo.pk,
            photo.medium.url,
            photo.whole.url,
            photo.box != (0, 0, photo.width, photo.height),
            photo.shows,
        )
        for photo in Photo.objects.of(owner).filter(fabric=fabric)
    )


def to_fill_in(*, owner: Person) -> tuple[Waiting, ...]:
    """Her fabrics that are still to be filled in, the one logged first before the others."""
    return tuple(
        Waiting(fabric.pk, fabric.name, fabric.colour, fabric.photo_url)
        for fabric in Fabric.objects.of(owner).filter(to_fill_in=True).order_by("pk")
    )


def next_to_fill_in(*, owner: Person, after: int) -> int | None:
    """The fabric to be filled in after that one, from the first again after the last; None where no other is left."""
    ids = list(
        Fabric.objects.of(owner).filter(to_fill_in=True).exclude(pk=after).order_by("pk").values_list("pk", flat=True)
    )
    return next((pk for pk in ids if pk > after), ids[0] if ids else None)
