"""Which of the lengths goes on the shopping list, and what is she looking for?"""

from __future__ import annotations

from typing import Any

from django import forms

from quiltbook.web.fields import Words

WAYS = ("handbook", "strips", "close", "panel")


class PutForm(forms.Form):
    """`way`: the length that was shown; `cloth`: what it is to be, such as "Blue"."""

    def __init__(self, data: Any = None, *, key: str) -> None:
        super().__init__(data, auto_id=f"id_{key}_%s")
        self.fields["cloth"] = Words(most=80, label="What are you looking for?", help_text="Such as a deep blue.")
        self.fields["way"] = forms.ChoiceField(
            choices=[(way, way) for way in WAYS], widget=forms.HiddenInput
        )  # the button pressed
