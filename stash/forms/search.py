"""What is she looking for on her shelf?"""

from __future__ import annotations

from django import forms

from stash.forms.fields import TextField, choices_error
from stash.models import Fabric


class SearchForm(forms.Form):
    words = TextField(
        most=100,
        required=False,
        label="Look for",
        widget=forms.TextInput(
            attrs={
                "type": "search",
                "placeholder": "name, place or note",
                "autocomplete": "off",
                "enterkeyhint": "search",
            }
        ),
    )
    kind = forms.ChoiceField(
        required=False,
        label="Kind",
        choices=[("", "Every kind"), *Fabric.Kind.choices],
        error_messages=choices_error("a kind of cloth"),
    )
    free = forms.BooleanField(required=False, label="Only what is free")
