"""How do the stages of a plan come to be kept, and how does she change them? Rows are written when something is to be remembered of one:
a sitting, or her word that it is skipped or finished.

What is shown never waits for that (see plans.queries.stages). Each call is one transaction and refuses in a sentence."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.db import transaction

from plans.models import Plan, Stage
from plans.queries.planned import planned
from plans.queries.worked import Fault, Worked
from plans.services.changing import touch
from plans.services.errors import PlanError

MOST_OWN = 40
# Her own stages stand after any that a plan can make.
_AFTER_THE_PLAN = 1000


@transaction.atomic
def refresh(*, plan: Plan, work: Worked | Fault) -> None:
    """Bring the rows in line with the plan: names and sizes change, what was done and said of them stays. Doing it twice changes nothing.

    A row whose stage the plan has no longer is left as it was, for its sittings still count and the plan may have it again."""
    if isinstance(work, Fault):
        return
    rows = [
        Stage(
            plan=plan,
            key=stage.key,
            name=stage.name,
            technique=stage.technique,
            unit=stage.unit,
            size=stage.size,
            position=at,
        )
        for at, stage in enumerate(planned(work))
    ]
    kept_in_line = ["name", "technique", "unit", "size", "position"]
    Stage.objects.bulk_create(rows, update_conflicts=True, unique_fields=["plan", "key"], update_fields=kept_in_line)


def stage_for(*, plan: Plan, work: Worked | Fault, key: str) -> Stage:
    """The row to remember something by, made where there is none yet; locked until the transaction ends. Raises PlanError."""
    refresh(plan=plan, work=work)
    try:
        return plan.stages.select_for_update().get(key=key)
    except Stage.DoesNotExist as missing:
        raise PlanError("That stage is not in the plan any more.") from missing


@transaction.atomic
def skip(*, plan: Plan, work: Worked | Fault, key: str, now: datetime) -> Stage:
    """It is not wanted: nothing of it is left, it holds nothing up, and its hours still count."""
    return _mark(stage_for(plan=plan, work=work, key=key), now, skipped_at=now)


@transaction.atomic
def bring_back(*, plan: Plan, work: Worked | Fault, key: str, now: datetime) -> Stage:
    return _mark(stage_for(plan=plan, work=work, key=key), now, skipped_at=None)


@transaction.atomic
def finish(*, plan: Plan, work: Worked | Fault, key: str, now: datetime) -> Stage:
    """She says it is done, whatever was counted."""
    return _mark(stage_for(plan=plan, work=work, key=key), now, finished_at=now)


@transaction.atomic
def reopen(*, plan: Plan, work: Worked | Fault, key: str, now: datetime) -> Stage:
    return _mark(stage_for(plan=plan, work=work, key=key), now, finished_at=None)


@transaction.atomic
def add_own(*, plan: Plan, name: str, unit: str, size: Decimal, now: datetime) -> Stage:
    """A stage of her own, after the plan's. `size` in the stored unit. Raises PlanError."""
    Plan.objects.select_for_update().get(pk=plan.pk)
    count = Stage.objects.filter(plan=plan, own=True).count()
    if count >= MOST_OWN:
        raise PlanError(f"A quilt here has at most {MOST_OWN} stages of your own.")
    stage = Stage(
        plan=plan, key=f"own-{count + 1}", name=name, unit=unit, size=size, own=True, position=_AFTER_THE_PLAN + count
    )
    stage.save()
    return _mark(stage, now)


@transaction.atomic
def change_own(*, stage: Stage, name: str, unit: str, size: Decimal, now: datetime) -> Stage:
    """Another name, unit or size. Raises PlanError for a stage that the plan makes, and for another unit once some are counted."""
    stage = Stage.objects.select_for_update().get(pk=stage.pk)
    if not stage.own:
        raise PlanError("The plan sets the name and size of this stage: change the plan instead.")
    if unit != stage.unit and stage.sittings.kept().exclude(units=None).exists():
        raise PlanError(f"Some {stage.get_unit_display()} are counted already, so the unit cannot change now.")
    stage.name, stage.unit, stage.size = name, unit, size
    stage.save()
    return _mark(stage, now)


def _mark(stage: Stage, now: datetime, **marks: datetime | None) -> Stage:
    for name, value in marks.items():
        setattr(stage, name, value)
    stage.save(update_fields=list(marks))
    touch(stage.plan, now)
    return stage
