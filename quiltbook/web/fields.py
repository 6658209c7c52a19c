"""How is what a quilter types turned into a figure?

Each field reads the way she writes, in her own system. What it cannot read it refuses with a
sentence, and shows again exactly as she typed it.
"""

import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from quiltbook.measures import (
    NM_PER_MM,
    MeasureError,
    Size,
    System,
    read_amount,
    read_length,
    show_length,
    write_length,
)
from quiltbook.web.photos import Photo, PhotoError, tidy

_TYPED: Mapping[str, str] = {"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false", "class": "measure"}
LEAST_PIECE = 5 * NM_PER_MM
EARLIEST = date(1900, 1, 1)
_HEX = re.compile(r"#[0-9a-f]{6}\Z")


class TypedField(forms.Field):
    """A line of figures whose meaning our own grammars decide: no browser is to correct it."""

    widget = forms.TextInput

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {**super().widget_attrs(widget), **_TYPED}

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(self.prepare_value(initial) != data)

    @staticmethod
    def is_blank(value: Any) -> bool:
        return value is None or not str(value).strip()


class LengthField(TypedField):
    """A length in nm, typed as `2 3/8"`, `45 cm` or a bare number in `unit`.

    `unit` defaults to the system's own (in or cm); `allow_zero` lets nothing stand; `most` (nm) is the
    longest that makes sense.
    """

    def __init__(
        self,
        *,
        system: System,
        unit: str | None = None,
        allow_zero: bool = False,
        most: int | None = None,
        **kwargs: Any,
    ) -> None:
        self.system, self.unit, self.allow_zero, self.most = system, unit, allow_zero, most
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        return write_length(value, system=self.system) if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:
        if self.is_blank(value) and not self.required:
            return None
        try:
            nm = read_length(str(value or ""), system=self.system, unit=self.unit, allow_zero=self.allow_zero)
        except MeasureError as wrong:
            raise ValidationError(str(wrong), code="measure") from wrong
        if self.most is not None and nm > self.most:
            most = show_length(self.most, system=self.system)
            raise ValidationError(f"That is too much here: at most {most} makes sense.", code="most")
        return nm


class AmountField(TypedField):
    """Pieces of cloth, typed as `1 1/2 yd`, `2 fat quarters` or `18 x 22 in`: a tuple of sizes in nm.

    `usable_width` (nm) is the width of a length cut off the bolt, `fat_quarter` the size of one.
    Both may be set on the field later, once a form knows which cloth is meant.
    """

    def __init__(self, *, system: System, usable_width: int, fat_quarter: Size, **kwargs: Any) -> None:
        self.system, self.usable_width, self.fat_quarter = system, usable_width, fat_quarter
        super().__init__(**kwargs)

    def clean(self, value: Any) -> tuple[Size, ...]:
        if self.is_blank(value) and not self.required:
            return ()
        try:
            sizes = read_amount(
                str(value or ""), system=self.system, usable_width=self.usable_width, fat_quarter=self.fat_quarter
            )
        except MeasureError as wrong:
            raise ValidationError(str(wrong), code="measure") from wrong
        if any(min(size.width, size.length) < LEAST_PIECE for size in sizes):
            least = show_length(LEAST_PIECE, system=System.METRIC)
            raise ValidationError(f"A piece narrower than {least} is not worth keeping: check the unit.", code="least")
        return sizes


class NumberField(forms.DecimalField):
    """A plain number, whose decimal may be a point or a comma; shown again as typed, even if it is no number."""

    widget = forms.TextInput
    default_error_messages = {"invalid": "Type a number, such as 3 or 2.5."}

    def prepare_value(self, value: Any) -> Any:
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value

    def to_python(self, value: Any) -> Any:
        return super().to_python(str(value).strip().replace(",", ".") if value is not None else None)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {**super().widget_attrs(widget), "autocomplete": "off", "inputmode": "decimal", "class": "measure"}


class Words(forms.CharField):
    """A line of words with its spaces tidied, or where `long` a few lines of them, at most `most` characters.

    `needed` is the sentence where nothing is written; without one, nothing need be. `attrs` are the widget's.
    """

    def __init__(
        self, *, most: int, needed: str = "", long: bool = False, attrs: Mapping[str, Any] | None = None, **kwargs: Any
    ) -> None:
        self.long = long
        usual = {"rows": 3} if long else {"autocomplete": "off"}
        widget = (forms.Textarea if long else forms.TextInput)(attrs={**(usual if attrs is None else attrs)})
        super().__init__(max_length=most, required=bool(needed), widget=widget, **kwargs)
        self.error_messages |= {"required": needed, "max_length": f"Use at most {most} characters."}
        # The widget's own limit would cut a long paste short without a word.
        self.widget.attrs.pop("maxlength", None)

    def clean(self, value: Any) -> str:
        text: str = super().clean(value)
        if self.long:
            return text
        text = " ".join(text.split())
        if text and not any(char.isprintable() and not char.isspace() for char in text):
            raise ValidationError("Nothing in that can be read: write letters or digits.", code="unreadable")
        return text


class PastDayField(forms.DateField):
    """A day up to `today`, written as 2026-11-25 or 25.11.2026, and shown by the browser its own way.

    `needed` is said where it is missing, `ahead` where it is still to come.
    """

    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})

    def __init__(
        self,
        *,
        today: date,
        needed: str = "Say which day, like 2026-11-25.",
        ahead: str = "That day is still to come: check the date.",
        **kwargs: Any,
    ) -> None:
        super().__init__(input_formats=["%Y-%m-%d", "%d.%m.%Y", "%d %B %Y"], initial=today, **kwargs)
        self.today, self.ahead = today, ahead
        self.widget.attrs |= {"max": today.isoformat(), "min": EARLIEST.isoformat()}
        self.error_messages |= {"invalid": "Write a date like 2026-11-25.", "required": needed}

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        if day is not None and day > self.today:
            raise ValidationError(self.ahead, code="future")
        if day is not None and day < EARLIEST:
            raise ValidationError("That is before 1900: check the year.", code="past")
        return day


class ColourField(forms.CharField):
    """A colour from the browser's own picker: `#rrggbb` in small letters."""

    widget = forms.ColorInput

    def clean(self, value: Any) -> str:
        colour: str = super().clean(value).lower()
        if colour and not _HEX.match(colour):
            raise ValidationError("Choose a colour, or write one as # and six digits, such as #2f4b7c.", code="colour")
        return colour


class PhotoField(forms.FileField):
    """One photo, tidied (see photos.py); None where none was chosen."""

    widget = forms.ClearableFileInput

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.error_messages |= {
            "empty": "That file is empty. Choose a photo.",
            "invalid": "No photo arrived. Choose it again.",
        }

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {**super().widget_attrs(widget), "accept": "image/jpeg,image/png,image/webp"}

    def clean(self, data: Any, initial: Any = None) -> Photo | None:
        upload = super().clean(data, initial)
        if not isinstance(upload, UploadedFile):
            return None
        try:
            return tidy(upload)
        except PhotoError as wrong:
            raise ValidationError(str(wrong), code="photo") from wrong
