"""What is left to sew, and what can be sewn now? The stages the plan makes, joined by key with the rows that hold what was done.

The figures never wait for a row: a change of the plan changes names and sizes at once and keeps what is done. A saved stage whose key the plan has
no longer is shown as gone (its hours still count) until the plan has it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Q, Sum

from plans.models import Plan, Stage
from plans.models.worklog import stage_called
from plans.queries import units
from plans.queries.left import roles_left
from plans.queries.planned import CUTTING, Limit, Planned, Technique, Unit, limits, planned
from plans.queries.worked import Fault, Worked
from quiltbook.measures import System
from quiltbook.web.words import in_words

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage with what was done, in the stored unit. `ready`: how much can be done now; where nothing, `waits_for` says why.

    `counts_itself`: what is done comes from the cutting sheets, or from the hours, and is not typed in."""

    key: str
    name: str
    technique: str
    unit: str
    size: Decimal
    done: Decimal
    minutes: int
    own: bool
    skipped: bool
    finished: bool
    gone: bool
    counts_itself: bool
    ready: Decimal
    waits_for: str
    system: System = field(repr=False)

    @property
    def open(self) -> bool:
        """Still wanted and not finished by her word."""
        return not (self.skipped or self.finished or self.gone)

    @property
    def left(self) -> Decimal:
        return max(self.size - self.done, NOTHING) if self.open else NOTHING

    @property
    def all_done(self) -> bool:
        """All of it is counted, though she has not called it finished."""
        return self.open and self.done >= self.size

    @property
    def unit_word(self) -> str:
        return units.word(self.unit, system=self.system)

    @property
    def left_words(self) -> str:
        return units.show(self.left, self.unit, system=self.system)

    @property
    def ready_words(self) -> str:
        return units.show(self.ready, self.unit, system=self.system)

    @property
    def done_words(self) -> str:
        return units.show(self.done, self.unit, system=self.system)

    @property
    def done_figure(self) -> Decimal:
        return units.figure(self.done, self.unit, system=self.system)

    @property
    def size_figure(self) -> Decimal:
        return units.figure(self.size, self.unit, system=self.system)

    @property
    def time_words(self) -> str:
        return units.show_minutes(self.minutes)


@dataclass(frozen=True, slots=True)
class Sewing:
    """Every stage of a plan in the order of the job, her own after them, those that are gone last."""

    rows: tuple[StageRow, ...]

    @property
    def wanted(self) -> tuple[StageRow, ...]:
        return tuple(row for row in self.rows if not (row.skipped or row.gone))

    @property
    def aside(self) -> tuple[StageRow, ...]:
        """Skipped, or no longer in the plan."""
        return tuple(row for row in self.rows if row.skipped or row.gone)

    @property
    def left(self) -> tuple[StageRow, ...]:
        return tuple(row for row in self.rows if row.left)

    @property
    def ready(self) -> tuple[StageRow, ...]:
        """What can be done now: sewing first, cutting last."""
        now = [row for row in self.left if row.ready]
        return tuple(sorted(now, key=lambda row: row.technique == Technique.CUTTING))

    @property
    def next(self) -> StageRow | None:
        return self.ready[0] if self.ready else None

    @property
    def minutes(self) -> int:
        return sum(row.minutes for row in self.rows)

    @property
    def time_words(self) -> str:
        return units.show_minutes(self.minutes)

    def row(self, key: str) -> StageRow | None:
        return next((row for row in self.rows if row.key == key), None)


