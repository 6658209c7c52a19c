"""Scrap bins: what lies in each by weight, and what is put in, taken out and weighed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms.scraps import BinForm, WeightForm
from stash.models import ScrapBin, ScrapChange
from stash.queries.scraps import bin_history, bins, one_bin, tell
from stash.queries.shelf import places
from stash.services import scraps as services
from stash.services.errors import StashError


@dataclass(frozen=True, slots=True)
class Act:
    """Something done to a bin: its words, what they mean, the words of its button, and whether nothing is a weight there."""

    words: str
    meaning: str
    button: str
    allow_zero: bool = False


ACTS: Mapping[str, Act] = {
    "put-in": Act("Put in", "Weigh what you put in.", "It is in"),
    "take-out": Act("Take out", "Weigh what you take out.", "It is out"),
    "weigh": Act("Weigh it", "What the scraps in it weigh now, without the bin.", "It weighs so much", True),
}


@require_http_methods(["GET", "POST"])
def scraps(request: PersonRequest) -> HttpResponse:
    """All bins; a POST adds one."""
    owner = request.user
    form = BinForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            added = services.add_bin(owner=owner, now=clock.now(), **form.cleaned_data)
        except StashError as why:
            form.add_error("name", str(why))
        else:
            return go(request, reverse("stash:scrap_bin", args=[added.pk]))
    context = {"bins": bins(owner=owner, system=owner.settings.measures), "form": form, "places": places(owner=owner)}
    return page(request, "stash/scraps.html", context)


@require_safe
def scrap_bin(request: PersonRequest, bin_id: int) -> HttpResponse:
    """One bin, with what can be done to it."""
    return _page(request, _own(request, bin_id))


@require_POST
def act(request: PersonRequest, bin_id: int, key: str) -> HttpResponse:
    """Put in, take out or weigh, or show the form again with what was wrong."""
    known = _own(request, bin_id)
    if key not in ACTS:
        raise Http404
    form = _form(request, key, data=True)
    if form.is_valid():
        service = {"put-in": services.put_in, "take-out": services.take_out, "weigh": services.weigh}[key]
        try:
            change = service(scrap_bin=known, now=clock.now(), **form.cleaned_data)
        except StashError as why:
            form.add_error("grams", str(why))
        else:
            told = tell(change, request.user.settings.measures)
            sentence = f"{known.name}: {told[0].lower()}{told[1:]}"
            say(request, sentence, undo=reverse("stash:scrap_undo", args=[change.pk]))
            return go(request, reverse("stash:scrap_bin", args=[bin_id]))
    return _page(request, known, key, form)


@require_http_methods(["GET", "POST"])
def edit(request: PersonRequest, bin_id: int) -> HttpResponse:
    """Say other things of a bin."""
    known = _own(request, bin_id)
    initial = {"name": known.name, "place": known.place, "grams_per_m2": known.grams_per_m2}
    form = BinForm(request.POST if request.method == "POST" else None, initial=initial)
    if form.is_valid():
        try:
            services.change_bin(scrap_bin=known, **form.cleaned_data)
        except StashError as why:
            form.add_error("name", str(why))
        else:
            say(request, f"{known.name}: saved.")
            return go(request, reverse("stash:scrap_bin", args=[bin_id]))
    context = {"form": form, "bin_id": bin_id, "name": initial["name"], "places": places(owner=request.user)}
    return page(request, "stash/scraps_edit.html", context)


@require_POST
def undo(request: PersonRequest, change_id: int) -> HttpResponse:
    """Take a change back, or say why it cannot be."""
    rows = ScrapChange.objects.filter(bin__owner=request.user).select_related("bin__owner")
    change = get_object_or_404(rows, pk=change_id)
    try:
        reversal = services.reverse(change=change, day=today(request), now=clock.now())
    except StashError as why:
        warn(request, str(why))
    else:
        told = tell(change, request.user.settings.measures)
        said = "done again" if change.reverses_id else f"undone: {told[0].lower()}{told[1:]}"
        undo_url = reverse("stash:scrap_undo", args=[reversal.pk])
        say(request, f"{change.bin.name}, {said.rstrip('.')}.", undo=undo_url)
    return go(request, reverse("stash:scrap_bin", args=[change.bin_id]))


def _own(request: PersonRequest, bin_id: int) -> ScrapBin:
    return get_object_or_404(ScrapBin.objects.of(request.user).select_related("owner"), pk=bin_id)


def _form(request: PersonRequest, key: str, *, data: bool = False) -> WeightForm:
    return WeightForm(
        request.POST if data else None,
        system=request.user.settings.measures,
        act=key,
        today=today(request),
        allow_zero=ACTS[key].allow_zero,
    )


def _page(
    request: PersonRequest, known: ScrapBin, tried: str | None = None, wrong: WeightForm | None = None
) -> HttpResponse:
    owner = request.user
    acts = [
        {"key": key, "act": each, "tried": key == tried, "form": wrong if key == tried else _form(request, key)}
        for key, each in ACTS.items()
    ]
    context = {
        "bin": one_bin(owner=owner, bin_id=known.pk, system=owner.settings.measures),
        "acts": acts,
        "history": bin_history(bin_id=known.pk, system=owner.settings.measures),
    }
    return page(request, "stash/scraps_bin.html", context)
