"""Finishing: what backing, wadding and binding come to, and the figures the plan is worked out with."""

from __future__ import annotations

from copy import copy
from typing import Any

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from plans.forms.finishing import FiguresForm
from plans.models import Plan
from plans.queries.finishing import finishing_rows
from plans.queries.finishing_list import lines
from plans.queries.notions import notions_rows
from plans.queries.worked import Fault, Worked, worked, worked_from
from plans.services import buying
from plans.services import plans as services
from plans.services.errors import PlanError
from plans.views.frame import plan_page
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn


@require_http_methods(["GET", "POST"])
def finishing(request: PersonRequest, plan_id: int) -> HttpResponse:
    """What goes on the top; a POST keeps other figures, or says at each field why not."""
    plan = own_plan(request, plan_id)
    form, typed, work = _typed(request, plan)
    if isinstance(work, Worked) and form.is_bound:
        try:
            services.change_figures(plan=plan, figures=form.cleaned_data, now=clock.now())
        except PlanError as why:
            warn(request, str(why))
        else:
            say(request, "The figures are kept.")
            return go(request, reverse("plans:finishing", args=[plan.pk]))
    shown, done = (typed, work) if isinstance(work, Worked) else (plan, worked(plan))
    return plan_page(
        request, plan, "plans/finishing.html", "finishing", {"form": form, **_told(request, shown, done)}, done=done
    )


@require_POST
def live(request: PersonRequest, plan_id: int) -> HttpResponse:
    """What the figures typed so far come to; nothing is kept."""
    plan = own_plan(request, plan_id)
    form, typed, work = _typed(request, plan)
    told = {"plan": plan, "form": form, "live": True, **_told(request, typed, work)}
    return page(request, "plans/_finishing_live.html", told)


@require_POST
def put(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Onto the shopping list: wadding, thread, papers, spray or web, as the plan's kept figures make them."""
    plan, system = own_plan(request, plan_id), request.user.settings.measures
    work = worked(plan)
    if isinstance(work, Fault):
        raise Http404
    wanted = lines(plan, finishing_rows(plan, work, system), notions_rows(plan, work, system), system)
    found = wanted.get(request.POST.get("key", ""))
    if not found:
        raise Http404
    try:
        put_down = [
            buying.put(plan=plan, role=line.role, what=line.what, length=line.length, now=clock.now()) for line in found
        ]
    except PlanError as why:
        warn(request, str(why))
    else:
        undo = reverse("plans:shopping_line", args=[put_down[0].pk, "remove"]) if len(put_down) == 1 else ""
        say(request, f"On the shopping list: {'; '.join(line.what for line in found)}.", undo=undo)
    return go(request, reverse("plans:finishing", args=[plan.pk]))


def _typed(request: PersonRequest, plan: Plan) -> tuple[FiguresForm, Plan, Worked | Fault | None]:
    """The form, the plan as typed and worked out; None while a figure cannot be taken, with the reason at its field."""
    data = request.POST if request.method == "POST" else None
    form = FiguresForm(data, plan=plan, system=request.user.settings.measures)
    if not form.is_bound:
        return form, plan, worked(plan)
    if not form.is_valid():
        return form, plan, None
    typed = copy(plan)
    for name, nm in form.cleaned_data.items():
        setattr(typed, name, nm)
    work = worked_from(typed, list(plan.rounds.standing()))
    if isinstance(work, Fault):
        form.refuse(work)
    return form, typed, work


def _told(request: PersonRequest, plan: Plan, work: Worked | Fault | None) -> dict[str, Any]:
    system = request.user.settings.measures
    if not isinstance(work, Worked):
        return {"rows": None}
    return {"rows": finishing_rows(plan, work, system), "notions": notions_rows(plan, work, system)}
