"""What is left? A plan's front page: what to cut by part, what to sew by stage, what to buy."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from plans.models import Stage
from plans.queries.left import open_lines, roles_left
from plans.queries.stages import sewing
from plans.queries.worked import Fault, worked
from plans.views.frame import plan_page
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest


@require_GET
def left(request: PersonRequest, plan_id: int) -> HttpResponse:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    roles = () if isinstance(work, Fault) else roles_left(plan, work)
    stages = [row for row in sewing(plan=plan, work=work).wanted if row.technique != Stage.Technique.CUTTING]
    context = {
        "roles_open": [role for role in roles if role.left],
        "roles_done": [role for role in roles if not role.left],
        "stages_open": [row for row in stages if row.left],
        "stages_done": [row for row in stages if not row.left],
        "to_buy": open_lines(plan),
    }
    return plan_page(request, plan, "plans/left.html", "left", context, done=work)
