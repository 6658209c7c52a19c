"""Rounds are added outside, changed, moved, taken out and put back; the plan's other rounds keep their order."""

from datetime import timedelta

import pytest

from plans.models import Plan, Round
from plans.models.plan import State
from plans.services import plans, rounds
from plans.services.errors import PlanError
from plans.services.plans import Centre
from plans.services.rounds import Flowers, RoundSpec
from quiltbook.measures import NM_PER_INCH, Size
from tests.factories import NOW, TODAY, PersonFactory

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH
LATER = NOW + timedelta(hours=1)
CENTRE = Centre(width=24 * IN, length=18 * IN)


@pytest.fixture
def plan() -> Plan:
    plan = plans.start(owner=PersonFactory.create(), name="Tideline", centre=CENTRE, now=NOW)
    for name in ("inner", "middle", "outer"):
        rounds.add(plan=plan, spec=RoundSpec(width=2 * IN, name=name), now=NOW)
    return plan


def names(plan: Plan) -> list[str]:
    return [row.name for row in plan.rounds.standing()]


def row(plan: Plan, name: str) -> Round:
    return plan.rounds.get(name=name)


def test_a_new_round_is_the_outermost(plan: Plan) -> None:
    rounds.add(plan=plan, spec=RoundSpec(width=IN, name="last"), now=LATER)
    assert names(plan) == ["inner", "middle", "outer", "last"]
    plan.refresh_from_db()
    assert plan.touched_at == LATER


def test_a_round_moves_inward_and_outward_by_one(plan: Plan) -> None:
    rounds.move(row=row(plan, "outer"), inward=True, now=NOW)
    assert names(plan) == ["inner", "outer", "middle"]
    rounds.move(row=row(plan, "inner"), inward=False, now=NOW)
    assert names(plan) == ["outer", "inner", "middle"]


@pytest.mark.parametrize(("name", "inward", "sentence"), [("inner", True, "innermost"), ("outer", False, "outermost")])
def test_a_round_at_the_edge_goes_no_further(plan: Plan, name: str, inward: bool, sentence: str) -> None:
    with pytest.raises(PlanError, match=sentence):
        rounds.move(row=row(plan, name), inward=inward, now=NOW)
    assert names(plan) == ["inner", "middle", "outer"]


@pytest.mark.parametrize("name", ["inner", "middle", "outer"])
def test_a_round_taken_out_comes_back_where_it_was(plan: Plan, name: str) -> None:
    gone = rounds.take_out(row=row(plan, name), now=LATER)
    assert name not in names(plan)
    assert len(names(plan)) == 2
    rounds.put_back(row=gone, now=LATER)
    assert names(plan) == ["inner", "middle", "outer"]


def test_a_round_put_back_twice_is_there_once(plan: Plan) -> None:
    gone = rounds.take_out(row=row(plan, "middle"), now=NOW)
    rounds.put_back(row=gone, now=NOW)
    rounds.put_back(row=plan.rounds.get(pk=gone.pk), now=NOW)
    assert names(plan) == ["inner", "middle", "outer"]


def test_a_round_comes_back_outermost_when_fewer_are_left_than_were_inside_it(plan: Plan) -> None:
    gone = rounds.take_out(row=row(plan, "outer"), now=NOW)
    rounds.take_out(row=row(plan, "inner"), now=NOW)
    rounds.put_back(row=gone, now=NOW)
    assert names(plan) == ["middle", "outer"]


def test_a_round_taken_out_already_is_refused(plan: Plan) -> None:
    stale = row(plan, "middle")
    rounds.take_out(row=row(plan, "middle"), now=NOW)
    with pytest.raises(PlanError, match="taken out of the quilt already"):
        rounds.move(row=stale, inward=True, now=NOW)


def test_no_more_than_twenty_rounds(plan: Plan) -> None:
    for _ in range(rounds.MOST_ROUNDS - 3):
        rounds.add(plan=plan, spec=RoundSpec(width=IN), now=NOW)
    with pytest.raises(PlanError, match="at most 20 rounds"):
        rounds.add(plan=plan, spec=RoundSpec(width=IN), now=NOW)


def test_every_figure_of_a_round_is_kept_and_flowers_can_go_again(plan: Plan) -> None:
    flowers = Flowers(
        side=IN,
        turn=IN // 4,
        petal_rise=None,
        left=1,
        right=2,
        top=3,
        bottom=4,
        rule="cells",
        applied="after",
        scrappy=True,
    )
    spec = RoundSpec(
        width=7 * IN, name="Garden", corners="cornerstones", first="ends", cut_long=IN, measured=Size(40 * IN, 30 * IN), flowers=flowers,
    )  # fmt: skip
    kept = rounds.change(row=row(plan, "middle"), spec=spec, now=NOW)
    kept.refresh_from_db()
    assert (kept.width, kept.name, kept.corners, kept.first, kept.cut_long) == (
        7 * IN,
        "Garden",
        "cornerstones",
        "ends",
        IN,
    )
    assert (kept.measured, kept.flowers, kept.flower_side, kept.petal_rise) == (Size(40 * IN, 30 * IN), 10, IN, None)
    assert (kept.rule, kept.applied, kept.scrappy) == ("cells", "after", True)
    rounds.change(row=kept, spec=RoundSpec(width=IN), now=NOW)
    kept.refresh_from_db()
    assert (kept.flowers, kept.flower_side, kept.measured) == (0, None, None)


def test_a_whole_top_is_kept_at_once_or_not_at_all(plan: Plan) -> None:
    gone = rounds.take_out(row=row(plan, "outer"), now=NOW)
    wider = {row(plan, "inner").pk: RoundSpec(width=5 * IN, name="inner"), gone.pk: RoundSpec(width=IN)}
    with pytest.raises(PlanError, match="taken out of this quilt meanwhile"):
        rounds.keep_top(plan=plan, centre=Centre(width=IN, length=IN), rounds=wider, now=LATER)
    assert row(plan, "inner").width == 2 * IN
    assert Plan.objects.get().centre_width == 24 * IN


@pytest.mark.parametrize("state", [State.FINISHED, State.GIVEN_UP])
def test_a_quilt_that_is_over_is_not_changed(plan: Plan, state: State) -> None:
    plans.move(plan=plan, to=State.ON_THE_GO, now=NOW)
    over = plans.move(plan=plan, to=state, finished_on=TODAY, now=NOW)
    with pytest.raises(PlanError, match="Tideline"):
        rounds.add(plan=over, spec=RoundSpec(width=IN), now=NOW)
    with pytest.raises(PlanError, match="to change it"):
        plans.change_figures(plan=over, figures={"usable_width": IN}, now=NOW)
