"""Do thousands of patches stay quick, sound and the solver's own, with no stand-in?"""

from quiltbook.yardage.cutting import CuttingJob, check, lay_out
from tests.engine.cutting_jobs import IN, cloth, job, opened, patch


def _sound_and_whole(asked: CuttingJob) -> float:
    """The share of the cloth opened that is used. (The tests' verifier compares all pairs: too slow for these.)"""
    layout = lay_out(asked)
    assert check(asked, layout) == []
    assert layout.uncut == ()
    assert not layout.stood_in
    return layout.used_area / opened(layout)


def test_ten_thousand_patches_of_eight_sizes_are_laid_out() -> None:
    asked = job([cloth("bolt", 42, 360, 50)], [patch(f"p{n}", 1.5 + n / 2, 2 + n / 4, 1250) for n in range(8)])
    assert _sound_and_whole(asked) > 0.9


def test_ten_thousand_squares_of_one_size_are_laid_out() -> None:
    assert _sound_and_whole(job([cloth("bolt", 40, 400, 10)], [patch("A", 2.5, 2.5, 10_000)])) > 0.95


def test_a_thousand_sizes_on_a_hundred_scraps_are_laid_out() -> None:
    sizes = [patch(f"p{n}", 1 + n % 37 / 8, 1 + n % 41 / 8) for n in range(1000)]
    scraps = [cloth(f"scrap {n}", 12 + n % 7, 14 + n % 11) for n in range(100)]
    assert _sound_and_whole(job(scraps, sizes, least_offcut=IN)) > 0.85
