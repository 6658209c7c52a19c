"""Does typed text read as the length or the pieces the person meant, and is everything else refused in a sentence?"""

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from quiltbook.measures import (
    MOST_PIECES,
    NM_PER_64TH,
    NM_PER_CM,
    NM_PER_INCH,
    NM_PER_METRE,
    NM_PER_MM,
    NM_PER_YARD,
    MeasureError,
    Size,
    System,
    exact_length,
    nm_per,
    read_amount,
    read_length,
)

WIDTH = 42 * NM_PER_INCH
FAT = Size(21 * NM_PER_INCH, 18 * NM_PER_INCH)
IN = NM_PER_INCH


def pieces(text: str, system: System = System.INCHES) -> tuple[Size, ...]:
    return read_amount(text, system=system, usable_width=WIDTH, fat_quarter=FAT)


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("2 3/8 in", Fraction(19, 8) * IN),
        ('2 3/8"', Fraction(19, 8) * IN),
        ("2⅜″", Fraction(19, 8) * IN),
        ("2⅜", Fraction(19, 8) * IN),
        ("2-3/8 in.", Fraction(19, 8) * IN),
        ("2 3⁄8 in", Fraction(19, 8) * IN),
        ("⅝ inch", Fraction(5, 8) * IN),
        ("60", 60 * IN),
        (".5 yd", NM_PER_YARD / 2),
        ("1½yd", 3 * NM_PER_YARD / 2),
        ("1 1/2 Yd", 3 * NM_PER_YARD / 2),
        ("half a yard", NM_PER_YARD / 2),
        ("1 yd 9 in", 45 * IN),
        ("5' 6\"", 66 * IN),
        ("5′ 6″", 66 * IN),
        ("5' 6''", 66 * IN),
        ("45cm", 45 * NM_PER_CM),
        ("1,5 m", 3 * NM_PER_METRE / 2),
        ("0,125 m", NM_PER_METRE / 8),
        ("1 m 20 cm", 120 * NM_PER_CM),
        ("1 m 20", 120 * NM_PER_CM),
        ("1m20", 120 * NM_PER_CM),
        ("2 metres 05", 205 * NM_PER_CM),
        ("635 mm", 635 * NM_PER_MM),
        ("3 metres", 3 * NM_PER_METRE),
        ("  2  3/8   in ", Fraction(19, 8) * IN),
    ],
)
def test_a_length_reads_as_it_is_meant(text: str, nm: Fraction) -> None:
    assert read_length(text, system=System.INCHES) == nm


def test_a_bare_number_is_in_the_asked_unit_or_that_of_the_system() -> None:
    assert read_length("60", system=System.METRIC) == 60 * NM_PER_CM
    assert read_length("60", system=System.METRIC, unit="mm") == 60 * NM_PER_MM
    assert read_length("60", system=System.INCHES, unit="yd") == 60 * NM_PER_YARD


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Write a length"),
        ("   ", "Write a length"),
        ("0", "more than nothing"),
        ("0 cm", "more than nothing"),
        ("0.00000000001 in", "more than nothing"),
        ("-3 in", "more than nothing"),
        ("−3 in", "more than nothing"),
        ("2 km", "longer than a kilometre"),
        ("99999999999999999999 yd", "longer than a kilometre"),
        ("3 kg", "is a weight, not a length"),
        ("20 minutes", "is a time"),
        ("3 m²", "is an area"),
        ("2 sq yd", "is an area"),
        ("5 %", "is a share"),
        ("£3", "cannot be read"),
        ("3 furlongs", "not a unit of length"),
        ("1/0", "nothing below the line"),
        ("1 3/2 in", "must be less than 1"),
        ("1,000 in", "could be a thousand"),
        ("9 in 1 yd", "larger unit first"),
        ("1 yd 9", "without a unit"),
        ("1 yd 20", "without a unit"),
        ("1 m 5", "without a unit"),
        ("1 m 200", "without a unit"),
        ("1 m 20 5 cm", "larger unit first"),
        ("9**9**9 m", "cannot be read"),
        ("1e400 m", "not a unit of length"),
        ("two and a bit", "not a unit of length"),
        ("a", "cannot be read"),
        ("half", "cannot be read"),
        ("<b>3 in</b>", "cannot be read"),
        ("🧵", "cannot be read"),
        ("٣ in", "cannot be read"),
        ("5²", "not a unit of length"),
        ("3 in" * 3000, "too long"),
        ("1.2.3", "without a unit"),
    ],
)
def test_what_is_no_length_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(MeasureError) as refused:
        read_length(text, system=System.INCHES)
    sentence = str(refused.value)
    assert says in sentence
    assert sentence[-1] == "."
    assert len(sentence) < 200


def test_zero_is_read_only_where_it_may_be() -> None:
    assert read_length("0", system=System.INCHES, allow_zero=True) == 0
    with pytest.raises(MeasureError):
        read_length("0.0000000001 in", system=System.INCHES, allow_zero=True)


def test_a_third_of_a_yard_is_exact_before_it_is_rounded_to_a_nanometre() -> None:
    assert exact_length("1/3 in", system=System.INCHES) == Fraction(IN, 3)
    assert read_length("1/3 in", system=System.INCHES) == round(Fraction(IN, 3))


