"""The top: the centre and its rounds on one page, drawn as they are typed, kept when she says so."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from plans.forms.top import TopForm
from plans.models import Plan, Round
from plans.queries.pieced import OtherUnit, other_units
from plans.queries.top import TopRows, top_rows
from plans.queries.worked import Fault, Worked, round_name, worked_from
from plans.services import rounds as services
from plans.services.errors import PlanError
from plans.views.frame import plan_page, quilt
from plans.views.owned import own_plan
from quiltbook.measures import System
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn


@require_http_methods(["GET", "POST"])
def top(request: PersonRequest, plan_id: int) -> HttpResponse:
    """The top as it stands; a POST keeps what was typed, or says at each field why not."""
    plan = own_plan(request, plan_id)
    if request.method == "GET":
        return _answer(request, plan, _form(request, plan))
    form = _form(request, plan, request.POST, adding="add" in request.POST)
    if not form.is_valid():
        return _answer(request, plan, form)
    try:
        new = _keep(plan, form)
    except PlanError as why:
        warn(request, str(why))
        return _answer(request, own_plan(request, plan_id), form)
    say(request, f"{round_name(new.position - 1, new)} is on." if new else "The top is kept.")
    return go(request, _address(plan, new))


@require_POST
def live(request: PersonRequest, plan_id: int) -> HttpResponse:
    """The quilt drawn and its sizes worked out from what is typed so far; nothing is kept."""
    plan = own_plan(request, plan_id)
    form = _form(request, plan, request.POST)
    outcome = form.outcome
    context = {**_told(request, form, outcome), "plan": plan, "live": True}
    if isinstance(outcome, Worked):
        context["picture"] = quilt(plan.pk, plan.name, outcome, system=request.user.settings.measures)
    return page(request, "plans/_top_live.html", context)


@require_POST
def move_round(request: PersonRequest, plan_id: int, round_id: int, way: str) -> HttpResponse:
    """Change places with the next round, `way` in or out; what else was typed is kept first."""
    if way not in ("in", "out"):
        raise Http404
    plan = own_plan(request, plan_id)
    row = _row(plan, round_id)
    refused = _keep_first(request, plan)
    if refused is not None:
        return refused
    try:
        moved = services.move(row=_row(plan, round_id), inward=way == "in", now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        back = reverse("plans:move_round", args=[plan.pk, row.pk, "out" if way == "in" else "in"])
        say(request, f"{moved.name or 'The round'} lies further {way} now, as round {moved.position}.", undo=back)
    return go(request, _address(plan))


@require_POST
def take_out(request: PersonRequest, plan_id: int, round_id: int) -> HttpResponse:
    """Take a round out; what else was typed is kept first."""
    plan = own_plan(request, plan_id)
    row = _row(plan, round_id)
    called = round_name(row.position - 1, row)
    refused = _keep_first(request, plan)
    if refused is not None:
        return refused
    try:
        services.take_out(row=_row(plan, round_id), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, f"{called} was taken out.", undo=reverse("plans:put_back", args=[plan.pk, row.pk]))
    return go(request, _address(plan))


@require_POST
def put_back(request: PersonRequest, plan_id: int, round_id: int) -> HttpResponse:
    """Put a round that was taken out back where it was."""
    plan = own_plan(request, plan_id)
    row = get_object_or_404(Round, plan=plan, pk=round_id)
    try:
        services.put_back(row=row, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, f"{round_name(row.position - 1, row)} is back.")
    return go(request, _address(plan))


def _row(plan: Plan, round_id: int) -> Round:
    return get_object_or_404(plan.rounds.standing().select_related("plan"), pk=round_id)


def _form(request: PersonRequest, plan: Plan, data: Any = None, *, adding: bool = False) -> TopForm:
    system = request.user.settings.measures
    return TopForm(plan=plan, rows=list(plan.rounds.standing()), system=system, data=data, adding=adding)


def _keep(plan: Plan, form: TopForm) -> Round | None:
    return services.keep_top(
        plan=plan, centre=form.kept_centre, rounds=form.kept_rounds, new=form.new.spec(), now=clock.now()
    )


def _keep_first(request: PersonRequest, plan: Plan) -> HttpResponse | None:
    """Keep what came along with the button; where it cannot be kept, the page that says why. Nothing may have come (an undo)."""
    if "centre-width" not in request.POST:
        return None
    form = _form(request, plan, request.POST)
    if not form.is_valid():
        return _answer(request, plan, form)
    try:
        _keep(plan, form)
    except PlanError as why:
        warn(request, str(why))
        return _answer(request, plan, form)
    return None


def _answer(request: PersonRequest, plan: Plan, form: TopForm) -> HttpResponse:
    """The whole page. What cannot be worked out as typed is shown as it stands, beside what was typed."""
    typed = form.outcome if form.bound else None
    work = typed if isinstance(typed, Worked) else worked_from(plan, form.rows)
    context = _told(request, form, work) | {"open": request.GET.get("open", "")}
    return plan_page(request, plan, "plans/top.html", "top", context, done=work)


def _told(request: PersonRequest, form: TopForm, work: Worked | Fault | None) -> dict[str, Any]:
    system = request.user.settings.measures
    rows: TopRows | None = top_rows(work, system) if isinstance(work, Worked) else None
    told = [
        {
            "form": each,
            "row": rows.round(each.row.pk) if rows else None,
            "other_units": _other_units(form, each.row.pk, rows, system),
            "name": round_name(place, each.row),
            "key": str(each.row.pk),
            "innermost": place == 0,
            "outermost": place == len(form.rounds) - 1,
        }
        for place, each in enumerate(form.rounds)
    ]
    return {"form": form, "rows": rows, "rounds": told}


def _other_units(form: TopForm, round_id: int, rows: TopRows | None, system: System) -> tuple[OtherUnit, ...]:
    """Of a pieced border that was refused as typed, else of the border as it is worked out."""
    if round_id in form.other_units:
        return other_units(form.other_units[round_id], system)
    row = rows.round(round_id) if rows else None
    return row.pieced.other if row and row.pieced else ()


def _address(plan: Plan, new: Round | None = None) -> str:
    address = reverse("plans:top", args=[plan.pk])
    return f"{address}?open={new.pk}#round-{new.pk}" if new else address
