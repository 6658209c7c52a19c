"""Which fabrics is a role to be cut from? Each change drops the plan's drafts, since a layout of another allotment says nothing."""

from __future__ import annotations

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
    _changed(plan, now)
    return allotment


@transaction.atomic
def change_count(*, allotment: Allotment, count: int | None, now: datetime) -> None:
    refuse_if_over(allotment.plan)
    _sensible(_role(allotment.plan, allotment.role), count)
    allotment.count = count
    allotment.save(update_fields=["count"])
    _changed(allotment.plan, now)


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
    _changed(allotment.plan, now)


@transaction.atomic
def take_off(*, allotment: Allotment, now: datetime) -> None:
    """The role is no longer cut from this fabric; sheets confirmed already stand."""
    plan = allotment.plan
    refuse_if_over(plan)
    allotment.delete()
    _changed(plan, now)


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


def _changed(plan: Plan, now: datetime) -> None:
    CuttingSheet.objects.drafts().filter(plan=plan).delete()
    touch(plan, now)
