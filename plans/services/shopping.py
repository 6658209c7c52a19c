"""What is to be bought? Lines of the shopping list: cloth a draft is short of, rounded up to what a shop cuts, and anything she writes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.db import transaction

from plans.models import CuttingSheet, Plan, ShoppingLine
from plans.queries.real_cloth import of_fabric, off_the_bolt
from plans.queries.washing import shrinkage_of
from plans.services.errors import PlanError
from quiltbook.people.models import Person
from quiltbook.yardage.buying import buy
from quiltbook.yardage.cutting import CuttingError, CuttingJob, Layout
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from stash.models import Fabric


def length_to_buy(*, sheet: CuttingSheet, lay_out: Callable[[CuttingJob], Layout] = engine_lay_out) -> int:
    """The length of the draft's fabric, off the bolt, that takes all it is short of: nm, up to the shop's step. Raises PlanError when
    no length of that width does."""
    patches = sheet.uncut_wanted()
    if not patches:
        raise PlanError("Nothing is missing on this sheet.")
    fabric, plan = sheet.fabric, sheet.plan
    bolt = of_fabric("bolt", fabric, fabric.usable_width, 1)
    job = off_the_bolt(plan, bolt, patches, sheet.method, shrinkage_of(plan, fabric.kind))
    try:
        bought = buy(job, lay_out=lay_out)
    except CuttingError:
        raise PlanError(f"What is missing of {fabric.name} is more than a shop could cut.") from None
    if bought.layout.uncut:
        raise PlanError(f"{fabric.name} is too narrow for these, however long a piece you buy.")
    return bought.to_buy


@transaction.atomic
def put_on_list(*, plan: Plan, fabric: Fabric, length: int, now: datetime) -> ShoppingLine:
    """One open line a fabric and plan: asking again changes the length of the line there is."""
    line, _ = ShoppingLine.objects.update_or_create(
        plan=plan,
        fabric=fabric,
        got_at=None,
        removed_at=None,
        defaults={"owner": plan.owner, "what": fabric.name, "length": length, "added_at": now},
    )
    return line


@transaction.atomic
def write_down(*, owner: Person, what: str, length: int | None, now: datetime) -> ShoppingLine:
    """A line of her own, for no plan."""
    return ShoppingLine.objects.create(owner=owner, what=what, length=length, added_at=now)


@transaction.atomic
def got(*, line: ShoppingLine, now: datetime | None) -> None:
    """Ticked as bought at `now`, or not bought after all (None)."""
    line.got_at = now
    _save(line)


@transaction.atomic
def remove(*, line: ShoppingLine, now: datetime | None) -> None:
    """Struck off at `now`, or put back (None)."""
    line.removed_at = now
    _save(line)


def _save(line: ShoppingLine) -> None:
    same = ShoppingLine.objects.to_buy().filter(plan=line.plan_id, fabric=line.fabric_id, role=line.role)
    for_one = line.plan_id and (line.fabric_id or line.role)
    if line.got_at is None and line.removed_at is None and for_one and same.exclude(pk=line.pk).exists():
        raise PlanError(f"{line.what} is on the list for this quilt again already.")
    line.save(update_fields=["got_at", "removed_at"])
