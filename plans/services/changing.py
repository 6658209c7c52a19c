"""May this quilt be changed, and when was it last worked on? What every service that changes a plan begins and ends with."""

from __future__ import annotations

from datetime import datetime

from plans.models import Plan
from plans.queries.plans import can_change
from plans.services.errors import PlanError


def refuse_unless(refusal: str) -> None:
    """Raise PlanError with the sentence of a `can_…` query; it is empty where the act is allowed."""
    if refusal:
        raise PlanError(refusal)


def refuse_if_over(plan: Plan) -> None:
    """Raise PlanError once the quilt is finished or given up. It is read afresh, and stays so until the transaction ends: another
    window may have moved it since `plan` was fetched."""
    refuse_unless(can_change(Plan.objects.select_for_update().get(pk=plan.pk)))


def touch(plan: Plan, now: datetime, *columns: str) -> Plan:
    """Save the plan as the one worked on last, with those `columns` that were changed and no other: its page may be open elsewhere."""
    plan.touched_at = now
    plan.save(update_fields=["touched_at", *columns])
    return plan
