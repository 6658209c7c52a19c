"""The fields that several of the stash's forms share: prices and choices, each with its sentences."""

from __future__ import annotations

from typing import Any

from quiltbook.web.fields import NumberField


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


def choices_error(what: str) -> dict[str, str]:
    sentence = f"Choose {what} from the list."
    return {"invalid_choice": sentence, "required": sentence}
