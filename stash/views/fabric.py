"""One fabric: what it is, its pieces, and what happened to it."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms.fabric import FactsForm
from stash.forms.piece import PlaceForm
from stash.models import Fabric, Movement, Piece
from stash.queries.history import history, tell_of
from stash.queries.money import of_fabric
from stash.queries.shelf import fabric as fabric_row
from stash.queries.shelf import places
from stash.queries.shrinkage import learned, told
from stash.services import cloth, fabrics, scraps
from stash.services.errors import StashError


@require_http_methods(["GET", "POST"])
def fabric(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """The fabric's page; a POST moves all its pieces to one place."""
    owner = request.user
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    form = PlaceForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            movement = cloth.move_all(
                pieces=list(Piece.objects.of(owner).on_shelf().filter(fabric=known).select_related("fabric")),
                place=form.cleaned_data["place"],
                day=today(request),
                now=clock.now(),
            )
        except StashError as why:
            form.add_error("place", str(why))
        else:
            return done(request, movement)
    context = {
        "fabric": fabric_row(owner=owner, fabric_id=fabric_id),
        "history": history(owner=owner, fabric_id=fabric_id, system=owner.settings.measures),
        "cost": of_fabric(owner=owner, fabric=known),
        "form": form,
        "places": places(owner=owner),
        "shrinkage": told(known_by) if (known_by := learned(owner=owner, kind=known.kind)) else "",
    }
    return page(request, "stash/fabric.html", context)


@require_http_methods(["GET", "POST"])
def edit(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """Say other things of the fabric."""
    owner = request.user
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    if request.method == "POST":
        form = FactsForm(request.POST, owner=owner, fabric=known)
        if form.is_valid():
            try:
                fabrics.change(fabric=known, facts=form.facts())
            except StashError as why:
                form.add_error("name", str(why))
            else:
                say(request, f"{known.name}: saved.")
                return go(request, reverse("stash:fabric", args=[fabric_id]))
    else:
        form = FactsForm(owner=owner, fabric=known)
    context = {"form": form, "fabric": fabric_row(owner=owner, fabric_id=fabric_id)}
    return page(request, "stash/edit.html", context)


@require_POST
def undo(request: PersonRequest, movement_id: int) -> HttpResponse:
    """Take a movement back, or say why it cannot be."""
    owner = request.user
    movement = get_object_or_404(Movement.objects.of(owner), pk=movement_id)
    try:
        reversal = scraps.undo(movement=movement, day=today(request), now=clock.now())
    except StashError as why:
        warn(request, str(why))
        return go(request, _page_of(movement))
    return done(request, reversal)


def done(request: PersonRequest, movement: Movement) -> HttpResponse:
    """Say what was done, with its way back, on the fabric's page."""
    sentence = tell_of(movement, request.user.settings.measures)
    say(request, sentence, undo=reverse("stash:undo", args=[movement.pk]))
    return go(request, _page_of(movement))


def _page_of(movement: Movement) -> str:
    return reverse("stash:fabric", args=[movement.lines.all()[0].piece.fabric_id])
