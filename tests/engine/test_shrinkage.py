"""Is enough cloth left after the wash, in each direction by its own shrinkage?"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_CM, Size
from quiltbook.yardage.beds import BedError, quilt_for
from quiltbook.yardage.shrinkage import (
    Shrinkage,
    ShrinkageError,
    after_washing,
    before_washing,
    dimensional_change,
    measured,
)

shares = st.integers(-50, 500).map(lambda thousandths: Fraction(thousandths, 1000))
lengths = st.integers(1, 10**10)


@given(width=lengths, length=lengths, across=shares, along=shares)
def test_exactly_what_is_needed_is_left(width: int, length: int, across: Fraction, along: Fraction) -> None:
    lost = Shrinkage(across, along)
    bought = before_washing(Size(width, length), lost)
    assert after_washing(bought.size, lost) == Size(width, length)
    assert (bought.size.width > width) == (across > 0)
    assert bought.steps[0].lengths["length"] == bought.size.length


def test_a_swatch_measured_before_and_after_gives_its_shrinkage_each_way() -> None:
    lost = measured(Size(50 * NM_PER_CM, 50 * NM_PER_CM), Size(49 * NM_PER_CM, 47 * NM_PER_CM))
    assert lost == Shrinkage(Fraction(2, 100), Fraction(6, 100))


def test_shrinkage_is_a_negative_change() -> None:
    assert dimensional_change(500, 485) == -3
    assert dimensional_change(500, 505) == 1


@pytest.mark.parametrize(("width", "length", "field"), [(51, 0, "width"), (0, -51, "length")])
def test_cloth_that_halves_or_more_is_refused(width: int, length: int, field: str) -> None:
    with pytest.raises(ShrinkageError) as refused:
        Shrinkage(Fraction(width, 100), Fraction(length, 100))
    assert refused.value.field == f"shrinkage.{field}"


@pytest.mark.parametrize(("before", "after", "field"), [(0, 1, "before"), (1, 0, "after")])
def test_a_change_of_nothing_is_refused(before: int, after: int, field: str) -> None:
    with pytest.raises(ShrinkageError) as refused:
        dimensional_change(before, after)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("mattress", "drop", "head", "field"),
    [((0, 9), 1, 0, "mattress.width"), ((9, 0), 1, 0, "mattress.length"), ((9, 9), -1, 0, "drop"), ((9, 9), 1, -1, "head")],
)  # fmt: skip
def test_a_bed_that_cannot_be_is_refused_at_its_field(
    mattress: tuple[int, int], drop: int, head: int, field: str
) -> None:
    with pytest.raises(BedError) as refused:
        quilt_for(Size(*mattress), drop=drop, head=head)
    assert refused.value.field == field
