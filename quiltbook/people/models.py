"""Who uses Quiltbook, and what are her usual figures?

`Person` signs in and owns cloth and plans; `Settings` holds what the trade disagrees about,
one row a person. Lengths are whole nanometres.
"""

from decimal import Decimal
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.db import models, transaction
from django.db.models.functions import Lower

from quiltbook.measures import Size, System
from quiltbook.people.usual import MAY_BE_NOTHING, USUAL

SIGN_IN_NAME = UnicodeUsernameValidator(message="Use letters, digits and @ . + - _ only, with no spaces.")
NAME_TAKEN = "Somebody already signs in with that name. Choose another."
_USUAL = USUAL[System.INCHES]


class PersonManager(UserManager["Person"]):
    """People, found by a sign-in name in whatever case it is typed."""

    def get_by_natural_key(self, username: str | None) -> "Person":
        return self.get(username__iexact=username)


class Person(AbstractUser):
    """One quilter. Saving a new one gives her a row of settings in the same transaction."""

    username = models.CharField(
        "sign-in name",
        max_length=60,
        unique=True,
        validators=[SIGN_IN_NAME],
        error_messages={"unique": NAME_TAKEN},
    )

    objects: ClassVar[PersonManager] = PersonManager()
    settings: "Settings"

    class Meta(AbstractUser.Meta):
        verbose_name = "person"
        verbose_name_plural = "people"
        constraints = [
            models.UniqueConstraint(
                Lower("username"),
                name="person_name_unique_in_any_case",
                violation_error_message=NAME_TAKEN,
            )
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save, and make the settings of somebody new: there is no person without them."""
        new = self._state.adding
        with transaction.atomic():
            super().save(*args, **kwargs)
            if new:
                Settings.objects.create(person=self)


def _constraints() -> list[models.BaseConstraint]:
    """No length is nothing where nothing makes no sense; system and hours are in range."""
    positive = [
        models.CheckConstraint(condition=models.Q(**{f"{name}__gt": 0}), name=f"settings_{name}_more_than_nothing")
        for name in _USUAL
        if name not in MAY_BE_NOTHING
    ]
    return [
        *positive,
        models.CheckConstraint(condition=models.Q(system__in=[s.value for s in System]), name="settings_system_known"),
        models.CheckConstraint(condition=models.Q(words__in=["uk", "us"]), name="settings_words_known"),
        models.CheckConstraint(
            condition=models.Q(hours_a_week__gte=0, hours_a_week__lte=168), name="settings_hours_within_a_week"
        ),
    ]


class Settings(models.Model):
    """A person's usual figures: what a new plan or a new piece of cloth starts from."""

    class Systems(models.TextChoices):
        INCHES = System.INCHES.value, "Inches and yards"
        METRIC = System.METRIC.value, "Centimetres and metres"

    class Words(models.TextChoices):
        UK = "uk", "British: wadding, tacking, selvedge"
        US = "us", "American: batting, basting, selvage"

    person = models.OneToOneField(Person, on_delete=models.CASCADE, related_name="settings")
    system = models.CharField(max_length=6, choices=Systems, default=Systems.INCHES)
    words = models.CharField(max_length=2, choices=Words, default=Words.UK)

    usable_width = models.PositiveBigIntegerField(default=_USUAL["usable_width"])
    fat_quarter_width = models.PositiveBigIntegerField(default=_USUAL["fat_quarter_width"])
    fat_quarter_length = models.PositiveBigIntegerField(default=_USUAL["fat_quarter_length"])
    least_offcut = models.PositiveBigIntegerField(default=_USUAL["least_offcut"])
    shop_step = models.PositiveBigIntegerField(default=_USUAL["shop_step"])

    seam_allowance = models.PositiveBigIntegerField(default=_USUAL["seam_allowance"])
    cutting_step = models.PositiveBigIntegerField(default=_USUAL["cutting_step"])
    mitre_extra = models.PositiveBigIntegerField(default=_USUAL["mitre_extra"])
    turn_allowance = models.PositiveBigIntegerField(default=_USUAL["turn_allowance"])

    backing_overage = models.PositiveBigIntegerField(default=_USUAL["backing_overage"])
    backing_seam = models.PositiveBigIntegerField(default=_USUAL["backing_seam"])
    wadding_overage = models.PositiveBigIntegerField(default=_USUAL["wadding_overage"])
    binding_strip = models.PositiveBigIntegerField(default=_USUAL["binding_strip"])
    binding_extra = models.PositiveBigIntegerField(default=_USUAL["binding_extra"])

    currency = models.CharField(max_length=3, default="USD")
    time_zone = models.CharField(max_length=64, default="UTC")
    hours_a_week = models.DecimalField(max_digits=4, decimal_places=1, default=Decimal(3))

    class Meta:
        verbose_name = "settings"
        verbose_name_plural = "settings"
        constraints = _constraints()

    def __str__(self) -> str:
        return f"settings of {self.person_id}"

    @property
    def measures(self) -> System:
        """The system she measures in."""
        return System(self.system)

    @property
    def fat_quarter(self) -> Size:
        """A fat quarter where she shops: half the width of the cloth by the length it is cut, in nm."""
        return Size(self.fat_quarter_width, self.fat_quarter_length)
