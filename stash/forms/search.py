"""What is she looking for on her shelf? Everything stands in the address, so that it can be kept and come back to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.core.exceptions import ValidationError
from django.utils.datastructures import MultiValueDict

from quiltbook.people.models import Person
from quiltbook.web.fields import AmountField, ColourField, Words
from stash import colour
from stash.forms.fields import choices_error
from stash.models import Fabric
from stash.queries.finding import HUE, LEAST_USED, MOST, NAME, NEWEST, STRIPED, Sought

type Query = MultiValueDict[str, str]

PER_PAGE = 60
# So many cards a browser still draws at once.
MOST_SHOWN = 1200
SORTS = (
    ("", "Name, or nearest colour"),
    (NAME, "Name"),
    (NEWEST, "Newest"),
    (MOST, "Most cloth free"),
    (LEAST_USED, "Longest since cut"),
    (HUE, "Colour"),
)


@dataclass(frozen=True, slots=True)
class Chip:
    """One thing asked for, in words, with the rest of the search: what is found without it."""

    words: str
    without: str
    colour: str = ""


# How it is shown, not what is found; and what only goes with another field.
_SHOWS = {"sort", "grey"}
_GOES_WITH = {"in_one": "amount"}


class SearchForm(forms.Form):
    """A search of `owner`'s. Valid, it gives `sought()`."""

    words = Words(
        most=100,
        label="Look for",
        attrs={
            "type": "search",
            "placeholder": "name, place, tag or note",
            "autocomplete": "off",
            "enterkeyhint": "search",
        },
    )
    near = ColourField(
        required=False,
        label="Near this colour",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}),
        help_text="A code like #2f4b7c.",
    )
    like = forms.IntegerField(required=False, min_value=1, max_value=2**53, widget=forms.HiddenInput)
    hue = forms.ChoiceField(
        required=False,
        label="Colour",
        choices=[("", "Every colour"), *((hue, hue.capitalize()) for hue in colour.HUES)],
        error_messages=choices_error("a colour"),
    )
    value = forms.ChoiceField(
        required=False,
        label="Value",
        choices=[("", "Every value"), *Fabric.Value.choices],
        error_messages=choices_error("a value"),
    )
    scale = forms.ChoiceField(
        required=False,
        label="Scale of the print",
        choices=[("", "Every scale"), *Fabric.PrintScale.choices[1:]],
        error_messages=choices_error("a scale"),
    )
    direction = forms.ChoiceField(
        required=False,
        label="Direction of the print",
        choices=[("", "Every direction"), *Fabric.PrintDirection.choices, (STRIPED, "Stripes")],
        error_messages=choices_error("a direction"),
    )
    kind = forms.ChoiceField(
        required=False,
        label="Kind",
        choices=[("", "Every kind"), *Fabric.Kind.choices],
        error_messages=choices_error("a kind of cloth"),
    )
    in_one = forms.BooleanField(required=False, label="In one piece")
    free = forms.BooleanField(required=False, label="Only what is free")
    resting = forms.BooleanField(required=False, label="Not used for a year")
    to_fill_in = forms.BooleanField(required=False, label="Still to be filled in")
    used_up = forms.BooleanField(required=False, label="Used up")
    grey = forms.BooleanField(required=False, label="In greys")
    sort = forms.ChoiceField(
        required=False, label="In order of", choices=SORTS, error_messages=choices_error("an order")
    )

    def __init__(self, data: Query, *, owner: Person, places: Sequence[str], tags: Sequence[str]) -> None:
        super().__init__(data)
        self.query = data
        self.fields["amount"] = AmountField(
            system=owner.settings.measures,
            usable_width=owner.settings.usable_width,
            fat_quarter=owner.settings.fat_quarter,
            required=False,
            label="At least",
            help_text="Free to use: 1/2 yd, 30 cm, a fat quarter.",
        )
        # A place or tag asked for that is no more finds nothing; it is not wrong to ask.
        here = dict.fromkeys([*places, *filter(None, [data.get("place", "")])])
        self.fields["place"] = forms.ChoiceField(
            required=False, label="Place", choices=[("", "Every place"), *((place, place) for place in here)]
        )
        hers = dict.fromkeys([*tags, *data.getlist("tags")])
        self.fields["tags"] = forms.MultipleChoiceField(
            required=False,
            label="Tags",
            choices=[(tag, tag) for tag in hers],
            widget=forms.CheckboxSelectMultiple,
        )

    def clean(self) -> None:
        super().clean()
        sizes = self.cleaned_data.get("amount") or ()
        if self.cleaned_data.get("in_one") and len(set(sizes)) > 1:
            self.add_error("amount", ValidationError("Ask for one size at a time where it is to be in one piece."))

    def sought(self) -> Sought:
        data = {name: said for name, said in self.cleaned_data.items() if name != "grey"}
        return Sought(sizes=data.pop("amount"), tags=tuple(data.pop("tags")), **data)

    @property
    def narrowed(self) -> bool:
        return any(any(self.query.getlist(name)) for name in self.fields if name not in {*_SHOWS, *_GOES_WITH})

    @property
    def folded(self) -> bool:
        """Whether all that is asked stands in view already."""
        out = {"words", "like", *_SHOWS}
        return not any(any(self.query.getlist(name)) or self[name].errors for name in self.fields if name not in out)

    def chips(self, like: Fabric | None) -> Iterator[Chip]:
        """Each thing asked for, in words."""
        for name, field in self.fields.items():
            said = self.cleaned_data.get(name)
            if not said or name in {*_SHOWS, *_GOES_WITH, "like"}:
                continue
            if name == "tags":
                for tag in said:
                    yield Chip(f"Tag: {tag}", self._without(name, tag))
            else:
                yield Chip(self._words(name, field, said), self._without(name), said if name == "near" else "")
        if like is not None:
            yield Chip(f"Like {like.name}", self._without("like"), like.colour)

    def _words(self, name: str, field: forms.Field, said: Any) -> str:
        if isinstance(field, forms.BooleanField):
            return str(field.label)
        if name == "words":
            return f"“{said}”"
        if name == "near":
            return f"Near {colour.said(said)}"
        if name == "amount":
            typed = " ".join(self.query.getlist("amount")[-1].split())
            return f"At least {typed}{' in one piece' if self.cleaned_data['in_one'] else ''}"
        if isinstance(field, forms.ChoiceField):
            choices: Any = field.choices
            said = dict(choices)[said]
        return f"{field.label}: {said}"

    def _without(self, name: str, one: str = "") -> str:
        rest = self.kept()
        left = [said for said in rest.getlist(name) if one and said != one]
        if left:
            rest.setlist(name, left)
        else:
            rest.pop(name, None)
        for other, of in _GOES_WITH.items():
            if name == of:
                rest.pop(other, None)
        return address(rest)

    def kept(self) -> Query:
        """The search without how much of it is shown, and without what asks nothing."""
        rest: Query = MultiValueDict()
        for name in self.fields:
            said = [one for one in self.query.getlist(name) if one]
            if said:
                rest.setlist(name, said)
        return rest


def address(query: Query) -> str:
    """As it stands after the question mark."""
    return urlencode(list(query.lists()), doseq=True)


def shown(query: Query) -> tuple[int, int]:
    """From which cloth, and before which, to show: as the address says, within reason."""
    end = _whole(query.get("shown", ""), PER_PAGE, MOST_SHOWN)
    return min(_whole(query.get("from", ""), 0, MOST_SHOWN), end), end


def _whole(text: str, least: int, most: int) -> int:
    return min(max(least, int(text)), most) if text.isascii() and text.isdigit() and len(text) < 9 else least


class PickForm(forms.Form):
    """A colour to look for."""

    near = ColourField(label="Pick a colour", initial="#2f4b7c")


class PointForm(forms.Form):
    """A point on a picture: how far across and down it, from 0 to 1."""

    across = forms.FloatField(min_value=0, max_value=1)
    down = forms.FloatField(min_value=0, max_value=1)
