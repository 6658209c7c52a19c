"""Labels for pieces: choosing them, the sheet to print, and the piece that a code on one opens."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import segno
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page
from stash.forms.labels import A_SHEET, SheetForm, WhichForm
from stash.queries import labels as queries
from stash.queries.labels import Label
from stash.queries.shelf import places

_MOST_TYPED = 19


@dataclass(frozen=True, slots=True)
class Printed:
    """A label with its QR code; no label where a begun sheet has lost one."""

    label: Label | None = None
    square: SafeString | None = None


@require_safe
def labels(request: PersonRequest) -> HttpResponse:
    """Choose the pieces: all of a place or of a fabric are ticked to begin with."""
    owner = request.user
    which = WhichForm(request.GET if "lies" in request.GET else None, places=places(owner=owner))
    place = which.place() if which.is_valid() else None
    one, fabric = _number(request, "piece"), _number(request, "fabric")
    rows, more = queries.labels(owner=owner, pieces=None if one is None else [one], fabric=fabric, place=place)
    form = SheetForm(pieces=[row.piece_id for row in rows])
    context = {"which": which, "rows": rows, "more": more, "form": form, "ticked": {row.piece_id for row in rows}}
    return page(request, "stash/labels.html", {**context, "narrowed": one is not None or fabric is not None})


@require_safe
def sheet(request: PersonRequest) -> HttpResponse:
    """The sheets as they are printed, or the choice again with what was wrong."""
    owner = request.user
    asked = [int(pk) for pk in request.GET.getlist("piece")[: queries.MOST] if _is_number(pk)]
    rows, _ = queries.labels(owner=owner, pieces=asked)
    form = SheetForm(request.GET, pieces=[row.piece_id for row in rows])
    if not form.is_valid():
        listed, more = queries.labels(owner=owner)
        which = WhichForm(places=places(owner=owner))
        context = {"which": which, "rows": listed, "more": more, "form": form, "ticked": set(asked)}
        return page(request, "stash/labels.html", context)
    first = form.cleaned_data["first"] or 1
    context = {
        "paper": form.cleaned_data["paper"],
        "sheets": list(_sheets(request, rows, first)),
        "labels": len(rows),
        "site": request.build_absolute_uri("/"),
    }
    return page(request, "stash/labels_sheet.html", context)


@require_safe
def by_code(request: PersonRequest, code: str) -> HttpResponse:
    """To the piece a label is on."""
    piece = queries.piece_now(owner=request.user, code=code)
    if piece is None:
        raise Http404
    return redirect("stash:piece", piece)


def _sheets(request: PersonRequest, rows: tuple[Label, ...], first: int) -> Iterator[list[Printed]]:
    printed = [Printed()] * (first - 1) + [Printed(row, _square(request, row.code)) for row in rows]
    for start in range(0, len(printed), A_SHEET):
        yield printed[start : start + A_SHEET]


def _square(request: PersonRequest, code: str) -> SafeString:
    """The QR code of the piece's address as a picture within the page, with half the quiet edge a reader needs: the label's own is the rest."""
    address = request.build_absolute_uri(reverse("stash:by_code", args=[code]))
    made = segno.make(address, micro=False, error="m")
    return SafeString(made.svg_inline(omitsize=True, border=2, svgclass="qr", lineclass=None, light="#fff"))


def _number(request: PersonRequest, name: str) -> int | None:
    typed = request.GET.get(name, "")
    return int(typed) if _is_number(typed) else None


def _is_number(typed: str) -> bool:
    return typed.isascii() and typed.isdecimal() and len(typed) < _MOST_TYPED
