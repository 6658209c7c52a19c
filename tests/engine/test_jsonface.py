"""Are JSON's numbers read exactly, written to six decimals, and whatever is wrong named by its field?"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_CM, NM_PER_INCH
from quiltbook.yardage.jsonface import InputError, Reader, area, dump, load, number


def reader(text: str) -> Reader:
    return Reader.of(load(text))


def test_decimals_are_read_without_any_loss() -> None:
    data = reader('{"unit": "in", "a": 0.1, "b": 2.5, "c": 3, "d": 1e-2, "e": "2 1/2 in", "f": "1/3 in", "g": "10 cm"}')
    lengths = [data.length(key) / NM_PER_INCH for key in "abcdef"]
    assert lengths == [Fraction(1, 10), Fraction(5, 2), 3, Fraction(1, 100), Fraction(5, 2), Fraction(1, 3)]
    assert data.length("g") == 10 * NM_PER_CM


def test_a_bare_number_in_text_is_in_the_asked_unit() -> None:
    assert reader('{"unit": "mm", "a": "25.4"}').length("a") == NM_PER_INCH


@given(thousandths=st.integers(-(10**9), 10**9))
def test_six_decimals_are_written_as_they_are(thousandths: int) -> None:
    value = Fraction(thousandths, 10**6)
    for unit, nm in (("in", NM_PER_INCH), ("cm", NM_PER_CM), ("mm", 10**6)):
        assert Fraction(str(number(value * nm, unit))) == value
        assert Fraction(str(area(value * nm * nm, unit))) == value


def test_whole_numbers_are_written_whole() -> None:
    assert (
        dump({"a": number(3 * NM_PER_INCH, "in"), "b": number(NM_PER_INCH / 3, "in")})
        == '{\n  "a": 3,\n  "b": 0.333333\n}'
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        ("[]", "one JSON object"),
        ("3", "one JSON object"),
        ('{"a": ' + "[" * 100_000 + "]" * 100_000 + "}", "nested too deeply"),
    ],
)
def test_text_that_is_no_input_is_refused(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        load(text)
    assert refused.value.field == "input"
    assert says in refused.value.problem


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("null", "missing"),
        ("0", "more than 0"),
        ("-1", "negative"),
        ("true", "number or text"),
        ("[]", "number or text"),
        ("{}", "number or text"),
        ("NaN", "not a number"),
        ("-Infinity", "not a number"),
        ("1e999999999", "too large"),
        ("1e-999999999", "too fine"),
        ("9" * 5000, "too large"),
        ("1e30", "longer than a kilometre"),
        ("1e-30", "thousandth of a millimetre"),
        ('""', "Write a length"),
        ('"3 kg"', "is a weight"),
        ('"-3 in"', "more than nothing"),
    ],
)
def test_a_length_that_is_none_is_refused_at_its_field(value: str, says: str) -> None:
    data = reader(f'{{"unit": "in", "rounds": [{{"width": 1}}, {{"width": {value}}}]}}')
    with pytest.raises(InputError) as refused:
        data.children("rounds")[1].length("width")
    assert refused.value.field == "rounds[1].width"
    assert says in refused.value.problem


@pytest.mark.parametrize("unit", ['"ft"', "null", "3", "[]", '""'])
def test_an_unknown_unit_is_refused(unit: str) -> None:
    with pytest.raises(InputError) as refused:
        reader(f'{{"unit": {unit}}}')
    assert refused.value.field == "unit"


def test_signed_lengths_are_read_only_where_they_may_be() -> None:
    data = reader('{"unit": "in", "a": -2, "b": "-2 1/2 in", "c": [1, "-1 in", 0]}')
    assert data.length("a", signed=True) == -2 * NM_PER_INCH
    assert data.length("b", signed=True) == Fraction(-5, 2) * NM_PER_INCH
    assert [length / NM_PER_INCH for length in data.lengths("c", signed=True)] == [1, -1, 0]


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("1.5", "whole number"),
        ("true", "whole number"),
        ("0", "from 1"),
        ("1e7", "from 1"),
        ("NaN", "whole number"),
        ("9" * 99, "whole number"),
        ('"2"', "whole number"),
    ],
)
def test_a_count_that_is_none_is_refused(value: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        reader(f'{{"unit": "in", "count": {value}}}').count("count")
    assert says in refused.value.problem


def test_a_step_of_nothing_asks_for_no_rounding() -> None:
    assert reader('{"unit": "in", "round_up": 0}').step("round_up", 5) == 1
    assert reader('{"unit": "in"}').step("round_up", 5) == 5
