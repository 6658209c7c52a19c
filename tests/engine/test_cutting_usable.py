"""Is only that cloth laid out which is left when it is washed and squared up, and does the answer say where that is?"""

from dataclasses import replace
from fractions import Fraction

import pytest

from quiltbook.yardage.cutting import CuttingError, Usable, check, handbook, lay_out
from quiltbook.yardage.shrinkage import Shrinkage
from quiltbook.yardage.usable import washed
from tests.engine.cutting_jobs import IN, cloth, flaw, job, opened, patch, repeat, sound, wrong

TENTHS = Shrinkage(Fraction(1, 10), Fraction(1, 5))


@pytest.mark.parametrize(("ends", "start", "length"), [(0, 0, 10), (1, 1, 9), (2, 1, 8)])
def test_each_raw_end_loses_what_straightening_takes(ends: int, start: int, length: int) -> None:
    kelp = cloth("kelp", 42, 10, raw_ends=ends)
    fits = job([kelp], [patch("A", 42, length, turn=False)], straightening=IN)
    [laid] = sound(fits).cloths
    assert laid.usable == Usable(0, start * IN, 42 * IN, length * IN)
    assert laid.placements[0].y == start * IN
    assert sound(fits).waste_area == ends * 42 * IN**2
    longer = replace(fits, patches=(replace(fits.patches[0], length=length * IN + 1),))
    assert sound(longer).uncut


def test_the_raw_ends_come_off_first_and_the_ruler_goes_on_from_the_straight_edge() -> None:
    asked = job([cloth("kelp", 42, 20, raw_ends=2)], [patch("A", 21, 5, 4, turn=False)], straightening=IN)
    [laid] = sound(asked).cloths
    cuts = [(c.number, c.kind, c.at / IN, c.depth, c.setting / IN) for c in laid.cuts[:3]]
    assert cuts[:2] == [(1, "straighten", 1, 1, 1), (2, "straighten", 19, 1, 1)]
    assert [c.number for c in laid.cuts] == list(range(1, len(laid.cuts) + 1))
    assert {c.kind for c in laid.cuts[2:]}.isdisjoint({"straighten"})
    assert all(offcut.y >= IN and offcut.y + offcut.length <= 19 * IN for offcut in laid.offcuts)


HANDOUT = "Number of squares from a fat quarter / yardage chart, docsbay.net: strips from a yard, about 1 in for straightening"


@pytest.mark.parametrize(("cut", "strips"), [(1.5, 23), (2, 17), (3, 11), (4, 8), (4.5, 7), (6, 5)])
def test_a_yard_gives_as_many_strips_as_a_handout_that_allows_for_straightening(cut: float, strips: int) -> None:
    asked = job([cloth("yard", 42, 36)], [patch("strip", 42, cut, strips + 1, turn=False)])
    assert not sound(asked).uncut
    assert sound(replace(asked, straightening=IN)).uncut[0].count == 1, HANDOUT


def test_flaws_stay_where_they_are_on_the_cloth() -> None:
    asked = job(
        [cloth("kelp", 10, 12, flaws=(flaw(0, 6, 10, 1),))], [patch("A", 10, 5, 2, turn=False)], straightening=IN
    )
    assert [p.y / IN for laid in sound(asked).cloths for p in laid.placements] == [1, 7]


def test_cloth_that_is_all_lost_gives_nothing() -> None:
    for ends, length in ((1, 1), (2, 2), (2, 1)):
        asked = job([cloth("scrap", 42, length, raw_ends=ends)], [patch("A", 1, 1)], straightening=IN)
        layout = sound(asked)
        assert (layout.cloths, layout.uncut[0].count) == ((), 1)


