"""Are flaws, directional prints and odd sizes of cloth kept to?"""

import pytest

from quiltbook.measures import NM_PER_64TH
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutting import Wanted
from tests.engine.cutting_jobs import IN, cloth, flaw, job, patch, reach, sound


@pytest.mark.parametrize("method", ["strips", "close"])
def test_patches_lie_around_a_flaw_and_offcuts_are_clear_of_it(method: str) -> None:
    layout = sound(job([cloth("kelp", 12, 20, flaws=(flaw(5, 5, 2, 2),))], [patch("A", 5, 5, 4)], method))
    [laid] = layout.cloths
    assert len(laid.placements) == 4
    assert reach(layout) == 10
    assert max(o.width * o.length for o in laid.offcuts) == 12 * 10 * IN**2


def test_the_clear_cloth_between_two_flaws_is_kept() -> None:
    flaws = (flaw(0, 12, 10, 1), flaw(0, 29, 10, 1))
    layout = sound(job([cloth("kelp", 10, 30, flaws=flaws)], [patch("A", 10, 10)]))
    [laid] = layout.cloths
    assert [(o.y / IN, o.length / IN) for o in laid.offcuts] == [(10, 2), (13, 16)]


def test_a_flaw_that_covers_the_cloth_leaves_nothing_to_cut() -> None:
    layout = sound(job([cloth("kelp", 10, 10, flaws=(flaw(0, 0, 10, 10),))], [patch("A", 1, 1)]))
    assert layout.cloths == ()
    assert [(row.patch, row.count) for row in layout.uncut] == [("A", 1)]


def test_what_of_a_flaw_lies_off_the_cloth_does_not_matter() -> None:
    flaws = (flaw(8, 0, 100, 100), flaw(50, 50, 5, 5), flaw(-3, -3, 4, 4))
    layout = sound(job([cloth("kelp", 10, 10, flaws=flaws)], [patch("A", 7, 9), patch("B", 1, 1)]))
    assert {row.patch for row in layout.uncut} == set()


def test_nothing_turns_on_a_directional_print() -> None:
    long_ones = [patch("A", 2, 30, 3)]
    assert sound(job([cloth("kelp", 42, 10)], long_ones)).uncut == ()
    assert [row.count for row in sound(job([cloth("kelp", 42, 10, one_way=True)], long_ones)).uncut] == [3]


def test_a_patch_that_must_not_turn_keeps_its_width_across_any_cloth() -> None:
    upright = [patch("A", 2, 30, 3, turn=False)]
    assert [row.count for row in sound(job([cloth("kelp", 42, 10)], upright)).uncut] == [3]
    assert sound(job([cloth("kelp", 10, 42)], upright)).uncut == ()


def test_a_patch_turns_on_the_plain_cloth_of_a_job_and_not_on_the_directional_one() -> None:
    cloths = [cloth("print", 42, 10, one_way=True), cloth("plain", 42, 10)]
    layout = sound(job(cloths, [patch("A", 2, 30, 3)]))
    assert [laid.id for laid in layout.cloths] == ["plain"]


def test_inches_and_millimetres_fit_together_to_the_nm() -> None:
    """1/64 in and 0.1 mm have the common measure 3125 nm: these patches fill the cloth, and the solver must see that they do."""
    wide, high = NM_PER_64TH * 100, 1_234_500_000 // 10
    kelp = Cloth("kelp", "kelp", 3 * wide + high, 2 * high)
    layout = sound(job([kelp], [Wanted("A", wide, high, 6, turn=False), Wanted("B", high, 2 * high, 1, turn=False)]))
    assert layout.uncut == ()
    assert layout.waste_area == layout.offcut_area == 0


def test_sizes_without_a_common_measure_never_overlap_and_lose_no_more_than_a_hair() -> None:
    third = 8_466_667  # of an inch, up to the nm
    kelp = Cloth("kelp", "kelp", 3 * third + 5_000_000 + 50_000, 2 * third + 50_000)
    layout = sound(
        job([kelp], [Wanted("A", third, third, 6, turn=False), Wanted("B", 5_000_000, 2 * third, 1, turn=False)])
    )
    assert layout.uncut == ()
