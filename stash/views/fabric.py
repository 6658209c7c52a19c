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
from stash.services import cloth, fabrics, ledger, photos
from stash.services.errors import StashError
from stash.views.log import kept_photo


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
    """Say other things of the fabric, or give it another photo."""
    owner = request.user
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    if request.method == "POST":
        form = FactsForm(request.POST, request.FILES, owner=owner, fabric=known)
        if form.is_valid():
            before = photos.of(fabric=known)
            try:
                fabrics.change(
                    fabric=known,
                    facts=form.facts(),
                    photo=form.photo,
                    without_photo=form.cleaned_data.get("without_photo", False),
                )
            except StashError as why:
                form.add_error("name", str(why))
            else:
                gone = before if form.photo or form.cleaned_data.get("without_photo") else None
                _say_changed(request, known, gone)
                return go(request, reverse("stash:fabric", args=[fabric_id]))
    else:
        form = FactsForm(owner=owner, fabric=known)
    context = {
        "form": form,
        "fabric": fabric_row(owner=owner, fabric_id=fabric_id),
        "kept": kept_photo(request, form),
    }
    return page(request, "stash/edit.html", context)


@require_POST
def photo_back(request: PersonRequest, fabric_id: int, name: str) -> HttpResponse:
    """Give the fabric back the photo it had before, while that is still set aside."""
    owner = request.user
    known = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    photo = photos.aside(owner=owner, name=name)
    if photo is None:
        warn(request, "The photo it had before is no longer here.")
    else:
        gone = photos.of(fabric=known)
        fabrics.give_photo(fabric=known, photo=photo)
        _say_changed(request, known, gone)
    return go(request, reverse("stash:fabric", args=[fabric_id]))


def _say_changed(request: PersonRequest, known: Fabric, gone: bytes | None) -> None:
    """Say that it is saved, with a way back to the photo that gave way, if one did."""
    undo = ""
    if gone is not None:
        name = photos.set_aside(owner=request.user, photo=gone, now=clock.now())
        undo = reverse("stash:photo_back", args=[known.pk, name])
    say(request, f"{known.name}: saved{', with another picture' if gone else ''}.", undo=undo)


@require_POST
def undo(request: PersonRequest, movement_id: int) -> HttpResponse:
    """Take a movement back, or say why it cannot be."""
    owner = request.user
    movement = get_object_or_404(Movement.objects.of(owner), pk=movement_id)
    try:
        reversal = ledger.undo(movement=movement, day=today(request), now=clock.now())
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
