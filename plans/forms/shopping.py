"""What else is to be bought? A line of her own on the shopping list."""

from __future__ import annotations

from typing import Any

from django import forms

from quiltbook.measures import NM_PER_METRE, System
from quiltbook.web.fields import LengthField


class ShoppingForm(forms.Form):
    what = forms.CharField(
        label="What",
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Say what to buy.", "max_length": "Use at most 200 characters."},
    )

    def __init__(self, *args: Any, system: System, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        unit = "yd" if system is System.INCHES else "m"
        self.fields["length"] = LengthField(
            system=system,
            unit=unit,
            most=100 * NM_PER_METRE,
            required=False,
            label="How much",
            help_text="For what is sold by length, such as 1 1/2 yd."
            if unit == "yd"
            else "For what is sold by length, such as 1.5 m.",
        )
