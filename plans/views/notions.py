"""What she has for the finishing of a quilt: which notion serves which need, what is put on the list, and what is used."""

from __future__ import annotations

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from plans.forms.notion_choices import ChoicesForm
from plans.models import Plan
from plans.queries.notions import notions_rows
from plans.queries.notions_short import Need, needs
from plans.queries.worked import Fault, Worked, worked
from plans.services import buying
from plans.services import notions as services
from plans.services.errors import PlanError
from plans.views.owned import own_plan
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.notices import say, warn
from stash.models import NotionChange


def page_of(plan: Plan) -> str:
    return reverse("plans:finishing", args=[plan.pk])


def needs_of(request: PersonRequest, plan: Plan, work: Worked) -> tuple[Need, ...]:
    """What the plan takes besides cloth, and what there is of it."""
    system = request.user.settings.measures
    return needs(plan, work, notions_rows(plan, work, system), system=system, page=page_of(plan))


@require_POST
def choose(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Which notion serves which need."""
    plan = own_plan(request, plan_id)
    form = ChoicesForm(request.POST, needs=_all(request, plan))
    if not form.is_valid():
        warn(request, "One of those is not there any more: choose again.")
        return _back(plan)
    try:
        services.choose(plan=plan, choices=form.choices())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, "What serves what is kept.")
    return _back(plan)


@require_POST
def used(request: PersonRequest, plan_id: int, key: str) -> HttpResponse:
    """What the need takes is used."""
    plan = own_plan(request, plan_id)
    need = _one(request, plan, key)
    try:
        change = services.use(plan=plan, need=need, page=page_of(plan), day=today(request), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        undo = reverse("plans:notion_unused", args=[plan_id, change.pk])
        say(request, f"{need.words}: used, from {change.notion.name}.", undo=undo)
    return _back(plan)


@require_POST
def unused(request: PersonRequest, plan_id: int, change_id: int) -> HttpResponse:
    """It was not used after all; or, from the notice of that, it was."""
    plan = own_plan(request, plan_id)
    own = NotionChange.objects.filter(notion__owner=request.user, link__startswith=f"{page_of(plan)}#")
    change = get_object_or_404(own.select_related("notion__owner"), pk=change_id)
    try:
        reversal = services.take_back(change=change, day=today(request), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        undo = reverse("plans:notion_unused", args=[plan_id, reversal.pk])
        say(request, f"{change.notion.name}: {'used again' if change.change > 0 else 'not used after all'}.", undo=undo)
    return _back(plan)


@require_POST
def put(request: PersonRequest, plan_id: int, key: str) -> HttpResponse:
    """What is missing goes on the shopping list."""
    plan = own_plan(request, plan_id)
    line = _one(request, plan, key).buy
    if line is None:
        warn(request, "Nothing of that is missing any more.")
        return _back(plan)
    try:
        row = buying.put(plan=plan, role=line.role, what=line.what, length=line.length, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(
            request, f"On the shopping list: {line.what}.", undo=reverse("plans:shopping_line", args=[row.pk, "remove"])
        )
    return _back(plan)


def _all(request: PersonRequest, plan: Plan) -> tuple[Need, ...]:
    work = worked(plan)
    if isinstance(work, Fault):
        raise Http404
    return needs_of(request, plan, work)


def _one(request: PersonRequest, plan: Plan, key: str) -> Need:
    for need in _all(request, plan):
        if need.key == key:
            return need
    raise Http404


def _back(plan: Plan) -> HttpResponse:
    """To the part of the page that it is about."""
    return HttpResponseRedirect(f"{page_of(plan)}#have")
