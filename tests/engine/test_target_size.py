"""Making a top about so big, and what measuring changes: do the proposals come near, and are they told truly?"""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import Size
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.target import changed_by_measuring, proposals, rough_cloth
from quiltbook.yardage.tops import Blocks, Panel, PaperField, Round, TopError, TopPlan, work_out
from quiltbook.yardage.traditional import TRADITIONAL
from tests.engine.tops import inches, plan, plans

PINWHEELS = plan(Round(2 * IN, "butted"), centre=Blocks((TRADITIONAL["pinwheel"],), Setting(12 * IN, 3, 3)))
sides = st.integers(20, 120).map(lambda n: n * IN)


@settings(max_examples=30)
@given(asked=st.one_of(plans(), st.just(PINWHEELS)), width=sides, length=sides)
def test_every_proposal_is_a_top_of_the_size_and_cloth_it_tells(asked: TopPlan, width: int, length: int) -> None:
    now = rough_cloth(work_out(asked))
    found = proposals(asked, Size(width, length))
    for one in found:
        top = work_out(one.plan)
        assert one.plan != asked
        assert top.finished == one.finished
        assert one.off == Size(one.finished.width - width, one.finished.length - length)
        assert one.cloth == rough_cloth(top)
        assert one.more == one.cloth - now
        assert all(round_.width % asked.round_up == 0 for round_ in one.plan.rounds if round_ not in asked.rounds)
    far = [max(abs(Fraction(one.off.width)), abs(Fraction(one.off.length))) for one in found]
    assert far == sorted(far)


def test_a_border_reaches_a_target_that_it_can() -> None:
    found = proposals(plan(Round(4 * IN, "butted"), width=40, length=50), Size(60 * IN, 70 * IN))
    assert [(one.what, inches(one.off)) for one in found] == [("outer border", (0, 0)), ("one border more", (0, 0))]
    assert found[0].plan.rounds[0].width == 10 * IN


def test_borders_that_were_measured_are_left_as_they_are() -> None:
    sewn = Round(2 * IN, "butted", measured=Size(44 * IN, 54 * IN))
    found = proposals(plan(sewn, width=40, length=50), Size(60 * IN, 70 * IN))
    assert [one.what for one in found] == ["one border more"]
    assert found[0].plan.rounds[0] == sewn


def test_block_counts_with_the_outer_border_reach_a_target_exactly() -> None:
    best = proposals(PINWHEELS, Size(60 * IN, 72 * IN))[0]
    assert (best.what, inches(best.finished)) == ("block counts and outer border", (60, 72))
    assert isinstance(best.plan.centre, Blocks)
    assert (best.plan.centre.setting.across, best.plan.centre.setting.down) == (4, 5)
    assert best.plan.rounds[0].width == 6 * IN


@pytest.mark.parametrize("shape", ["hexagon", "diamond"])
def test_a_field_is_proposed_with_more_pieces(shape: str) -> None:
    found = proposals(plan(centre=PaperField(shape, IN, 6, 6, IN // 4)), Size(30 * IN, 30 * IN))
    field = next(one for one in found if one.what == "field")
    assert max(abs(side) for side in inches(field.off)) < 2


def test_a_target_must_be_a_size() -> None:
    with pytest.raises(TopError) as refused:
        proposals(plan(), Size(0, IN))
    assert refused.value.field == "target.width"


def test_a_centre_that_measured_larger_makes_later_pieces_longer_and_says_so() -> None:
    centre = Panel(24 * IN, 18 * IN, measured=Size(24 * IN + 3 * IN // 8, 18 * IN))
    measured = plan(Round(2 * IN, "butted"), Round(3 * IN, "cornerstones"), centre=centre)
    changed = changed_by_measuring(work_out(measured))
    assert [(one.round, one.part, inches(one.more)) for one in changed] == [
        (0, "end", (0.375, 0)),
        (1, "end", (0.375, 0)),
    ]
    assert changed_by_measuring(work_out(plan(Round(2 * IN, "butted")))) == ()
