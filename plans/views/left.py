"""What is left? A plan's front page: what to cut by part, what to sew by stage, what to buy."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from plans.queries.left import open_lines, roles_left
from plans.queries.stages import sewing
from plans.queries.worked import Fault, worked
from plans.views.frame import own_plan, plan_page
from quiltbook.people.requests import PersonRequest


@require_GET
def left(request: PersonRequest, plan_id: int) -> HttpResponse:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    roles = () if isinstance(work, Fault) else roles_left(plan, work)
    context = {"to_buy": open_lines(plan), "roles": roles, "sewing": sewing(plan=plan, work=work)}
    return plan_page(request, plan, "plans/left.html", "left", context, done=work)
