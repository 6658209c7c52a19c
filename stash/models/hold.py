"""Who has this piece promised? A hold names the piece, why, and the page that can let it go. One live hold a piece, kept by the database."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from stash.models.piece import Piece

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class HoldQuerySet(models.QuerySet["Hold"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)

    def live(self) -> Self:
        return self.filter(released_at=None)


class Hold(models.Model):
    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="holds")
    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="holds")
    reason = models.CharField(max_length=200)
    link = models.CharField(max_length=200, help_text="The page that made this hold and can release it.")
    held_at = models.DateTimeField()
    released_at = models.DateTimeField(null=True, blank=True)

    objects = HoldQuerySet.as_manager()

    class Meta:
        ordering = ["-held_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["piece"], condition=Q(released_at=None), name="one_live_hold_a_piece"),
            models.CheckConstraint(
                condition=Q(released_at=None) | Q(released_at__gte=models.F("held_at")), name="hold_released_after_held"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.piece} held for {self.reason}"
