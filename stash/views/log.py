"""Logging cloth: a new fabric with its first cloth, or more of one she has."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say
from stash.forms.arrival import THERE, ArrivalForm, LogForm, UnderstoodForm
from stash.forms.fabric import FactsForm
from stash.models import Fabric, Movement
from stash.queries.history import haul, tell_of
from stash.queries.shelf import alike, fabric, places, shops
from stash.services import fabrics, photos
from stash.services.errors import StashError


@require_http_methods(["GET", "POST"])
def log(request: PersonRequest) -> HttpResponse:
    """A fabric she has not had before."""
    owner, now = request.user, clock.now()
    if request.method == "POST":
        form = LogForm(request.POST, request.FILES, owner=owner, today=today(request))
        if form.is_valid():
            try:
                movement = fabrics.log(
                    owner=owner, facts=form.facts(), arrival=form.arrival(), now=now, photo=form.photo
                )
            except StashError as why:
                form.add_error("name", str(why))
            else:
                return _logged(request, movement)
    else:
        form = LogForm(owner=owner, today=today(request), initial=_as_last_time(request))
        form.fields["name"].widget.attrs["autofocus"] = True
    context = {"form": form, "kept": kept_photo(request, form), **_offers(request)}
    return page(request, "stash/log.html", context)


@require_http_methods(["GET", "POST"])
def more(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """More of a fabric she has."""
    owner, now = request.user, clock.now()
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    said: dict[str, Any] = {
        "owner": owner,
        "today": today(request),
        "usable_width": known.usable_width,
    }
    if request.method == "POST":
        form = ArrivalForm(request.POST, **said)
        if form.is_valid():
            return _logged(request, fabrics.arrive(fabric=known, arrival=form.arrival(), now=now))
    else:
        form = ArrivalForm(**said)
        form.fields["amount"].widget.attrs["autofocus"] = True
    context = {"form": form, "fabric": fabric(owner=owner, fabric_id=fabric_id), **_offers(request)}
    return page(request, "stash/more.html", context)


@require_POST
def understood(request: PersonRequest, fabric_id: int | None = None) -> HttpResponse:
    """What the amount typed so far was understood to be."""
    owner = request.user
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id) if fabric_id is not None else None
    width = known.usable_width if known else None
    form = UnderstoodForm(request.POST, owner=owner, usable_width=width)
    sizes = form.cleaned_data["amount"] if form.is_valid() else ()
    context = {
        "form": form,
        "alike": [(count, size) for size, count in Counter(sizes).items()],
        "typed": request.POST.get("amount", "").strip(),
        "too_wide": any(size.width > (width or form.cleaned_data["usable_width"]) for size in sizes),
    }
    return page(request, "stash/understood.html", context)


@require_safe
def names(request: PersonRequest) -> HttpResponse:
    """Which fabrics of hers are called something like what she types."""
    context = {"alike": alike(owner=request.user, name=request.GET.get("name", ""))}
    return page(request, "stash/names.html", context)


def kept_photo(request: PersonRequest, form: FactsForm) -> dict[str, str]:
    """Set the photo of a form that is not right yet aside; its name and address, empty where there is no photo."""
    if form.photo is None:
        return {}
    owner = request.user
    name = form.kept or photos.set_aside(owner=owner, photo=form.photo, now=clock.now())
    return {"name": name, "url": photos.aside_url(owner=owner, name=name)}


def _logged(request: PersonRequest, movement: Movement) -> HttpResponse:
    sentence = tell_of(movement, request.user.settings.measures)
    say(request, sentence, undo=reverse("stash:undo", args=[movement.pk]))
    if "another" in request.POST:
        return go(request, f"{reverse('stash:log')}?after={movement.pk}")
    return go(request, reverse("stash:fabric", args=[movement.lines.all()[0].piece.fabric_id]))


def _as_last_time(request: PersonRequest) -> dict[str, object]:
    """Cloth bought together: the day, the shop and the place need not be typed again."""
    after = request.GET.get("after", "")
    same = haul(owner=request.user, movement_id=int(after)) if after.isdecimal() and len(after) < 19 else None
    if same is None:
        place = request.GET.get("place", "")  # where a count found cloth that was not written down
        return {"place": place, "came": THERE} if place else {}
    return {"day": same.day, "place": same.place, "bought_from": same.bought_from, "currency": same.currency}


def _offers(request: PersonRequest) -> dict[str, object]:
    return {"places": places(owner=request.user), "shops": shops(owner=request.user)}