def test_only_cloth_yet_to_be_washed_shrinks_and_positions_are_those_after_the_wash() -> None:
    raw, clean = cloth("raw", 40, 30, washed=False), cloth("clean", 40, 30)
    square = patch("A", 36, 24, turn=False)
    for kelp, area in ((raw, 36 * 24), (clean, 40 * 30)):
        layout = sound(job([kelp], [square], shrinkage=TENTHS))
        assert opened(layout) == area * IN**2
        assert layout.cloths[0].usable == Usable(
            0, 0, kelp.width if kelp is clean else 36 * IN, (30 if kelp is clean else 24) * IN
        )
    wider = replace(square, width=36 * IN + 1)
    assert sound(job([raw], [wider], shrinkage=TENTHS)).uncut
    assert not sound(job([raw], [wider])).uncut


def test_flaws_and_the_repeat_shrink_with_the_cloth_and_none_to_its_favour() -> None:
    kelp = cloth("kelp", 40, 30, washed=False, repeat=repeat(10, 10), flaws=(flaw(20, 10, 1 / 3, 1 / 3),))
    [after] = washed(job([kelp], [], shrinkage=TENTHS))
    assert after.repeat == repeat(9, 8)
    [spot] = after.flaws
    far = (20 * IN + kelp.flaws[0].width) * Fraction(9, 10)
    assert spot.x <= 18 * IN
    assert spot.x + spot.width >= far
    assert after.washed


def test_it_is_washed_before_it_is_squared_up() -> None:
    """30 in shrink to 24, and lose an inch of that."""
    asked = job(
        [cloth("kelp", 40, 30, washed=False)], [patch("A", 36, 23, turn=False)], shrinkage=TENTHS, straightening=IN
    )
    assert sound(asked).cloths[0].usable == Usable(0, IN, 36 * IN, 23 * IN)


def test_the_handbook_goes_by_the_washed_width() -> None:
    book = handbook(job([cloth("kelp", 40, 30, washed=False)], [patch("A", 2, 2, 36)], shrinkage=TENTHS))
    assert book is not None
    assert (book.width, book.lines[0].per_strip) == (36 * IN, 18)


def test_a_layout_that_forgets_the_wash_or_the_raw_ends_is_not_sound() -> None:
    plain = job([cloth("kelp", 42, 20, washed=False)], [patch("A", 2.5, 2.5, 60)])
    layout = lay_out(plain)
    assert check(plain, layout) == wrong(plain, layout) == []
    for asked in (replace(plain, straightening=IN), replace(plain, shrinkage=TENTHS)):
        assert check(asked, layout)
        assert wrong(asked, layout)
    ends = lay_out(replace(plain, straightening=IN))
    [laid] = ends.cloths
    moved = replace(laid, offcuts=(), usable=replace(laid.usable or Usable(0, 0, 1, 1), length=IN))
    spoilt = replace(ends, cloths=(moved,))
    assert check(replace(plain, straightening=IN), spoilt)
    assert wrong(replace(plain, straightening=IN), spoilt)


@pytest.mark.parametrize(
    ("spoil", "field"),
    [
        ({"straightening": -1}, "straightening"),
        ({"cloths": (cloth("kelp", 1, 1, raw_ends=3),)}, "cloths[0].raw_ends"),
        ({"cloths": (cloth("kelp", 1, 1, stripes="slant"),)}, "cloths[0].stripes"),
        ({"cloths": (cloth("kelp", 1, 1, repeat=repeat(0, 1)),)}, "cloths[0].repeat.width"),
        ({"patches": (patch("A", 1, 1, stripes="slant"),)}, "patches[0].stripes"),
        ({"patches": (patch("A", 1, 1, per_repeat=0),)}, "patches[0].per_repeat"),
    ],
)
def test_what_makes_no_sense_is_refused_by_its_field(spoil: dict[str, object], field: str) -> None:
    with pytest.raises(CuttingError) as refused:
        lay_out(replace(job([cloth("kelp", 1, 1)], [patch("A", 1, 1)]), **spoil))  # type: ignore[arg-type]
    assert refused.value.field == field
