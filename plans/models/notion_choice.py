"""Which of her notions serves which need of a plan? Her own choice, where more than one would do."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from plans.models.plan import Plan
from stash.models import Notion


class NotionChoice(models.Model):
    """`need` is the key of what the plan takes: "thread-seams", "wadding", "papers-hexagon-43994x50800"."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="notion_choices")
    need = models.CharField(max_length=60)
    notion = models.ForeignKey(Notion, on_delete=models.CASCADE, related_name="chosen_for")

    class Meta:
        ordering = ["plan", "need"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "need"], name="one_notion_a_need"),
            models.CheckConstraint(condition=~Q(need=""), name="notion_choice_says_for_what"),
        ]

    def __str__(self) -> str:
        return f"{self.notion} for {self.need}"
