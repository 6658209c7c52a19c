"""The fields that several of the stash's forms share: prices, tags and choices, each with its sentences."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError

from quiltbook.web.fields import NumberField, Words

LONGEST_TAG = 40


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


class TagsField(Words):
    """Words of her own with commas between, as a tuple; one that is there twice, in whatever capitals, counts once."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(most=400, attrs={"autocomplete": "off", "autocapitalize": "none"}, **kwargs)

    def clean(self, value: Any) -> Any:
        names: dict[str, str] = {}
        for part in super().clean(value).split(","):
            name = " ".join(part.split())
            names.setdefault(name.casefold(), name)
        names.pop("", None)
        if any(len(name) > LONGEST_TAG for name in names.values()):
            raise ValidationError(f"A tag has at most {LONGEST_TAG} characters: put commas between tags.", code="long")
        return tuple(names.values())


def choices_error(what: str) -> dict[str, str]:
    sentence = f"Choose {what} from the list."
    return {"invalid_choice": sentence, "required": sentence}
