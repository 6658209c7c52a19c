"""Which labels are to be printed, and on what? Pieces by a place, a fabric or one by one; the paper; where on a begun sheet to start."""

from __future__ import annotations

from typing import Any

from django import forms

from stash.forms.fields import choices_error

ACROSS, DOWN = 3, 8
A_SHEET = ACROSS * DOWN
PAPERS = [("a4", "A4"), ("letter", "Letter")]
EVERYWHERE, NOWHERE = "all", "none"


class WhichForm(forms.Form):
    """Whose labels are listed. A place stands behind "in:", so that no name of a place can mean anything else."""

    def __init__(self, data: Any = None, *, places: tuple[str, ...]) -> None:
        super().__init__(data)
        choices = [(EVERYWHERE, "Everything"), *((f"in:{place}", place) for place in places), (NOWHERE, "No set place")]
        self.fields["lies"] = forms.ChoiceField(
            label="Cloth that lies in", choices=choices, required=False, error_messages=choices_error("a place")
        )

    def place(self) -> str | None:
        """None for everything, "" for no set place."""
        lies = self.cleaned_data["lies"]
        if lies == NOWHERE:
            return ""
        return lies.removeprefix("in:") if lies.startswith("in:") else None


class SheetForm(forms.Form):
    """What is printed: the ticked pieces, on this paper, beginning at this label of the first sheet."""

    paper = forms.ChoiceField(label="Paper", choices=PAPERS, initial="a4", error_messages=choices_error("a paper"))
    first = forms.IntegerField(
        label="Begin at label",
        min_value=1,
        max_value=A_SHEET,
        initial=1,
        required=False,
        help_text=f"1 to {A_SHEET}, row by row: for a sheet you have begun.",
        error_messages={
            "invalid": f"Write a number from 1 to {A_SHEET}.",
            "min_value": f"Write a number from 1 to {A_SHEET}.",
            "max_value": f"There are {A_SHEET} labels on a sheet.",
        },
    )

    def __init__(self, data: Any = None, *, pieces: list[int]) -> None:
        super().__init__(data)
        self.fields["piece"] = forms.TypedMultipleChoiceField(
            coerce=int,
            choices=[(pk, "") for pk in pieces],
            error_messages={
                "required": "Tick at least one piece.",
                "invalid_choice": "A piece you ticked is no longer on the shelf.",
            },
        )
        self.fields["first"].widget.attrs |= {"inputmode": "numeric"}
