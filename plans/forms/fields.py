"""Which figures does a quilt allow at all? Limits of lengths and counts, and fields that say in a sentence what is beyond them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, System

MOST_FLOWERS = 200


@dataclass(frozen=True, slots=True)
class Limit:
    """A length beyond which a figure makes no sense, round on either ruler."""

    inches: int
    centimetres: int

    def on(self, system: System) -> int:
        """In nm."""
        return self.inches * NM_PER_INCH if system is System.INCHES else self.centimetres * NM_PER_CM


LARGEST_QUILT = Limit(400, 1000)
WIDEST_BORDER = Limit(80, 200)
WIDEST_CLOTH = Limit(200, 500)
NARROWEST_CLOTH = Limit(4, 10)
WIDEST_SEAM = Limit(2, 5)
WIDEST_BINDING = Limit(12, 30)
LARGEST_FLOWER_SIDE = Limit(20, 50)
MOST_EXTRA = Limit(40, 100)
MOST_LENGTH = Limit(200, 500)


class Words(forms.CharField):
    """A line or two of text; says in a sentence how long it may be."""

    def __init__(self, *, most: int, needed: str = "", long: bool = False, **kwargs: Any) -> None:
        widget = forms.Textarea(attrs={"rows": 3}) if long else forms.TextInput(attrs={"autocomplete": "off"})
        super().__init__(max_length=most, required=bool(needed), widget=widget, **kwargs)
        self.error_messages["required"] = needed
        # The widget's own limit would cut a long paste short without a word.
        self.widget.attrs.pop("maxlength", None)
        for validator in self.validators:
            if getattr(validator, "code", "") == "max_length":
                validator.message = f"Use at most {most} characters."  # type: ignore[attr-defined]


class Count(forms.IntegerField):
    """A whole number from nothing to `most`; empty is nothing."""

    def __init__(self, *, most: int, **kwargs: Any) -> None:
        super().__init__(
            min_value=0,
            max_value=most,
            required=False,
            widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "measure count"}),
            **kwargs,
        )
        self.error_messages["invalid"] = "Write a whole number, such as 3."
        for validator in self.validators:
            code = getattr(validator, "code", "")
            if code == "min_value":
                validator.message = "It cannot be less than none."  # type: ignore[attr-defined]
            elif code == "max_value":
                validator.message = f"At most {most}."  # type: ignore[attr-defined]

    def clean(self, value: Any) -> int:
        return super().clean(value) or 0


def example(system: System, inches: str, metric: str) -> str:
    """Which of two examples the reader writes like."""
    return inches if system is System.INCHES else metric
