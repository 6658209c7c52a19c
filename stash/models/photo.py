"""Which pictures of a cloth are there? As they came, upright and without what a phone adds, and two smaller ones of the part that is shown."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from stash.models.fabric import Fabric

if TYPE_CHECKING:
    from quiltbook.people.models import Person


def picture_path(photo: Photo, filename: str) -> str:
    """Where a picture lies: under its owner's number (who alone is sent it), never by the name it was uploaded under."""
    return f"{photo.owner_id}/fabrics/{secrets.token_urlsafe(16)}.{filename.rpartition('.')[2]}"


class PhotoQuerySet(models.QuerySet["Photo"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)


class Photo(models.Model):
    """One picture of a fabric; the first in `position` is its face. `whole` is `width` by `height` dots; `medium` and `small` show the part
    of it from `left`, `top` to `right`, `bottom`, in dots of `whole`. `shows`: how much cloth that part is wide, in nanometres.

    `palette`: the colours of that part, the commonest first, as [["#rrggbb", share in thousandths], …]."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="photos")
    fabric = models.ForeignKey(Fabric, on_delete=models.CASCADE, related_name="photos")
    position = models.PositiveSmallIntegerField()
    whole = models.FileField(upload_to=picture_path)
    medium = models.FileField(upload_to=picture_path)
    small = models.FileField(upload_to=picture_path)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    left = models.PositiveIntegerField(default=0)
    top = models.PositiveIntegerField(default=0)
    right = models.PositiveIntegerField()
    bottom = models.PositiveIntegerField()
    shows = models.BigIntegerField(null=True, blank=True)
    palette = models.JSONField(default=list)
    added_at = models.DateTimeField()

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["fabric", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["fabric", "position"], name="one_photo_a_position"),
            models.CheckConstraint(
                condition=Q(left__lt=models.F("right"), right__lte=models.F("width"))
                & Q(top__lt=models.F("bottom"), bottom__lte=models.F("height")),
                name="photo_crop_within_it",
            ),
            models.CheckConstraint(condition=Q(shows__isnull=True) | Q(shows__gt=0), name="photo_shows_some_cloth"),
        ]

    def __str__(self) -> str:
        return f"photo {self.position} of {self.fabric}"
