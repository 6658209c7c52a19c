"""How is an hour of sewing written down, put right and taken out again? Each call is one transaction.

A correction is a new sitting that replaces the old one, and a sitting taken out is only marked: both can be undone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from plans.models import Plan, Sitting, Stage
from plans.queries import units
from plans.queries.planned import CUTTING
from plans.queries.worked import Fault, Worked
from plans.services.changing import touch
from plans.services.errors import PlanError
from plans.services.stages import stage_for

LONGEST_MINUTES = 24 * 60
LONGEST_AGO = timedelta(days=100 * 365)
# Beyond its size by more than this share, a count is asked about.
SLACK = Decimal("1.02")


class SittingError(PlanError):
    """What is wrong with a sitting: a sentence for each field (`day`, `minutes`, `units`, `sure`)."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__(" ".join(faults.values()))
        self.faults = faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A sitting as she tells it. `units` in the stage's stored unit, less than nothing when unpicked, None where she did not count.

    `sure`: she was asked about a count beyond the stage's size, and means it."""

    day: date
    minutes: int
    units: Decimal | None = None
    note: str = ""
    sure: bool = False


@transaction.atomic
def log(*, plan: Plan, work: Worked | Fault, key: str, entry: Entry, today: date, now: datetime) -> Sitting:
    """Write a sitting down. `today` in her zone. Raises PlanError for a stage that is not there, SittingError for what cannot be."""
    stage = stage_for(plan=plan, work=work, key=key)
    _refuse_unless_sound(stage, entry, today)
    return _keep(stage, entry, now)


@transaction.atomic
def correct(*, sitting: Sitting, work: Worked | Fault, key: str, entry: Entry, today: date, now: datetime) -> Sitting:
    """Put `entry` in the place of a sitting that stands. Raises as `log` does, and PlanError when it stands no more."""
    old = _standing(sitting)
    old.removed_at = now
    old.save(update_fields=["removed_at"])
    stage = stage_for(plan=old.stage.plan, work=work, key=key)
    _refuse_unless_sound(stage, entry, today)
    return _keep(stage, entry, now, replaces=old)


@transaction.atomic
def take_back_correction(*, sitting: Sitting, now: datetime) -> Sitting:
    """The sitting as it was before it was corrected."""
    new = _standing(sitting)
    old = new.replaces
    if old is None:
        raise PlanError("That sitting is as it was first written down.")
    new.delete()
    old.removed_at = None
    old.save(update_fields=["removed_at"])
    touch(old.stage.plan, now)
    return old


@transaction.atomic
def remove(*, sitting: Sitting, now: datetime) -> Sitting:
    """Take a sitting out of the count."""
    gone = _standing(sitting)
    gone.removed_at = now
    gone.save(update_fields=["removed_at"])
    touch(gone.stage.plan, now)
    return gone


@transaction.atomic
def restore(*, sitting: Sitting, now: datetime) -> Sitting:
    """Put back a sitting that was taken out. Doing it twice changes nothing. Raises PlanError where a correction stands for it."""
    back = Sitting.objects.select_for_update().select_related("stage__plan").get(pk=sitting.pk)
    if Sitting.objects.filter(replaces=back).exists():
        raise PlanError("That sitting was corrected, and the correction counts instead.")
    back.removed_at = None
    back.save(update_fields=["removed_at"])
    touch(back.stage.plan, now)
    return back


def _keep(stage: Stage, entry: Entry, now: datetime, replaces: Sitting | None = None) -> Sitting:
    touch(stage.plan, now)
    return Sitting.objects.create(
        stage=stage,
        day=entry.day,
        minutes=entry.minutes,
        units=entry.units,
        note=entry.note,
        recorded_at=now,
        replaces=replaces,
    )


def _standing(sitting: Sitting) -> Sitting:
    fresh = Sitting.objects.select_for_update().kept().select_related("stage__plan").filter(pk=sitting.pk).first()
    if fresh is None:
        raise PlanError("That sitting was changed or taken out meanwhile, in another window. Open the page afresh.")
    return fresh


# --- what cannot be --------------------------------------------------------------------------------------------------


def _refuse_unless_sound(stage: Stage, entry: Entry, today: date) -> None:
    done = stage.sittings.kept().aggregate(done=Sum("units"))["done"] or Decimal(0)
    faults = _day_fault(entry.day, today) | _time_fault(stage, entry) | _count_fault(stage, entry, done)
    if faults:
        raise SittingError(faults)


def _day_fault(day: date, today: date) -> dict[str, str]:
    if day > today:
        return {"day": "That day is still to come: write down what has been sewn already."}
    if day < today - LONGEST_AGO:
        return {"day": "That is more than a hundred years ago: check the year."}
    return {}


def _time_fault(stage: Stage, entry: Entry) -> dict[str, str]:
    if entry.minutes < 0:
        return {"minutes": "A sitting cannot take less than no time."}
    if entry.minutes > LONGEST_MINUTES:
        return {"minutes": "That is more than 24 hours: write a sitting for each day."}
    if entry.minutes or entry.units:
        return {}
    if _counts_itself(stage):
        return {"minutes": "Say how long you sat."}
    return {"minutes": "Say how long you sat, or how much you did, or both."}


def _count_fault(stage: Stage, entry: Entry, done: Decimal) -> dict[str, str]:
    if entry.units is None:
        return {}
    if _counts_itself(stage):
        what = "Patches are counted on the cutting sheets" if stage.key == CUTTING else "Hours count themselves"
        return {"units": f"{what}: leave this empty."}
    after = done + entry.units
    system = stage.plan.owner.settings.measures
    if after < 0:
        return {
            "units": f"Only {units.show(done, stage.unit, system=system)} can be unpicked: no more are counted so far."
        }
    if entry.units > 0 and after > stage.size * SLACK and not entry.sure:
        total, size = (units.show(amount, stage.unit, system=system) for amount in (after, stage.size))
        return {"sure": f"That makes {total}, and the stage has {size}. Tick this if it is so."}
    return {}


def _counts_itself(stage: Stage) -> bool:
    return stage.key == CUTTING or stage.unit == Stage.Unit.HOUR
