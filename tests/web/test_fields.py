"""Is what is typed read in the person's own way, and shown again as she typed it where it cannot be?"""

from collections.abc import Callable
from datetime import date

import pytest
from django import forms

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, NM_PER_YARD, Size, System
from quiltbook.web.fields import AmountField, ColourField, LengthField, NumberField, PastDayField, Words

FAT_QUARTER = Size(21 * NM_PER_INCH, 18 * NM_PER_INCH)
BOLT = 42 * NM_PER_INCH
TODAY = date(2026, 11, 25)

FIELDS: dict[str, Callable[[], forms.Field]] = {
    "length": lambda: LengthField(system=System.INCHES),
    "amount": lambda: AmountField(system=System.INCHES, usable_width=BOLT, fat_quarter=FAT_QUARTER),
    "number": lambda: NumberField(max_digits=6, decimal_places=2),
    "colour": ColourField,
    "day": lambda: PastDayField(today=TODAY),
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


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Say when."),
        ("2026-11-26", "Not yet."),
        ("1899-12-31", "That is before 1900: check the year."),
        ("2026-02-30", "Write a date like 2026-11-25."),
    ],
)
def test_a_day_that_cannot_be_is_refused_in_the_sentences_of_its_form(typed: str, sentence: str) -> None:
    form = one(PastDayField(today=TODAY, needed="Say when.", ahead="Not yet."), typed)
    assert form.errors == {"one": [sentence]}


@pytest.mark.parametrize("typed", ["2026-11-25", "25.11.2026", "25 November 2026"])
def test_today_is_a_day_that_has_come_however_it_is_written(typed: str) -> None:
    form = one(PastDayField(today=TODAY), typed)
    assert form.is_valid()
    assert form.cleaned_data["one"] == TODAY


def test_a_line_of_words_is_tidied_and_lines_of_them_are_kept() -> None:
    line, lines = one(Words(most=20), " red \t  dots\n"), one(Words(most=20, long=True), "red\n\ndots")
    assert line.is_valid()
    assert lines.is_valid()
    assert (line.cleaned_data["one"], lines.cleaned_data["one"]) == ("red dots", "red\n\ndots")


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        (Words(most=5, needed="Name it."), "  ", "Name it."),
        (Words(most=5), "patchwork", "Use at most 5 characters."),
        (Words(most=5), "\u200b\u2060", "Nothing in that can be read: write letters or digits."),
    ],
)
def test_words_missing_too_many_or_unreadable_are_refused(field: Words, typed: str, sentence: str) -> None:
    form = one(field, typed)
    assert form.errors == {"one": [sentence]}
    assert "maxlength" not in str(form["one"])
