"""What is said of a notion, and of how much of it came, went or was counted? Thread is typed by the spool and its length in her units,
wadding in packs or off the roll, papers by their shape and side, everything else one by one."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.measures import NM_PER_METRE, NM_PER_MM, MeasureError, Size, System, read_length
from quiltbook.people.currencies import CURRENCIES
from quiltbook.people.models import Person
from quiltbook.web.fields import ColourField, LengthField, NumberField, PastDayField, TypedField, Words
from quiltbook.web.words import worded
from quiltbook.yardage.shapes import ROOT3, diamond, hexagon, hexagon_petal
from stash.forms.arrival import BOUGHT, CAME, THERE
from stash.forms.fields import PriceField, choices_error
from stash.models import Notion
from stash.queries.notions import THOUSANDTH, in_metres, in_nm, side_of, wadding_length
from stash.services.cloth import Paid
from stash.services.notions import Came, Facts

MOST = Decimal(1_000_000)
WIDEST = 10 * NM_PER_METRE
UNDYED = "#efe6d0"

HEXAGON, PETAL, DIAMOND, OTHER_SHAPE = "hexagon", "hexagon petal", "diamond", "other"
SHAPES = [
    (HEXAGON, "Hexagon"),
    (PETAL, "Hexagon petal, with one curved edge"),
    ("diamond 60", "Diamond, 60°"),
    ("diamond 45", "Diamond, 45°"),
    (OTHER_SHAPE, "Another shape"),
]


@dataclass(frozen=True, slots=True)
class Sort:
    """One way to add something: what it is called, its kind and unit, whether it comes in whole numbers, and what is asked of it."""

    words: Any
    kind: str
    unit: str
    many: str
    whole: bool = False
    asks: tuple[str, ...] = ()


_MEASURES = ("side", "rise", "width", "length")
_SIZES = ("shape", *_MEASURES)
SORTS: Mapping[str, Sort] = {
    "thread": Sort("Thread", Notion.Kind.THREAD, Notion.Unit.METRE, "Length", asks=("colour", "weight")),
    "wadding-roll": Sort(
        worded("Wadding off the roll"), Notion.Kind.WADDING, Notion.Unit.METRE, "Length", asks=("width",)
    ),
    "wadding-packs": Sort(
        worded("Wadding in packs"), Notion.Kind.WADDING, Notion.Unit.PACK, "Packs", asks=("width", "length")
    ),
    "papers": Sort("Papers", Notion.Kind.PAPERS, Notion.Unit.PIECE, "How many", whole=True, asks=_SIZES),
    "templates": Sort(
        "Leave-in templates", Notion.Kind.TEMPLATES, Notion.Unit.PIECE, "How many", whole=True, asks=_SIZES
    ),
    "glue": Sort("Glue", Notion.Kind.GLUE, Notion.Unit.PIECE, "How many"),
    "needles": Sort("Needles", Notion.Kind.NEEDLES, Notion.Unit.PACK, "Packs"),
    "spray": Sort("Basting spray", Notion.Kind.SPRAY, Notion.Unit.PIECE, "Cans"),
    "other": Sort("Something else", Notion.Kind.OTHER, Notion.Unit.PIECE, "How many"),
}


def sort_of(notion: Notion) -> Sort:
    """How such a thing is added; a unit that no way of adding has is kept as it is."""
    for sort in SORTS.values():
        if (sort.kind, sort.unit) == (notion.kind, notion.unit):
            return sort
    return Sort(notion.get_kind_display(), notion.kind, notion.unit, notion.get_unit_display().capitalize())


# --- amounts ---------------------------------------------------------------------------------------------------------


class SpoolsField(TypedField):
    """A length off the roll or on spools, typed as `200 m`, `300 yd` or `3 x 100 m`: metres to the millimetre."""

    def __init__(self, *, system: System, **kwargs: Any) -> None:
        self.system, self.long_unit = system, "yd" if system is System.INCHES else "m"
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Decimal | None:
        text = str(value or "").strip().lower().replace("×", "x")
        if not text:
            if self.required:
                raise ValidationError(f"Write a length, like {self.example}.", code="required")
            return None
        times, cross, each = text.partition("x")
        count = times.strip() if cross else "1"
        if not (count.isascii() and count.isdecimal() and 0 < int(count[:6]) <= 1000 and len(count) < 6):
            raise ValidationError(f"Write it like {self.example}.", code="times")
        try:
            nm = read_length(each if cross else text, system=self.system, unit=self.long_unit, allow_zero=True)
        except MeasureError as wrong:
            raise ValidationError(str(wrong), code="measure") from wrong
        return in_metres(int(count) * nm)

    @property
    def example(self) -> str:
        return f"300 {self.long_unit} or 3 x 100 {self.long_unit}"

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, Decimal):
            return value
        nm, size = in_nm(value), in_nm(Decimal("0.9144")) if self.system is System.INCHES else NM_PER_METRE
        near = round(Fraction(nm, size) * 8) * Fraction(size, 8)
        # As it was typed where it was typed in eighths of her own unit: what is stored is that to the millimetre.
        if abs(near - nm) <= NM_PER_MM and self.system is System.INCHES:
            return wadding_length(value, self.system)
        return f"{value.normalize():f} m"


class ManyField(NumberField):
    """How many, in whole numbers where `whole`."""

    def __init__(self, *, whole: bool, **kwargs: Any) -> None:
        self.whole = whole
        super().__init__(min_value=0, max_value=MOST, **kwargs)
        self.error_messages |= {
            "required": "Write a number.",
            "min_value": "It cannot be less than none.",
            "max_value": "At most a million: check the number.",
        }

    def clean(self, value: Any) -> Decimal | None:
        number: Decimal | None = super().clean(value)
        if number is None:
            return None
        if self.whole and number != number.to_integral_value():
            raise ValidationError("They are counted one by one: write a whole number.", code="whole")
        if number != number.quantize(THOUSANDTH):
            raise ValidationError("Use at most three figures after the point.", code="fine")
        return number


def amount_field(sort: Sort, system: System, **kwargs: Any) -> forms.Field:
    """How much of it, in the unit it is kept in."""
    kwargs = {"label": sort.many, **kwargs}
    if sort.unit != Notion.Unit.METRE:
        return ManyField(whole=sort.whole, **kwargs)
    field = SpoolsField(system=system, **kwargs)
    field.help_text = field.help_text or f"Such as {field.example}."
    return field


def more_than_none(amount: Decimal | None) -> Decimal | None:
    if amount is not None and amount <= 0:
        raise ValidationError("It must be more than nothing.", code="none")
    return amount


# --- what it is ------------------------------------------------------------------------------------------------------


class FactsForm(forms.Form):
    """The facts of a new notion of one sort, or of `notion`. Valid, it gives `facts()`."""

    def __init__(self, *args: Any, owner: Person, sort: Sort, notion: Notion | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner, self.sort, self.notion = owner, sort, notion
        self.system = owner.settings.measures
        self.fields["name"] = Words(most=120, label="Name", needed="Give it a name to know it by.")
        for name in sort.asks:
            self.fields[name] = self._asked(name)
        self.fields["least"] = amount_field(
            sort,
            self.system,
            required=False,
            label="Tell me when less is left than",
            help_text="It then stands among what runs low.",
        )
        self.fields["place"] = Words(most=80, label="Where it lies", attrs={"list": "places"})
        self.fields["note"] = Words(most=2000, long=True, label="Note")
        if notion is not None:
            self.initial = {**said_of(notion), **self.initial}

    def _asked(self, name: str) -> forms.Field:
        papers = "shape" in self.sort.asks

        def length(label: str, help_text: str = "") -> LengthField:
            return LengthField(system=self.system, most=WIDEST, label=label, help_text=help_text)

        match name:
            case "colour":
                return ColourField(label="Colour", initial=UNDYED, required=False)
            case "weight":
                return Words(most=20, label="Weight", help_text="As on the spool, such as 50 or 40/2.")
            case "shape":
                return forms.ChoiceField(
                    label="Shape", choices=SHAPES, initial=HEXAGON, error_messages=choices_error("a shape")
                )
            case "side":
                return length("Side", "Of one, finished, as papers are sold.")
            case "rise":
                return length("Rise of the curved edge", "Of a petal: as much as its side if you are not sure.")
            case "width":
                return length("Width", "Of another shape, from side to side." if papers else "As its label says.")
            case _:
                return length("Height" if papers else "Its length", "Of another shape." if papers else "")

    def clean_least(self) -> Decimal | None:
        return more_than_none(self.cleaned_data["least"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "shape" in self.fields:
            needed = _needed(cleaned.get("shape", ""))
            for name in _MEASURES:
                if name not in needed:
                    self.errors.pop(name, None)
        return cleaned

    def facts(self) -> Facts:
        data = self.cleaned_data
        shape, size = self._shape()
        width = int(size.width) if size else data.get("width")
        length = int(size.length) if size else data.get("length")
        return Facts(
            kind=self.sort.kind,
            unit=self.sort.unit,
            name=data["name"],
            colour=data.get("colour", ""),
            weight=data.get("weight", ""),
            shape=shape,
            width=width,
            length=length,
            least=data["least"],
            place=data["place"],
            note=data["note"],
        )

    def _shape(self) -> tuple[str, Size | None]:
        """As the engine calls it, and its box."""
        data = self.cleaned_data
        match data.get("shape", "").split(" ") if data.get("shape") != PETAL else [PETAL]:
            case ["hexagon"]:
                return HEXAGON, _whole(hexagon(data["side"]).size)
            case ["hexagon petal"]:
                return PETAL, _whole(hexagon_petal(data["side"], data["rise"]).size)
            case ["diamond", angle]:
                return DIAMOND, _whole(diamond(data["side"], float(angle)).size)
            case ["other"]:
                return "shape", Size(data["width"], data["length"])
            case _:
                return "", None


def _needed(shape: str) -> tuple[str, ...]:
    """The measures of a shape; none of one that is not known."""
    if shape in ("", OTHER_SHAPE):
        return ("width", "length") if shape else ()
    return ("side", "rise") if shape == PETAL else ("side",)


def _whole(size: Size) -> Size:
    return Size(round(size.width), round(size.length))


def said_of(notion: Notion) -> dict[str, Any]:
    """What the form of a notion begins with."""
    said: dict[str, Any] = {
        name: getattr(notion, name)
        for name in ("name", "colour", "weight", "least", "place", "note", "width", "length")
    }
    size = notion.size
    if size is None or not notion.shape:
        return said
    side = side_of(notion.shape, size)
    if side is None:
        return said | {"shape": OTHER_SHAPE}
    said |= {"side": side, "width": None, "length": None}
    if notion.shape == DIAMOND:
        angle = round(math.degrees(2 * math.atan2(size.width, size.length)))
        return said | {"shape": f"diamond {angle}"}
    if notion.shape == PETAL:
        said["rise"] = round((float(size.length) - side * ROOT3 / 2) / 125) * 125
    return said | {"shape": notion.shape}


# --- what comes and goes ---------------------------------------------------------------------------------------------


class AddForm(FactsForm):
    """A new notion and what there is of it: valid, it gives `facts()` and `came()`."""

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["amount"] = amount_field(self.sort, self.system)
        self.fields["came"] = forms.ChoiceField(
            label="How it came",
            choices=CAME,
            widget=forms.RadioSelect,
            initial=BOUGHT,
            error_messages=choices_error("how it came"),
        )
        add_purchase(self, self.owner, today)
        self.order_fields(
            ["name", "amount", *self.sort.asks, "place", "came", "price", "currency", "bought_from", "day"]
        )

    def clean_amount(self) -> Decimal | None:
        return more_than_none(self.cleaned_data["amount"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("came") == THERE:
            for name in ("price", "currency", "bought_from"):
                self.errors.pop(name, None)
        return cleaned

    def came(self) -> Came:
        data = self.cleaned_data
        return Came(data["amount"], data["day"], paid_for(data) if data["came"] == BOUGHT else None)


class ChangeForm(forms.Form):
    """So much of a notion, and on which day. Its ids start with what is done, so that several can stand on one page."""

    none_is_some = False

    def __init__(self, data: Any = None, *, owner: Person, notion: Notion, act: str, today: date) -> None:
        super().__init__(data, auto_id=f"{act}_%s")
        self.owner, self.today = owner, today
        self.fields["amount"] = amount_field(sort_of(notion), owner.settings.measures)
        self.add_fields()

    def add_fields(self) -> None:
        self.fields["day"] = PastDayField(today=self.today, label="Day")
        self.fields["note"] = Words(most=300, label="Note")

    def clean_amount(self) -> Decimal | None:
        amount: Decimal = self.cleaned_data["amount"]
        return amount if self.none_is_some else more_than_none(amount)


class BoughtForm(ChangeForm):
    def add_fields(self) -> None:
        add_purchase(self, self.owner, self.today)
        self.fields["note"] = Words(most=300, label="Note")


class CountedForm(ChangeForm):
    """What she found, which may be nothing."""

    none_is_some = True


def add_purchase(form: forms.Form, owner: Person, today: date) -> None:
    """What was paid, where and when."""
    form.fields["price"] = PriceField(required=False, label="Price in all")
    form.fields["currency"] = forms.ChoiceField(
        label="Currency",
        choices=[(code, f"{code}, {name}") for code, name in CURRENCIES.items()],
        initial=owner.settings.currency,
        error_messages=choices_error("a currency"),
    )
    form.fields["bought_from"] = Words(most=120, label="From", attrs={"list": "shops"})
    form.fields["day"] = PastDayField(today=today, label="Day")


def paid_for(data: Mapping[str, Any]) -> Paid:
    return Paid(price=data["price"], currency=data["currency"], bought_from=data["bought_from"])
