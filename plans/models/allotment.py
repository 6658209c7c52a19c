"""Which fabrics is a role to be cut from? In her order, each with a count of patches or none: then it takes what is left over."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from plans.models.plan import Plan
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
