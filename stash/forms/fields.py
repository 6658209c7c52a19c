"""The fields that several of the stash's forms share: short texts, prices, days, each with its sentences."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.web.fields import NumberField

EARLIEST = date(1900, 1, 1)


class TextField(forms.CharField):
    """A line of words, with spaces tidied. `offers` are given to choose from as she types."""

    def __init__(self, *, most: int, offers: tuple[str, ...] = (), **kwargs: Any) -> None:
        self.offers = offers
        super().__init__(max_length=most, **kwargs)
        self.error_messages["max_length"] = f"That is too long: use at most {most} characters."
        self.error_messages["required"] = "Write something here."

    def clean(self, value: Any) -> str:
        text = " ".join(str(super().clean(value)).split())
        if text and not any(char.isprintable() and not char.isspace() for char in text):
            raise ValidationError("Nothing in that can be read: write letters or digits.", code="unreadable")
        return text


class NoteField(forms.CharField):
    """A few lines of words."""

    widget = forms.Textarea

    def __init__(self, *, most: int, **kwargs: Any) -> None:
        super().__init__(max_length=most, required=False, **kwargs)
        self.error_messages["max_length"] = f"That is too long: use at most {most} characters."
        self.widget.attrs["rows"] = 3


class PriceField(NumberField):
    """Money paid, to the hundredth; nothing is a price too (a gift)."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_digits=10, decimal_places=2, **kwargs)
        too_much = "That is more than any cloth costs: check the price."
        self.error_messages |= {
            "invalid": "Write a price in figures, like 12.50.",
            "max_digits": too_much,
            "max_whole_digits": too_much,
            "max_decimal_places": "Use at most two figures after the point.",
            "min_value": "A price cannot be less than nothing.",
        }


class PastDayField(forms.DateField):
    """A day up to `today`, written as 2026-11-25 or 25.11.2026, and shown by the browser its own way."""

    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})

    def __init__(self, *, today: date, **kwargs: Any) -> None:
        super().__init__(input_formats=["%Y-%m-%d", "%d.%m.%Y", "%d %B %Y"], initial=today, **kwargs)
        self.today = today
        self.widget.attrs |= {"max": today.isoformat(), "min": EARLIEST.isoformat()}
        self.error_messages |= {
            "invalid": "Write a date like 2026-11-25.",
            "required": "Say which day, like 2026-11-25.",
        }

    def clean(self, value: Any) -> date | None:
        day = super().clean(value)
        if not isinstance(day, date):
            return None
        if day > self.today:
            raise ValidationError("That day is still to come: check the date.", code="future")
        if day < EARLIEST:
            raise ValidationError("That is before 1900: check the year.", code="past")
        return day


def choices_error(what: str) -> dict[str, str]:
    sentence = f"Choose {what} from the list."
    return {"invalid_choice": sentence, "required": sentence}
