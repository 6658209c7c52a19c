"""What is said of a scrap bin, and how much went in, came out or lies in it? Weights are typed in grams, or in ounces by people of inches."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.measures import System
from quiltbook.web.fields import NumberField, PastDayField, TypedField, Words
from stash.queries.scraps import COTTON_WEIGHS, GRAMS_PER_OUNCE, OUNCES_PER_POUND, show_weight

MOST_GRAMS = 100_000
_UNITS = {
    "g": Fraction(1),
    "gram": Fraction(1),
    "grams": Fraction(1),
    "kg": Fraction(1000),
    "oz": GRAMS_PER_OUNCE,
    "ounce": GRAMS_PER_OUNCE,
    "ounces": GRAMS_PER_OUNCE,
    "lb": GRAMS_PER_OUNCE * OUNCES_PER_POUND,
    "lbs": GRAMS_PER_OUNCE * OUNCES_PER_POUND,
    "pound": GRAMS_PER_OUNCE * OUNCES_PER_POUND,
    "pounds": GRAMS_PER_OUNCE * OUNCES_PER_POUND,
}
_PARTS = str.maketrans({"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⁄": "/"})
_TERM = re.compile(
    r"\s*(?:([0-9]{1,7}(?:[.,][0-9]{1,6})?)(?:\s+([0-9]{1,3})/([0-9]{1,3}))?|([0-9]{1,3})/([0-9]{1,3}))\s*([a-z]*)\.?"
)


class WeightField(TypedField):
    """A weight typed as `250 g`, `1.2 kg`, `9 1/2 oz`, `1 lb 3 oz` or a bare number: whole grams."""

    def __init__(self, *, system: System, allow_zero: bool = False, **kwargs: Any) -> None:
        self.unit, self.system, self.allow_zero = "oz" if system is System.INCHES else "g", system, allow_zero
        super().__init__(**kwargs)
        self.help_text = self.help_text or f"Such as {'9 oz or 1 lb 3 oz' if self.unit == 'oz' else '250 g or 1.2 kg'}."

    def prepare_value(self, value: Any) -> Any:
        return show_weight(value, system=self.system) if isinstance(value, int) else value

    def clean(self, value: Any) -> int:
        text = str(value or "").translate(_PARTS).strip().lower()
        if not text:
            raise ValidationError("Write a weight.", code="required")
        grams = round(self._read(text))
        if grams > MOST_GRAMS:
            raise ValidationError("That is more than 100 kg: check the number and the unit.", code="most")
        if grams == 0 and not (self.allow_zero and not re.search("[1-9]", text)):
            raise ValidationError("It must weigh a gram or more.", code="nothing")
        return grams

    def _read(self, text: str) -> Fraction:
        total, at, last = Fraction(0), 0, None
        while at < len(text):
            term = _TERM.match(text, at)
            if term is None or not term[0].strip():
                raise self._unreadable(text)
            unit = term[6] or (self.unit if at == 0 and term.end() == len(text) else "")
            if unit not in _UNITS or (last is not None and _UNITS[unit] >= last):
                raise self._unreadable(text)
            total, last, at = total + _number(term) * _UNITS[unit], _UNITS[unit], term.end()
        return total

    def _unreadable(self, text: str) -> ValidationError:
        shown = text if len(text) <= 30 else f"{text[:29]}…"
        like = "9 1/2 oz or 1 lb 3 oz" if self.unit == "oz" else "250 g or 1.2 kg"
        return ValidationError(f"“{shown}” cannot be read as a weight: write it like {like}.", code="weight")


def _number(term: re.Match[str]) -> Fraction:
    above, below = term[2] or term[4] or "0", term[3] or term[5] or "1"
    if not int(below):
        raise ValidationError("A fraction needs a number below the line.", code="weight")
    return Fraction((term[1] or "0").replace(",", ".")) + Fraction(int(above), int(below))


class BinForm(forms.Form):
    """A bin: its name, where it stands, and what such cloth weighs."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"] = Words(most=80, label="Name", needed="Give the bin a name, such as Blues.")
        self.fields["place"] = Words(most=80, label="Where it stands", attrs={"list": "places"})
        self.fields["grams_per_m2"] = NumberField(
            label="A square metre of such cloth weighs",
            initial=COTTON_WEIGHS,
            min_value=10,
            max_value=2000,
            help_text=f"In grams. About {COTTON_WEIGHS} is common for quilting cotton; the maker may say it better.",
            error_messages={
                "required": "Write what a square metre weighs, in grams.",
                "min_value": "Cloth that light would blow away: at least 10 g.",
                "max_value": "No cloth weighs that much: at most 2000 g.",
            },
        )

    def clean_grams_per_m2(self) -> int:
        grams: Decimal = self.cleaned_data["grams_per_m2"]
        return round(grams)


class WeightForm(forms.Form):
    """So much of a bin, and on which day; ids start with what is done."""

    def __init__(self, data: Any = None, *, system: System, act: str, today: date, allow_zero: bool = False) -> None:
        super().__init__(data, auto_id=f"{act}_%s")
        self.fields["grams"] = WeightField(system=system, allow_zero=allow_zero, label="Weight")
        self.fields["day"] = PastDayField(today=today, label="Day")
        self.fields["note"] = Words(most=300, label="Note")
