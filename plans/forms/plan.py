"""What is the plan called? And what the forms of its sizes share: a width and a length that belong together."""

from __future__ import annotations

from typing import Any

from django import forms

from quiltbook.measures import Size
from quiltbook.web.fields import Words

WHOLE_SIZE = "Give both the width and the length, or neither."


class NameForm(forms.Form):
    """What the plan is called, and what she wants to remember about it."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"] = Words(most=120, label="Name", needed="Give the quilt a name.")
        self.fields["note"] = Words(
            most=4000, label="Note", long=True, help_text="Who it is for, what you have in mind."
        )


def size_of(form: forms.Form, across: str, down: str) -> Size | None:
    """Two cleaned fields as one size, None where they are empty."""
    width, length = form.cleaned_data.get(across), form.cleaned_data.get(down)
    return None if width is None or length is None else Size(width, length)


def whole_or_absent(form: forms.Form, across: str, down: str) -> None:
    """Where one of two fields is filled in, the other must be."""
    if across not in form.fields or across in form.errors or down in form.errors:
        return
    width, length = form.cleaned_data.get(across), form.cleaned_data.get(down)
    if (width is None) != (length is None):
        form.add_error(across if width is None else down, WHOLE_SIZE)
