"""The Sewing page: what is left by stage, what can be sewn now, and a sitting written down with one thumb. And her own stages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from plans.forms.worklog import MINUTE_TAPS, UNIT_TAPS, OwnStageForm, SittingForm, tapped
from plans.models import Plan, Stage
from plans.queries import units
from plans.queries.order import sewing_order
from plans.queries.stages import Sewing, StageRow, sewing
from plans.queries.worked import Fault, Worked, worked
from plans.services import sittings, stages
from plans.services.errors import PlanError
from plans.views.frame import plan_page
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page, wants_fragment
from quiltbook.web.notices import say, warn

# What is said once a stage is marked, and the act that takes it back.
MARKS = {
    "skip": (stages.skip, "{} is skipped: nothing of it is left to do.", "bring-back"),
    "bring-back": (stages.bring_back, "{} is to be done again.", "skip"),
    "finish": (stages.finish, "{} is finished.", "reopen"),
    "reopen": (stages.reopen, "{} is open again.", "finish"),
}


@dataclass(frozen=True, slots=True)
class Board:
    """A plan with its stages, as every page of the work log needs them."""

    plan: Plan
    work: Worked | Fault
    sewing: Sewing


def board(request: PersonRequest, plan_id: int) -> Board:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    return Board(plan, work, sewing(plan=plan, work=work, system=request.user.settings.measures))


def form_context(form: SittingForm, plan: Plan) -> dict[str, Any]:
    """What `plans/sewing_form.html` needs."""
    taps = [(step, units.show_minutes(step)) for step in MINUTE_TAPS]
    return {"form": form, "plan": plan, "minute_taps": taps, "unit_taps": UNIT_TAPS}


@require_http_methods(["GET", "POST"])
def sewing_page(request: PersonRequest, plan_id: int) -> HttpResponse:
    """The page, and a sitting written down on it."""
    here = board(request, plan_id)
    form = _log_form(request, here)
    if form.is_bound and form.is_valid():
        try:
            sitting = sittings.log(
                plan=here.plan,
                work=here.work,
                key=form.cleaned_data["stage"],
                entry=form.entry,
                today=today(request),
                now=clock.now(),
            )
        except sittings.SittingError as why:
            form.refuse(why)
        except PlanError as why:
            form.add_error("stage", str(why))
        else:
            undo = reverse("plans:sitting_remove", args=[plan_id, sitting.pk])
            say(request, f"Written down: {_told(sitting.minutes, form)}{sitting.stage.called}.", undo=undo)
            return go(request, f"{reverse('plans:sewing', args=[plan_id])}?stage={sitting.stage.key}")
    return plan_page(request, here.plan, "plans/sewing.html", "sewing", _context(request, here, form), done=here.work)


@require_POST
def tap(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Add a tap to what is typed, or show the unit of the stage just chosen; writes nothing down."""
    here = board(request, plan_id)
    if not wants_fragment(request):
        return go(request, reverse("plans:sewing", args=[plan_id]))
    rows = here.sewing.rows
    form = SittingForm(tapped(request.POST, rows), rows=rows, today=today(request), initial={})
    return page(request, "plans/sewing_form.html", form_context(form, here.plan), fragment="amounts")


@require_POST
def mark_stage(request: PersonRequest, plan_id: int, key: str, act: str) -> HttpResponse:
    """Skip or finish a stage, or take that back."""
    here = board(request, plan_id)
    if act not in MARKS:
        raise Http404
    service, sentence, back = MARKS[act]
    try:
        stage = service(plan=here.plan, work=here.work, key=key, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, sentence.format(stage.called), undo=reverse("plans:stage_mark", args=[plan_id, key, back]))
    return go(request, reverse("plans:sewing", args=[plan_id]))


@require_http_methods(["GET", "POST"])
def add_stage(request: PersonRequest, plan_id: int) -> HttpResponse:
    """A stage of her own."""
    plan = own_plan(request, plan_id)
    form = OwnStageForm(request.POST or None, system=request.user.settings.measures)
    if form.is_bound and form.is_valid():
        try:
            stage = stages.add_own(plan=plan, now=clock.now(), **form.cleaned_data)
        except PlanError as why:
            form.add_error(None, str(why))
        else:
            undo = reverse("plans:stage_mark", args=[plan_id, stage.key, "skip"])
            say(request, f"{stage.name} is one of the stages now.", undo=undo)
            return go(request, reverse("plans:sewing", args=[plan_id]))
    return plan_page(request, plan, "plans/stage.html", "sewing", {"form": form})


@require_http_methods(["GET", "POST"])
def change_stage(request: PersonRequest, plan_id: int, key: str) -> HttpResponse:
    """Another name, unit or size for a stage of her own."""
    plan = own_plan(request, plan_id)
    stage = get_object_or_404(Stage, plan=plan, key=key, own=True)
    form = OwnStageForm(request.POST or None, system=request.user.settings.measures, stage=stage)
    if form.is_bound and form.is_valid():
        try:
            stages.change_own(stage=stage, now=clock.now(), **form.cleaned_data)
        except PlanError as why:
            form.add_error("unit", str(why))
        else:
            say(request, f"{form.cleaned_data['name']} is changed.")
            return go(request, reverse("plans:sewing", args=[plan_id]))
    return plan_page(request, plan, "plans/stage.html", "sewing", {"form": form, "stage": stage})


def choices(here: Board) -> tuple[StageRow, ...]:
    """What a sitting can be about, what is still to do first."""
    return tuple(sorted(here.sewing.wanted, key=lambda row: row.finished))


def _log_form(request: PersonRequest, here: Board) -> SittingForm:
    rows = choices(here)
    asked_for = next((row for row in rows if row.key == request.GET.get("stage") and row.open), here.sewing.next)
    initial = {"stage": asked_for.key if asked_for else None, "day": today(request)}
    return SittingForm(request.POST or None, rows=rows, today=today(request), initial=initial)


def _context(request: PersonRequest, here: Board, form: SittingForm) -> dict[str, Any]:
    context = {"sewing": here.sewing} | form_context(form, here.plan)
    if isinstance(here.work, Worked):
        context["order"] = sewing_order(here.work, here.sewing, request.user.settings.measures)
    return context


def _told(minutes: int, form: SittingForm) -> str:
    row, counted = form.chosen, form.entry.units
    parts = [units.show_minutes(minutes)] if minutes else []
    if row is not None and counted is not None:
        parts.append(units.show(counted, row.unit, system=row.system))
    return f"{', '.join(parts)} of "
