"""Is what is typed read in the person's own way, and shown again as she typed it where it cannot be?"""

from collections.abc import Callable

import pytest
from django import forms

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, NM_PER_YARD, Size, System
from quiltbook.web.fields import AmountField, ColourField, LengthField, NumberField

FAT_QUARTER = Size(21 * NM_PER_INCH, 18 * NM_PER_INCH)
BOLT = 42 * NM_PER_INCH

FIELDS: dict[str, Callable[[], forms.Field]] = {
    "length": lambda: LengthField(system=System.INCHES),
    "amount": lambda: AmountField(system=System.INCHES, usable_width=BOLT, fat_quarter=FAT_QUARTER),
    "number": lambda: NumberField(max_digits=6, decimal_places=2),
    "colour": ColourField,
}
HOSTILE = [
    "",
    " ",
    "🧵🧵",
    "<b onmouseover=x>",
    "1/0",
    "3 kg",
    "\x00",
    "9" * 10_000,
    "2 3 4 5",
    "1e400",
    "٣ / ٠",
    "−",
    "½/",
]


def one(field: forms.Field, typed: str) -> forms.Form:
    form_class = type("One", (forms.Form,), {"one": field})
    form: forms.Form = form_class({"one": typed})
    return form


@pytest.mark.parametrize("kind", FIELDS)
@pytest.mark.parametrize("typed", HOSTILE)
def test_nonsense_is_refused_in_a_sentence_and_shown_again_as_it_was_typed(kind: str, typed: str) -> None:
    form = one(FIELDS[kind](), typed)
    assert list(form.errors) == ["one"]
    assert all(str(sentence).endswith(".") and " " in str(sentence) for sentence in form.errors["one"])
    assert form["one"].value() == typed


@pytest.mark.parametrize("kind", FIELDS)
def test_nothing_typed_is_no_error_where_nothing_need_be_typed(kind: str) -> None:
    field = FIELDS[kind]()
    field.required = False
    form = one(field, "")
    assert form.is_valid()
    assert not form.cleaned_data["one"]


def test_a_bare_number_is_in_the_field_s_own_unit() -> None:
    assert one(LengthField(system=System.INCHES), "2 1/2").is_valid()
    form = one(LengthField(system=System.METRIC, unit="mm"), "65")
    assert form.is_valid()
    assert form.cleaned_data["one"] == 65 * NM_PER_CM // 10


def test_nothing_long_is_taken_only_where_it_makes_sense() -> None:
    assert one(LengthField(system=System.INCHES, allow_zero=True), "0").is_valid()
    assert not one(LengthField(system=System.INCHES), "0").is_valid()


def test_more_than_makes_sense_is_refused_in_the_reader_s_own_units() -> None:
    most = 2 * NM_PER_YARD
    assert one(LengthField(system=System.INCHES, most=most), "72 in").is_valid()
    form = one(LengthField(system=System.INCHES, most=most), "73 in")
    assert form.errors["one"] == ["That is too much here: at most 72 in makes sense."]


def test_an_amount_is_as_many_pieces_as_it_names() -> None:
    form = one(FIELDS["amount"](), "1 yd, 2 fat quarters")
    assert form.is_valid()
    assert form.cleaned_data["one"] == (Size(BOLT, NM_PER_YARD), FAT_QUARTER, FAT_QUARTER)


def test_a_colour_is_kept_in_small_letters() -> None:
    form = one(ColourField(), "#2F4B7C")
    assert form.is_valid()
    assert form.cleaned_data["one"] == "#2f4b7c"


def test_a_field_left_as_it_was_shown_has_not_changed() -> None:
    field = LengthField(system=System.INCHES)
    assert not field.has_changed(5 * NM_PER_INCH, "5 in")
    assert field.has_changed(5 * NM_PER_INCH, "6 in")
