"""What is there besides cloth? Thread, wadding, papers, glue, needles: each with how much is left, by what came and went.

Amounts are in the notion's own unit: metres of thread, packs or square metres of wadding, papers one by one. Changes are never altered:
a wrong one is taken back by its opposite."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from quiltbook.measures import Size
from quiltbook.web.words import worded
from stash.models.ledger import AppendOnly, AppendOnlyQuerySet

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class NotionQuerySet(models.QuerySet["Notion"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)


class Notion(models.Model):
    """One kind of thing. `weight`: of thread, as on its spool. `width` and `length` (nm): of a pack of wadding, a paper or a template;
    of wadding from the roll the width alone. `shape`: of a paper or template, as the engine calls it."""

    class Kind(models.TextChoices):
        THREAD = "thread", "Thread"
        WADDING = "wadding", worded("Wadding")
        PAPERS = "papers", "Papers"
        TEMPLATES = "templates", "Leave-in templates"
        GLUE = "glue", "Glue"
        NEEDLES = "needles", "Needles"
        SPRAY = "spray", "Basting spray"
        OTHER = "other", "Something else"

    class Unit(models.TextChoices):
        METRE = "metre", "metres"
        PIECE = "piece", "pieces"
        PACK = "pack", "packs"

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="notions")
    kind = models.CharField(max_length=10, choices=Kind)
    name = models.CharField(max_length=120)
    unit = models.CharField(max_length=6, choices=Unit)
    colour = models.CharField(max_length=7, blank=True, validators=[RegexValidator(r"^#[0-9a-f]{6}$")])
    weight = models.CharField(max_length=20, blank=True)
    shape = models.CharField(max_length=40, blank=True)
    width = models.BigIntegerField(null=True, blank=True)
    length = models.BigIntegerField(null=True, blank=True)
    place = models.CharField(max_length=80, blank=True)
    note = models.TextField(blank=True, max_length=2000)
    created_at = models.DateTimeField()
    put_away_at = models.DateTimeField(null=True, blank=True, help_text="Not kept any more; its changes stay.")

    objects = NotionQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["owner", "kind", "name"],
                name="notion_name_once_a_kind",
                violation_error_message="You have one of this name already.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="notion_has_a_name"),
            models.CheckConstraint(
                condition=Q(
                    kind__in=["thread", "wadding", "papers", "templates", "glue", "needles", "spray", "other"],
                    unit__in=["metre", "piece", "pack"],
                ),
                name="notion_choices_known",
            ),
            models.CheckConstraint(
                condition=(Q(width__isnull=True) | Q(width__gt=0)) & (Q(length__isnull=True) | Q(length__gt=0)),
                name="notion_size_positive_or_absent",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def size(self) -> Size | None:
        if self.width is None or self.length is None:
            return None
        return Size(self.width, self.length)


class NotionChange(AppendOnly):
    """So much more or less of a notion, in its unit. `counted`: she counted, and this is the difference to what was written down."""

    class Kind(models.TextChoices):
        BOUGHT = "bought", "Bought"
        USED = "used", "Used"
        COUNTED = "counted", "Counted"
        REVERSED = "reversed", "Taken back"

    notion = models.ForeignKey(Notion, on_delete=models.CASCADE, related_name="changes")
    kind = models.CharField(max_length=8, choices=Kind)
    change = models.DecimalField(max_digits=12, decimal_places=3)
    day = models.DateField()
    recorded_at = models.DateTimeField()
    price = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    bought_from = models.CharField(max_length=120, blank=True)
    note = models.CharField(max_length=300, blank=True)
    link = models.CharField(max_length=200, blank=True, help_text="The page that it was used for.")
    reverses = models.OneToOneField(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="reversed_by"
    )

    objects = AppendOnlyQuerySet["NotionChange"].as_manager()

    class Meta:
        ordering = ["-day", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="bought", change__gt=0)
                | Q(kind="used", change__lt=0)
                | Q(kind__in=["counted", "reversed"]),
                name="notion_change_goes_its_way",
            ),
            models.CheckConstraint(
                condition=Q(kind="reversed", reverses__isnull=False) | (~Q(kind="reversed") & Q(reverses__isnull=True)),
                name="notion_reversal_names_what_it_reverses",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=True) | (Q(price__gte=0, kind="bought") & ~Q(currency="")),
                name="notion_price_of_what_was_bought",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.change:+} {self.notion}"
