"""About how big? The ways to make a quilt that size, side by side, and one of them taken."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django.core import signing
from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from plans.forms.target import TargetForm
from plans.models import Plan
from plans.queries.target import ways
from plans.queries.worked import Fault
from plans.services import target as services
from plans.services.errors import PlanError
from plans.services.target import Before
from plans.views.frame import plan_page, quilt
from plans.views.owned import own_plan
from quiltbook.measures import Size
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go
from quiltbook.web.notices import say, warn

_SALT = "quilt made another size"


def target(request: PersonRequest, plan_id: int) -> HttpResponse:
    """The size wanted stands in the address, so that it can be kept and come back to."""
    plan, system = own_plan(request, plan_id), request.user.settings.measures
    form = TargetForm(request.GET or None, system=system)
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        found = ways(plan, form.target, system)
        context |= {"wanted": form.target, "width": form.target.width, "length": form.target.length}
        if isinstance(found, Fault):
            context["trouble"] = found.sentence
        else:
            context["ways"] = [
                (way, quilt(plan.pk, plan.name, way.work, system=system, mark=f"-way-{n}"))
                for n, way in enumerate(found)
            ]
    return plan_page(request, plan, "plans/target.html", "top", context)


@require_POST
def take(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Take one of the ways: `width` and `length` (nm) are the size that was asked for, `key` the way."""
    plan = own_plan(request, plan_id)
    try:
        size = Size(int(request.POST["width"]), int(request.POST["length"]))
    except (KeyError, ValueError) as wrong:
        raise Http404 from wrong
    try:
        before = services.take(plan=plan, target=size, key=request.POST.get("key", ""), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
        return go(request, reverse("plans:target", args=[plan.pk]))
    was = signing.dumps([plan.pk, asdict(before)], salt=_SALT)
    undo = f"{reverse('plans:target_back', args=[plan.pk])}?{urlencode({'was': was})}"
    say(request, "The quilt is that size now.", undo=undo)
    return go(request, reverse("plans:top", args=[plan.pk]))


@require_POST
def take_back(request: PersonRequest, plan_id: int) -> HttpResponse:
    """As it was before that way was taken."""
    plan = own_plan(request, plan_id)
    try:
        services.take_back(plan=plan, before=_before(plan, request.GET.get("was", "")), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        say(request, "It is as it was.")
    return go(request, reverse("plans:top", args=[plan.pk]))


def _before(plan: Plan, was: str) -> Before:
    try:
        whose, kept = signing.loads(was, salt=_SALT)
    except signing.BadSignature as wrong:
        raise Http404 from wrong
    if whose != plan.pk:
        raise Http404
    widths = {int(pk): width for pk, width in kept["widths"].items()}
    return Before(widths, kept["across"], kept["down"], kept["added"])
