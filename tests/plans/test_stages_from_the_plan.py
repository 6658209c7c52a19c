"""The stages a plan makes: their counts, their order, and what a change of the plan does to them."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from plans.models import Plan, Round, Stage
from plans.models.worklog import Sitting
from plans.queries.stages import sewing
from plans.queries.worked import Fault
from plans.services import rounds, stages
from quiltbook.measures import System
from quiltbook.people.models import Person
from tests.factories import NOW, PersonFactory
from tests.plans.medallion import garden, key, medallion, sewn, sit, work_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan() -> Plan:
    return medallion(PersonFactory.create())


def test_the_plan_computes_every_count(plan: Plan) -> None:
    sizes = {row.name: (row.size, row.unit) for row in sewn(plan).rows}
    # 14 flowers of a centre and 6 petals; 4 strips a round; 48 x 42 in finished: 1.300643 m², 4.572 m round the edge.
    assert sizes["Garden: tack shapes"] == (Decimal(98), "shape")
    assert sizes["Garden: piece flowers"] == (Decimal(14), "flower")
    assert sizes["Garden: appliqué flowers"] == (Decimal(14), "flower")
    assert [sizes[f"{name}: join"] for name in ("First border", "Garden", "Third border")] == [
        (Decimal(4), "strip")
    ] * 3
    assert sizes["Layering"] == sizes["Quilting"] == (Decimal("1.301"), "square metre")
    assert sizes["Binding"] == (Decimal("4.572"), "metre")
    # 1 panel, 3 x 4 strips, 4 cornerstones, 14 centres, 84 petals; the backing's panels and the binding's one strip.
    backing = work_of(plan).backing.best.panels
    assert sizes["Cutting"] == (Decimal(1 + 12 + 4 + 14 + 84 + backing + 1), "patch")


def test_stages_stand_in_the_order_in_which_they_can_be_done(plan: Plan) -> None:
    assert [row.name for row in sewn(plan).rows] == [
        "Cutting",
        "Garden: tack shapes",
        "Garden: piece flowers",
        "First border: join",
        "Garden: appliqué flowers",
        "Garden: join",
        "Third border: join",
        "Layering",
        "Quilting",
        "Binding",
    ]


def test_flowers_applied_after_come_after_the_border_is_joined() -> None:
    plan = medallion(PersonFactory.create(), applied=Round.Applied.AFTER)
    names = [row.name for row in sewn(plan).rows]
    assert names.index("Garden: join") < names.index("Garden: appliqué flowers") < names.index("Third border: join")


def test_a_plan_just_made_shows_right_figures_though_no_stage_is_saved(plan: Plan) -> None:
    assert not Stage.objects.exists()
    assert sewn(plan).left
    assert not Stage.objects.exists()


def test_a_change_of_the_plan_changes_sizes_and_keeps_what_is_done(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 60, "5")
    row = garden(plan)
    row.flowers_left, row.name = 5, "Orchard"
    row.save()
    piece = sewn(plan).row(f"round-{row.pk}-piece")
    assert piece is not None
    assert piece.name == "Orchard: piece flowers"
    assert [int(figure) for figure in (piece.done, piece.size, piece.left)] == [5, 16, 11]


def test_a_stage_no_longer_in_the_plan_keeps_its_hours_and_comes_back_with_the_plan(plan: Plan) -> None:
    round_, piece = garden(plan), key(plan, "piece")
    sit(plan, piece, 60, "5")
    rounds.take_out(row=round_, now=NOW)
    gone = sewn(plan).row(piece)
    assert gone is not None
    assert (gone.gone, int(gone.left), gone.minutes, sewn(plan).minutes) == (True, 0, 60, 60)
    assert gone in sewn(plan).aside
    rounds.put_back(row=round_, now=NOW)
    back = sewn(plan).row(piece)
    assert back is not None
    assert (back.gone, int(back.left), int(back.done)) == (False, 9, 5)


def test_a_stage_she_skipped_stays_skipped_when_the_plan_loses_it_and_has_it_again(plan: Plan) -> None:
    round_, piece = garden(plan), key(plan, "piece")
    stages.skip(plan=plan, work=work_of(plan), key=piece, now=NOW)
    rounds.take_out(row=round_, now=NOW)
    stages.refresh(plan=plan, work=work_of(plan))
    rounds.put_back(row=round_, now=NOW)
    stages.refresh(plan=plan, work=work_of(plan))
    row = sewn(plan).row(piece)
    assert row is not None
    assert row.skipped
    assert not row.gone


def test_refreshing_twice_changes_nothing_and_follows_the_plan(plan: Plan) -> None:
    stages.refresh(plan=plan, work=work_of(plan))
    before = list(Stage.objects.order_by("pk").values())
    stages.refresh(plan=plan, work=work_of(plan))
    assert list(Stage.objects.order_by("pk").values()) == before
    Round.objects.filter(pk=garden(plan).pk).update(flowers_left=5)
    stages.refresh(plan=plan, work=work_of(plan))
    assert Stage.objects.get(key=key(plan, "piece")).size == 16
    assert Stage.objects.count() == len(before)


def test_a_plan_that_cannot_be_worked_out_shows_its_stages_as_last_saved(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 60, "5")
    broken = sewing(plan=plan, work=Fault("rounds[1].width", "It must be more than 0."), system=System.INCHES)
    row = broken.row(key(plan, "piece"))
    assert row is not None
    assert (int(row.size), int(row.done), row.minutes, row.gone) == (14, 5, 60, False)


def test_amounts_are_in_her_own_units() -> None:
    plans = {system: medallion(PersonFactory.create(system=system)) for system in System}
    words = {}
    for system, plan in plans.items():
        binding = sewn(plan).row("binding")
        assert binding is not None
        words[system] = binding.left_words
    assert words == {System.INCHES: "5 yd", System.METRIC: "4.57 m"}


def test_the_queries_do_not_grow_with_the_sittings(plan: Plan) -> None:
    def queries() -> int:
        work, cut, system = work_of(plan), {"panel": 1}, System.INCHES
        with CaptureQueriesContext(connection) as seen:
            sewing(plan=plan, work=work, system=system, cut=cut)
        return len(seen)

    sit(plan, key(plan, "piece"), 30, "1")
    few = queries()
    stage = Stage.objects.get(key=key(plan, "piece"))
    Sitting.objects.bulk_create(Sitting(stage=stage, day=NOW.date(), minutes=5, recorded_at=NOW) for _ in range(300))
    assert queries() == few == 1


def test_nobody_sees_the_stages_of_another_plan(plan: Plan) -> None:
    other = medallion(Person.objects.get(pk=plan.owner_id))
    sit(other, key(other, "piece"), 60, "5")
    assert sewn(plan).minutes == 0
    assert sewn(plan).row(key(other, "piece")) is None
