"""Which figures does a quilt allow at all? Limits of lengths and counts, and fields that say in a sentence what is beyond them."""

from __future__ import annotations

from typing import Any

from django import forms

from quiltbook.measures import System
from quiltbook.people.figures import Limit

MOST_FLOWERS = 200
LARGEST_QUILT = Limit(400, 1000)
WIDEST_BORDER = Limit(80, 200)
NARROWEST_CLOTH = Limit(4, 10)
LARGEST_FLOWER_SIDE = Limit(20, 50)


class Whole(forms.IntegerField):
    """A whole number from `least` to `most`. `needed` is the sentence where none is written; without one, none need be."""

    def __init__(self, *, most: int, least: int = 0, needed: str = "", **kwargs: Any) -> None:
        super().__init__(
            min_value=least,
            max_value=most,
            required=bool(needed),
            widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "measure count"}),
            **kwargs,
        )
        self.error_messages |= {
            "required": needed,
            "invalid": "Write a whole number, such as 3.",
            "min_value": f"At least {least}." if least else "It cannot be less than none.",
            "max_value": f"At most {most}.",
        }


class Count(Whole):
    """How many; empty is nothing."""

    def clean(self, value: Any) -> int:
        return super().clean(value) or 0


def example(system: System, inches: str, metric: str) -> str:
    """Which of two examples the reader writes like."""
    return inches if system is System.INCHES else metric
