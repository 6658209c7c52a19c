"""Which fabric, and how many patches of it? One small form a role."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from django import forms

from plans.models import PrintWish
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
    """`role` is in the address; a plan's page has one such form a role, told apart by their prefix. `choices` (fabric id, words) are
    looked up once for all of them."""

    fabric = forms.ModelChoiceField(
        Fabric.objects.none(),
        label="Fabric",
        error_messages={"required": "Choose a fabric.", "invalid_choice": "Choose a fabric of your stash."},
    )
    count = CountField(label="How many patches", help_text="Empty: all that are left.")

    def __init__(self, *args: Any, owner: Person, choices: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("forms.ModelChoiceField[Fabric]", self.fields["fabric"])
        field.queryset = Fabric.objects.of(owner)
        field.widget.choices = [("", "Choose from your stash"), *choices]


class PrintForm(forms.Form):
    """How the print is to lie on a role's patches."""

    stripes = forms.ChoiceField(
        label="Stripes",
        required=False,
        choices=PrintWish.Stripes.choices,
        help_text="On striped cloth only: which way they are to run.",
        error_messages={"invalid_choice": "Choose one of these."},
    )
    per_repeat = CountField(
        label="Fussy cuts from each repeat",
        help_text="How often the motif you want stands in one repeat of the print. Empty: cut as it comes.",
    )


class CountForm(forms.Form):
    count = CountField(label="How many patches")
