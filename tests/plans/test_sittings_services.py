"""Sittings written down, put right, taken out and put back; and what is refused."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from plans.models import Plan, Sitting, Stage
from plans.queries.hours import SITTINGS_A_PAGE, hours_this_week, sittings
from plans.services import sittings as services
from plans.services import stages
from plans.services.errors import PlanError
from plans.services.sittings import Entry, SittingError
from quiltbook.measures import System
from tests.factories import NOW, TODAY, PersonFactory
from tests.plans.medallion import key, medallion, sewn, sit, work_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan() -> Plan:
    return medallion(PersonFactory.create())


def done(plan: Plan, stage: str) -> tuple[float, int]:
    row = sewn(plan).row(stage)
    assert row is not None
    return float(row.done), row.minutes


def correct(sitting: Sitting, plan: Plan, stage: str, entry: Entry) -> Sitting:
    return services.correct(sitting=sitting, work=work_of(plan), key=stage, entry=entry, today=TODAY, now=NOW)


# --- writing down ----------------------------------------------------------------------------------------------------


def test_a_sitting_moves_what_is_done_and_the_time_spent(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 45, "2")
    sit(plan, key(plan, "piece"), 30, "1.5")
    assert done(plan, key(plan, "piece")) == (3.5, 75)


def test_a_sitting_may_count_nothing_or_take_no_time_but_not_both(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 45)
    sit(plan, key(plan, "piece"), 0, "2")
    sit(plan, key(plan, "piece"), 20, "0")
    assert done(plan, key(plan, "piece")) == (2, 65)
    for units in (None, "0"):
        with pytest.raises(SittingError, match="Say how long you sat"):
            sit(plan, key(plan, "piece"), 0, units)


def test_unpicking_takes_from_what_is_done_but_not_below_nothing(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 45, "3")
    sit(plan, key(plan, "piece"), 10, "-1")
    assert done(plan, key(plan, "piece"))[0] == 2
    with pytest.raises(SittingError, match="Only 2 flowers can be unpicked"):
        sit(plan, key(plan, "piece"), 10, "-3")


def test_a_whole_day_is_the_longest_sitting(plan: Plan) -> None:
    sit(plan, "quilting", 24 * 60)
    with pytest.raises(SittingError, match="more than 24 hours"):
        sit(plan, "quilting", 24 * 60 + 1)


def test_a_day_to_come_and_one_long_ago_are_refused(plan: Plan) -> None:
    sit(plan, "quilting", 30, day=TODAY)
    for day, sentence in ((TODAY + timedelta(1), "still to come"), (TODAY - timedelta(40_000), "check the year")):
        with pytest.raises(SittingError, match=sentence):
            sit(plan, "quilting", 30, day=day)


def test_a_count_more_than_a_fiftieth_beyond_the_size_is_asked_about(plan: Plan) -> None:
    sit(plan, key(plan, "baste"), 30, "99")  # 98 x 1.02 = 99.96
    with pytest.raises(SittingError) as asked:
        sit(plan, key(plan, "baste"), 30, "1")
    assert asked.value.faults == {"sure": "That makes 100 shapes, and the stage has 98 shapes. Tick this if it is so."}
    sit(plan, key(plan, "baste"), 30, "1", sure=True)
    assert done(plan, key(plan, "baste"))[0] == 100


def test_unpicking_from_a_stage_that_has_too_many_is_not_asked_about(plan: Plan) -> None:
    sit(plan, key(plan, "baste"), 30, "120", sure=True)
    sit(plan, key(plan, "baste"), 30, "-5")
    assert done(plan, key(plan, "baste"))[0] == 115


def test_patches_are_not_counted_by_hand(plan: Plan) -> None:
    sit(plan, "cutting", 30)
    with pytest.raises(SittingError, match="counted on the cutting sheets"):
        sit(plan, "cutting", 30, "5")


def test_every_fault_is_told_at_its_own_field_at_once(plan: Plan) -> None:
    with pytest.raises(SittingError) as refusal:
        sit(plan, key(plan, "piece"), 5000, "-1", day=TODAY + timedelta(1))
    assert set(refusal.value.faults) == {"day", "minutes", "units"}


def test_what_is_refused_leaves_no_trace(plan: Plan) -> None:
    with pytest.raises(SittingError):
        sit(plan, key(plan, "piece"), 5000)
    assert not Sitting.objects.exists()
    assert not Stage.objects.exists()


def test_a_stage_that_is_not_there_is_refused(plan: Plan) -> None:
    with pytest.raises(PlanError, match="not in the plan any more"):
        sit(plan, "own-9", 30)


def test_a_sitting_makes_its_plan_the_one_touched_last(plan: Plan) -> None:
    Plan.objects.update(touched_at=NOW - timedelta(9))
    sit(plan, "quilting", 30)
    plan.refresh_from_db()
    assert plan.touched_at == NOW


def test_the_database_keeps_a_sitting_within_a_day_and_about_something(plan: Plan) -> None:
    sit(plan, "quilting", 30)
    stage = Stage.objects.get(key="quilting")
    for wrong in ({"minutes": 24 * 60 + 1}, {"minutes": 0, "units": None}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Sitting.objects.create(stage=stage, day=TODAY, recorded_at=NOW, **wrong)
    Sitting.objects.create(stage=stage, day=TODAY, recorded_at=NOW, minutes=24 * 60)
    Sitting.objects.create(stage=stage, day=TODAY, recorded_at=NOW, minutes=0, units=1)


# --- correcting, taking out, and back --------------------------------------------------------------------------------


def test_a_correction_counts_instead_of_the_old_sitting_and_can_be_taken_back(plan: Plan) -> None:
    old = sit(plan, key(plan, "piece"), 45, "3")
    new = correct(old, plan, key(plan, "applique"), Entry(day=TODAY, minutes=60, units=Decimal(2)))
    assert done(plan, key(plan, "piece")) == (0, 0)
    assert done(plan, key(plan, "applique")) == (2, 60)
    services.take_back_correction(sitting=new, now=NOW)
    assert done(plan, key(plan, "piece")) == (3, 45)
    assert done(plan, key(plan, "applique")) == (0, 0)


def test_a_correction_is_weighed_without_the_sitting_it_replaces(plan: Plan) -> None:
    old = sit(plan, key(plan, "piece"), 45, "14")
    correct(old, plan, key(plan, "piece"), Entry(day=TODAY, minutes=45, units=Decimal(13)))
    assert done(plan, key(plan, "piece"))[0] == 13


def test_a_refused_correction_leaves_the_old_sitting_standing(plan: Plan) -> None:
    old = sit(plan, key(plan, "piece"), 45, "3")
    with pytest.raises(SittingError):
        correct(old, plan, key(plan, "piece"), Entry(day=TODAY, minutes=5000))
    assert done(plan, key(plan, "piece")) == (3, 45)


def test_a_sitting_taken_out_can_be_put_back_and_doing_it_twice_changes_nothing(plan: Plan) -> None:
    sitting = sit(plan, key(plan, "piece"), 45, "3")
    services.remove(sitting=sitting, now=NOW)
    assert done(plan, key(plan, "piece")) == (0, 0)
    for _ in range(2):
        services.restore(sitting=sitting, now=NOW)
        assert done(plan, key(plan, "piece")) == (3, 45)


def test_two_windows_cannot_both_correct_the_same_sitting(plan: Plan) -> None:
    old = sit(plan, key(plan, "piece"), 45, "3")
    entry = Entry(day=TODAY, minutes=60, units=Decimal(2))
    correct(old, plan, key(plan, "piece"), entry)
    with pytest.raises(PlanError, match="in another window"):
        correct(old, plan, key(plan, "piece"), entry)
    with pytest.raises(PlanError, match="in another window"):
        services.remove(sitting=old, now=NOW)
    with pytest.raises(PlanError, match="the correction counts instead"):
        services.restore(sitting=old, now=NOW)
    assert done(plan, key(plan, "piece")) == (2, 60)


def test_corrections_of_corrections_are_taken_back_one_by_one(plan: Plan) -> None:
    first = sit(plan, "quilting", 10)
    second = correct(first, plan, "quilting", Entry(day=TODAY, minutes=20))
    third = correct(second, plan, "quilting", Entry(day=TODAY, minutes=30))
    with pytest.raises(PlanError):
        services.take_back_correction(sitting=second, now=NOW)
    for latest, minutes in ((third, 20), (second, 10)):
        services.take_back_correction(sitting=latest, now=NOW)
        assert done(plan, "quilting")[1] == minutes
    with pytest.raises(PlanError, match="as it was first written down"):
        services.take_back_correction(sitting=first, now=NOW)


# --- stages of her own -----------------------------------------------------------------------------------------------


def test_a_stage_of_her_own_stands_after_the_plans_and_is_logged_like_any_other(plan: Plan) -> None:
    own = stages.add_own(plan=plan, name="Embroider the date", unit="flower", size=Decimal(4), now=NOW)
    assert sewn(plan).rows[-1].name == "Embroider the date"
    sit(plan, own.key, 30, "1")
    assert done(plan, own.key) == (1, 30)
    assert own.key in [row.key for row in sewn(plan).ready]


def test_a_stage_in_hours_counts_itself(plan: Plan) -> None:
    own = stages.add_own(plan=plan, name="Label", unit="hour", size=Decimal(2), now=NOW)
    sit(plan, own.key, 45)
    assert done(plan, own.key)[0] == 0.75
    with pytest.raises(SittingError, match="Hours count themselves"):
        sit(plan, own.key, 45, "1")


def test_her_stage_can_be_renamed_and_resized_but_not_recounted_in_another_unit(plan: Plan) -> None:
    own = stages.add_own(plan=plan, name="Label", unit="flower", size=Decimal(2), now=NOW)
    stages.change_own(stage=own, name="Labels", unit="shape", size=Decimal(3), now=NOW)
    sit(plan, own.key, 30, "1")
    with pytest.raises(PlanError, match="counted already"):
        stages.change_own(stage=own, name="Labels", unit="metre", size=Decimal(3), now=NOW)
    stages.change_own(stage=own, name="Labels", unit="shape", size=Decimal(5), now=NOW)
    row = sewn(plan).row(own.key)
    assert row is not None
    assert (row.name, row.unit, int(row.left)) == ("Labels", "shape", 4)


def test_the_plans_own_stages_are_not_resized_by_hand(plan: Plan) -> None:
    stages.refresh(plan=plan, work=work_of(plan))
    with pytest.raises(PlanError, match="change the plan instead"):
        stages.change_own(stage=Stage.objects.get(key="quilting"), name="Q", unit="metre", size=Decimal(3), now=NOW)


def test_a_skipped_stage_keeps_its_hours_and_has_nothing_left(plan: Plan) -> None:
    sit(plan, "layering", 30, "1")
    stages.skip(plan=plan, work=work_of(plan), key="layering", now=NOW)
    row = sewn(plan).row("layering")
    assert row is not None
    assert (int(row.left), row.minutes, row in sewn(plan).aside) == (0, 30, True)
    stages.bring_back(plan=plan, work=work_of(plan), key="layering", now=NOW)
    assert sewn(plan).row("layering") in sewn(plan).wanted


def test_a_finished_stage_has_nothing_left_until_it_is_opened_again(plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 30, "10")
    stages.finish(plan=plan, work=work_of(plan), key=key(plan, "piece"), now=NOW)
    assert key(plan, "piece") not in [row.key for row in sewn(plan).left]
    stages.reopen(plan=plan, work=work_of(plan), key=key(plan, "piece"), now=NOW)
    row = sewn(plan).row(key(plan, "piece"))
    assert row is not None
    assert row.left == 4


def test_there_is_an_end_to_stages_of_her_own(plan: Plan) -> None:
    for n in range(stages.MOST_OWN):
        stages.add_own(plan=plan, name=f"Stage {n}", unit="hour", size=Decimal(1), now=NOW)
    with pytest.raises(PlanError, match="at most"):
        stages.add_own(plan=plan, name="One more", unit="hour", size=Decimal(1), now=NOW)


# --- hours -----------------------------------------------------------------------------------------------------------


def test_sittings_are_listed_newest_first_a_page_at_a_time(plan: Plan) -> None:
    sit(plan, "quilting", 1, day=TODAY)
    stage = Stage.objects.get(key="quilting")
    Sitting.objects.bulk_create(
        Sitting(stage=stage, day=TODAY - timedelta(n), minutes=n, recorded_at=NOW)
        for n in range(1, SITTINGS_A_PAGE + 5)
    )
    first = sittings(plan=plan, system=System.INCHES)
    second = sittings(plan=plan, system=System.INCHES, page=2)
    days = [row.day for row in (*first.rows, *second.rows)]
    assert days == sorted(days, reverse=True)
    assert (len(first.rows), len(second.rows)) == (SITTINGS_A_PAGE, 5)
    assert (first.newer, first.older, second.newer, second.older) == (None, 2, 1, None)


def test_only_sittings_that_stand_are_listed(plan: Plan) -> None:
    old = sit(plan, "quilting", 10)
    new = correct(old, plan, "quilting", Entry(day=TODAY, minutes=20))
    assert [(row.id, row.corrected) for row in sittings(plan=plan, system=System.INCHES).rows] == [(new.pk, True)]
    services.remove(sitting=new, now=NOW)
    assert sittings(plan=plan, system=System.INCHES).rows == ()


def test_her_week_begins_on_monday_and_holds_all_her_quilts(plan: Plan) -> None:
    # 25 November 2026 is a Wednesday.
    other, strange = medallion(plan.owner), medallion(PersonFactory.create())
    sit(plan, "quilting", 10, day=TODAY - timedelta(2))
    sit(plan, "quilting", 100, day=TODAY - timedelta(3))
    sit(other, "quilting", 20, day=TODAY)
    sit(strange, "quilting", 1000, day=TODAY)
    services.remove(sitting=sit(plan, "quilting", 500), now=NOW)
    assert hours_this_week(owner=plan.owner, today=TODAY).minutes == 30
    assert str(hours_this_week(owner=plan.owner, today=TODAY, plan=plan)) == "10 min"
    assert not hours_this_week(owner=plan.owner, today=TODAY + timedelta(5))
