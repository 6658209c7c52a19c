"""Notions: what is left of each, one with its history, and what is bought, used and counted of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms.notions import SORTS, AddForm, BoughtForm, ChangeForm, CountedForm, FactsForm, paid_for, sort_of
from stash.models import Notion, NotionChange
from stash.queries.notions import history, one, tell
from stash.queries.notions import notions as shelf
from stash.queries.shelf import places, shops
from stash.services import notions as services
from stash.services.errors import StashError


@dataclass(frozen=True, slots=True)
class Act:
    """Something done to a notion: its words, what they mean, the words of its button, and its form."""

    words: str
    meaning: str
    button: str
    form: type[ChangeForm]


ACTS: Mapping[str, Act] = {
    "used": Act("Used some", "So much of it is gone.", "It is used", ChangeForm),
    "bought": Act("Bought more", "So much came.", "It is bought", BoughtForm),
    "counted": Act("Count it", "Say what is there; the difference is written down.", "So much is there", CountedForm),
}


@require_safe
def notions(request: PersonRequest) -> HttpResponse:
    """All of them by kind, what runs low first."""
    context = {"shelf": shelf(owner=request.user, system=request.user.settings.measures), "sorts": SORTS}
    return page(request, "stash/notions.html", context)


@require_http_methods(["GET", "POST"])
def add(request: PersonRequest, sort: str) -> HttpResponse:
    """A notion she did not have before."""
    if sort not in SORTS:
        raise Http404
    owner = request.user
    form = AddForm(request.POST or None, owner=owner, sort=SORTS[sort], today=today(request))
    if form.is_valid():
        try:
            change = services.log(owner=owner, facts=form.facts(), came=form.came(), now=clock.now())
        except StashError as why:
            form.add_error("name", str(why))
        else:
            return _done(request, change)
    context = {"form": form, "sort": SORTS[sort], **_offers(request)}
    return page(request, "stash/notions_add.html", context)


@require_safe
def notion(request: PersonRequest, notion_id: int) -> HttpResponse:
    """One, with what can be done to it."""
    return _page(request, _own(request, notion_id))


@require_POST
def act(request: PersonRequest, notion_id: int, key: str) -> HttpResponse:
    """Do one thing to it, or show its form again with what was wrong."""
    known = _own(request, notion_id)
    if key not in ACTS:
        raise Http404
    form = ACTS[key].form(request.POST, owner=request.user, notion=known, act=key, today=today(request))
    if form.is_valid():
        try:
            return _done(request, _do(key, known, form.cleaned_data))
        except StashError as why:
            form.add_error("amount", str(why))
    return _page(request, known, key, form)


def _do(key: str, known: Notion, data: Mapping[str, Any]) -> NotionChange:
    said: dict[str, Any] = {"notion": known, "day": data["day"], "note": data["note"], "now": clock.now()}
    match key:
        case "used":
            return services.used(amount=data["amount"], **said)
        case "bought":
            return services.bought(amount=data["amount"], paid=paid_for(data), **said)
        case _:
            return services.counted(found=data["amount"], **said)


@require_http_methods(["GET", "POST"])
def edit(request: PersonRequest, notion_id: int) -> HttpResponse:
    """Say other things of it."""
    known = _own(request, notion_id)
    form = FactsForm(request.POST or None, owner=request.user, sort=sort_of(known), notion=known)
    if form.is_valid():
        try:
            services.change(notion=known, facts=form.facts())
        except StashError as why:
            form.add_error("name", str(why))
        else:
            say(request, f"{known.name}: saved.")
            return go(request, reverse("stash:notion", args=[notion_id]))
    name = Notion.objects.values_list("name", flat=True).get(pk=notion_id)
    context = {"form": form, "notion_id": notion_id, "name": name, **_offers(request)}
    return page(request, "stash/notion_edit.html", context)


@require_POST
def keep(request: PersonRequest, notion_id: int, how: str) -> HttpResponse:
    """Put it away, or take it out again."""
    known = _own(request, notion_id)
    away = how == "away"
    services.keep(notion=known, put_away_at=clock.now() if away else None)
    undo = reverse("stash:notion_keep", args=[notion_id, "out" if away else "away"])
    say(request, f"{known.name} is {'put away' if away else 'among your notions again'}.", undo=undo)
    return go(request, reverse("stash:notions") if away else reverse("stash:notion", args=[notion_id]))


@require_POST
def undo(request: PersonRequest, change_id: int) -> HttpResponse:
    """Take a change back, or say why it cannot be."""
    rows = NotionChange.objects.filter(notion__owner=request.user).select_related("notion__owner")
    change = get_object_or_404(rows, pk=change_id)
    try:
        reversal = services.reverse(change=change, day=today(request), now=clock.now())
    except StashError as why:
        warn(request, str(why))
        return go(request, reverse("stash:notion", args=[change.notion_id]))
    told = tell(change, change.notion, request.user.settings.measures)
    said = "done again" if change.reverses_id else f"undone: {told[0].lower()}{told[1:]}"
    say(request, f"{change.notion.name}, {said.rstrip('.')}.", undo=reverse("stash:notion_undo", args=[reversal.pk]))
    return go(request, reverse("stash:notion", args=[change.notion_id]))


def _own(request: PersonRequest, notion_id: int) -> Notion:
    return get_object_or_404(Notion.objects.of(request.user).select_related("owner"), pk=notion_id)


def _done(request: PersonRequest, change: NotionChange) -> HttpResponse:
    told = tell(change, change.notion, request.user.settings.measures)
    sentence = f"{change.notion.name}: {told[0].lower()}{told[1:]}"
    say(request, sentence, undo=reverse("stash:notion_undo", args=[change.pk]))
    return go(request, reverse("stash:notion", args=[change.notion_id]))


def _page(
    request: PersonRequest, known: Notion, tried: str | None = None, wrong: ChangeForm | None = None
) -> HttpResponse:
    owner, day = request.user, today(request)
    acts = [
        {
            "key": key,
            "act": each,
            "tried": key == tried,
            "form": wrong if key == tried else each.form(owner=owner, notion=known, act=key, today=day),
        }
        for key, each in ACTS.items()
    ]
    context = {
        "row": one(owner=owner, notion_id=known.pk, system=owner.settings.measures),
        "acts": [] if known.put_away_at and tried is None else acts,
        "history": history(notion=known, system=owner.settings.measures),
        **_offers(request),
    }
    return page(request, "stash/notion.html", context)


def _offers(request: PersonRequest) -> dict[str, object]:
    return {"places": places(owner=request.user), "shops": shops(owner=request.user)}
