"""How much of a 42 in cloth do six quilts take by the strip arithmetic of the handbooks, by strips, and by any cuts?

Each is asked for as cloth to buy, so that the figure is the length of it. `area`: what the patches would take without any waste.
"""

from functools import cache

import pytest

from quiltbook.yardage.buying import Bought, Buying, buy
from quiltbook.yardage.cutting import CuttingJob, Layout, lay_out
from tests.benchmarks.quilts import IN, STEP, WIDTH, quilts
from tests.benchmarks.tables import Show

_WAYS = (("strips", "quick"), ("close", "quick"), ("close", "thorough"))


@cache
def _laid(job: CuttingJob) -> Layout:
    """Laid out once, whichever way asks for it, with time enough on any machine."""
    return lay_out(job, limit=600)


@cache
def bought(name: str) -> tuple[Bought, ...]:
    """By strips, by any cuts, and by any cuts with more effort."""
    patches = quilts()[name]
    return tuple(buy(Buying(WIDTH, STEP, patches, method, effort), lay_out=_laid) for method, effort in _WAYS)


@pytest.mark.parametrize("name", quilts())
def test_close_cutting_takes_no_more_than_strips_nor_strips_more_than_the_handbook(name: str) -> None:
    strips, close, thorough = bought(name)
    assert thorough.length <= close.length <= strips.length <= strips.handbook_length
    assert thorough.length * WIDTH >= sum(p.width * p.length * p.count for p in quilts()[name])
    assert not any(one.layout.uncut or one.layout.stood_in for one in (strips, close, thorough))


def test_the_six_quilts_together_take_at_least_15_percent_less_than_the_handbook(show: Show) -> None:
    rows = [_row(name) for name in quilts()]
    handbook, strips, close, thorough, area = (sum(figures) for figures in zip(*rows, strict=True))
    show(
        "Six quilts: inches of 42 in cloth",
        ["", "handbook", "strips", "close", "close thorough", "area"],
        [[name, *(f"{inches:.3f}" for inches in row)] for name, row in zip(quilts(), rows, strict=True)]
        + [["all six", *(f"{inches:.3f}" for inches in (handbook, strips, close, thorough, area))]]
        + [["of the handbook", *(inches / handbook for inches in (handbook, strips, close, thorough, area))]],
    )
    assert strips < 0.9 * handbook
    assert close < 0.85 * handbook


def _row(name: str) -> list[float]:
    strips, close, thorough = bought(name)
    area = sum(p.width * p.length * p.count for p in quilts()[name]) / WIDTH
    return [inches / IN for inches in (strips.handbook_length, strips.length, close.length, thorough.length, area)]
