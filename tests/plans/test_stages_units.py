"""Amounts of work: shown in her own units, read as she writes them, and never drifting."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans.queries import units
from plans.queries.units import AmountError, Unit
from quiltbook.measures import System

INCHES, METRIC = System.INCHES, System.METRIC


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("45", 45),
        ("1 h 20", 80),
        ("1h20", 80),
        ("1:20", 80),
        ("0:45", 45),
        ("1h 20min", 80),
        ("1 hour and 5 minutes", 65),
        ("1.5 h", 90),
        ("1,5 h", 90),
        ("1½ h", 90),
        ("1 1/2 hours", 90),
        ("90 min", 90),
        ("90m", 90),
        (" 2 H ", 120),
        ("0", 0),
    ],
)
def test_a_time_is_read_as_she_writes_it(text: str, minutes: int) -> None:
    assert units.read_minutes(text) == minutes


@pytest.mark.parametrize(
    "text", ["abc", "-5", "1:75", "1 20", "1/0 h", "h", ":", "😀", "<b>45</b>", "9" * 10_000, "4\x005"]
)
def test_a_time_that_cannot_be_read_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(AmountError, match="cannot be read as a time"):
        units.read_minutes(text)


def test_one_and_a_half_without_a_unit_is_asked_about_rather_than_guessed() -> None:
    with pytest.raises(AmountError, match="could be hours or minutes"):
        units.read_minutes("1.5")


@given(st.integers(0, 24 * 60))
def test_a_time_shown_reads_back_as_itself(minutes: int) -> None:
    assert units.read_minutes(units.show_minutes(minutes)) == minutes


@pytest.mark.parametrize(
    ("text", "unit", "system", "amount"),
    [
        ("6", Unit.FLOWER, INCHES, "6"),
        ("1 flower", Unit.FLOWER, METRIC, "1"),
        ("−2 flowers", Unit.FLOWER, METRIC, "-2"),
        ("1½", Unit.SHAPE, INCHES, "1.5"),
        ("0", Unit.STRIP, INCHES, "0"),
        ("2,5", Unit.METRE, METRIC, "2.5"),
        ("90 cm", Unit.METRE, METRIC, "0.9"),
        # A yard is 0.9144 m exactly (international yard, 1959).
        ("10", Unit.METRE, INCHES, "9.144"),
        ("1 yd 9 in", Unit.METRE, INCHES, "1.143"),
        ("2 m²", Unit.SQUARE_METRE, METRIC, "2"),
        ("10 sq yd", Unit.SQUARE_METRE, INCHES, "8.361"),
    ],
)
def test_an_amount_is_read_in_her_own_units_and_kept_in_metres(
    text: str, unit: str, system: System, amount: str
) -> None:
    assert units.read(text, unit, system=system) == Decimal(amount)


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("text", ["", "many", "3 kg", "1/0", "--3", "😀", "<b>", "9" * 10_000, "9" * 20, "3\x00"])
def test_an_amount_that_cannot_be_read_is_refused_in_a_sentence(text: str, unit: str) -> None:
    with pytest.raises(AmountError) as refusal:
        units.read(text, unit, system=INCHES)
    assert str(refusal.value).endswith(".")
    assert len(str(refusal.value)) < 200


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("unit", [Unit.METRE, Unit.SQUARE_METRE, Unit.FLOWER])
@given(thousandths=st.integers(-900_000, 900_000))
def test_what_a_form_shows_reads_back_as_exactly_what_was_stored(unit: str, system: System, thousandths: int) -> None:
    stored = Decimal(thousandths) / 1000
    assert units.read(units.write(stored, unit, system=system), unit, system=system) == stored


def test_an_amount_is_shown_with_the_word_for_one_and_for_many() -> None:
    assert units.show(Decimal(1), Unit.FLOWER, system=INCHES) == "1 flower"
    assert units.show(Decimal(12), Unit.FLOWER, system=INCHES) == "12 flowers"
    assert units.show(Decimal(100), Unit.PATCH, system=INCHES) == "100 patches"
    assert units.show(Decimal("0.9144"), Unit.METRE, system=INCHES) == "1 yd"
    assert units.show(Decimal("6.4"), Unit.METRE, system=METRIC) == "6.4 m"


def test_square_yards_are_shown_as_the_square_of_the_yard() -> None:
    stored = Decimal("3.344509")  # 4 x 0.83612736 m²
    assert units.figure(stored, Unit.SQUARE_METRE, system=INCHES) == Decimal(4)
    assert Fraction(9144, 10_000) ** 2 == Fraction("0.83612736")
