"""Which tops could become the centre of a quilt, and how big is each now?

Any of her other quilts, save those given up and those that this quilt is itself sewn into: a quilt cannot lie within itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from plans.models import Plan, Round
from plans.models.plan import PlanQuerySet, State
from plans.queries.worked import Worked, worked_from
from quiltbook.measures import Size
from quiltbook.people.models import Person


def sewn_tops(owner: Person, plan: Plan | None) -> PlanQuerySet:
    """Those that `plan` (None: a new one) may take; the one it has is always among them."""
    found = Plan.objects.of(owner)
    kept = plan.sewn_top_id if plan else None
    given_up = found.filter(state=State.GIVEN_UP).exclude(pk=kept or 0)
    around = _around(owner, plan.pk) if plan and plan.pk else set()
    return found.exclude(pk__in=given_up).exclude(pk__in=around).order_by("name", "pk")


def sizes(plans: Iterable[Plan]) -> Mapping[int, Size]:
    """The finished size of each plan's top by its id, as measured where it was, in whole nm; those that cannot be worked out are left out."""
    found = {plan.pk: plan for plan in plans}
    rounds: dict[int, list[Round]] = defaultdict(list)
    for row in Round.objects.standing().filter(plan__in=found):
        rounds[row.plan_id].append(row)
    works = {pk: worked_from(plan, rounds[pk]) for pk, plan in found.items()}
    return {
        pk: Size(round(work.top.finished.width), round(work.top.finished.length))
        for pk, work in works.items()
        if isinstance(work, Worked)
    }


def _around(owner: Person, plan_id: int) -> set[int]:
    """The plan itself, and every quilt that has it within its centre, however deep."""
    within = dict(Plan.objects.of(owner).exclude(sewn_top=None).values_list("pk", "sewn_top_id"))
    found = {plan_id}
    while more := {pk for pk, inner in within.items() if inner in found} - found:
        found |= more
    return found
