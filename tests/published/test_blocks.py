"""Units sewn many at a time, squares in squares and strip sets against the published figures."""

import math
from fractions import Fraction

import pytest

from quiltbook.measures import Size, round_up
from quiltbook.yardage.cutblocks import Cutting, of_block
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.traditional import TRADITIONAL
from quiltbook.yardage.units import goose_cuts, half_square_cut, half_square_unit, strip_set_width
from tests.published.values import Entry, entries

AT_A_TIME = {"hst-2at": 2, "hst-4at": 4, "hst-8at": 8}


def _at_a_time(entry: Entry) -> int:
    return AT_A_TIME[entry.id[:7]]


@pytest.mark.parametrize("entry", entries("hst-unit-surplus"), ids=repr)
def test_the_surplus_of_a_unit_cut_by_the_trade_s_rule_is_as_published(entry: Entry) -> None:
    seam = entry.length("seam_allowance")
    unit = half_square_unit(entry.length("cut"), seam, 2)
    assert entry.agrees(Fraction(unit) - entry.length("finished") - 2 * seam)


@pytest.mark.parametrize("entry", entries("hst-2at", "hst-4at-4in", "hst-8at"), ids=repr)
def test_half_square_units_come_out_as_large_as_published(entry: Entry) -> None:
    assert entry.agrees(half_square_unit(entry.length("cut_square"), entry.length("seam_allowance"), _at_a_time(entry)))


@pytest.mark.parametrize("entry", entries("hst-4at-12cm"), ids=repr)
def test_squares_for_four_at_a_time_are_cut_as_published(entry: Entry) -> None:
    seam = entry.length("seam_allowance")
    assert entry.agrees(half_square_cut(entry.length("unfinished") - 2 * seam, seam, 4))


@pytest.mark.parametrize("entry", entries("hst-4at-add"), ids=repr)
def test_four_at_a_time_loses_what_is_published(entry: Entry) -> None:
    square = 100 * entry.nm
    assert entry.agrees(square / math.sqrt(2) - half_square_unit(square, entry.length("seam_allowance"), 4))


@pytest.mark.parametrize("entry", [e for e in entries("geese-") if "metric" not in e.id], ids=repr)
def test_geese_four_at_a_time_are_cut_as_published(entry: Entry) -> None:
    large, small = goose_cuts(entry.length("finished_w"), entry.length("finished_h"), Fraction(entry.nm, 4))
    assert entry.agrees(round_up(large, entry.nm // 8), "large_square")
    assert entry.agrees(round_up(small, entry.nm // 8), "small_square")


@pytest.mark.parametrize("entry", entries("geese-metric-exact"), ids=repr)
def test_metric_geese_are_cut_exactly_as_published(entry: Entry) -> None:
    seam = entry.length("seam_allowance")
    large, small = goose_cuts(entry.length("finished_w"), entry.length("finished_h"), seam)
    assert entry.agrees(large, "large_square")
    assert entry.agrees(small, "small_square")


@pytest.mark.parametrize("entry", [e for e in entries("geese-metric") if "exact" not in e.id], ids=repr)
def test_the_metric_trade_rule_for_geese_is_shorter_than_the_exact_cut(entry: Entry) -> None:
    large, small = goose_cuts(entry.length("finished_w"), entry.length("finished_h"), 75 * entry.nm // 100)
    assert large > float(entry.expected["large_square"]) * entry.nm
    assert small > float(entry.expected["small_square"]) * entry.nm


@pytest.mark.parametrize("entry", entries("metric-hst", "metric-qst"), ids=repr)
def test_the_metric_rules_fall_short_by_what_is_published(entry: Entry) -> None:
    seam, finished = entry.length("seam_allowance"), 10 * entry.nm
    if entry.id.startswith("metric-hst"):
        assert entry.agrees(half_square_cut(finished, seam, 2) - finished - Fraction(5, 2) * entry.nm)
    else:
        assert entry.agrees(goose_cuts(finished, finished / 2, seam)[0] - finished - Fraction(7, 2) * entry.nm)


@pytest.mark.parametrize("entry", entries("sqsq-"), ids=repr)
def test_the_corners_of_a_square_in_a_square_are_cut_as_published(entry: Entry) -> None:
    side = float(entry.length("centre_finished")) * math.sqrt(2)
    corners = _corners(entry, side, step=1)
    assert entry.agrees(corners.cut.width, "exact")
    assert entry.agrees(_corners(entry, side, step=entry.nm // 8).cut.width, "up_to_eighth")
    assert entry.agrees(side, "block_finished")
    assert (corners.shape, corners.to_cut) == ("half square triangle", 2)


def _corners(entry: Entry, side: float, *, step: int) -> Patch:
    cutting = Cutting(entry.length("seam_allowance"), step)
    found, _ = of_block(TRADITIONAL["square in a square"], Size(side, side), 1, cutting, 42 * entry.nm)
    middle = next(patch for patch in found if patch.role == "block square")
    assert entry.near(Fraction(middle.finished.width) / entry.nm, entry.inputs["centre_finished"])
    return next(patch for patch in found if patch.role == "block corners")


@pytest.mark.parametrize("entry", entries("stripset-"), ids=repr)
def test_a_strip_set_is_as_wide_as_published(entry: Entry) -> None:
    strips = [entry.length("strip_cut")] * entry.inputs["strips"]
    assert entry.agrees(strip_set_width(strips, entry.length("seam_allowance")))
