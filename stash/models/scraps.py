"""How much cloth is in the scrap bin? Pieces too small to measure, by weight: an area reckoned from grams, and called an estimate."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from stash.models.ledger import AppendOnly, AppendOnlyQuerySet

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class ScrapBinQuerySet(models.QuerySet["ScrapBin"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)


class ScrapBin(models.Model):
    """A bin of scraps. `grams_per_m2`: what a square metre of such cloth weighs."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="scrap_bins")
    name = models.CharField(max_length=80)
    place = models.CharField(max_length=80, blank=True)
    grams_per_m2 = models.PositiveIntegerField()
    created_at = models.DateTimeField()

    objects = ScrapBinQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["owner", "name"],
                name="scrap_bin_name_once_per_owner",
                violation_error_message="You have a bin of this name already.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="scrap_bin_has_a_name"),
            models.CheckConstraint(condition=Q(grams_per_m2__gt=0), name="scrap_bin_cloth_weighs_something"),
        ]

    def __str__(self) -> str:
        return self.name


class ScrapChange(AppendOnly):
    """So many grams more or less in a bin."""

    class Kind(models.TextChoices):
        ADDED = "added", "Put in"
        TAKEN = "taken", "Taken out"
        WEIGHED = "weighed", "Weighed"
        REVERSED = "reversed", "Taken back"

    bin = models.ForeignKey(ScrapBin, on_delete=models.CASCADE, related_name="changes")
    kind = models.CharField(max_length=8, choices=Kind)
    grams = models.IntegerField()
    day = models.DateField()
    recorded_at = models.DateTimeField()
    note = models.CharField(max_length=300, blank=True)
    reverses = models.OneToOneField(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="reversed_by"
    )

    objects = AppendOnlyQuerySet["ScrapChange"].as_manager()

    class Meta:
        ordering = ["-day", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="added", grams__gt=0)
                | Q(kind="taken", grams__lt=0)
                | Q(kind__in=["weighed", "reversed"]),
                name="scrap_change_goes_its_way",
            ),
            models.CheckConstraint(
                condition=Q(kind="reversed", reverses__isnull=False) | (~Q(kind="reversed") & Q(reverses__isnull=True)),
                name="scrap_reversal_names_what_it_reverses",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.grams:+} g in {self.bin}"
