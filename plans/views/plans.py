"""All her quilts, a new one, and what may be done with one: rename it, move it between states."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from plans.forms.finishing import FinishedForm
from plans.forms.new_plan import NewPlanForm
from plans.forms.plan import NameForm
from plans.models.plan import MOVES, State
from plans.queries.centre import centre_row
from plans.queries.dressed import ByRole
from plans.queries.plans import can_move, cards
from plans.queries.stages import sewing
from plans.queries.worked import worked
from plans.services import plans as services
from plans.services.errors import PlanError
from plans.views.frame import plan_page, quilt
from plans.views.home import pictured
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from quiltbook.web.pictures import Given
from quiltbook.web.svg import Look
from stash.models import Fabric

# The list runs from what is being sewn to what is over.
GROUPS = (State.ON_THE_GO, State.IDEA, State.PUT_ASIDE, State.FINISHED, State.GIVEN_UP)


def plans(request: PersonRequest) -> HttpResponse:
    """Every quilt, by its state."""
    usual = request.user.settings
    found = cards(owner=request.user, states=GROUPS, today=today(request), system=usual.measures)
    shown = pictured(request, found)
    groups = [(state, [card for card in shown if card["card"].state == state]) for state in GROUPS]
    return page(request, "plans/list.html", {"groups": [(state, some) for state, some in groups if some]})


@require_http_methods(["GET", "POST"])
def new(request: PersonRequest) -> HttpResponse:
    """Plan a quilt: what it is called, and its centre."""
    form = NewPlanForm(request.POST if request.method == "POST" else None, owner=request.user)
    if form.is_valid():
        plan = services.start(
            owner=request.user,
            name=form.cleaned_data["name"],
            note=form.cleaned_data["note"],
            centre=form.cleaned_data["centre"],
            panel=form.panel(),
            now=clock.now(),
        )
        say(request, f"“{plan.name}” is planned. Now give it its rounds.")
        return go(request, reverse("plans:top", args=[plan.pk]))
    return page(request, "plans/new.html", {"form": form})


@require_POST
def new_live(request: PersonRequest) -> HttpResponse:
    """What the centre comes to as typed so far, drawn; nothing is kept."""
    form = NewPlanForm(request.POST, owner=request.user)
    form.is_valid()
    context: dict[str, Any] = {"form": form, "live": True}
    if form.work:
        context["centre"] = centre_row(form.work.top, form.system)
        context["picture"] = quilt(0, "The centre", form.work, system=form.system, cloths=_panel_given(form.panel()))
    return page(request, "plans/_new_live.html", context)


def _panel_given(panel: Fabric | None) -> ByRole:
    """A panel of the stash lies in the picture as itself."""
    return {"panel": [Given(Look(panel.name, panel.colour, panel.photo_url))]} if panel else {}


def plan(request: PersonRequest, plan_id: int) -> HttpResponse:
    """To the page of the plan that is wanted most: what is left of a quilt on the go, the top of any other."""
    found = own_plan(request, plan_id)
    return redirect("plans:left" if found.state == State.ON_THE_GO else "plans:top", found.pk)


@require_http_methods(["GET", "POST"])
def name(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Another name, another note."""
    found = own_plan(request, plan_id)
    data = request.POST if request.method == "POST" else None
    form = NameForm(data, initial={"name": found.name, "note": found.note})
    if form.is_valid():
        services.rename(plan=found, **form.cleaned_data, now=clock.now())
        say(request, "Kept.")
        return go(request, reverse("plans:plan", args=[found.pk]))
    return plan_page(request, found, "plans/name.html", "", {"form": form})


@require_POST
def move(request: PersonRequest, plan_id: int, to: str) -> HttpResponse:
    """Move the plan to another state; finishing has a page of its own, since it asks for the day."""
    found, state = own_plan(request, plan_id), _state(to)
    if state == State.FINISHED:
        return go(request, reverse("plans:finished", args=[found.pk]))
    before = State(found.state)
    try:
        services.move(plan=found, to=state, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, f"“{found.name}” is {state.label.lower()} now.", undo=_back(plan_id, state, before))
    return go(request, reverse("plans:plan", args=[found.pk]))


@require_http_methods(["GET", "POST"])
def finished(request: PersonRequest, plan_id: int) -> HttpResponse:
    """The quilt is finished: on which day?"""
    found = own_plan(request, plan_id)
    refusal = can_move(found, State.FINISHED)
    if refusal:
        warn(request, refusal)
        return go(request, reverse("plans:plan", args=[found.pk]))
    data = request.POST if request.method == "POST" else None
    form = FinishedForm(data, today=today(request))
    if not form.is_valid():
        work = worked(found)
        left = sewing(plan=found, work=work, system=request.user.settings.measures).left
        return plan_page(request, found, "plans/finished.html", "", {"form": form, "left": left}, done=work)
    try:
        services.move(plan=found, to=State.FINISHED, finished_on=form.cleaned_data["finished_on"], now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, f"“{found.name}” is finished.", undo=_back(plan_id, State.FINISHED, State.ON_THE_GO))
    return go(request, reverse("plans:plan", args=[found.pk]))


def _state(slug: str) -> State:
    try:
        return State[slug.upper()]
    except KeyError as unknown:
        raise Http404 from unknown


def _back(plan_id: int, state: State, before: State) -> str:
    """The address that takes a move back, where the table has the way back."""
    return reverse("plans:move", args=[plan_id, before.name.lower()]) if before in MOVES[state] else ""
