"""What stands round every page of a plan? Whose it is, its name and state, the steps of the job, and the drawn quilt."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.utils.safestring import SafeString

from plans.models import Plan
from plans.queries.dressed import ByRole, dressed, given
from plans.queries.plans import can_change, moves
from plans.queries.worked import Fault, Worked, worked
from quiltbook.measures import System
from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page
from quiltbook.web.pictures import quilt_svg
from quiltbook.yardage.tops import drawn

# The parts of a plan in the order of the job: the key, which is the name of its address too, and its words.
STEPS = (
    ("left", "What is left"),
    ("top", "Top"),
    ("cloth", "Cloth"),
    ("cutting", "Cutting"),
    ("sewing", "Sewing"),
    ("finishing", "Finishing"),
    ("hours", "Hours"),
)


def plan_page(
    request: PersonRequest,
    plan: Plan,
    template: str,
    here: str,
    context: Mapping[str, Any] | None = None,
    *,
    fragment: str | None = None,
    done: Worked | Fault | None = None,
) -> HttpResponse:
    """A page that extends plans/base_plan.html. `here` is the key of its step, `done` what `worked(plan)` gave, if it is known."""
    work = worked(plan) if done is None else done
    draw = partial(quilt, plan.pk, plan.name, work, system=request.user.settings.measures)
    frame = {
        "plan": plan,
        "here": here,
        "steps": steps(plan),
        "moves": moves(plan),
        "fixed": can_change(plan),
        "finished_size": work.top.finished if isinstance(work, Worked) else None,
        "fault": work if isinstance(work, Fault) else None,
        # Drawn only where a template asks for them.
        "picture": draw,
        "thumbnail": partial(draw, mark="-small"),
    }
    return page(request, template, {**frame, **(context or {})}, fragment=fragment)


def steps(plan: Plan) -> list[dict[str, str]]:
    """The plan's pages, for the navigation."""
    return [{"key": key, "words": words, "url": reverse(f"plans:{key}", args=[plan.pk])} for key, words in STEPS]


def quilt(
    plan_id: int, name: str, work: Worked | Fault, *, system: System, cloths: ByRole | None = None, mark: str = ""
) -> SafeString:
    """The drawn quilt in its cloths, to scale; nothing where the plan cannot be worked out. `mark` tells it from another picture of the same
    quilt on the page."""
    if isinstance(work, Fault):
        return SafeString("")
    shapes = drawn(work.top)
    by_role = given([plan_id]).get(plan_id, {}) if cloths is None else cloths
    return quilt_svg(
        shapes,
        finished=work.top.finished,
        given=dressed(work, shapes, by_role),
        key=f"quilt-{plan_id}{mark}",
        title=name,
        system=system,
    )
