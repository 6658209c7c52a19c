"""About how big is the quilt to be? A size she types, or a bed and how far the quilt hangs over it."""

from __future__ import annotations

from typing import Any

from django import forms

from plans.forms.fields import LARGEST_QUILT, example
from plans.forms.plan import whole_or_absent
from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Size, System, show_size
from quiltbook.people.figures import MOST_EXTRA
from quiltbook.web.fields import LengthField
from quiltbook.yardage.beds import MATTRESSES_UK, MATTRESSES_US, quilt_for

USUAL_DROP = {System.INCHES: 12 * NM_PER_INCH, System.METRIC: 30 * NM_PER_CM}


class TargetForm(forms.Form):
    """A width and a length, or a bed. Once valid, `target` is the finished size wanted."""

    def __init__(self, data: Any = None, *, system: System) -> None:
        super().__init__(data)
        self.beds = MATTRESSES_US if system is System.INCHES else MATTRESSES_UK
        self.drop = USUAL_DROP[system]

        def length(label: str, most: int, **extra: Any) -> LengthField:
            return LengthField(system=system, label=label, most=most, required=False, **extra)

        largest = LARGEST_QUILT.on(system)
        self.fields["width"] = length(
            "Width", largest, help_text="Finished, " + example(system, "such as 60 in.", "such as 150 cm.")
        )
        self.fields["length"] = length("Length", largest, help_text="From top to bottom.")
        self.fields["bed"] = forms.ChoiceField(
            label="Or for a bed",
            required=False,
            choices=[("", "No bed"), *((name, self._bed(name, system)) for name in self.beds)],
            help_text="The mattress. Beds differ a little: measure your own to be sure.",
        )
        self.fields["bed"].error_messages["invalid_choice"] = "Choose one of these beds."
        self.fields["drop"] = length(
            "Hanging down",
            MOST_EXTRA.on(system),
            allow_zero=True,
            help_text="At both sides and the foot. Empty: " + example(system, "12 in.", "30 cm."),
        )

    def _bed(self, name: str, system: System) -> str:
        return f"{name.capitalize()}, {show_size(self.beds[name], system=system)}"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        whole_or_absent(self, "width", "length")
        if not self.errors and cleaned["width"] is None and not cleaned["bed"]:
            self.add_error("width", "Say about how wide and long, or choose a bed.")
        return cleaned

    @property
    def target(self) -> Size:
        """The finished size wanted; the form must be valid."""
        given = self.cleaned_data
        if given["width"] is not None:
            return Size(given["width"], given["length"])
        drop = self.drop if given["drop"] is None else given["drop"]
        size = quilt_for(self.beds[given["bed"]], drop=drop)
        return Size(int(size.width), int(size.length))
