"""Colours: the whole stash laid out by hue and value, the colours of one cloth with what goes with it, and a colour taken from a photo."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe
from PIL import Image

from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import warn
from stash import colour
from stash.forms.search import PickForm, PointForm
from stash.models import Fabric, Photo
from stash.queries.colours import goes_with, laid_out, panels, photos_of


@require_safe
def colours(request: PersonRequest) -> HttpResponse:
    """All her cloth by hue and value, in greys if she likes; and the ways to look for one colour."""
    owner = request.user
    context = {
        "families": laid_out(owner=owner),
        "panels": panels(owner=owner),
        "grey": "grey" in request.GET,
        "form": PickForm(),
    }
    return page(request, "stash/colours.html", context)


@require_safe
def colours_of(request: PersonRequest, fabric_id: int) -> HttpResponse:
    """One cloth's photos to take a colour from, and cloth that goes with it."""
    owner = request.user
    fabric = get_object_or_404(Fabric.objects.of(owner), pk=fabric_id)
    context = {
        "fabric": fabric,
        "said": colour.said(fabric.colour),
        "photos": photos_of(owner=owner, fabric=fabric),
        "going": goes_with(owner=owner, fabric=fabric),
    }
    return page(request, "stash/colours_of.html", context)


@require_safe
def colour_at(request: PersonRequest, photo_id: int) -> HttpResponse:
    """Look for cloth near the colour of one point of a photo."""
    photo = get_object_or_404(Photo.objects.of(request.user).select_related("fabric"), pk=photo_id)
    form = PointForm(request.GET)
    try:
        if form.is_valid():
            with photo.medium.open() as file, Image.open(file) as image:
                near = colour.colour_at(image, form.cleaned_data["across"], form.cleaned_data["down"])
            return go(request, f"{reverse('stash:shelf')}?{urlencode({'near': near})}")
        warn(request, "That point is not on the photo: tap it again.")
    except OSError:
        warn(request, "That photo can no longer be read: choose one of its colours instead.")
    return go(request, reverse("stash:colours_of", args=[photo.fabric_id]))
