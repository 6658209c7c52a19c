"""Is a length shown as a quilter would write it, does it read back the same, and does rounding up leave multiples alone?"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import (
    NM_PER_64TH,
    NM_PER_CM,
    NM_PER_INCH,
    NM_PER_METRE,
    NM_PER_YARD,
    Length,
    Size,
    System,
    mm2,
    read_length,
    round_up,
    show_amount,
    show_area,
    show_length,
    show_size,
    write_length,
)

IN, CM = NM_PER_INCH, NM_PER_CM
INCHES, METRIC = System.INCHES, System.METRIC


@pytest.mark.parametrize(
    ("nm", "system", "text"),
    [
        (Fraction(19, 8) * IN, INCHES, "2 3/8 in"),
        (IN // 64, INCHES, "1/64 in"),
        (6 * IN, INCHES, "6 in"),
        (0, INCHES, "0 in"),
        (-IN // 4, INCHES, "-1/4 in"),
        (10 * CM, INCHES, "about 3 15/16 in"),
        (-10 * CM, INCHES, "about -3 15/16 in"),
        (CM // 10, INCHES, "about 3/64 in"),
        (CM // 1000, INCHES, "0 in"),
        (2.5 * IN * (1 + 1e-15), INCHES, "2 1/2 in"),
        (6 * CM, METRIC, "6 cm"),
        (65 * CM // 10, METRIC, "6.5 cm"),
        (IN // 4, METRIC, "0.635 cm"),
        (100 * CM, METRIC, "100 cm"),
    ],
)
def test_a_length_is_shown_in_her_own_system(nm: Length, system: System, text: str) -> None:
    assert show_length(nm, system=system) == text


def test_a_length_is_shown_to_the_nearest_step_where_one_is_asked() -> None:
    assert show_length(10 * CM, system=INCHES, step=IN // 8) == "3 7/8 in"
    assert show_length(IN, system=METRIC, step=CM // 10) == "2.5 cm"


@pytest.mark.parametrize(
    ("nm", "system", "text"),
    [
        (3 * NM_PER_YARD // 2, INCHES, "1 1/2 yd"),
        (NM_PER_YARD // 8, INCHES, "1/8 yd"),
        (10 * IN, INCHES, "about 1/4 yd"),
        (2 * IN, INCHES, "2 in"),
        (14 * NM_PER_METRE // 10, METRIC, "1.4 m"),
        (3 * NM_PER_METRE // 4, METRIC, "0.75 m"),
        (NM_PER_YARD, METRIC, "about 0.91 m"),
    ],
)
def test_an_amount_is_shown_to_the_eighth_of_a_yard_or_the_centimetre(nm: int, system: System, text: str) -> None:
    assert show_amount(nm, system=system) == text


def test_sizes_and_areas_are_shown_in_her_own_system() -> None:
    size = Size(18 * IN, 22 * IN)
    assert show_size(size, system=INCHES) == "18 × 22 in"
    assert show_size(Size(50 * CM, 55 * CM), system=METRIC) == "50 × 55 cm"
    assert show_area(mm2(size.width, size.length), system=INCHES) == "0.31 sq yd"
    assert show_area(mm2(435 * IN, 36 * IN), system=INCHES) == "12.1 sq yd"
    assert show_area(mm2(433 * IN, 36 * IN), system=INCHES) == "12 sq yd"
    assert show_area(mm2(4_330 * IN, 36 * IN), system=INCHES) == "120 sq yd"
    assert show_area(mm2(5 * IN, 5 * IN), system=INCHES) == "25 sq in"
    assert show_area(mm2(10 * CM, 10 * CM), system=METRIC) == "100 cm²"
    assert show_area(mm2(NM_PER_METRE, NM_PER_METRE), system=METRIC) == "1 m²"


@given(steps=st.integers(1, 64 * 36 * 100))
def test_any_64th_of_an_inch_shown_reads_back_the_same(steps: int) -> None:
    nm = steps * NM_PER_64TH
    assert read_length(show_length(nm, system=INCHES), system=INCHES) == nm
    assert read_length(write_length(nm, system=METRIC), system=METRIC) == nm


@given(steps=st.integers(1, 1_000_000))
def test_any_tenth_of_a_millimetre_shown_reads_back_the_same(steps: int) -> None:
    nm = steps * CM // 100
    assert read_length(show_length(nm, system=METRIC), system=METRIC) == nm
    assert read_length(write_length(nm, system=INCHES), system=INCHES) == nm


@given(nm=st.integers(1, 1000 * NM_PER_METRE))
def test_what_is_written_for_a_field_reads_back_to_the_nanometre(nm: int) -> None:
    for system in System:
        assert read_length(write_length(nm, system=system), system=system) == nm


@given(steps=st.integers(1, 100_000), step=st.integers(1, NM_PER_YARD))
def test_an_exact_multiple_is_never_rounded_up(steps: int, step: int) -> None:
    assert round_up(steps * step, step) == steps * step
    assert round_up(Fraction(steps * step), step) == steps * step
    assert round_up(float(steps * step), step) == steps * step


@given(value=st.fractions(min_value=0, max_value=10**12), step=st.integers(1, NM_PER_YARD))
def test_rounding_up_reaches_the_next_step_and_no_further(value: Fraction, step: int) -> None:
    up = round_up(value, step)
    assert up % step == 0
    assert up + Fraction(step, 10**9) >= value
    assert up - step < value


def test_a_thousand_millionth_above_a_step_is_still_that_step_and_more_is_not() -> None:
    step = 3_175_000
    assert round_up(step + Fraction(step, 10**10), step) == step
    assert round_up(step + Fraction(step, 10**8), step) == 2 * step


def test_nothing_drifts_however_often_a_length_goes_to_and_fro() -> None:
    nm = 19 * IN // 8
    for _ in range(10):
        nm = read_length(write_length(nm, system=METRIC), system=METRIC)
        nm = read_length(write_length(nm, system=INCHES), system=INCHES)
    assert nm == 19 * IN // 8


def test_a_size_that_no_ruler_has_exactly_is_about_so_big() -> None:
    assert show_size(Size(8 * IN, 2**0.5 * 6 * IN), system=INCHES) == "about 8 × 8 1/2 in"
