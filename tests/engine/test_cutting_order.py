"""Does the cutting keep its order: all patches, least cloth opened, the largest offcut, fewest settings? On jobs with a known answer."""

from dataclasses import replace

import pytest

from quiltbook.yardage.cutting import CuttingJob, lay_out
from tests.engine.brute import can_be_cut, least_opened
from tests.engine.cutting_jobs import IN, cloth, job, largest, opened, patch, reach, sound

MEDALLION = [
    patch("petal", 3, 1.75, 216, turn=False),
    patch("square", 2.5, 2.5, 64),
    patch("corner", 8.5, 8.5, 6),
    patch("border", 2.5, 41.25, 4),
    patch("brick", 5.5, 3.5, 24),
]


def test_scraps_are_finished_before_a_new_length_is_opened() -> None:
    scraps = [cloth(f"scrap {n}", 10, 5) for n in range(4)]
    layout = sound(job([cloth("length", 42, 36), *scraps], [patch("A", 5, 5, 8)]))
    assert [c.id for c in layout.cloths] == [f"scrap {n}" for n in range(4)]
    assert layout.waste_area == layout.offcut_area == 0


def test_only_what_the_scraps_cannot_take_comes_from_the_smallest_length_that_takes_it() -> None:
    cloths = [cloth("long", 42, 36), cloth("scrap", 10, 5), cloth("short", 42, 6)]
    layout = sound(job(cloths, [patch("A", 5, 5, 4)]))
    assert [c.id for c in layout.cloths] == ["short"]  # 252 sq in: less than scrap and short together
    layout = sound(job(cloths, [patch("A", 5, 5, 10)]))
    assert [(c.id, len(c.placements)) for c in layout.cloths] == [("scrap", 2), ("short", 8)]


def test_of_the_cloths_opened_the_largest_keeps_the_leftover_in_one_rectangle() -> None:
    layout = sound(job([cloth("small", 10, 10), cloth("large", 42, 36)], [patch("A", 5, 5, 4), patch("long", 2, 40)]))
    assert {c.id: len(c.placements) for c in layout.cloths} == {"large": 5}
    # Five in one strip 5 in deep would leave 42 x 29; the squares stand in a column beside the long one instead.
    assert largest(layout) >= 42 * 29 * IN**2


def test_patches_that_do_not_fit_stand_in_uncut_and_the_rest_is_cut() -> None:
    layout = sound(job([cloth("a", 10, 10)], [patch("A", 5, 5, 7), patch("wide", 60, 60, 2)]))
    assert {(row.patch, row.count) for row in layout.uncut} == {("A", 3), ("wide", 2)}
    assert layout.used_area == 100 * IN**2


def test_strips_take_no_more_than_the_handbook_and_close_no_more_than_strips() -> None:
    strips = sound(job([cloth("kelp", 42, 200)], MEDALLION, "strips"))
    close = sound(job([cloth("kelp", 42, 200)], MEDALLION, "close"))
    assert strips.handbook is not None
    assert reach(close) <= reach(strips) <= strips.handbook.length / IN
    assert largest(close) >= largest(strips)
    assert reach(close) < 0.95 * strips.handbook.length / IN


