"""The Hours page: the sittings of one quilt, newest first, and where the hours went. Each can be put right or taken out, and back."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from plans.forms.worklog import SittingForm, typed_before
from plans.queries import hours as queries
from plans.queries.money import plan_costs
from plans.services import sittings
from plans.services.errors import PlanError
from plans.views.frame import plan_page
from plans.views.owned import sitting_of
from plans.views.sewing import board, choices, form_context
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go
from quiltbook.web.notices import say, warn

LAST_PAGE = 10_000


@require_GET
def hours(request: PersonRequest, plan_id: int) -> HttpResponse:
    here = board(request, plan_id)
    owner = request.user
    context = {
        "sewing": here.sewing,
        "spent_on": sorted((row for row in here.sewing.rows if row.minutes), key=lambda row: -row.minutes),
        "sittings": queries.sittings(plan=here.plan, system=owner.settings.measures, page=_page_number(request)),
        "costs": plan_costs(plan=here.plan),
        "this_week": queries.hours_this_week(owner=owner, today=today(request), plan=here.plan),
    }
    return plan_page(request, here.plan, "plans/hours.html", "hours", context, done=here.work)


@require_http_methods(["GET", "POST"])
def correct(request: PersonRequest, plan_id: int, sitting_id: int) -> HttpResponse:
    """A sitting as it was typed, to be put right."""
    sitting = sitting_of(request, plan_id, sitting_id)
    here = board(request, plan_id)
    rows = choices(here)
    if own := here.sewing.row(sitting.stage.key):
        rows = rows if own in rows else (*rows, own)
    before = typed_before(sitting, request.user.settings.measures)
    form = SittingForm(request.POST or None, rows=rows, today=today(request), initial=before)
    if form.is_bound and form.is_valid():
        try:
            new = sittings.correct(
                sitting=sitting,
                work=here.work,
                key=form.cleaned_data["stage"],
                entry=form.entry,
                today=today(request),
                now=clock.now(),
            )
        except sittings.SittingError as why:
            form.refuse(why)
        except PlanError as why:
            form.add_error(None, str(why))
        else:
            say(request, "The sitting is put right.", undo=reverse("plans:sitting_as_it_was", args=[plan_id, new.pk]))
            return go(request, reverse("plans:hours", args=[plan_id]))
    return plan_page(
        request, here.plan, "plans/hours_sitting.html", "hours", form_context(form, here.plan), done=here.work
    )


@require_POST
def remove(request: PersonRequest, plan_id: int, sitting_id: int) -> HttpResponse:
    sitting = sitting_of(request, plan_id, sitting_id)
    try:
        sittings.remove(sitting=sitting, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, "The sitting is taken out.", undo=reverse("plans:sitting_restore", args=[plan_id, sitting_id]))
    return _back(request, plan_id)


@require_POST
def restore(request: PersonRequest, plan_id: int, sitting_id: int) -> HttpResponse:
    sitting = sitting_of(request, plan_id, sitting_id)
    try:
        sittings.restore(sitting=sitting, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, "The sitting counts again.", undo=reverse("plans:sitting_remove", args=[plan_id, sitting_id]))
    return _back(request, plan_id)


@require_POST
def as_it_was(request: PersonRequest, plan_id: int, sitting_id: int) -> HttpResponse:
    """Undo of a correction."""
    sitting = sitting_of(request, plan_id, sitting_id)
    try:
        sittings.take_back_correction(sitting=sitting, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, "The sitting is as it was before.")
    return _back(request, plan_id)


def _page_number(request: PersonRequest) -> int:
    text = request.GET.get("page", "")
    return min(int(text), LAST_PAGE) if text.isascii() and text.isdigit() and len(text) < 10 else 1


def _back(request: PersonRequest, plan_id: int) -> HttpResponse:
    """To the page the button stood on: Sewing or Hours."""
    came_from = urlsplit(request.headers.get("Referer", "")).path
    sewing = reverse("plans:sewing", args=[plan_id])
    return go(request, sewing if came_from == sewing else reverse("plans:hours", args=[plan_id]))
