"""What is said when something is done to one piece: where it goes, what it measures now, what it is cut into, or why it goes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from quiltbook.measures import Size
from quiltbook.people.models import Person
from quiltbook.web.fields import LengthField, Words
from stash.forms.arrival import LONGEST, AnAmount
from stash.models import Piece


def _place(now: str = "") -> Words:
    return Words(most=80, initial=now, label="Where it lies now", attrs={"list": "places"})


class PlaceForm(forms.Form):
    """Where all the pieces of a fabric are put."""

    place = _place()


class PieceForm(forms.Form):
    """A form about `piece`, whose ids start with what is done so that several can stand on one page."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, owner: Person, piece: Piece, act: str) -> None:
        super().__init__(data, auto_id=f"{act}_%s")
        self.owner, self.piece = owner, piece
        self.add_fields()

    def add_fields(self) -> None:
        raise NotImplementedError


class MoveForm(PieceForm):
    def add_fields(self) -> None:
        self.fields["place"] = _place(self.piece.place)


class MeasuredForm(PieceForm):
    """The piece measured again."""

    def add_fields(self) -> None:
        for name, label, nm in (
            ("width", "Width, across the grain", self.piece.width),
            ("length", "Length, along it", self.piece.length),
        ):
            self.fields[name] = LengthField(system=self.owner.settings.measures, most=LONGEST, label=label, initial=nm)

    def measured(self) -> Size:
        return Size(self.cleaned_data["width"], self.cleaned_data["length"])


class SplitForm(PieceForm, AnAmount):
    def add_fields(self) -> None:
        self._add_amount(self.owner, self.piece.width)
        self.fields["amount"].label = "Cut off"
        self.fields["keep_rest"] = forms.BooleanField(
            required=False, initial=True, label="What is left over is a piece too"
        )


class GoneForm(PieceForm):
    """Why it goes, or to whom."""

    def add_fields(self) -> None:
        self.fields["note"] = Words(most=300, label="Note")
