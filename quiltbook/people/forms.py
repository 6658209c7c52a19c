"""What does a person type to sign up, to sign in and to say what is usual for her?"""

import zoneinfo
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from django import forms
from django.contrib.auth import forms as auth_forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from quiltbook.measures import System
from quiltbook.people.currencies import CURRENCIES
from quiltbook.people.figures import figure_fields
from quiltbook.people.models import NAME_TAKEN, SIGN_IN_NAME, Person, Settings
from quiltbook.web.fields import NumberField

_LEAST_PASSWORD = "At least 8 characters, not only digits, and not a word everybody thinks of."  # noqa: S105


@cache
def time_zones() -> tuple[tuple[str, str], ...]:
    """Every place a clock may be set by, as (IANA name, name in words)."""
    places = sorted(name for name in zoneinfo.available_timezones() if "/" in name and not name.startswith("Etc/"))
    return (("UTC", "UTC"), *((name, name.replace("_", " ").replace("/", " / ")) for name in places))


def _time_zone() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="Time zone", choices=time_zones, error_messages={"invalid_choice": "Choose a time zone from the list."}
    )


def _system() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="You measure in",
        choices=Settings.Systems.choices,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose inches or centimetres.", "required": "Choose inches or centimetres."},
    )


def _words() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="You say",
        choices=Settings.Words.choices,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose one of the two.", "required": "Choose one of the two."},
    )


class SignInForm(auth_forms.AuthenticationForm):
    """A name and a password."""

    error_messages = {
        "invalid_login": "That name and that password do not go together. Capital letters count in the password.",
        "inactive": "This account has been closed.",
    }


class SignUpForm(forms.Form):
    """A new account."""

    username = forms.CharField(
        label="Sign-in name",
        max_length=60,
        validators=[SIGN_IN_NAME],
        help_text="Letters and digits, no spaces.",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none", "autofocus": True}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        max_length=1000,
        help_text=_LEAST_PASSWORD,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label="The same password again",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    system = _system()
    time_zone = _time_zone()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["time_zone"].widget.attrs["data-own-time-zone"] = not self.is_bound

    def clean_username(self) -> str:
        name: str = self.cleaned_data["username"]
        if Person.objects.filter(username__iexact=name).exists():
            raise ValidationError(NAME_TAKEN)
        return name

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, Person(username=self.cleaned_data.get("username", "")))
        return password

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        if "password" in self.cleaned_data and again != self.cleaned_data["password"]:
            raise ValidationError("The two passwords differ. Type the same one twice.")
        return again


class PasswordForm(auth_forms.PasswordChangeForm):
    """The old password, and a new one twice."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.error_messages["password_incorrect"] = "That is not your present password."  # noqa: S105
        self.error_messages["password_mismatch"] = "The two new passwords differ. Type the same one twice."  # noqa: S105
        words = {
            "old_password": ("Your present password", ""),
            "new_password1": ("New password", _LEAST_PASSWORD),
            "new_password2": ("The new password again", ""),
        }
        for name, (label, help_text) in words.items():
            self.fields[name].label, self.fields[name].help_text = label, help_text


GROUPS: Mapping[str, tuple[str, ...]] = {
    "Cloth": ("usable_width", "fat_quarter_width", "fat_quarter_length", "least_offcut", "shop_step"),
    "Cutting and piecing": ("seam_allowance", "cutting_step", "mitre_extra", "turn_allowance"),
    "Finishing": ("backing_overage", "backing_seam", "wadding_overage", "binding_strip", "binding_extra"),
}


class SettingsForm(forms.Form):
    """A person's usual figures, typed and shown in `system`."""

    system = _system()
    words = _words()
    currency = forms.ChoiceField(
        choices=[(code, f"{code}, {name}") for code, name in CURRENCIES.items()],
        error_messages={"invalid_choice": "Choose a currency from the list."},
    )
    time_zone = _time_zone()
    hours_a_week = NumberField(
        label="Hours you sew a week",
        help_text="In a usual week. It tells when a quilt will be done.",
        min_value=0,
        max_value=168,
        max_digits=4,
        decimal_places=1,
        error_messages={
            "min_value": "Fewer hours than none cannot be sewn: type 0 or more.",
            "max_value": "A week has 168 hours: type fewer.",
            "max_decimal_places": "One figure after the point is enough, such as 2.5.",
            "max_digits": "A week has 168 hours: type fewer.",
            "max_whole_digits": "A week has 168 hours: type fewer.",
        },
    )

    def __init__(self, *args: Any, system: System, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for names in GROUPS.values():
            self.fields |= figure_fields(names, system=system)

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The lengths, by what they are for."""
        for words, names in GROUPS.items():
            yield words, [self[name] for name in names]
