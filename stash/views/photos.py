"""A fabric's photos: adding some, choosing its face, showing a part of one and how much cloth that is, and taking one off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django.core import signing
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms.photos import MOST_AT_ONCE, CutForm, PhotosForm
from stash.models import Fabric, Photo
from stash.queries.photos import photos_of
from stash.services import photos
from stash.services.errors import StashError
from stash.services.photos import ASIDE_FOR, TakenOff

_SALT = "stash.photos"


@require_http_methods(["GET", "POST"])
def of_fabric(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """All photos of a fabric; a POST adds some."""
    owner = request.user
    fabric = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    form = PhotosForm(request.POST, request.FILES) if request.method == "POST" else PhotosForm()
    if form.is_valid():
        added, wrong = _add(fabric, form)
        if added:
            say(request, f"{fabric.name}: {added} photo{'' if added == 1 else 's'} added.")
            for sentence in wrong:
                warn(request, sentence)
            return go(request, reverse("stash:photos", args=[fabric_id]))
        for sentence in wrong:
            form.add_error("photos", sentence)
    context = {
        "fabric": fabric,
        "form": form,
        "photos": photos_of(owner=owner, fabric=fabric),
        "most": MOST_AT_ONCE,
        "room": fabric.photos.count() < photos.MOST,
    }
    return page(request, "stash/photos.html", context)


@require_http_methods(["GET", "POST"])
def cut(request: PersonRequest, photo_id: int) -> HttpResponse:
    """Show another part of a photo, or say how much cloth it shows."""
    photo = _own(request, photo_id)
    system = request.user.settings.measures
    form = CutForm(request.POST if request.method == "POST" else None, photo=photo, system=system)
    if form.is_valid():
        undo = _undo(photo.fabric_id, "cut", photo=photo_id, box=photo.box, shows=photo.shows)
        try:
            photos.recut(photo=photo, box=form.box(), shows=form.shows())
        except StashError as why:
            form.add_error(None, str(why))
        else:
            say(request, f"{photo.fabric.name}: the photo is changed.", undo=undo)
            return go(request, reverse("stash:photos", args=[photo.fabric_id]))
    return page(request, "stash/photos_cut.html", {"photo": photo, "fabric": photo.fabric, "form": form})


@require_POST
def face(request: PersonRequest, photo_id: int) -> HttpResponse:
    """Show a photo wherever its fabric is shown."""
    photo = _own(request, photo_id)
    undo = _undo(photo.fabric_id, "order", ids=list(photo.fabric.photos.values_list("pk", flat=True)))
    photos.make_face(photo=photo)
    say(request, f"{photo.fabric.name} is shown by that photo now.", undo=undo)
    return go(request, reverse("stash:photos", args=[photo.fabric_id]))


@require_POST
def take_off(request: PersonRequest, photo_id: int) -> HttpResponse:
    """Take a photo off its fabric; for a day it can be brought back."""
    photo = _own(request, photo_id)
    gone = photos.take_off(photo=photo, now=clock.now())
    undo = _undo(photo.fabric_id, "back", **asdict(gone)) if gone else ""
    say(request, f"{photo.fabric.name}: a photo was taken off.", undo=undo)
    return go(request, reverse("stash:photos", args=[photo.fabric_id]))


@require_POST
def undo(request: PersonRequest, fabric_id: int, token: str) -> HttpResponse:
    """Take back what was done to the fabric's photos; the token, which nobody else can write, says how they were."""
    fabric = get_object_or_404(Fabric.objects.of(request.user), pk=fabric_id)
    try:
        _as_it_was(fabric, signing.loads(token, salt=_SALT, max_age=ASIDE_FOR))
    except (signing.BadSignature, Photo.DoesNotExist):
        warn(request, "That can no longer be undone.")
    except StashError as why:
        warn(request, str(why))
    else:
        say(request, f"{fabric.name}: its photos are as they were.")
    return go(request, reverse("stash:photos", args=[fabric_id]))


def _as_it_was(fabric: Fabric, was: Mapping[str, Any]) -> None:
    match was["did"]:
        case "order":
            photos.put_in_order(fabric=fabric, ids=was["ids"])
        case "cut":
            left, top, right, bottom = was["box"]
            photo = fabric.photos.get(pk=was["photo"])
            photos.recut(photo=photo, box=(left, top, right, bottom), shows=was["shows"])
        case _:
            left, top, right, bottom = was["box"]
            gone = TakenOff(was["name"], (left, top, right, bottom), was["shows"], tuple(was["order"]), was["was"])
            photos.put_back(fabric=fabric, gone=gone, now=clock.now())


def _undo(fabric_id: int, did: str, **was: object) -> str:
    return reverse("stash:photos_undo", args=[fabric_id, signing.dumps({"did": did, **was}, salt=_SALT)])


def _own(request: PersonRequest, photo_id: int) -> Photo:
    return get_object_or_404(Photo.objects.of(request.user).select_related("fabric"), pk=photo_id)


def _add(fabric: Fabric, form: PhotosForm) -> tuple[int, list[str]]:
    """How many were added, and a sentence for each that was not."""
    added, wrong = 0, []
    for name, photo, why in form.each():
        try:
            if photo is None:
                raise StashError(why)
            photos.add(fabric=fabric, photo=photo, now=clock.now())
        except StashError as refused:
            wrong.append(f"{name}: {refused}")
        else:
            added += 1
    return added, wrong
