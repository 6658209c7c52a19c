"""The flowers of one round, cut with scissors: how many shapes a fat quarter gives. Looked for when she asks, since it takes a while."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from plans.queries.nested import nested_rows
from plans.queries.worked import Worked, round_name, worked
from plans.views.frame import plan_page
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page, wants_fragment


@require_GET
def nested(request: PersonRequest, plan_id: int, round_id: int) -> HttpResponse:
    """By itself where the page is there already, else a page of its own. Of the round as it is kept."""
    plan = own_plan(request, plan_id)
    row = get_object_or_404(plan.rounds.standing(), pk=round_id)
    work = worked(plan)
    motifs = work.top.rounds[work.rounds.index(row)].motifs if isinstance(work, Worked) else None
    if motifs is None:
        raise Http404
    fat_quarter = request.user.settings.fat_quarter
    context = {
        "shapes": nested_rows(motifs, plan, fat_quarter),
        "fat_quarter": fat_quarter,
        "name": round_name(row.position - 1, row),
        "width": plan.usable_width,
    }
    if wants_fragment(request):
        return page(request, "plans/_nested.html", context)
    return plan_page(request, plan, "plans/nested.html", "top", context, done=work)