@pytest.mark.parametrize(
    ("unit", "nm"),
    [
        ("in", IN),
        ("ft", 12 * IN),
        ("yd", NM_PER_YARD),
        ("mm", NM_PER_MM),
        ("cm", NM_PER_CM),
        ("m", NM_PER_METRE),
        ("km", 1000 * NM_PER_METRE),
    ],
)
def test_a_unit_is_worth_exactly_what_it_is(unit: str, nm: int) -> None:
    assert nm_per(unit) == nm


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1 1/2 yd", [(42, 54)]),
        ("1½yd", [(42, 54)]),
        ("fat quarter", [(21, 18)]),
        ("FQ", [(21, 18)]),
        ("a fat quarter", [(21, 18)]),
        ("2 FQ", [(21, 18)] * 2),
        ("2 F.Q.s", [(21, 18)] * 2),
        ("3 x fat quarters", [(21, 18)] * 3),
        ("fat eighth", [(21, 9)]),
        ("18 x 22 in", [(18, 22)]),
        ('18" × 22"', [(18, 22)]),
        ("18x22", [(18, 22)]),
        ("5 x 5 in", [(5, 5)]),
        ("3 x 1/2 yd", [(42, 18)] * 3),
        ("3x1yd", [(42, 36)] * 3),
        ("2 of 18 in", [(42, 18)] * 2),
        ("2 pieces of 18 x 22 in", [(18, 22)] * 2),
        ("2 x 18 x 22 in", [(18, 22)] * 2),
        ("20 x 5 in x 5 in", [(5, 5)] * 20),
        ("3 x 1 yd 9 in", [(42, 45)] * 3),
        ("1 yd, 2 FQ, 18 x 22 in", [(42, 36), (21, 18), (21, 18), (18, 22)]),
        ("1 yd; 1 yd 9 in", [(42, 36), (42, 45)]),
        ("1 yd\n9 in", [(42, 36), (42, 9)]),
        ("1 yd,9 in", [(42, 36), (42, 9)]),
    ],
)
def test_an_amount_reads_as_the_pieces_it_is(text: str, expected: list[tuple[int, int]]) -> None:
    assert pieces(text) == tuple(Size(w * IN, length * IN) for w, length in expected)


def test_an_amount_reads_in_metric_too() -> None:
    assert pieces("3 x 0.5 m", System.METRIC) == (Size(WIDTH, 50 * NM_PER_CM),) * 3
    assert pieces("1m20", System.METRIC) == (Size(WIDTH, 120 * NM_PER_CM),)
    assert pieces("3 x 1 m 20", System.METRIC) == (Size(WIDTH, 120 * NM_PER_CM),) * 3
    assert pieces("50 cm x 1 m 20", System.METRIC) == (Size(50 * NM_PER_CM, 120 * NM_PER_CM),)
    assert pieces("1,5 m, 50 x 55", System.METRIC) == (
        Size(WIDTH, 150 * NM_PER_CM),
        Size(50 * NM_PER_CM, 55 * NM_PER_CM),
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "how much cloth"),
        ("2", "Add a unit"),
        ("1 yd,,2 yd", "between two commas"),
        ("2 x 50 cm", "several pieces or one narrow one"),
        ("0 x FQ", "whole number of pieces"),
        ("1 1/2 FQ", "whole number of pieces"),
        ("201 FQ", "more than 200 pieces"),
        ("999999999 x 1 yd", "more than 200 pieces"),
        ("1 x 2 x 3 x 4 in", "cannot be read"),
        ("45 x 55 x 3 cm", "“3 of 18 x 22 in”"),
        ("45 x 55 x 60 cm", "several ways"),
        ("6 x 5 x 5 in", "several ways"),
        ("0 x 18 in", "more than nothing"),
        ("2 kg", "is a weight"),
        ("2 x 2 km", "not"),
        ("x", "cannot be read"),
        ("FQ FQ", "whole number of pieces"),
        ("-2 FQ", "more than nothing"),
    ],
)
def test_what_is_no_amount_is_refused_in_a_sentence(text: str, says: str) -> None:
    if text == "2 x 2 km":  # a size two kilometres square: beyond what cloth can be
        says = "longer than a kilometre"
    with pytest.raises(MeasureError) as refused:
        pieces(text)
    assert says in str(refused.value)


WORDS = st.sampled_from(
    ["1", "2", "12", "3/8", "1/0", "½", "⅜", ".5", "1,5", "1,000", "0", "-", " ", "  ", "in", '"', "''", "'", "yd", "m", "cm", "mm", "km", "kg",
     "x", "×", "of", "pieces of", "FQ", "fat quarter", "fe", ",", ";", "\n", "half", "a", "and", "9" * 50, "\x00", "²", "%", "ﬁ", "İ"]
)  # fmt: skip


@given(
    text=st.one_of(
        st.text(max_size=250), st.lists(WORDS, max_size=40).map("".join), st.lists(WORDS, max_size=20).map(" ".join)
    )
)
@example(text="x" * 200)
@example(text="1 " * 100)
@example(text="1/" * 100)
@example(text="9" * 200)
def test_no_text_does_anything_but_read_or_be_refused(text: str) -> None:
    for system in System:
        with suppress(MeasureError):
            assert 0 < read_length(text, system=system) <= 1000 * NM_PER_METRE
        with suppress(MeasureError):
            read = pieces(text, system)
            assert 1 <= len(read) <= MOST_PIECES
            assert all(size.width > 0 and size.length > 0 for size in read)


@given(steps=st.integers(1, 40_000), count=st.integers(1, 9))
def test_several_pieces_read_as_the_sum_of_their_words(steps: int, count: int) -> None:
    text = f"{count} of {Fraction(steps, 64)} in"
    assert pieces(text) == (Size(WIDTH, steps * NM_PER_64TH),) * count
