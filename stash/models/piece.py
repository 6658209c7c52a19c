"""Which real pieces of cloth are there, how big, and where do they lie?

A piece's size never changes once it has lain on the shelf: cutting ends it and begins others. `on_shelf` and `place` are projections of
the ledger, written in the transaction that writes the movement."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from quiltbook.measures import Size, mm2
from stash.models.fabric import Fabric

if TYPE_CHECKING:
    from quiltbook.people.models import Person


# One live hold: both conditions on the same row of the join.
_HELD = Q(holds__isnull=False, holds__released_at=None)


class PieceQuerySet(models.QuerySet["Piece"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)

    def on_shelf(self) -> Self:
        return self.filter(on_shelf=True)

    def expected(self) -> Self:
        return self.filter(expected=True)

    def held(self) -> Self:
        return self.filter(_HELD)

    def free(self) -> Self:
        """On the shelf or expected from a cutting sheet, and held by nobody."""
        return self.filter(Q(on_shelf=True) | Q(expected=True)).exclude(pk__in=Piece.objects.held().values("pk"))


class Piece(models.Model):
    """One rectangle of a fabric: `width` across the grain, `length` along it, in nanometres."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="pieces")
    fabric = models.ForeignKey(Fabric, on_delete=models.CASCADE, related_name="pieces")
    number = models.PositiveIntegerField()
    label = models.CharField(max_length=60, blank=True)
    width = models.BigIntegerField()
    length = models.BigIntegerField()
    place = models.CharField(max_length=80, blank=True)
    on_shelf = models.BooleanField(default=False)
    expected = models.BooleanField(default=False)

    objects = PieceQuerySet.as_manager()

    class Meta:
        ordering = ["fabric", "number"]
        constraints = [
            models.UniqueConstraint(fields=["fabric", "number"], name="piece_number_once_per_fabric"),
            models.CheckConstraint(condition=Q(width__gt=0, length__gt=0), name="piece_has_a_size"),
            models.CheckConstraint(condition=~Q(on_shelf=True, expected=True), name="piece_not_both_here_and_expected"),
        ]
        indexes = [models.Index(fields=["owner", "on_shelf"])]

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return self.label or f"no. {self.number}"

    @property
    def full_name(self) -> str:
        """Said where it is not plain which fabric is meant."""
        return f"{self.fabric.name} {self.name}"

    @property
    def size(self) -> Size:
        return Size(self.width, self.length)

    @property
    def area_mm2(self) -> int:
        """Rounded to whole square millimetres: the unit in which the ledger balances."""
        return mm2(self.width, self.length)
