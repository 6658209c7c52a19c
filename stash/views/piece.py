"""One piece of cloth, and what can be done to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import page
from stash.forms.piece import GoneForm, MeasuredForm, MoveForm, PieceForm, SplitForm
from stash.models import Movement, Piece
from stash.queries.history import history
from stash.queries.shelf import fabric, one_piece, places
from stash.queries.shrinkage import is_washed, learned, to_expect, told
from stash.services import cloth
from stash.services.errors import StashError
from stash.views.fabric import done


@dataclass(frozen=True, slots=True)
class Act:
    """Something done to a piece: its words, what they mean, the words of its button, its form, the field a refusal is about, and
    whether it may be done while a plan holds the piece."""

    words: str
    meaning: str
    button: str
    form: type[PieceForm]
    field: str | None = None
    while_held: bool = False


ACTS: Mapping[str, Act] = {
    "move": Act("Move it", "It lies somewhere else now.", "Move it", MoveForm, "place", while_held=True),
    "wash": Act("Washed", "Measure it again: cloth shrinks.", "It is washed", MeasuredForm),
    "count": Act("Measure again", "It is not the size written down.", "It is this size", MeasuredForm),
    "split": Act("Cut it up", "Into smaller pieces, outside any plan.", "It is cut", SplitForm, "amount"),
    "give": Act("Give it away", "It leaves the shelf; say to whom if you like.", "It is given away", GoneForm),
    "scrap": Act("Scrap it", "Too small or too worn to count any more.", "It is scrapped", GoneForm),
    "gone": Act("Not there any more", "You looked, and it is not where it should be.", "It is gone", GoneForm),
}


@require_safe
def piece(request: PersonRequest, piece_id: int) -> HttpResponse:
    """The piece's page, with a form for everything that can be done to it."""
    known = get_object_or_404(Piece.objects.of(request.user).select_related("fabric"), pk=piece_id)
    return _page(request, known)


@require_POST
def act(request: PersonRequest, piece_id: int, key: str) -> HttpResponse:
    """Do one thing to the piece, or show its form again with what was wrong."""
    owner = request.user
    known = get_object_or_404(Piece.objects.of(owner).select_related("fabric"), pk=piece_id)
    if key not in ACTS:
        raise Http404
    form = ACTS[key].form(request.POST, owner=owner, piece=known, act=key)
    if form.is_valid():
        try:
            return done(request, _do(key, form, today(request), clock.now()))
        except StashError as why:
            form.add_error(ACTS[key].field, str(why))
    return _page(request, known, key, form)


def _do(key: str, form: PieceForm, day: date, now: datetime) -> Movement:
    piece, data = form.piece, form.cleaned_data
    note = data.get("note", "")
    match key, form:
        case "move", _:
            return cloth.move(piece=piece, place=data["place"], day=day, now=now)
        case "wash", MeasuredForm():
            return cloth.wash(piece=piece, measured=form.measured(), day=day, now=now)
        case "count", MeasuredForm():
            return cloth.recount(piece=piece, measured=form.measured(), day=day, now=now)
        case "split", _:
            return cloth.split(piece=piece, sizes=data["amount"], keep_rest=data["keep_rest"], day=day, now=now)
        case "give", _:
            return cloth.give_away(piece=piece, day=day, now=now, note=note)
        case "scrap", _:
            return cloth.scrap(piece=piece, day=day, now=now, note=note)
        case _:
            return cloth.recount(piece=piece, measured=None, day=day, now=now, note=note)


def _page(
    request: PersonRequest, known: Piece, tried: str | None = None, wrong: PieceForm | None = None
) -> HttpResponse:
    owner = request.user
    row = one_piece(owner=owner, piece_id=known.pk)
    open_to = [key for key, act in ACTS.items() if row.on_shelf and (act.while_held or not row.held_for)]
    if tried is not None and tried not in open_to:
        open_to.append(tried)
    acts = [
        {
            "key": key,
            "act": ACTS[key],
            "tried": key == tried,
            "form": wrong if key == tried else ACTS[key].form(owner=owner, piece=known, act=key),
        }
        for key in open_to
    ]
    known_by = learned(owner=owner, kind=known.fabric.kind)
    expected = to_expect(known_by, known.size, owner.settings.measures)
    context = {
        "washed_before": is_washed(known),
        "shrinkage": f"{told(known_by)} {expected}" if known_by else "",
        "fabric": fabric(owner=owner, fabric_id=known.fabric_id),
        "piece": row,
        "acts": acts,
        "history": history(owner=owner, fabric_id=known.fabric_id, piece_id=known.pk, system=owner.settings.measures),
        "places": places(owner=owner),
    }
    return page(request, "stash/piece.html", context)
