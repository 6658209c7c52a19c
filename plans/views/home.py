"""The first page: what is on the go, what is left of each, and what can be sewn now."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.http import HttpResponse

from plans.models.plan import State
from plans.queries.dressed import given
from plans.queries.plans import PlanCard, cards, count_by_state
from plans.queries.units import show_minutes
from plans.views.frame import quilt
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web.fragments import page
from stash.models import Fabric


def on_the_go(request: PersonRequest) -> HttpResponse:
    """Quilts under way, the one worked on last first."""
    owner, usual = request.user, request.user.settings
    found = cards(owner=owner, states=[State.ON_THE_GO], today=today(request), system=usual.measures)
    minutes = sum(card.minutes_this_week for card in found)
    context = {
        "cards": pictured(request, found),
        "this_week": show_minutes(minutes) if minutes else "",
        "counts": {state.name.lower(): count for state, count in count_by_state(owner=owner).items()},
        "has_cloth": Fabric.objects.of(owner).exists(),
    }
    return page(request, "plans/on_the_go.html", context)


def pictured(request: PersonRequest, found: Iterable[PlanCard]) -> list[dict[str, Any]]:
    """The cards with their pictures."""
    shown = list(found)
    cloths = given(card.id for card in shown)
    system = request.user.settings.measures
    return [
        {
            "card": card,
            "picture": quilt(card.id, card.name, card.work, system=system, cloths=cloths.get(card.id, {})),
            "minutes": show_minutes(card.minutes_this_week) if card.minutes_this_week else "",
        }
        for card in shown
    ]
