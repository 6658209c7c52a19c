"""The shelf: what cloth is there, and how much of it is free."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_safe

from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page
from stash.forms.search import SearchForm
from stash.queries.shelf import fabrics


@require_safe
def shelf(request: PersonRequest) -> HttpResponse:
    """Every fabric of hers that is looked for; those all used up stand apart."""
    form = SearchForm(request.GET or None)
    wanted = form.cleaned_data if form.is_valid() else {}
    rows = fabrics(
        owner=request.user,
        words=wanted.get("words", ""),
        kind=wanted.get("kind", ""),
        only_free=wanted.get("free", False),
    )
    there = [row for row in rows if row.pieces]
    context = {
        "form": form,
        "there": there,
        "used_up": [row for row in rows if not row.pieces],
        "pieces": sum(len(row.on_shelf) for row in there),
        "free_mm2": sum(row.free_mm2 for row in there),
        "narrowed": any(wanted.values()),
    }
    return page(request, "stash/shelf.html", context, fragment="cloths")
