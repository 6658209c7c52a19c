"""Counting: which places there are, one count with its ticks, and how it ends."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.measures import Size
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page, wants_fragment
from quiltbook.web.notices import say, warn
from stash.forms.stocktake import UNMARKED, BeginForm, FoundForm, LookForm, ResizedForm, resized
from stash.models import Piece, Stocktake, StocktakeMark
from stash.queries.shelf import places
from stash.queries.stocktake import Count, PieceHere, elsewhere, places_to_count
from stash.queries.stocktake import count as count_row
from stash.services import stocktake as services
from stash.services.errors import StashError


@require_http_methods(["GET", "POST"])
def counting(request: PersonRequest) -> HttpResponse:
    """The places that can be counted; a POST begins one, or goes on with it."""
    owner = request.user
    form = BeginForm(request.POST if "place" in request.POST else None)
    if request.method == "POST":
        if "nowhere" in request.POST:
            return _open(request, services.begin(owner=owner, place="", now=clock.now()))
        if form.is_valid():
            return _open(request, services.begin(owner=owner, place=form.cleaned_data["place"], now=clock.now()))
    context = {"rows": places_to_count(owner=owner), "form": form, "places": places(owner=owner)}
    return page(request, "stash/counting.html", context)


@require_safe
def count(request: PersonRequest, stocktake_id: int) -> HttpResponse:
    """One count: what should lie there, and cloth looked for that should not."""
    return _page(request, _own(request, stocktake_id))


@require_POST
def found(request: PersonRequest, stocktake_id: int, piece_id: int) -> HttpResponse:
    """Say that a piece is there, or not, or take that back."""
    known, piece = _own(request, stocktake_id), _piece(request, piece_id)
    form = FoundForm(request.POST)
    if not form.is_valid():
        warn(request, "Press one of the buttons beside the piece.")
        return _back(request, known)
    said = form.cleaned_data["found"]
    try:
        if said == UNMARKED:
            services.unmark(stocktake=known, piece=piece)
        else:
            services.mark(stocktake=known, piece=piece, found=StocktakeMark.Found(said))
    except StashError as why:
        warn(request, str(why))
    return _back(request, known)


@require_POST
def other_size(request: PersonRequest, stocktake_id: int, piece_id: int) -> HttpResponse:
    """Say what a piece measures that is of another size."""
    known, piece = _own(request, stocktake_id), _piece(request, piece_id)
    form = resized(request.POST, owner=request.user, piece=piece)
    if form.is_valid():
        size = Size(form.cleaned_data["width"], form.cleaned_data["length"])
        try:
            services.mark(stocktake=known, piece=piece, found=StocktakeMark.Found.RESIZED, size=size)
        except StashError as why:
            warn(request, str(why))
        return _back(request, known)
    return _page(request, known, wrong={piece.pk: form})


@require_POST
def end(request: PersonRequest, stocktake_id: int, how: str) -> HttpResponse:
    """The rest is there; the count is done; it is dropped; or it is gone on with after all."""
    known, now = _own(request, stocktake_id), clock.now()
    here = reverse("stash:count", args=[known.pk])
    undo = reverse("stash:count_end", args=[known.pk, "reopen"])
    name = known.place or "What lies nowhere in particular"
    try:
        match how:
            case "rest":
                services.rest_is_there(stocktake=known)
                return _back(request, known)
            case "finish":
                left = services.finish(stocktake=known, day=today(request), now=now)
                say(request, f"{name} is counted, and what differed is written down.", undo=undo)
                for sentence in left:
                    warn(request, sentence)
                return go(request, here)
            case "drop":
                services.drop(stocktake=known, now=now)
                say(request, f"The count of {name} is dropped: nothing was changed.", undo=undo)
                return go(request, reverse("stash:counting"))
            case "reopen":
                services.reopen(stocktake=known, day=today(request), now=now)
                say(request, f"The count of {name} goes on, with nothing written down yet.")
            case _:
                raise Http404
    except StashError as why:
        warn(request, str(why))
    return go(request, here)


def _own(request: PersonRequest, stocktake_id: int) -> Stocktake:
    return get_object_or_404(Stocktake.objects.of(request.user), pk=stocktake_id)


def _piece(request: PersonRequest, piece_id: int) -> Piece:
    return get_object_or_404(Piece.objects.of(request.user).select_related("fabric"), pk=piece_id)


def _open(request: PersonRequest, known: Stocktake) -> HttpResponse:
    return go(request, reverse("stash:count", args=[known.pk]))


def _back(request: PersonRequest, known: Stocktake) -> HttpResponse:
    """The list as it is now where the page is there already, else the page."""
    return _page(request, known) if wants_fragment(request) else _open(request, known)


def _page(request: PersonRequest, known: Stocktake, wrong: dict[int, ResizedForm] | None = None) -> HttpResponse:
    owner = request.user
    row: Count = count_row(owner=owner, stocktake_id=known.pk, system=owner.settings.measures)
    look = LookForm(request.GET if "words" in request.GET else None)
    words = look.cleaned_data["words"] if look.is_valid() else ""
    context = {
        "count": row,
        "here": [_shown(request, piece, wrong) for piece in row.here],
        "found_here": [_shown(request, piece, wrong) for piece in row.found_here],
        "look": look,
        "looked_for": words,
        "elsewhere": elsewhere(owner=owner, stocktake_id=known.pk, words=words),
    }
    return page(request, "stash/count.html", context, fragment="count")


def _shown(
    request: PersonRequest, piece: PieceHere, wrong: dict[int, ResizedForm] | None
) -> tuple[PieceHere, ResizedForm]:
    size = piece.measured or piece.size
    form = (wrong or {}).get(piece.id) or ResizedForm(
        owner=request.user, piece_id=piece.id, size=(int(size.width), int(size.length))
    )
    return piece, form
