"""What happened to the cloth? An append-only ledger: a movement is never changed or deleted, only reversed by another.

Every movement balances, in whole square millimetres:
    area of the pieces it ended = area of the pieces it began + patches + waste + difference
where the difference is stated: cloth that came from a shop (negative), was given away, shrank, or measured otherwise than expected."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NoReturn, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from stash.models.piece import Piece

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class AppendOnlyError(Exception):
    """Somebody tried to change or delete what the ledger has recorded."""


class AppendOnlyQuerySet[M: models.Model](models.QuerySet[M]):
    def update(self, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError("The ledger is append-only: reverse the movement instead.")

    def delete(self) -> NoReturn:
        raise AppendOnlyError("The ledger is append-only: reverse the movement instead.")


class AppendOnly(models.Model):
    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnlyError("The ledger is append-only: reverse the movement instead.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError("The ledger is append-only: reverse the movement instead.")


class MovementQuerySet(AppendOnlyQuerySet["Movement"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)


class Movement(AppendOnly):
    class Kind(models.TextChoices):
        BOUGHT = "bought", "Bought"
        COUNTED = "counted", "Counted"
        CUT = "cut", "Cut"
        WASHED = "washed", "Washed"
        SPLIT = "split", "Split"
        SCRAPPED = "scrapped", "Scrapped"
        GIVEN = "given away", "Given away"
        MOVED = "moved", "Moved"
        REVERSED = "reversed", "Reversed"

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="movements")
    kind = models.CharField(max_length=12, choices=Kind)
    day = models.DateField()
    recorded_at = models.DateTimeField()
    note = models.CharField(max_length=300, blank=True)
    link = models.CharField(max_length=200, blank=True, help_text="The page that made this movement and can undo it.")
    reverses = models.OneToOneField(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="reversed_by"
    )
    patches_mm2 = models.BigIntegerField(default=0)
    waste_mm2 = models.BigIntegerField(default=0)
    difference_mm2 = models.BigIntegerField(default=0)

    objects = MovementQuerySet.as_manager()

    class Meta:
        ordering = ["-day", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    kind__in=[
                        "bought",
                        "counted",
                        "cut",
                        "washed",
                        "split",
                        "scrapped",
                        "given away",
                        "moved",
                        "reversed",
                    ]
                ),
                name="movement_kind_known",
            ),
            models.CheckConstraint(
                condition=Q(kind="reversed", reverses__isnull=False) | (~Q(kind="reversed") & Q(reverses__isnull=True)),
                name="movement_reversal_names_what_it_reverses",
            ),
            models.CheckConstraint(
                condition=Q(kind="reversed") | Q(patches_mm2__gte=0, waste_mm2__gte=0),
                name="movement_patches_and_waste_not_negative",
            ),
        ]
        indexes = [models.Index(fields=["owner", "-day"])]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} on {self.day:%d %b %Y}"

    @property
    def root(self) -> Movement:
        """The movement that a chain of reversals is about; itself, where it reverses nothing."""
        return self.reverses.root if self.reverses is not None else self


class MovementLine(AppendOnly):
    """A piece leaving the shelf (−1) or coming to it (+1), and the place it left or came to."""

    movement = models.ForeignKey(Movement, on_delete=models.CASCADE, related_name="lines")
    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="lines")
    change = models.SmallIntegerField()
    place = models.CharField(max_length=80, blank=True)

    objects = AppendOnlyQuerySet["MovementLine"].as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(change__in=[-1, 1]), name="line_is_minus_or_plus_one"),
            models.UniqueConstraint(fields=["movement", "piece", "change"], name="line_once_each_way_per_movement"),
        ]

    def __str__(self) -> str:
        return f"{self.change:+d} {self.piece}"


class Purchase(AppendOnly):
    """What a bought movement cost and where it came from."""

    movement = models.OneToOneField(Movement, on_delete=models.CASCADE, related_name="purchase")
    price = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3)
    bought_from = models.CharField(max_length=120, blank=True)

    objects = AppendOnlyQuerySet["Purchase"].as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(price__isnull=True) | Q(price__gte=0), name="purchase_price_not_negative"
            )
        ]

    def __str__(self) -> str:
        return f"{self.movement} from {self.bought_from}"
