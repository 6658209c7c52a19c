"""Is in this box what should be in it? A count of one place: each piece found, missing or of another size; the differences become
movements when it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from stash.models.piece import Piece

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class StocktakeQuerySet(models.QuerySet["Stocktake"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)

    def under_way(self) -> Self:
        return self.filter(ended_at=None)


class Stocktake(models.Model):
    """A count of one `place`, "" for what lies nowhere in particular. `recorded`: it ended with its differences written down; else it
    was dropped."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="stocktakes")
    place = models.CharField(max_length=80, blank=True)
    begun_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    recorded = models.BooleanField(default=False)

    objects = StocktakeQuerySet.as_manager()

    class Meta:
        ordering = ["-begun_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["owner", "place"], condition=Q(ended_at=None), name="one_count_of_a_place_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(recorded=False) | Q(ended_at__isnull=False), name="stocktake_recorded_at_its_end"
            ),
        ]

    def __str__(self) -> str:
        return f"count of {self.place or 'no place'}"


class StocktakeMark(models.Model):
    """What she found of one piece. `resized`: it measures `width` by `length`, in nanometres."""

    class Found(models.TextChoices):
        THERE = "there", "It is there"
        MISSING = "missing", "It is not there"
        RESIZED = "resized", "It is another size"

    stocktake = models.ForeignKey(Stocktake, on_delete=models.CASCADE, related_name="marks")
    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="stocktake_marks")
    found = models.CharField(max_length=8, choices=Found)
    width = models.BigIntegerField(null=True, blank=True)
    length = models.BigIntegerField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["stocktake", "piece"], name="piece_marked_once_a_count"),
            models.CheckConstraint(
                condition=Q(found__in=["there", "missing"], width__isnull=True, length__isnull=True)
                | Q(found="resized", width__isnull=False, length__isnull=False, width__gt=0, length__gt=0),
                name="stocktake_mark_has_a_size_when_resized",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.piece}: {self.found}"
