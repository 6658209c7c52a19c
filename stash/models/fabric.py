"""What is this cloth? Its name, kind, print, colour and picture; how much of it there is lies in its pieces."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from quiltbook.measures import Size
from quiltbook.web.words import worded

if TYPE_CHECKING:
    from quiltbook.people.models import Person


def photo_path(fabric: Fabric, filename: str) -> str:
    """Where a photo lies: under its owner's number (who alone is sent it), never by the name it was uploaded under."""
    suffix = filename.rpartition(".")[2]
    return f"{fabric.owner_id}/fabrics/{secrets.token_urlsafe(16)}.{suffix}"


class Tag(models.Model):
    """A word of her own by which fabrics are found: "for Ada", "sea"."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="tags")
    name = models.CharField(max_length=40)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["owner", "name"], name="tag_once_per_owner"),
            models.CheckConstraint(condition=~Q(name=""), name="tag_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name


class FabricQuerySet(models.QuerySet["Fabric"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)


class Fabric(models.Model):
    """One cloth: every piece of it has the same print, width and colour."""

    class Kind(models.TextChoices):
        COTTON = "cotton", "Quilting cotton"
        PANEL = "panel", "Printed panel"
        LAWN = "lawn", "Lawn"
        LINEN = "linen", "Linen"
        FLANNEL = "flannel", "Flannel"
        WIDE = "wide", "Wide backing"
        OTHER = "other", "Other cloth"

    class PrintDirection(models.TextChoices):
        ANY = "any", "No direction"
        ONE_WAY = "one way", "One way up only"

    class Value(models.TextChoices):
        """How light or dark it is beside others."""

        LIGHT = "light", "Light"
        MEDIUM = "medium", "Medium"
        DARK = "dark", "Dark"

    class PrintScale(models.TextChoices):
        UNKNOWN = "", "Not said"
        PLAIN = "plain", "Plain, or nearly"
        SMALL = "small", "Small print"
        MEDIUM = "medium", "Medium print"
        LARGE = "large", "Large print"

    class Stripes(models.TextChoices):
        NONE = "", "No stripes"
        ALONG = "along", worded("Along the selvedge")
        ACROSS = "across", worded("Across, from selvedge to selvedge")

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="fabrics")
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=12, choices=Kind, default=Kind.COTTON)
    usable_width = models.BigIntegerField(help_text="Across the grain with the selvedges off, in nanometres.")
    print_direction = models.CharField(max_length=12, choices=PrintDirection, default=PrintDirection.ANY)
    stripes = models.CharField(max_length=6, choices=Stripes, default=Stripes.NONE, blank=True)
    # After how much the print begins again, across the cloth and along it; absent where nobody measured it.
    repeat_width = models.BigIntegerField(null=True, blank=True)
    repeat_length = models.BigIntegerField(null=True, blank=True)
    colour = models.CharField(max_length=7, validators=[RegexValidator(r"^#[0-9a-f]{6}$")])
    # What the photos said, unless she said otherwise.
    colour_by_hand = models.BooleanField(default=True)
    value = models.CharField(max_length=6, choices=Value, default=Value.MEDIUM)
    value_by_hand = models.BooleanField(default=False)
    print_scale = models.CharField(max_length=6, choices=PrintScale, default=PrintScale.UNKNOWN, blank=True)
    grams_per_m2 = models.PositiveIntegerField(null=True, blank=True, help_text="What a square metre of it weighs.")
    tags = models.ManyToManyField(Tag, related_name="fabrics", blank=True)
    to_fill_in = models.BooleanField(default=False, help_text="Logged by a photo alone; the rest is still to be said.")
    # Projections of the first photo, written with it.
    photo = models.FileField(upload_to=photo_path, blank=True)
    # The same picture, small: a shelf of hundreds is read on a phone.
    thumbnail = models.FileField(upload_to=photo_path, blank=True)
    printed_width = models.BigIntegerField(null=True, blank=True)
    printed_length = models.BigIntegerField(null=True, blank=True)
    printed_seam = models.BigIntegerField(null=True, blank=True)
    note = models.TextField(blank=True, max_length=2000)
    created_at = models.DateTimeField()

    objects = FabricQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["owner", "name"],
                name="fabric_name_once_per_owner",
                violation_error_message="You already have a fabric of this name.",
            ),
            models.CheckConstraint(condition=Q(usable_width__gt=0), name="fabric_has_width"),
            models.CheckConstraint(condition=~Q(name=""), name="fabric_has_a_name"),
            models.CheckConstraint(
                condition=Q(kind__in=["cotton", "panel", "lawn", "linen", "flannel", "wide", "other"]),
                name="fabric_kind_known",
            ),
            models.CheckConstraint(condition=Q(print_direction__in=["any", "one way"]), name="fabric_direction_known"),
            models.CheckConstraint(
                condition=Q(
                    value__in=["light", "medium", "dark"], print_scale__in=["", "plain", "small", "medium", "large"]
                ),
                name="fabric_value_and_scale_known",
            ),
            models.CheckConstraint(
                condition=Q(grams_per_m2__isnull=True) | Q(grams_per_m2__gt=0), name="fabric_weighs_something"
            ),
            models.CheckConstraint(condition=Q(stripes__in=["", "along", "across"]), name="fabric_stripes_known"),
            models.CheckConstraint(
                condition=Q(repeat_width__isnull=True, repeat_length__isnull=True)
                | Q(
                    repeat_width__isnull=False,
                    repeat_length__isnull=False,
                    repeat_width__gt=0,
                    repeat_length__gt=0,
                ),
                name="fabric_repeat_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(printed_width__isnull=True, printed_length__isnull=True, printed_seam__isnull=True)
                # Said outright, since a comparison with nothing is neither true nor false and would let half a size through.
                | Q(
                    printed_width__isnull=False,
                    printed_length__isnull=False,
                    printed_seam__isnull=False,
                    printed_width__gt=0,
                    printed_length__gt=0,
                    printed_seam__gte=0,
                ),
                name="fabric_printed_size_whole_or_absent",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def one_way(self) -> bool:
        return self.print_direction == self.PrintDirection.ONE_WAY

    @property
    def repeat(self) -> Size | None:
        """After how much the print begins again, in nanometres."""
        if self.repeat_width is None or self.repeat_length is None:
            return None
        return Size(self.repeat_width, self.repeat_length)

    @property
    def printed(self) -> Size | None:
        """The printed picture of a panel with its printed seam, in nanometres."""
        if self.printed_width is None or self.printed_length is None:
            return None
        return Size(self.printed_width, self.printed_length)

    @property
    def photo_url(self) -> str:
        return self.photo.url if self.photo else ""

    @property
    def thumbnail_url(self) -> str:
        return self.thumbnail.url if self.thumbnail else self.photo_url
