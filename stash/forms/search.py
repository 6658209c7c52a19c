"""What is she looking for on her shelf?"""

from __future__ import annotations

from django import forms

from quiltbook.web.fields import Words
from stash.forms.fields import choices_error
from stash.models import Fabric


class SearchForm(forms.Form):
    words = Words(
        most=100,
        label="Look for",
        attrs={
            "type": "search",
            "placeholder": "name, place or note",
            "autocomplete": "off",
            "enterkeyhint": "search",
        },
    )
    kind = forms.ChoiceField(
        required=False,
        label="Kind",
        choices=[("", "Every kind"), *Fabric.Kind.choices],
        error_messages=choices_error("a kind of cloth"),
    )
    free = forms.BooleanField(required=False, label="Only what is free")