@pytest.mark.parametrize("count", [1, 16, 17, 33, 100])
@pytest.mark.parametrize("method", ["strips", "close"])
def test_one_size_alone_never_takes_more_than_its_handbook_strips(method: str, count: int) -> None:
    layout = sound(job([cloth("kelp", 42, 100)], [patch("A", 2.5, 2.5, count)], method))
    assert layout.handbook is not None
    assert layout.handbook.lines[0].strips == -(-count // 16)
    # The engine would rather keep a larger rectangle than a longer one.
    assert largest(layout) >= 42 * IN * (100 * IN - layout.handbook.length)


def test_more_effort_is_never_worse() -> None:
    asked = job([cloth("kelp", 42, 60), cloth("scrap", 17, 19)], MEDALLION[1:])
    quick, thorough = sound(asked), sound(replace(asked, effort="thorough"))
    assert (opened(thorough), -largest(thorough)) <= (opened(quick), -largest(quick))


def test_a_layout_without_waste_is_found_where_it_takes_any_number_of_cuts() -> None:
    """Cuts within cuts: nine pieces that fill 20 x 20, made for this test by cutting a square up."""
    sizes = [(20, 4), (6, 16), (14, 5), (4, 11), (10, 3), (5, 8), (5, 2), (3, 6), (2, 6)]
    assert sum(w * h for w, h in sizes) == 400
    layout = sound(job([cloth("kelp", 20, 20)], [patch(f"{w} by {h}", w, h) for w, h in sizes]))
    assert not layout.uncut
    assert layout.waste_area == layout.offcut_area == 0


def test_a_published_strip_problem_is_laid_on_its_least_length() -> None:
    """SCP8: 12 rectangles on a strip 15 wide take 17 (Hifi 1998, Computers & Operations Research 25(11):925-940; equals the area bound)."""
    patches = [patch("a", 5, 4, 4), patch("b", 4, 6, 3), patch("c", 3, 10, 2), patch("d", 2, 5, 3)]
    still = [replace(p, turn=False) for p in patches]
    assert reach(sound(job([cloth("strip", 15, 60)], still, least_offcut=IN))) == 17


_TINY = [
    (((8, 3), (6, 7), (6, 8)), ((2, 3), (3, 3), (4, 2), (5, 4), (6, 2)), False),
    (((7, 6),), ((2, 2), (2, 4), (3, 1), (5, 2), (6, 2)), False),
    (((5, 5),), ((2, 3), (3, 2), (3, 3), (2, 2)), True),
    (((5, 5),), ((2, 3), (3, 2), (2, 3), (3, 2)), True),  # round a pinwheel's hole: no cut goes edge to edge
    (((9, 4), (4, 4), (3, 9)), ((4, 4), (3, 3), (3, 3), (3, 3)), False),
    (((6, 6), (2, 9), (9, 2)), ((1, 6), (6, 1), (2, 5), (5, 2)), False),
    (((4, 9), (7, 3)), ((4, 4), (2, 5), (2, 5), (3, 3)), True),
]


@pytest.mark.parametrize(("cloths", "patches", "turn"), _TINY)
def test_on_tiny_jobs_it_opens_as_little_as_trying_everything_does(
    cloths: tuple[tuple[int, int], ...], patches: tuple[tuple[int, int], ...], turn: bool
) -> None:
    asked = _asked(cloths, patches, turn)
    layout = sound(asked)
    least = least_opened(cloths, tuple(sorted(patches)), turn)
    assert (None if layout.uncut else opened(layout) // IN**2) == least


def _asked(cloths: tuple[tuple[int, int], ...], patches: tuple[tuple[int, int], ...], turn: bool) -> CuttingJob:
    return job(
        [cloth(f"c{n}", w, h) for n, (w, h) in enumerate(cloths)],
        [patch(f"p{n}", w, h, turn=turn) for n, (w, h) in enumerate(patches)],
        least_offcut=IN,
    )


def test_trying_everything_knows_what_can_be_cut() -> None:
    """The yardstick itself: a pinwheel fits a square only where cuts need not go edge to edge."""
    assert can_be_cut(5, 5, ((2, 3), (2, 3)), False)
    assert not can_be_cut(5, 5, ((2, 3), (2, 3), (3, 2), (3, 2)), False)
    assert can_be_cut(5, 6, ((2, 3), (2, 3), (3, 2), (3, 2)), True)


def test_the_same_job_gives_the_same_layout_again() -> None:
    asked = job([cloth("kelp", 42, 30), cloth("scrap", 18, 22, 3)], MEDALLION[1:])
    assert lay_out(asked) == lay_out(asked)
