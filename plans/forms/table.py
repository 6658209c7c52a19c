"""What did the cloth come to at the table? Its offcuts as measured, what was spoiled, the day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from plans.forms.fields import Whole
from plans.queries.sheets import ClothRow
from plans.services.at_the_table import Kept
from quiltbook.measures import Size, System
from quiltbook.web.fields import LengthField, PastDayField, Words


class CutForm(forms.Form):
    """The cloth is cut: the day, and each offcut's size, place, and whether it is kept at all. Sizes start as expected."""

    def __init__(self, *args: Any, cloth: ClothRow, system: System, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.cloth = cloth
        self.fields["day"] = PastDayField(today=today, label="Day it was cut")
        for offcut in cloth.offcuts:
            width, length = int(offcut.size.width), int(offcut.size.length)
            self.fields[f"kept_{offcut.id}"] = forms.BooleanField(label="Keep it", required=False, initial=True)
            self.fields[f"width_{offcut.id}"] = LengthField(system=system, label="Across the grain", initial=width)
            self.fields[f"length_{offcut.id}"] = LengthField(system=system, label="Along the grain", initial=length)
            self.fields[f"place_{offcut.id}"] = Words(most=80, label="Where it lies now", initial=cloth.place)

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        short, long = sorted([self.cloth.size.width, self.cloth.size.length])
        for offcut in self.cloth.offcuts:
            if not data.get(f"kept_{offcut.id}"):
                for side in ("width", "length"):
                    self.errors.pop(f"{side}_{offcut.id}", None)  # what is thrown away need not be measured
                continue
            width, length = data.get(f"width_{offcut.id}"), data.get(f"length_{offcut.id}")
            if width and length and (min(width, length) > short or max(width, length) > long):
                side = "width" if width > length else "length"
                self.add_error(f"{side}_{offcut.id}", "It cannot be larger than the cloth it was cut from.")
        return data

    def measured(self) -> dict[int, Kept | None]:
        data = self.cleaned_data
        return {
            o.id: Kept(Size(data[f"width_{o.id}"], data[f"length_{o.id}"]), data[f"place_{o.id}"])
            if data[f"kept_{o.id}"]
            else None
            for o in self.cloth.offcuts
        }

    def rows(self) -> list[dict[str, Any]]:
        """Each offcut with its own fields, for the page."""
        return [
            {"offcut": o, **{name: self[f"{name}_{o.id}"] for name in ("kept", "width", "length", "place")}}
            for o in self.cloth.offcuts
        ]


class SpoilForm(forms.Form):
    count = Whole(least=1, most=100_000, needed="Say how many.", label="How many were spoiled", initial=1)
    note = Words(most=300, label="What happened")
