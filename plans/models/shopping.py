"""What is there to buy? One line a cloth or other need; ticked when it is bought."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from plans.models.plan import Plan
from stash.models import Fabric

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class ShoppingLineQuerySet(models.QuerySet["ShoppingLine"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)

    def to_buy(self) -> Self:
        return self.filter(got_at=None, removed_at=None)


class ShoppingLine(models.Model):
    """`length` is what to ask for at the counter, already up to what a shop cuts; None for what is not sold by length."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="shopping")
    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="shopping", null=True, blank=True)
    fabric = models.ForeignKey(Fabric, on_delete=models.CASCADE, related_name="shopping", null=True, blank=True)
    role = models.CharField(max_length=60, blank=True, help_text="The part of the quilt it is for, where no fabric is.")
    what = models.CharField(max_length=200)
    length = models.BigIntegerField(null=True, blank=True)
    added_at = models.DateTimeField()
    got_at = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = ShoppingLineQuerySet.as_manager()

    class Meta:
        ordering = ["got_at", "-added_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(what=""), name="shopping_line_says_what"),
            models.CheckConstraint(condition=Q(length__isnull=True) | Q(length__gt=0), name="shopping_length_positive"),
            models.UniqueConstraint(
                fields=["plan", "fabric"],
                condition=Q(got_at=None, removed_at=None),
                name="one_open_line_a_fabric_and_plan",
            ),
            models.UniqueConstraint(
                fields=["plan", "role"],
                condition=Q(got_at=None, removed_at=None) & ~Q(role=""),
                name="one_open_line_a_part_and_plan",
            ),
        ]

    def __str__(self) -> str:
        return self.what
