"""What is said while a place is counted: which place, what was found of a piece, what it measures, and which words to look for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from quiltbook.people.models import Person
from quiltbook.web.fields import LengthField, Words
from stash.forms.arrival import LONGEST
from stash.forms.fields import choices_error
from stash.models import Piece, StocktakeMark

UNMARKED = "not looked"


class BeginForm(forms.Form):
    """A place to count, which may have no cloth in it by the ledger."""

    place = Words(most=80, needed="Say which place.", label="Another place", attrs={"list": "places"})


class FoundForm(forms.Form):
    """What was found of one piece: "there", "missing" or that she has not looked after all."""

    found = forms.ChoiceField(
        choices=[
            (StocktakeMark.Found.THERE, ""),
            (StocktakeMark.Found.MISSING, ""),
            (UNMARKED, ""),
        ],
        error_messages=choices_error("what you found"),
    )


class ResizedForm(forms.Form):
    """What a piece measures, whose ids start with its own so that many can stand on one page."""

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, owner: Person, piece_id: int, size: tuple[int, int]
    ) -> None:
        super().__init__(data, auto_id=f"p{piece_id}_%s")
        for name, label, nm in zip(
            ("width", "length"), ("Width, across the grain", "Length, along it"), size, strict=True
        ):
            self.fields[name] = LengthField(system=owner.settings.measures, most=LONGEST, label=label, initial=nm)


def resized(data: Mapping[str, Any] | None, *, owner: Person, piece: Piece) -> ResizedForm:
    return ResizedForm(data, owner=owner, piece_id=piece.pk, size=(piece.width, piece.length))


class LookForm(forms.Form):
    """Words of a piece that lies here and is not listed."""

    words = Words(most=100, label="Its fabric, label or place")
