"""What is there to sew, and what has been done? Stages with a size in their own unit, and the sittings that move them.

Units are canonical (metres, square metres, counts); pages show them in the person's own system."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q

from plans.models.plan import Plan
from quiltbook.web.words import in_words

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class Stage(models.Model):
    class Unit(models.TextChoices):
        PATCH = "patch", "patches"
        SHAPE = "shape", "shapes"
        FLOWER = "flower", "flowers"
        BLOCK = "block", "blocks"
        UNIT = "unit", "units"
        STRIP = "strip", "strips"
        METRE = "metre", "metres"
        SQUARE_METRE = "square metre", "square metres"
        HOUR = "hour", "hours"

    class Technique(models.TextChoices):
        CUTTING = "cutting", "Cutting"
        BASTING_SHAPES = "basting shapes", "Basting shapes to paper"
        PIECING = "piecing", "Piecing"
        APPLIQUE = "appliqué", "Appliqué"
        JOINING = "joining", "Joining blocks and borders"
        LAYERING = "layering", "Layering"
        QUILTING = "quilting", "Quilting"
        BINDING = "binding", "Binding"
        OTHER = "other", "Other work"

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="stages")
    key = models.CharField(
        max_length=60, help_text="Which part of the plan it was made from; 'own-…' for a stage of her own."
    )
    name = models.CharField(max_length=120)
    technique = models.CharField(max_length=20, choices=Technique, default=Technique.OTHER)
    unit = models.CharField(max_length=14, choices=Unit)
    size = models.DecimalField(max_digits=12, decimal_places=3)
    position = models.PositiveSmallIntegerField()
    own = models.BooleanField(default=False)
    skipped_at = models.DateTimeField(null=True, blank=True, help_text="Not wanted; its sittings still count.")
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["plan", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "key"], name="stage_key_once_a_plan"),
            models.CheckConstraint(condition=Q(size__gte=0), name="stage_size_not_negative"),
            models.CheckConstraint(condition=~Q(name=""), name="stage_has_a_name"),
            models.CheckConstraint(
                condition=Q(
                    unit__in=["patch", "shape", "flower", "block", "unit", "strip", "metre", "square metre", "hour"]
                ),
                name="stage_unit_known",
            ),
            models.CheckConstraint(
                condition=Q(
                    technique__in=[
                        "cutting",
                        "basting shapes",
                        "piecing",
                        "appliqué",
                        "joining",
                        "layering",
                        "quilting",
                        "binding",
                        "other",
                    ]
                ),
                name="stage_technique_known",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def called(self) -> str:
        """Its name in the reader's words."""
        return stage_called(self.name, own=self.own)


def stage_called(name: str, *, own: bool) -> str:
    """A stage's name in the reader's words; what she named herself, a stage or the round before the colon, stays hers."""
    part, colon, work = name.rpartition(": ")
    return name if own else f"{part}{colon}{in_words(work)}"


class SittingQuerySet(models.QuerySet["Sitting"]):
    def of(self, owner: Person) -> Self:
        return self.filter(stage__plan__owner=owner)

    def kept(self) -> Self:
        """Not removed and not replaced by a correction."""
        return self.filter(removed_at=None)


class Sitting(models.Model):
    """An hour or so of work. A correction is a new sitting that replaces the old one, so both it and a removal can be undone."""

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="sittings")
    day = models.DateField()
    minutes = models.PositiveIntegerField()
    units = models.DecimalField(
        max_digits=10, decimal_places=3, null=True, blank=True, help_text="Done in it; negative when unpicked."
    )
    note = models.CharField(max_length=1000, blank=True)
    recorded_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)
    replaces = models.OneToOneField(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="replaced_by"
    )

    objects = SittingQuerySet.as_manager()

    class Meta:
        ordering = ["-day", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(minutes__lte=24 * 60), name="sitting_within_a_day"),
            models.CheckConstraint(condition=Q(minutes__gt=0) | ~Q(units=None), name="sitting_has_minutes_or_units"),
        ]

    def __str__(self) -> str:
        return f"{self.minutes} min of {self.stage} on {self.day}"
