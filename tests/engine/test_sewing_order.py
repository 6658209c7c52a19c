"""In what order is a top sewn, and how big is it after each step?"""

from itertools import pairwise

import pytest
from hypothesis import given

from quiltbook.measures import Size
from quiltbook.yardage.motifs import MotifsOnRound
from quiltbook.yardage.tops import Panel, Round, Top, TopPlan, work_out
from tests.engine.tops import IN, inches, plan, plans


def told(top: Top) -> list[tuple[str, str, int]]:
    return [(step.what, step.part, step.count) for step in top.sewing_order]


def test_the_pair_joined_first_comes_first_and_the_top_grows_with_each() -> None:
    top = work_out(plan(Round(2 * IN, "butted", "ends")))
    assert told(top) == [("begin with", "panel", 1), ("join", "end", 2), ("join", "side", 2)]
    assert [inches(step.size_after) for step in top.sewing_order if step.size_after] == [(24, 18), (24, 22), (28, 22)]


def test_cornerstones_are_joined_to_the_second_pair() -> None:
    top = work_out(plan(Round(2 * IN, "cornerstones")))
    assert told(top)[1:] == [("join", "side", 2), ("join", "cornerstone", 4), ("join", "end", 2)]


def test_a_mitre_is_sewn_when_all_four_strips_are_on() -> None:
    top = work_out(plan(Round(2 * IN, "mitred")))
    assert told(top)[1:] == [("join", "side", 2), ("join", "end", 2), ("mitre", "corner", 4)]
    assert [step.size_after is None for step in top.sewing_order[1:]] == [True, True, False]


@pytest.mark.parametrize("applied", ["before", "after"])
def test_flowers_are_applied_before_or_after_the_border_is_joined(applied: str) -> None:
    on = MotifsOnRound("plain", top=2, applied=applied)
    steps = told(work_out(plan(Round(7 * IN, "butted", motifs=on))))
    applying, last_joined = steps.index(("apply", "flower", 2)), steps.index(("join", "end", 2))
    assert (applying < last_joined) == (applied == "before")
    assert steps.index(("piece", "flower", 2)) < applying


def test_long_strips_are_joined_from_lengths_first_and_trimmed_before_they_are_sewn_on() -> None:
    steps = told(work_out(plan(Round(2 * IN, "butted", "ends", cut_long=IN), width=60)))
    assert steps[1:] == [
        ("join lengths", "end", 2),
        ("trim", "end", 2),
        ("join", "end", 2),
        ("trim", "side", 2),
        ("join", "side", 2),
    ]


def test_a_printed_panel_is_trimmed_before_anything_else() -> None:
    top = work_out(plan(centre=Panel(24 * IN, 18 * IN, printed=Size(26 * IN, 20 * IN))))
    assert told(top) == [("trim", "panel", 1)]


@given(random=plans())
def test_the_last_size_told_is_that_of_the_finished_top(random: TopPlan) -> None:
    top = work_out(random)
    sizes = [step.size_after for step in top.sewing_order if step.size_after]
    assert sizes[-1] == top.finished
    assert all(a.width <= b.width and a.length <= b.length for a, b in pairwise(sizes))
    assert [step.round for step in top.sewing_order if step.round is not None] == sorted(
        step.round for step in top.sewing_order if step.round is not None
    )
