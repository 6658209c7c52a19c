"""What can be sewn now, and what the rest waits for."""

from decimal import Decimal

import pytest

from plans.models import Plan, Round
from plans.queries.order import sewing_order
from plans.queries.stages import StageRow
from plans.services import stages
from quiltbook.measures import System
from tests.factories import NOW, PersonFactory
from tests.plans.medallion import all_cut, garden, key, medallion, sewn, sit, work_of
from tests.plans.typed import soft

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan() -> Plan:
    return medallion(PersonFactory.create())


def row_of(plan: Plan, stage: str, cut: dict[str, int] | None = None) -> StageRow:
    row = sewn(plan, cut).row(stage)
    assert row is not None
    return row


def first_join(plan: Plan) -> str:
    return f"round-{plan.rounds.get(position=1).pk}-join"


def test_with_nothing_cut_only_cutting_is_ready(plan: Plan) -> None:
    now = sewn(plan, {})
    assert [row.key for row in now.ready] == ["cutting"]
    assert now.next == now.row("cutting")
    assert row_of(plan, key(plan, "baste"), {}).waits_for == "its patches to be cut"


def test_shapes_can_be_basted_as_far_as_their_patches_are_cut(plan: Plan) -> None:
    cut = {f"round-{garden(plan).pk}-petals": 12, f"round-{garden(plan).pk}-centres": 2}
    row = row_of(plan, key(plan, "baste"), cut)
    assert (int(row.ready), int(row.left)) == (14, 98)
    sit(plan, row.key, 30, "14")
    assert row_of(plan, row.key, cut).waits_for == "its patches to be cut"


def test_flowers_can_be_pieced_as_far_as_whole_flowers_are_basted(plan: Plan) -> None:
    assert row_of(plan, key(plan, "piece")).waits_for == "shapes to be tacked"
    sit(plan, key(plan, "baste"), 60, "20")
    assert row_of(plan, key(plan, "piece")).ready == 2
    sit(plan, key(plan, "piece"), 60, "2")
    assert row_of(plan, key(plan, "piece")).ready == 0


def test_sewing_comes_before_cutting_when_something_can_be_sewn(plan: Plan) -> None:
    cut = all_cut(plan) | {"binding": 0}
    assert [row.key for row in sewn(plan, cut).ready] == [key(plan, "baste"), first_join(plan), "cutting"]
    found = sewn(plan, cut).next
    assert found is not None
    assert found.key == key(plan, "baste")


def test_a_border_waits_for_the_round_inside_it_and_for_its_flowers(plan: Plan) -> None:
    assert row_of(plan, first_join(plan)).ready == 4
    assert row_of(plan, key(plan, "join")).waits_for == "the round inside it"
    sit(plan, first_join(plan), 30, "4")
    assert row_of(plan, key(plan, "join")).waits_for == "its flowers to be sewn on"
    for step, units in (("baste", "98"), ("piece", "14"), ("applique", "14")):
        sit(plan, key(plan, step), 30, units)
    assert row_of(plan, key(plan, "join")).ready == 4


def test_flowers_applied_after_wait_for_the_border_and_do_not_hold_it_up() -> None:
    plan = medallion(PersonFactory.create(), applied=Round.Applied.AFTER)
    sit(plan, first_join(plan), 30, "4")
    sit(plan, key(plan, "baste"), 30, "98")
    sit(plan, key(plan, "piece"), 30, "14")
    assert row_of(plan, key(plan, "applique")).waits_for == "the border to be joined"
    assert row_of(plan, key(plan, "join")).ready == 4
    sit(plan, key(plan, "join"), 30, "4")
    assert row_of(plan, key(plan, "applique")).ready == 14


def test_what_she_calls_finished_or_skips_holds_nothing_up(plan: Plan) -> None:
    assert row_of(plan, "layering").waits_for == "the top to be finished"
    for row in sewn(plan).rows[1:7]:
        stages.finish(plan=plan, work=work_of(plan), key=row.key, now=NOW)
    assert row_of(plan, "layering").ready == row_of(plan, "layering").size
    stages.skip(plan=plan, work=work_of(plan), key="layering", now=NOW)
    assert row_of(plan, "quilting").ready == row_of(plan, "quilting").size
    stages.bring_back(plan=plan, work=work_of(plan), key="layering", now=NOW)
    assert row_of(plan, "quilting").waits_for == "the layers to be put together"


def test_calling_the_cutting_finished_counts_every_patch_as_there(plan: Plan) -> None:
    stages.finish(plan=plan, work=work_of(plan), key="cutting", now=NOW)
    now = sewn(plan, {})
    assert [row.key for row in now.ready] == [key(plan, "baste"), first_join(plan)]


def test_patches_cut_beyond_what_the_plan_wants_do_not_count(plan: Plan) -> None:
    row = row_of(plan, "cutting", {"panel": 5, "a role of another plan": 40})
    assert row.done == 1


def test_when_all_is_sewn_nothing_is_next(plan: Plan) -> None:
    for row in sewn(plan).rows:
        stages.finish(plan=plan, work=work_of(plan), key=row.key, now=NOW)
    assert sewn(plan).next is None
    assert sewn(plan).left == ()


def test_the_sewing_order_tells_each_step_with_the_size_it_makes(plan: Plan) -> None:
    order = sewing_order(work_of(plan), sewn(plan), System.INCHES)
    told = [soft(step.words) for step in order]
    assert told[:3] == [
        "Begin with the centre: it finishes 24 × 18 in.",
        "Join on the top and bottom strips of the first border: the quilt is then 24 × 22 in.",
        "Join on the left and right strips of the first border: the quilt is then 28 × 22 in.",
    ]
    assert "Sew 14 flowers onto the strips of Garden." in told
    assert told[-1] == "Sew the four mitred corners of the third border: the quilt is then 48 × 42 in."


def test_a_step_is_done_once_the_work_log_counts_so_many(plan: Plan) -> None:
    sit(plan, first_join(plan), 30, "2")
    done = [step.words for step in sewing_order(work_of(plan), sewn(plan), System.INCHES) if step.done]
    assert [soft(words) for words in done] == [
        "Begin with the centre: it finishes 24 × 18 in.",
        "Join on the top and bottom strips of the first border: the quilt is then 24 × 22 in.",
    ]


def test_nothing_ready_is_ever_less_than_nothing(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 60, "14")
    assert row_of(plan, key(plan, "piece"), {}).ready == Decimal(0)
