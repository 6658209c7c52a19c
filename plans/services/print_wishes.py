"""How is the print to lie on a role's patches? A wish is kept, changed or dropped; the drafts of the role's fabrics say nothing any more."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from plans.models import CuttingSheet, Plan, PrintWish
from plans.queries.worked import Fault, worked
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError


@transaction.atomic
def wish(*, plan: Plan, role_key: str, stripes: str, per_repeat: int | None, now: datetime) -> None:
    """Stripes one of PrintWish.Stripes, and so many fussy cuts from each repeat, or none. Raises PlanError."""
    refuse_if_over(plan)
    work = worked(plan)
    if isinstance(work, Fault):
        raise PlanError(f"The plan cannot be worked out yet: {work.sentence}")
    if work.role(role_key) is None:
        raise PlanError("The plan has no such part any more.")
    if stripes or per_repeat:
        PrintWish.objects.update_or_create(
            plan=plan, role=role_key, defaults={"stripes": stripes, "per_repeat": per_repeat}
        )
    else:
        PrintWish.objects.filter(plan=plan, role=role_key).delete()
    fabrics = plan.allotments.filter(role=role_key).values("fabric")
    CuttingSheet.objects.drafts().filter(plan=plan, fabric__in=fabrics).delete()
    touch(plan, now)
