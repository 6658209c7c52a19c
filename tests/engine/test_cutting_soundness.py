"""Can every layout be cut as it says? Random jobs, held against a verifier that shares nothing with the engine."""

from dataclasses import replace

from hypothesis import given, settings

from quiltbook.yardage.cutting import CuttingJob, check, lay_out
from tests.engine.cutting_jobs import jobs, printed_jobs, wrong


@settings(max_examples=30, deadline=None)
@given(jobs())
def test_every_layout_can_be_cut_by_the_verifier_and_by_the_engines_own_check(job: CuttingJob) -> None:
    layout = lay_out(job)
    assert wrong(job, layout) == []
    assert check(job, layout) == []
    assert not layout.stood_in


@settings(max_examples=40, deadline=None)
@given(jobs(most_cloths=8, most_patches=8))
def test_the_plain_layout_alone_can_be_cut(job: CuttingJob) -> None:
    layout = lay_out(job, solver=["false"])
    assert wrong(job, layout) == []
    assert check(job, layout) == []


@settings(max_examples=25, deadline=None)
@given(printed_jobs())
def test_prints_stripes_shrinkage_and_raw_ends_are_minded(job: CuttingJob) -> None:
    layout = lay_out(job)
    assert wrong(job, layout) == []
    assert check(job, layout) == []
    assert not layout.stood_in


@settings(max_examples=40, deadline=None)
@given(printed_jobs(most_cloths=6, most_patches=6))
def test_the_plain_layout_minds_them_too(job: CuttingJob) -> None:
    layout = lay_out(job, solver=["false"])
    assert wrong(job, layout) == []
    assert check(job, layout) == []


@settings(max_examples=10, deadline=None)
@given(jobs(most_cloths=3, most_patches=4))
def test_the_solver_is_never_worse_than_plain_nor_close_cutting_than_strips(job: CuttingJob) -> None:
    """In the engine's order: what is left uncut, then the area opened, then the largest offcut."""
    close, strips = (_worth(replace(job, method=method)) for method in ("close", "strips"))
    assert close <= strips
    assert _worth(job) <= _worth(job, plainly=True)


def _worth(job: CuttingJob, *, plainly: bool = False) -> tuple[int, int, int]:
    layout = lay_out(job, solver=["false"]) if plainly else lay_out(job)
    sizes = {patch.id: patch.width * patch.length for patch in job.patches}
    areas = [offcut.width * offcut.length for cloth in layout.cloths for offcut in cloth.offcuts]
    opened = layout.used_area + layout.offcut_area + layout.waste_area
    return sum(sizes[row.patch] * row.count for row in layout.uncut), opened, -max(areas, default=0)
