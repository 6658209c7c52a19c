"""Whatever is to be bought: the layout can be cut, nothing beats the area, and neither closer cutting nor more effort takes more."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quiltbook.yardage.buying import Bought, Buying, buy
from quiltbook.yardage.cutting import Wanted
from quiltbook.yardage.patches import Join
from quiltbook.yardage.shrinkage import Shrinkage
from tests.engine.cutting_jobs import IN, join, nm, patch
from tests.engine.test_buying import bought, buying

FIVE = Fraction(5, 100)
eighths = st.integers(8, 120).map(lambda n: n * IN // 8)


@st.composite
def jobs(draw: st.DrawFn) -> Buying:
    """Some patches of any size in eighths or odd nm, some of which may be joined, turned or not, from cloth of any kind."""
    odd = st.integers(IN // 3, 12 * IN)
    patches = tuple(
        Wanted(
            f"patch {n}",
            draw(st.one_of(eighths, odd)),
            draw(st.one_of(eighths, st.integers(320, 720).map(lambda n: n * IN // 8))),
            draw(st.sampled_from([1, 2, 5, 16])),
            draw(st.booleans()),
            join=draw(st.sampled_from([None, Join(IN // 2, 8 * IN), Join(0, 0)])),
            stripes=draw(st.sampled_from([None, None, "along", "across"])),
        )
        for n in range(draw(st.integers(1, 5)))
    )
    return Buying(
        width=draw(st.sampled_from([nm(20), nm(42), nm(108), 1_070_000_001])),
        increment=draw(st.sampled_from([1, IN, nm(4.5), 10**9])),
        patches=patches,
        method="strips",
        one_way=draw(st.booleans()),
        stripes=draw(st.sampled_from([None, None, "along", "across"])),
        least_offcut=draw(st.sampled_from([0, 2 * IN])),
        straightening=draw(st.sampled_from([0, IN, 7])),
        shrinkage=draw(st.sampled_from([None, Shrinkage(FIVE, FIVE / 2), Shrinkage(-FIVE / 5, FIVE)])),
    )


def holds_for(job: Buying, found: Bought) -> None:
    """What is true of every answer, besides that its layout is sound."""
    assert not found.layout.stood_in
    assert found.to_buy % job.increment == found.handbook_to_buy % job.increment == 0
    assert found.length * job.width >= found.layout.used_area * (1 if not job.shrinkage else 0.9)
    assert found.length <= found.handbook_length
    assert found.to_buy <= found.handbook_to_buy
    stays = 1 - (job.shrinkage.length if job.shrinkage else 0)
    if found.length:
        left = found.length + job.straightening
        assert found.to_buy * stays >= left - 1
        assert (found.to_buy - job.increment) * stays < left + 1


@settings(max_examples=40)
@given(jobs())
def test_by_strips_the_layout_is_sound_and_within_the_handbook(job: Buying) -> None:
    holds_for(job, bought(job))


@settings(max_examples=8)
@given(jobs())
def test_by_close_cutting_too_and_never_more_than_by_strips(job: Buying) -> None:
    found = bought(replace(job, method="close"))
    holds_for(job, found)
    assert found.length <= buy(job).length


SAMPLER = buying(
    patch("a", 6.5, 6.5, 2), patch("b", 2.5, 11, 3), patch("c", 4.25, 9.5, 2),
    patch("border", 2.5, 60, 2, join=join(0.5, 8)),
)  # fmt: skip


@pytest.mark.parametrize("job", [SAMPLER, replace(SAMPLER, patches=SAMPLER.patches[:3], one_way=True)])
def test_more_effort_never_takes_more_and_close_never_more_than_strips(job: Buying) -> None:
    found = {
        (method, effort): bought(replace(job, method=method, effort=effort))
        for method in ("strips", "close")
        for effort in ("quick", "thorough")
    }
    length = {key: one.length for key, one in found.items()}
    assert length["strips", "thorough"] <= length["strips", "quick"] <= found["strips", "quick"].handbook_length
    assert length["close", "thorough"] <= min(length["close", "quick"], length["strips", "thorough"])
    assert length["close", "quick"] <= length["strips", "quick"]


@pytest.mark.parametrize("method", ["strips", "close"])
def test_the_same_is_bought_every_time(method: str) -> None:
    job = replace(SAMPLER, method=method)
    assert buy(job) == buy(job)
