"""What is said of cloth that came: how much, where it was put, and what was paid for it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.measures import NM_PER_METRE, Size, System
from quiltbook.people.currencies import CURRENCIES
from quiltbook.people.models import Person
from quiltbook.web.fields import AmountField, LengthField, PastDayField, Words
from stash.forms.fabric import WIDEST, FactsForm
from stash.forms.fields import PriceField, choices_error
from stash.services.cloth import Paid
from stash.services.fabrics import Arrival

LONGEST = 100 * NM_PER_METRE
BOUGHT, THERE = "bought", "there"
CAME = [(BOUGHT, "Bought, or a gift"), (THERE, "I had it already")]
_OF_A_PURCHASE = ("price", "currency", "bought_from")


class AnAmount(forms.Form):
    """A form with an amount of cloth in it."""

    def _add_amount(self, owner: Person, usable_width: int) -> None:
        system = owner.settings.measures
        examples = "1 1/2 yd, fat quarter, 18 x 22 in" if system is System.INCHES else "1.5 m, fat quarter, 45 x 55 cm"
        several = "3 x 1/2 yd" if system is System.INCHES else "3 x 0.5 m"
        self.fields["amount"] = AmountField(
            system=system,
            usable_width=usable_width,
            fat_quarter=owner.settings.fat_quarter,
            label="How much",
            help_text=f"Such as {examples}. Several pieces: {several}, or with commas.",
        )

    def clean_amount(self) -> tuple[Size, ...]:
        sizes: tuple[Size, ...] = self.cleaned_data["amount"]
        if any(size.length > LONGEST or size.width > LONGEST for size in sizes):
            raise ValidationError("A piece of more than 100 m is longer than any bolt: check the number and the unit.")
        return sizes


class ArrivalForm(AnAmount):
    """Cloth of a fabric that is known: valid, it gives `arrival()`."""

    def __init__(self, *args: Any, owner: Person, today: date, usable_width: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.add_arrival(owner, today, usable_width)

    def add_arrival(self, owner: Person, today: date, usable_width: int) -> None:
        self._add_amount(owner, usable_width)
        self.fields["place"] = Words(
            most=80, label="Where it lies", help_text="A shelf, a box, a drawer.", attrs={"list": "places"}
        )
        self.fields["label"] = Words(most=50, label="Label", help_text="If this piece has a name of its own.")
        self.fields["came"] = forms.ChoiceField(
            label="How it came",
            choices=CAME,
            widget=forms.RadioSelect,
            initial=BOUGHT,
            error_messages=choices_error("how it came"),
        )
        self.fields["price"] = PriceField(required=False, label="Price in all")
        self.fields["currency"] = forms.ChoiceField(
            label="Currency",
            choices=[(code, f"{code}, {name}") for code, name in CURRENCIES.items()],
            initial=owner.settings.currency,
            error_messages=choices_error("a currency"),
        )
        self.fields["bought_from"] = Words(most=120, label="From", attrs={"list": "shops"})
        self.fields["day"] = PastDayField(today=today, label="Day")

    def clean(self) -> None:
        super().clean()
        if self.cleaned_data.get("came") == THERE:
            for name in _OF_A_PURCHASE:
                self.errors.pop(name, None)

    def arrival(self) -> Arrival:
        data = self.cleaned_data
        paid = None
        if data["came"] == BOUGHT:
            paid = Paid(price=data["price"], currency=data["currency"], bought_from=data["bought_from"])
        return Arrival(sizes=data["amount"], day=data["day"], paid=paid, place=data["place"], label=data["label"])


class LogForm(ArrivalForm, FactsForm):
    """A new fabric and its first cloth: valid, it gives `facts()`, `photo` and `arrival()`."""

    def __init__(self, *args: Any, owner: Person, today: date, **kwargs: Any) -> None:
        FactsForm.__init__(self, *args, owner=owner, **kwargs)
        self.add_arrival(owner, today, self._typed_width() or owner.settings.usable_width)
        self.order_fields(["name", "amount", "place", "label", "photo", "picked", "colour"])

    def _typed_width(self) -> int | None:
        """The width of a length off the bolt is the one she just typed, if that can be read."""
        width = self.fields["usable_width"]
        assert isinstance(width, LengthField)  # noqa: S101, made so by FactsForm
        try:
            return width.clean(self.data.get(self.add_prefix("usable_width")))
        except ValidationError:
            return None

    def clean(self) -> None:
        super().clean()
        across, along = self.cleaned_data.get("printed_width"), self.cleaned_data.get("printed_length")
        sizes = self.cleaned_data.get("amount")
        if across and along and sizes and not any(_holds(size, across, along) for size in sizes):
            self.add_error("printed_width", "The printed picture is larger than the cloth you have of it.")


class UnderstoodForm(AnAmount):
    """Only the amount, to say while she types what was understood. The width is the known fabric's, or typed too."""

    def __init__(self, *args: Any, owner: Person, usable_width: int | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if usable_width is None:
            self.fields["usable_width"] = LengthField(system=owner.settings.measures, most=WIDEST)
        self._add_amount(owner, usable_width or owner.settings.usable_width)

    def clean_usable_width(self) -> int:
        width: int = self.cleaned_data["usable_width"]
        amount = self.fields["amount"]
        assert isinstance(amount, AmountField)  # noqa: S101, made so above
        amount.usable_width = width
        return width


def _holds(size: Size, across: int, along: int) -> bool:
    return (across <= size.width and along <= size.length) or (along <= size.width and across <= size.length)
