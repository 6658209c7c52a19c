"""Which fabrics is a role to be cut from, and how is their print to lie on it?

Fabrics in her order, each with a count of patches or none: then it takes what is left over."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from plans.models.plan import Plan
from quiltbook.measures import Size
from stash.models import Fabric


class Allotment(models.Model):
    """`role` is the key of a `plans.queries.worked.Role`: it names a round by its row, so renaming and reordering rounds keep it."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="allotments")
    role = models.CharField(max_length=60)
    fabric = models.ForeignKey(Fabric, on_delete=models.CASCADE, related_name="allotments")
    position = models.PositiveSmallIntegerField()
    count = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["plan", "role", "position"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "role", "fabric"], name="fabric_once_a_role"),
            models.CheckConstraint(condition=~Q(role=""), name="allotment_names_a_role"),
            models.CheckConstraint(condition=Q(count__isnull=True) | Q(count__gt=0), name="allotment_count_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.role}: {self.fabric}"


class PrintWish(models.Model):
    """How the print is to lie on the patches of a role. `stripes`: which way they run; `per_repeat` makes them fussy cuts: each shows a
    motif of the print of which every whole repeat has so many."""

    class Stripes(models.TextChoices):
        ANY = "", "As they come"
        DOWN = "down", "Down the quilt"
        ACROSS = "across", "Across the quilt"
        LONG = "long", "Along each strip"
        SHORT = "short", "Across each strip"

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="print_wishes")
    role = models.CharField(max_length=60)
    stripes = models.CharField(max_length=6, choices=Stripes, default=Stripes.ANY, blank=True)
    per_repeat = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plan", "role"], name="one_print_wish_a_role"),
            models.CheckConstraint(condition=~Q(role=""), name="print_wish_names_a_role"),
            models.CheckConstraint(
                condition=Q(stripes__in=["down", "across", "long", "short"]) | Q(stripes="", per_repeat__isnull=False),
                name="print_wish_wishes_something",
            ),
            models.CheckConstraint(
                condition=Q(per_repeat__isnull=True) | Q(per_repeat__gt=0), name="print_wish_per_repeat_positive"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role}: {self.stripes or 'fussy cut'}"

    def stripes_on(self, size: Size) -> str | None:
        """Which way stripes run on a patch of that size, across the quilt and down it, in the engine's words: "along" its length, which
        is down the quilt, or "across"; None for either way."""
        if self.stripes in (self.Stripes.LONG, self.Stripes.SHORT):
            upright = size.length >= size.width
            return "along" if upright == (self.stripes == self.Stripes.LONG) else "across"
        return {self.Stripes.DOWN: "along", self.Stripes.ACROSS: "across"}.get(self.Stripes(self.stripes))
