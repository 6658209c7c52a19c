"""How much cloth of a width is bought: the shortest length found, what is lost of it, up to the shop's step, and from what it came."""

from dataclasses import replace
from fractions import Fraction
from functools import partial

import pytest

from quiltbook.measures import NM_PER_YARD
from quiltbook.yardage.buying import Bought, Buying, buy
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutting import CuttingError, CuttingJob, Wanted, lay_out
from quiltbook.yardage.layouts import LONGEST_CLOTH
from quiltbook.yardage.shrinkage import Shrinkage
from tests.engine.cutting_jobs import IN, join, patch, repeat, wrong

EIGHTH = NM_PER_YARD // 8  # 4 1/2 in


def buying(*patches: Wanted, method: str = "strips", **more: object) -> Buying:
    return Buying(42 * IN, EIGHTH, patches, method, **more)  # type: ignore[arg-type]


def bolt(job: Buying, length: int) -> CuttingJob:
    """The cutting of what is bought, as anyone would ask for it."""
    cloth = Cloth(
        "bolt", "any", job.width, length, 1, job.one_way, (), job.stripes, job.repeat, washed=job.shrinkage is None
    )
    return CuttingJob((cloth,), job.patches, job.method, job.effort, job.least_offcut, job.shrinkage, job.straightening)


def bought(job: Buying) -> Bought:
    """What is bought, its layout found right by the verifier and within the length found."""
    found = buy(job)
    assert wrong(bolt(job, found.to_buy), found.layout) == []
    for laid in found.layout.cloths:
        assert laid.usable is not None
        ends = [one.y + one.length for one in laid.placements] + [one.y + one.length for one in laid.reserved]
        assert max(ends) - laid.usable.y <= found.length
    return found


def test_squares_take_their_strips_up_to_the_shops_step() -> None:
    found = bought(buying(patch("A", 2.5, 2.5, 64)))
    assert (found.length, found.to_buy) == (10 * IN, 3 * EIGHTH)  # 4 strips of 16
    assert (found.handbook_length, found.handbook_to_buy) == (10 * IN, 3 * EIGHTH)
    assert not found.layout.uncut


