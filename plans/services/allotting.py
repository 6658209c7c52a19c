"""Which fabrics is a role to be cut from? Each change drops the drafts of those fabrics that gain or lose patches by it: a layout of
another allotment says nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import Max

from plans.models import Allotment, CuttingSheet, Plan
from plans.queries.worked import Fault, Role, worked
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError
from stash.models import Fabric


@transaction.atomic
def allot(*, plan: Plan, role_key: str, fabric: Fabric, count: int | None, now: datetime) -> Allotment:
    """Give a role one more fabric, after those it has, for `count` patches or for what is left over. Raises PlanError, as all here do."""
    refuse_if_over(plan)
    role = _role(plan, role_key)
    _sensible(role, count)
    if fabric.owner_id != plan.owner_id:
        raise PlanError("Choose a fabric of your own stash.")
    if plan.allotments.filter(role=role_key, fabric=fabric).exists():
        raise PlanError(f"{fabric.name} is allotted to this already.")
    last = plan.allotments.filter(role=role_key).aggregate(last=Max("position"))["last"]
    allotment = Allotment.objects.create(
        plan=plan, role=role_key, fabric=fabric, count=count, position=0 if last is None else last + 1
    )
    _changed(plan, role_key, now)
    return allotment


@transaction.atomic
def change_count(*, allotment: Allotment, count: int | None, now: datetime) -> None:
    refuse_if_over(allotment.plan)
    _sensible(_role(allotment.plan, allotment.role), count)
    allotment.count = count
    allotment.save(update_fields=["count"])
    _changed(allotment.plan, allotment.role, now)


@transaction.atomic
def move_up(*, allotment: Allotment, now: datetime) -> None:
    """Ask this fabric one place earlier."""
    refuse_if_over(allotment.plan)
    before = (
        allotment.plan.allotments.filter(role=allotment.role, position__lt=allotment.position)
        .order_by("-position")
        .first()
    )
    if before is None:
        return
    before.position, allotment.position = allotment.position, before.position
    before.save(update_fields=["position"])
    allotment.save(update_fields=["position"])
    _changed(allotment.plan, allotment.role, now)


@transaction.atomic
def take_off(*, allotment: Allotment, now: datetime) -> None:
    """The role is no longer cut from this fabric; sheets confirmed already stand."""
    refuse_if_over(allotment.plan)
    _changed(allotment.plan, allotment.role, now)
    allotment.delete()


def _role(plan: Plan, role_key: str) -> Role:
    work = worked(plan)
    if isinstance(work, Fault):
        raise PlanError(f"The plan cannot be worked out yet: {work.sentence}")
    role = work.role(role_key)
    if role is None:
        raise PlanError("The plan has no such part any more.")
    return role


def _sensible(role: Role, count: int | None) -> None:
    if count is not None and count > role.count:
        raise PlanError(f"This part has only {role.count} patches. Leave it empty for all of them.")
    alike = max(patch.alike for patch in role.patches)
    if count is not None and count % alike:
        raise PlanError(
            f"The petals of a flower share a fabric, so give a multiple of {alike}, or make the flowers scrappy."
        )


def _changed(plan: Plan, role_key: str, now: datetime) -> None:
    """Called while the role has all its fabrics, the one that comes or goes among them."""
    CuttingSheet.objects.drafts().filter(plan=plan, fabric__in=_touched(plan, role_key)).delete()
    touch(plan, now)


def _touched(plan: Plan, role_key: str) -> set[int]:
    """The role's fabrics; and, since roles that share a fabric are laid out together and what does not fit goes on, also those later
    fabrics of another role that take what one of them leaves."""
    by_role: dict[str, list[Allotment]] = defaultdict(list)
    for allotment in plan.allotments.order_by("position", "pk"):
        by_role[allotment.role].append(allotment)
    touched = {allotment.fabric_id for allotment in by_role[role_key]}
    while more := {later for rows in by_role.values() for later in _onward(rows, touched)} - touched:
        touched |= more
    return touched


def _onward(rows: Sequence[Allotment], touched: set[int]) -> set[int]:
    first = next((at for at, row in enumerate(rows) if row.fabric_id in touched), len(rows))
    return {row.fabric_id for row in rows[first + 1 :] if row.count is None}
