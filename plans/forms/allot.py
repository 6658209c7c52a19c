"""Which fabric, and how many patches of it? One small form a role."""

from __future__ import annotations

from typing import Any

from django import forms

from quiltbook.people.models import Person
from stash.models import Fabric

MOST_PATCHES = 100_000


class CountField(forms.IntegerField):
    """How many patches, or nothing: as many as are left over."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            required=False,
            min_value=1,
            max_value=MOST_PATCHES,
            widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "measure count"}),
            error_messages={
                "invalid": "Write a whole number, such as 12, or leave it empty for what is left over.",
                "min_value": "At least 1, or leave it empty for what is left over.",
                "max_value": f"At most {MOST_PATCHES}.",
            },
            **kwargs,
        )


class AllotForm(forms.Form):
    """`role` is in the address; a plan's page has one such form a role, told apart by their prefix."""

    fabric = forms.ModelChoiceField(
        Fabric.objects.none(),
        label="Fabric",
        empty_label="Choose from your stash",
        error_messages={"required": "Choose a fabric.", "invalid_choice": "Choose a fabric of your stash."},
    )
    count = CountField(label="How many patches", help_text="Empty: as many as are left over.")

    def __init__(self, *args: Any, owner: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["fabric"]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101 - declared so above
        field.queryset = Fabric.objects.of(owner)


class CountForm(forms.Form):
    count = CountField(label="How many patches")
