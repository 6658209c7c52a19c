"""How does cloth for a part of the quilt, or what it takes besides, come onto the list? One open line for each."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from plans.models import Plan, ShoppingLine
from plans.services.changing import refuse_if_over
from plans.services.shopping import put_on_list
from stash.models import Fabric


@transaction.atomic
def put(
    *, plan: Plan, role: str, what: str, length: int | None, now: datetime, fabric: Fabric | None = None
) -> ShoppingLine:
    """Write down `length` (nm) of `fabric`, or `what` is wanted for a role that has none yet; asking again changes the line there is.

    Raises PlanError once the plan is finished or given up."""
    refuse_if_over(plan)
    if fabric is not None and length is not None:
        return put_on_list(plan=plan, fabric=fabric, length=length, now=now)
    line, _ = ShoppingLine.objects.update_or_create(
        plan=plan,
        role=role,
        got_at=None,
        removed_at=None,
        defaults={"owner": plan.owner, "fabric": fabric, "what": what, "length": length, "added_at": now},
    )
    return line
