"""What is one round of borders like? Its width and corners, what is on it, and what the quilt measured once it was on.

Lengths are whole nanometres."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import Q

from plans.models.plan import Plan, there
from quiltbook.measures import Size


class RoundQuerySet(models.QuerySet["Round"]):
    def standing(self) -> Self:
        """The rounds the quilt has, inner first; one taken out is kept so that it can be put back."""
        return self.filter(removed_at=None).order_by("position")


class Round(models.Model):
    """One round of borders. A round with `flower_side` carries paper-pieced flowers: the centre hexagon and six petals
    (`petal_rise`) or six hexagons (`petal_rise` None)."""

    class Corners(models.TextChoices):
        BUTTED = "butted", "Butted"
        CORNERSTONES = "cornerstones", "Cornerstones"
        MITRED = "mitred", "Mitred"

    class First(models.TextChoices):
        SIDES = "sides", "Sides first"
        ENDS = "ends", "Top and bottom first"

    class Rule(models.TextChoices):
        EVEN = "even", "All gaps equal"
        CELLS = "cells", "Equal cells"
        MARGINS = "margins", "Given margins at the ends"
        ALIGNED = "aligned", "Over the flowers of the round inside"

    class Coping(models.TextChoices):
        AUTO = "auto", "Whatever works"
        NONE = "none", "None"
        EVEN = "even", "One width all round"
        EACH_WAY = "each way", "One width for the sides, one for top and bottom"

    class Applied(models.TextChoices):
        BEFORE = "before", "Before the border is joined"
        AFTER = "after", "After the border is joined"

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="rounds")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=60, blank=True)
    width = models.BigIntegerField()
    corners = models.CharField(max_length=12, choices=Corners, default=Corners.BUTTED)
    first = models.CharField(max_length=6, choices=First, default=First.SIDES)
    cut_long = models.BigIntegerField(default=0)
    measured_width = models.BigIntegerField(null=True, blank=True)
    measured_length = models.BigIntegerField(null=True, blank=True)

    flower_side = models.BigIntegerField(null=True, blank=True)
    petal_rise = models.BigIntegerField(null=True, blank=True)
    flower_turn = models.BigIntegerField(null=True, blank=True)
    flowers_left = models.PositiveSmallIntegerField(default=0)
    flowers_right = models.PositiveSmallIntegerField(default=0)
    flowers_top = models.PositiveSmallIntegerField(default=0)
    flowers_bottom = models.PositiveSmallIntegerField(default=0)
    flowers_corners = models.BooleanField(default=False, help_text="One more in the middle of each corner.")
    rule = models.CharField(max_length=7, choices=Rule, default=Rule.EVEN)
    end_margin = models.BigIntegerField(default=0)
    applied = models.CharField(max_length=6, choices=Applied, default=Applied.BEFORE)
    scrappy = models.BooleanField(default=False, help_text="The petals of one flower may be of different fabrics.")

    # A pieced border: units `unit_length` long of a block, their upper edge outward.
    unit_length = models.BigIntegerField(null=True, blank=True)
    unit_block = models.CharField(max_length=60, blank=True)
    other_unit_block = models.CharField(max_length=60, blank=True)
    corner_block = models.CharField(max_length=60, blank=True)
    coping = models.CharField(max_length=8, choices=Coping, default=Coping.AUTO)
    least_coping = models.BigIntegerField(default=0)

    removed_at = models.DateTimeField(null=True, blank=True)

    objects = RoundQuerySet.as_manager()

    class Meta:
        ordering = ["plan", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "position"], condition=Q(removed_at=None), name="one_round_a_position"
            ),
            models.CheckConstraint(condition=Q(width__gt=0), name="round_has_a_width"),
            models.CheckConstraint(condition=Q(cut_long__gte=0), name="round_cut_long_not_negative"),
            models.CheckConstraint(
                condition=Q(
                    corners__in=["butted", "cornerstones", "mitred"],
                    first__in=["sides", "ends"],
                    rule__in=["even", "cells", "margins", "aligned"],
                    coping__in=["auto", "none", "even", "each way"],
                    applied__in=["before", "after"],
                ),
                name="round_choices_known",
            ),
            models.CheckConstraint(
                condition=Q(measured_width__isnull=True, measured_length__isnull=True)
                | there("measured_width", "measured_length"),
                name="round_measured_size_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(
                    flower_side__isnull=True,
                    petal_rise__isnull=True,
                    flower_turn__isnull=True,
                    flowers_left=0,
                    flowers_right=0,
                    flowers_top=0,
                    flowers_bottom=0,
                    flowers_corners=False,
                )
                | there("flower_side")
                & Q(flower_turn__isnull=False, flower_turn__gte=0)
                & (Q(petal_rise__isnull=True) | Q(petal_rise__gt=0)),
                name="round_flowers_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(unit_length__isnull=True, unit_block="", other_unit_block="", corner_block="")
                | there("unit_length") & ~Q(unit_block="") & Q(flower_side__isnull=True),
                name="round_pieced_or_flowered",
            ),
            models.CheckConstraint(
                condition=Q(end_margin__gte=0, least_coping__gte=0), name="round_margins_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return self.name or f"Round {self.position}"

    @property
    def flowers(self) -> int:
        on_sides = self.flowers_left + self.flowers_right + self.flowers_top + self.flowers_bottom
        return on_sides + (4 if self.flowers_corners else 0)

    @property
    def measured(self) -> Size | None:
        if self.measured_width is None or self.measured_length is None:
            return None
        return Size(self.measured_width, self.measured_length)
