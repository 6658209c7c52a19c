"""Where do motifs sit along a border, by each rule, and do they fit?"""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.yardage.motifs import MotifError, spacing

lengths = st.fractions(min_value=Fraction(1, 4), max_value=200, max_denominator=64)
rules = st.sampled_from(["even", "cells", "margins"])


def test_even_gaps_include_the_ends() -> None:
    result = spacing(60, 4, count=7, rule="even", seam_allowance=Fraction(1, 4))
    assert result.centres == (6, 14, 22, 30, 38, 46, 54)
    assert result.from_centre == (-24, -16, -8, 0, 8, 16, 24)
    assert result.from_raw_edge[0] == Fraction(25, 4)
    assert result.gap == 4


def test_cells_leave_half_a_gap_at_each_end() -> None:
    result = spacing(60, 4, count=3, rule="cells")
    assert result.centres == (10, 30, 50)
    assert result.gap == 16
    assert spacing(60, 4, count=1, rule="cells").gap == 56


def test_margins_are_kept_and_one_motif_sits_in_the_middle() -> None:
    assert spacing(60, 4, count=3, rule="margins", end_margin=2).centres == (4, 30, 56)
    alone = spacing(60, 4, count=1, rule="margins", end_margin=2)
    assert alone.centres == (30,)
    assert alone.gap is None
    assert not spacing(60, 4, count=1, rule="margins", end_margin=29).fits


def test_aligned_motifs_stand_over_the_inner_ones_and_go_on_at_their_pitch() -> None:
    inner = (4, 12, 20)
    assert spacing(40, 4, rule="aligned", align_to=inner, align_shift=8).centres == (4, 12, 20, 28, 36)
    assert spacing(40, 4, rule="aligned", align_to=inner, align_shift=8, count=5).centres == (4, 12, 20, 28, 36)
    assert spacing(40, 4, rule="aligned", align_to=inner, align_shift=8, count=3).centres == (12, 20, 28)
    assert spacing(40, 4, rule="aligned", align_to=inner, align_shift=8, count=1).centres == (20,)
    assert spacing(40, 4, rule="aligned", align_to=(20,)).centres == (20,)
    assert not spacing(40, 4, rule="aligned", align_to=inner, align_shift=8, count=7).fits


def test_a_negative_gap_does_not_fit() -> None:
    result = spacing(20, 4, count=6, rule="even")
    assert result.gap is not None
    assert result.gap < 0
    assert not result.fits


def test_a_strip_shorter_than_the_motif_fits_none() -> None:
    result = spacing(3, 4)
    assert (result.count, result.gap, result.fits) == (0, None, False)


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"rule": "loose"}, "rule"),
        ({"rule": "aligned"}, "align_to"),
        ({"rule": "aligned", "align_to": (4,), "count": 3}, "align_to"),
        ({"rule": "aligned", "align_to": (8, 4)}, "align_to"),
        ({"rule": "aligned", "align_to": (4, 4)}, "align_to"),
        ({"rule": "aligned", "align_to": (1, 2), "count": 10**9}, "count"),
        ({"count": 10**9}, "count"),
        ({"count": -1}, "count"),
    ],
)
def test_what_cannot_be_placed_is_refused_at_its_field(settings: dict[str, object], field: str) -> None:
    with pytest.raises(MotifError) as refused:
        spacing(60, 4, **settings)  # type: ignore[arg-type]
    assert refused.value.field == field


def test_more_motifs_than_anyone_sews_are_refused_rather_than_listed() -> None:
    for rule in ("even", "cells", "margins"):
        with pytest.raises(MotifError):
            spacing(10**12, 1000, rule=rule)
    with pytest.raises(MotifError):
        spacing(10**12, 1000, rule="aligned", align_to=(10**11, 10**11 + 1000))


@given(
    length=lengths,
    motif=lengths,
    rule=rules,
    margin=st.fractions(0, 3, max_denominator=8),
    gap=st.fractions(0, 2, max_denominator=8),
)
def test_the_most_that_fit_do_fit_and_one_more_would_not(
    length: Fraction, motif: Fraction, rule: str, margin: Fraction, gap: Fraction
) -> None:
    most = spacing(length, motif, rule=rule, end_margin=margin, least_gap=gap)
    if most.count:
        assert most.fits
        assert most.gap is None or most.gap >= gap
    one_more = spacing(length, motif, count=most.count + 1, rule=rule, end_margin=margin)
    assert not one_more.fits or (one_more.gap is not None and one_more.gap < gap)


@given(length=lengths, motif=lengths, rule=rules, count=st.integers(1, 30))
def test_motifs_are_evenly_pitched_and_lie_alike_about_the_middle(
    length: Fraction, motif: Fraction, rule: str, count: int
) -> None:
    result = spacing(length, motif, count=count, rule=rule)
    assert len({Fraction(b) - Fraction(a) for a, b in pairwise(result.centres)}) <= 1
    assert [-Fraction(x) for x in reversed(result.from_centre)] == list(result.from_centre)
    if result.fits:
        assert all(Fraction(b) - Fraction(a) >= motif for a, b in pairwise(result.centres))
        assert result.centres[0] >= motif / 2
