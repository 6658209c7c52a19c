"""Where did the hours go? Sittings newest first, a page at a time, and the hours of a week that begins on a Monday in her own calendar."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Sum

from plans.models import Plan, Sitting
from plans.queries import units
from quiltbook.measures import System
from quiltbook.people.models import Person

SITTINGS_A_PAGE = 40


@dataclass(frozen=True, slots=True)
class SittingRow:
    """One sitting that stands. `units` in the stage's stored unit; None where nothing was counted."""

    id: int
    day: date
    minutes: int
    units: Decimal | None
    unit: str
    note: str
    stage_key: str
    stage_name: str
    corrected: bool
    system: System = field(repr=False)

    @property
    def time_words(self) -> str:
        return units.show_minutes(self.minutes) if self.minutes else "no time noted"

    @property
    def units_words(self) -> str:
        return "" if self.units is None else units.show(self.units, self.unit, system=self.system)


@dataclass(frozen=True, slots=True)
class SittingPage:
    """Some of the sittings, newest first; `newer` and `older` are the numbers of the pages beside this one, if there are any."""

    rows: tuple[SittingRow, ...]
    newer: int | None
    older: int | None


@dataclass(frozen=True, slots=True)
class Spent:
    """Time put in. Shown as "3 h 20 min"."""

    minutes: int

    def __str__(self) -> str:
        return units.show_minutes(self.minutes)

    def __bool__(self) -> bool:
        return self.minutes > 0


def sittings(*, plan: Plan, system: System, page: int = 1) -> SittingPage:
    """Page `page` (from 1) of the plan's sittings; two queries at most."""
    start = (max(page, 1) - 1) * SITTINGS_A_PAGE
    kept = Sitting.objects.kept().filter(stage__plan=plan).select_related("stage")
    found = list(kept.order_by("-day", "-recorded_at", "-pk")[start : start + SITTINGS_A_PAGE + 1])
    rows = tuple(_row(sitting, system) for sitting in found[:SITTINGS_A_PAGE])
    return SittingPage(
        rows, newer=page - 1 if page > 1 else None, older=page + 1 if len(found) > SITTINGS_A_PAGE else None
    )


def monday(today: date) -> date:
    """The day the week of `today` began."""
    return today - timedelta(days=today.weekday())


def hours_this_week(*, owner: Person, today: date, plan: Plan | None = None) -> Spent:
    """What she put in from Monday to `today` (in her zone): on `plan`, or on all her quilts."""
    mine = Sitting.objects.of(owner).kept().filter(day__range=(monday(today), today))
    if plan is not None:
        mine = mine.filter(stage__plan=plan)
    return Spent(mine.aggregate(spent=Sum("minutes"))["spent"] or 0)


def _row(sitting: Sitting, system: System) -> SittingRow:
    return SittingRow(
        id=sitting.pk,
        day=sitting.day,
        minutes=sitting.minutes,
        units=sitting.units,
        unit=sitting.stage.unit,
        note=sitting.note,
        stage_key=sitting.stage.key,
        stage_name=sitting.stage.called,
        corrected=sitting.replaces_id is not None,
        system=system,
    )