def test_a_whole_number_of_steps_is_not_rounded_up() -> None:
    assert bought(buying(patch("A", 4.5, 4.5, 18))).to_buy == 2 * EIGHTH  # 9 across
    thirds = bought(replace(buying(patch("A", 5, 5, 1)), increment=5 * IN // 3))
    assert thirds.to_buy == 5 * IN // 3 * 4  # three of them are a third of a nm short


def test_sizes_share_strips_where_the_handbook_gives_each_its_own() -> None:
    job = buying(patch("block", 12.5, 12.5, 7), patch("sash", 3, 12.5, 6))
    strips, close = bought(job), bought(replace(job, method="close"))
    assert strips.handbook_length == 43.5 * IN  # 3 strips for the blocks, and 2 of 3 in for sashes laid across
    assert close.length <= strips.length < strips.handbook_length


def test_long_strips_are_joined_across_the_cloth_where_that_takes_less() -> None:
    found = bought(buying(patch("border", 2.5, 58, 4, join=join(0.5, 8))))
    assert found.length == found.handbook_length == 15 * IN  # 4 whole widths, and the ends two by two
    assert {placement.part for placement in found.layout.cloths[0].placements} == {1, 2}


def test_long_strips_are_left_whole_along_the_cloth_where_that_takes_less() -> None:
    found = bought(buying(patch("border", 2.5, 58, 16, join=join(0.5, 8))))
    assert (found.length, found.handbook_length) == (58 * IN, 58 * IN)  # 60 in if joined
    assert {placement.part for placement in found.layout.cloths[0].placements} == {None}


def test_the_handbook_keeps_the_least_length_of_a_joined_strip_too() -> None:
    found = bought(buying(patch("border", 43, 2.5, 10, turn=False, join=join(0.5, 8))))
    assert found.length == found.handbook_length == 30 * IN  # ends of 8 in, 5 a strip, not of 1 1/2 in


def test_squaring_up_and_washing_are_bought_as_well_and_explained() -> None:
    job = buying(patch("A", 2.5, 2.5, 64), straightening=IN, shrinkage=Shrinkage(Fraction(5, 100), Fraction(4, 100)))
    found = bought(job)
    assert found.length == 12.5 * IN  # 39.9 in are left of the width: 15 across
    assert found.to_buy == 4 * EIGHTH  # 13.5 / 0.96 = 14.06 in
    told = {step.what: step for step in found.steps}
    assert list(told) == ["handbook", "length found", "straightening", "before washing", "to buy"]
    assert told["handbook"].counts == {"strips": 5}
    assert told["length found"].lengths["cloth width"] == 39.9 * IN
    assert told["straightening"].lengths == {"straightening": IN, "length": 13.5 * IN}
    assert told["before washing"].lengths["needed width"] == 39.9 * IN
    assert told["before washing"].lengths["width"] == 42 * IN
    assert told["before washing"].lengths["length"] == Fraction(27, 2) * IN / Fraction(96, 100)
    assert told["to buy"].lengths["to buy"] == found.to_buy
    assert told["to buy"].counts == {"increments": 4}
    [laid] = found.layout.cloths
    assert laid.usable is not None
    assert (laid.usable.y, laid.cuts[0].kind) == (IN, "straighten")


def test_cloth_that_grows_in_the_wash_is_bought_shorter() -> None:
    found = bought(buying(patch("A", 42, 9.9, 1), shrinkage=Shrinkage(Fraction(0), Fraction(-10, 100))))
    assert (found.length, found.to_buy) == (9.9 * IN, 2 * EIGHTH)


@pytest.mark.parametrize(("one_way", "turn", "length"), [(False, True, 6), (True, True, 20), (False, False, 20)])
def test_what_may_not_turn_takes_its_own_length(one_way: bool, turn: bool, length: int) -> None:
    found = bought(buying(patch("A", 3, 20, 4, turn=turn), one_way=one_way))
    assert found.length == length * IN


def test_stripes_say_how_patches_lie() -> None:
    sash = patch("sash", 3, 20, 4, stripes="along")
    assert bought(buying(sash, stripes="along")).length == 20 * IN
    assert bought(buying(sash, stripes="across")).length == 6 * IN
    assert bought(buying(sash)).length == 6 * IN


def test_fussy_cuts_are_bought_by_the_prints_repeat() -> None:
    job = buying(patch("rose", 4, 4, 9, per_repeat=1), patch("A", 2, 2, 6), repeat=repeat(8, 12))
    found = bought(job)
    assert sum(one.count for one in found.layout.cloths[0].reserved) == 9
    assert found.length <= found.handbook_length


def test_what_goes_on_no_length_of_the_cloth_is_uncut_and_the_rest_is_bought() -> None:
    found = bought(buying(patch("A", 2.5, 2.5, 16), patch("wide", 50, 50, 3)))
    assert (found.length, found.handbook_length) == (2.5 * IN, 2.5 * IN)
    assert [(row.patch, row.count) for row in found.layout.uncut] == [("wide", 3)]
    assert next(step for step in found.steps if step.what == "length found").counts == {"patches": 16}


@pytest.mark.parametrize("method", ["close", "strips"])
def test_nothing_is_bought_where_nothing_goes_on(method: str) -> None:
    job = buying(patch("wide", 50, 50, 3), method=method, straightening=IN)
    found = buy(job)
    assert (found.length, found.to_buy, found.handbook_length, found.handbook_to_buy) == (0, 0, 0, 0)
    assert (found.layout.method, found.layout.cloths) == (method, ())
    assert [(row.patch, row.count) for row in found.layout.uncut] == [("wide", 3)]


def test_where_the_solver_fails_it_says_so_and_takes_no_more_than_the_handbook() -> None:
    job = buying(patch("block", 12.5, 12.5, 7), patch("sash", 3, 12.5, 6), method="close", effort="thorough")
    found = buy(job, lay_out=partial(lay_out, solver=("false",)))
    assert wrong(bolt(job, found.to_buy), found.layout) == []
    assert found.layout.stood_in
    assert found.length <= found.handbook_length


def test_thousands_of_patches_are_bought_within_the_handbooks_length() -> None:
    found = buy(buying(*(patch(str(n), 1 + n / 4, 6 - n / 4, 700) for n in range(8)), method="close"))
    assert not found.layout.uncut
    assert found.length <= found.handbook_length


A = patch("A", 2.5, 2.5, 64)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"width": 0}, "width"),
        ({"width": -IN}, "width"),
        ({"width": LONGEST_CLOTH + 1}, "width"),
        ({"width": 1, "shrinkage": Shrinkage(Fraction(1, 2), Fraction(0))}, "width"),
        ({"increment": 0}, "increment"),
        ({"increment": LONGEST_CLOTH + 1}, "increment"),
        ({"method": "laser"}, "method"),
        ({"effort": "heroic"}, "effort"),
        ({"stripes": "zigzag"}, "stripes"),
        ({"repeat": repeat(0, 8)}, "repeat.width"),
        ({"least_offcut": -1}, "least_offcut"),
        ({"straightening": -1}, "straightening"),
        ({"patches": ()}, "patches"),
        ({"patches": (replace(A, count=0),)}, "patches"),
        ({"patches": (A, A)}, "patches[1].id"),
        ({"patches": (replace(A, length=0),)}, "patches[0].length"),
        ({"patches": (replace(A, count=20_001),)}, "patches"),
        ({"patches": (replace(A, width=42 * IN, length=400 * 36 * IN, count=3),)}, "patches"),
        ({"straightening": LONGEST_CLOTH}, "patches"),
    ],
)
def test_a_job_that_makes_no_sense_names_its_field(change: dict[str, object], field: str) -> None:
    with pytest.raises(CuttingError) as refused:
        buy(replace(buying(A), **change))  # type: ignore[arg-type]
    assert refused.value.field == field
    assert refused.value.problem.endswith(".")
