"""Is somebody looking harder? A search for a better layout that runs in the background: how far it is, and how it ended."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import F, Q

from plans.models.plan import Plan


class LayoutSearchQuerySet(models.QuerySet["LayoutSearch"]):
    def under_way(self) -> Self:
        return self.filter(ended_at=None)


class LayoutSearch(models.Model):
    """`done` of `of` fabrics have been laid out. `said`: how it ended, in a sentence; empty when it ended well."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="searches")
    method = models.CharField(max_length=8)
    asked_at = models.DateTimeField()
    done = models.PositiveSmallIntegerField(default=0)
    of = models.PositiveSmallIntegerField()
    stop = models.BooleanField(default=False, help_text="She does not want to wait for it any more.")
    ended_at = models.DateTimeField(null=True, blank=True)
    said = models.CharField(max_length=300, blank=True)

    objects = LayoutSearchQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan"], condition=Q(ended_at=None), name="one_search_at_a_time_a_plan"),
            models.CheckConstraint(condition=Q(done__lte=F("of")), name="search_done_at_most_all"),
        ]

    def __str__(self) -> str:
        return f"{self.done} of {self.of} fabrics for {self.plan}"
