"""One quilt that every test of the work log sews at: a panel and three rounds, the middle one with fourteen flowers of seven."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from plans.models import Plan, Round, Sitting
from plans.queries.stages import Sewing, sewing
from plans.queries.worked import Worked, worked
from plans.services import plans, rounds, sittings
from plans.services.plans import Centre
from plans.services.rounds import Flowers, RoundSpec
from plans.services.sittings import Entry
from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from tests.factories import NOW, TODAY

IN = NM_PER_INCH
FLOWERS = Flowers(side=IN, turn=3 * IN // 8, petal_rise=IN, left=3, right=3, top=4, bottom=4)


def medallion(owner: Person, *, applied: str = Round.Applied.BEFORE, now: datetime = NOW) -> Plan:
    """24 x 18 in, then 2 in butted, 7 in with cornerstones and flowers, 3 in mitred: 48 x 42 in."""
    plan = plans.start(owner=owner, name="Tideline", centre=Centre(width=24 * IN, length=18 * IN), now=now)
    flowers = Flowers(**{**{name: getattr(FLOWERS, name) for name in FLOWERS.__slots__}, "applied": applied})
    for spec in (
        RoundSpec(width=2 * IN, corners="butted", first="ends"),
        RoundSpec(width=7 * IN, corners="cornerstones", name="Garden", flowers=flowers),
        RoundSpec(width=3 * IN, corners="mitred"),
    ):
        rounds.add(plan=plan, spec=spec, now=now)
    return plan


def work_of(plan: Plan) -> Worked:
    work = worked(plan)
    assert isinstance(work, Worked)
    return work


def garden(plan: Plan) -> Round:
    """The round with the flowers."""
    return plan.rounds.get(name="Garden")


def key(plan: Plan, step: str) -> str:
    """The key of one of the garden's stages: baste, piece, applique or join."""
    return f"round-{garden(plan).pk}-{step}"


def all_cut(plan: Plan) -> dict[str, int]:
    return {role.key: role.count for role in work_of(plan).roles}


def sewn(plan: Plan, cut: Mapping[str, int] | None = None) -> Sewing:
    """The stages, with everything cut unless said otherwise."""
    system = plan.owner.settings.measures
    return sewing(plan=plan, work=work_of(plan), system=system, cut=all_cut(plan) if cut is None else cut)


def sit(plan: Plan, stage: str, minutes: int = 0, units: str | None = None, day: date = TODAY, **more: Any) -> Sitting:
    """A sitting written down; `units` as a plain number of the stored unit."""
    entry = Entry(day=day, minutes=minutes, units=None if units is None else Decimal(units), **more)
    return sittings.log(plan=plan, work=work_of(plan), key=stage, entry=entry, today=TODAY, now=NOW)
