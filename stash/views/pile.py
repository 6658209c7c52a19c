"""Logging a pile: several photos at once become several fabrics, and are filled in one after another."""

from __future__ import annotations

from dataclasses import asdict
from urllib.parse import urlencode

from django.core import signing
from django.http import HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms.photos import MOST_AT_ONCE, PhotosForm
from stash.forms.pile import FillInForm
from stash.models import Fabric, Movement
from stash.queries.history import tell_of
from stash.queries.photos import next_to_fill_in, to_fill_in
from stash.queries.shelf import places
from stash.services import pile
from stash.services.errors import StashError
from stash.services.photos import ASIDE_FOR
from stash.services.pile import LeftOut

_SALT = "stash.pile"


@require_http_methods(["GET", "POST"])
def photos(request: PersonRequest) -> HttpResponse:
    """Choose the photos of a pile; each that can be read becomes a fabric of its own. A script sends them `alone`, one by one."""
    form = PhotosForm(request.POST, request.FILES) if request.method == "POST" else PhotosForm()
    alone = request.method == "POST" and "alone" in request.POST
    if form.is_valid():
        kept, wrong = _keep(request, form)
        if alone:
            return JsonResponse({"kept": kept, "wrong": wrong})
        if kept:
            say(request, f"{kept} photo{' is' if kept == 1 else 's are'} kept: now say what each one is.")
            for sentence in wrong:
                warn(request, sentence)
            return go(request, reverse("stash:to_fill_in"))
        for sentence in wrong:
            form.add_error("photos", sentence)
    elif alone:
        return JsonResponse({"kept": 0, "wrong": [str(error) for error in form.errors.get("photos", [])]})
    context = {"form": form, "most": MOST_AT_ONCE, "waiting": len(to_fill_in(owner=request.user))}
    return page(request, "stash/pile.html", context)


@require_safe
def waiting(request: PersonRequest) -> HttpResponse:
    """Everything that is still to be filled in."""
    return page(request, "stash/pile_waiting.html", {"waiting": to_fill_in(owner=request.user)})


@require_http_methods(["GET", "POST"])
def fill_in(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """Say what one photo is: its name and how much there is; then on to the next."""
    owner = request.user
    fabric = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id, to_fill_in=True)
    place = request.GET.get("place", "")[:80]
    if request.method == "POST":
        form = FillInForm(request.POST, owner=owner, fabric=fabric)
        if form.is_valid():
            try:
                movement = pile.fill_in(
                    fabric=fabric, said=form.said(), arrival=form.arrival(today(request)), now=clock.now()
                )
            except StashError as why:
                form.add_error("name", str(why))
            else:
                undo = reverse("stash:fill_in_again", args=[fabric_id, movement.pk])
                say(request, tell_of(movement, owner.settings.measures), undo=undo)
                return go(request, _next(request, fabric_id, form.cleaned_data["place"]))
    else:
        form = FillInForm(owner=owner, fabric=fabric, place=place)
        form.fields["name"].widget.attrs["autofocus"] = True
    left = to_fill_in(owner=owner)
    context = {
        "form": form,
        "fabric": fabric,
        "left": len(left),
        "next": _next(request, fabric_id, place) if len(left) > 1 else "",
        "places": places(owner=owner),
    }
    return page(request, "stash/pile_fill_in.html", context)


@require_POST
def fill_in_again(request: PersonRequest, fabric_id: int, movement_id: int) -> HttpResponse:
    """Take back what was said of a photo: its cloth leaves the shelf, and it is to be filled in again."""
    owner = request.user
    fabric = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    movement = get_object_or_404(
        Movement.objects.of(owner).filter(lines__piece__fabric=fabric).distinct(), pk=movement_id
    )
    try:
        pile.fill_in_again(fabric=fabric, movement=movement, day=today(request), now=clock.now())
    except StashError as why:
        warn(request, str(why))
        return go(request, reverse("stash:fabric", args=[fabric_id]))
    say(request, f"{fabric.name} is to be filled in again.")
    return go(request, reverse("stash:fill_in", args=[fabric_id]))


@require_POST
def leave_out(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """Forget one photo of the pile; for a day it can be brought back."""
    fabric = get_object_or_404(Fabric.objects.of(request.user), pk=fabric_id)
    name, onward = fabric.name, _next(request, fabric_id, "")
    try:
        gone = pile.leave_out(fabric=fabric, now=clock.now())
    except StashError as why:
        warn(request, str(why))
    else:
        token = signing.dumps(asdict(gone), salt=_SALT) if gone else ""
        say(request, f"{name} is left out.", undo=reverse("stash:bring_back", args=[token]) if gone else "")
    return go(request, onward)


@require_POST
def bring_back(request: PersonRequest, token: str) -> HttpResponse:
    """Bring back a photo that was left out."""
    try:
        gone = LeftOut(**signing.loads(token, salt=_SALT, max_age=ASIDE_FOR))
        fabric = pile.bring_back(owner=request.user, gone=gone, day=today(request), now=clock.now())
    except signing.BadSignature:
        warn(request, "That can no longer be undone.")
    except StashError as why:
        warn(request, str(why))
    else:
        return go(request, reverse("stash:fill_in", args=[fabric.pk]))
    return go(request, reverse("stash:to_fill_in"))


def _next(request: PersonRequest, fabric_id: int, place: str) -> str:
    """The address of the next one to fill in, with the place of the last; of the shelf where none is left."""
    onward = next_to_fill_in(owner=request.user, after=fabric_id)
    if onward is None:
        return reverse("stash:shelf")
    return reverse("stash:fill_in", args=[onward]) + (f"?{urlencode({'place': place})}" if place else "")


def _keep(request: PersonRequest, form: PhotosForm) -> tuple[int, list[str]]:
    """How many became fabrics, and a sentence for each that did not."""
    kept, wrong = 0, []
    for name, photo, why in form.each():
        try:
            if photo is None:
                raise StashError(why)
            pile.log_photo(owner=request.user, photo=photo, day=today(request), now=clock.now())
        except StashError as refused:
            wrong.append(f"{name}: {refused}")
        else:
            kept += 1
    return kept, wrong
