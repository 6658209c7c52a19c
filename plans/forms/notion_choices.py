"""Which of her notions serves which need of the quilt? A list to choose from for each need that leaves a choice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from plans.queries.notions_short import Need


class ChoicesForm(forms.Form):
    """One field a need that has a choice: every kind of sewing, and whatever else more than one notion would do for."""

    def __init__(self, data: Any = None, *, needs: Sequence[Need]) -> None:
        super().__init__(data)
        for need in needs:
            sewn = need.key.startswith("thread-")
            if len(need.candidates) < (1 if sewn else 2):
                continue
            rows = [each.notion for each in need.candidates]
            told = [(str(row.id), f"{row.name}, {row.left_words} left") for row in rows]
            self.fields[need.key] = forms.ChoiceField(
                label=need.words,
                required=False,
                choices=[("", "Not said"), *told] if sewn else told,
                initial=str(need.notion.id) if need.notion else "",
            )

    def choices(self) -> dict[str, int | None]:
        return {key: int(value) if value else None for key, value in self.cleaned_data.items()}