def sewing(
    *, plan: Plan, work: Worked | Fault, system: System | None = None, cut: Mapping[str, int] | None = None
) -> Sewing:
    """The plan's stages. `system`: the owner's own where not given; `cut`: how many good patches of each role, by its key,
    asked of the cutting sheets where not given.

    A plan that cannot be worked out shows its stages as they were last saved, none of them waiting."""
    saved = _saved(plan)
    system = system or plan.owner.settings.measures
    if isinstance(work, Fault):
        made = tuple(log.stage for log in saved.values() if not log.own)
        logs = {stage.key: saved[stage.key] for stage in made}
        held_up: Mapping[str, tuple[Limit, ...]] = {}
        cut_now = 0
    else:
        made = planned(work)
        logs = {stage.key: saved.get(stage.key, _Log(stage)) for stage in made}
        cut = {role.key: role.cut for role in roles_left(plan, work)} if cut is None else cut
        held_up = _limits(work, made, logs, cut)
        cut_now = patches_cut(work, cut)
    others = sorted((log for key, log in saved.items() if key not in logs), key=lambda log: not log.own)
    return Sewing(
        (
            *(_row(stage, logs[stage.key], held_up.get(stage.key, ()), cut_now, system) for stage in made),
            *(_row(log.stage, log, (), cut_now, system, gone=not log.own) for log in others),
        )
    )


def patches_cut(work: Worked, cut: Mapping[str, int]) -> int:
    """How many of the plan's patches are cut; those beyond what it wants now do not count."""
    return sum(min(role.count, cut.get(role.key, 0)) for role in work.roles)


@dataclass(frozen=True, slots=True)
class _Log:
    """What is written down about a stage; `stage` as it was when last saved."""

    stage: Planned
    own: bool = False
    skipped: bool = False
    finished: bool = False
    minutes: int = 0
    units: Decimal = NOTHING


def _saved(plan: Plan) -> dict[str, _Log]:
    """One query, however many sittings there are."""
    kept = Q(sittings__removed_at=None)
    rows = Stage.objects.filter(plan=plan).order_by("position", "pk")
    summed = rows.annotate(spent=Sum("sittings__minutes", filter=kept), sewn=Sum("sittings__units", filter=kept))
    return {
        row.key: _Log(
            stage=Planned(row.key, row.name, row.technique, row.unit, row.size),
            own=row.own,
            skipped=row.skipped_at is not None,
            finished=row.finished_at is not None,
            minutes=row.spent or 0,
            units=row.sewn or NOTHING,
        )
        for row in summed
    }


def _limits(
    work: Worked, made: tuple[Planned, ...], logs: Mapping[str, _Log], cut: Mapping[str, int]
) -> dict[str, tuple[Limit, ...]]:
    """What she calls finished or skipped holds nothing up."""
    closed = {key for key, log in logs.items() if log.finished or log.skipped}
    have = {stage.key: stage.size if stage.key in closed else logs[stage.key].units for stage in made}
    all_cut = {role.key: role.count for role in work.roles}
    return limits(work, have=have, cut=all_cut if CUTTING in closed else cut)


def _row(
    stage: Planned, log: _Log, held_up: tuple[Limit, ...], cut_now: int, system: System, *, gone: bool = False
) -> StageRow:
    done, counts_itself = _done(stage, log, cut_now)
    narrowest = min(held_up, key=lambda limit: limit.amount, default=Limit(stage.size, ""))
    ready = NOTHING if gone or log.finished or log.skipped else max(min(narrowest.amount, stage.size) - done, NOTHING)
    return StageRow(
        key=stage.key,
        name=stage_called(stage.name, own=log.own),
        technique=stage.technique,
        unit=stage.unit,
        size=stage.size,
        done=done,
        minutes=log.minutes,
        own=log.own,
        skipped=log.skipped,
        finished=log.finished,
        gone=gone,
        counts_itself=counts_itself,
        ready=ready,
        waits_for="" if ready else in_words(narrowest.what),
        system=system,
    )


def _done(stage: Planned, log: _Log, cut_now: int) -> tuple[Decimal, bool]:
    """How much is done, and whether it counts itself: patches on the cutting sheets, hours by the clock."""
    if stage.key == CUTTING:
        return Decimal(cut_now), True
    if stage.unit == Unit.HOUR:
        return (Decimal(log.minutes) / 60).quantize(units.THOUSANDTH), True
    return log.units, False
