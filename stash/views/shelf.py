"""The shelf: what cloth is there, how much of it is free, and the search that finds one among hundreds."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe
from django_htmx.http import replace_url

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web.fragments import page, wants_fragment
from stash.forms.search import PER_PAGE, Query, SearchForm, address, shown
from stash.models import Fabric
from stash.queries.finding import Sought, find, tags, used_up
from stash.queries.shelf import places


@require_safe
def shelf(request: PersonRequest) -> HttpResponse:
    """Her fabrics that are looked for, PER_PAGE at first; the address says all that is asked, and how many are shown."""
    owner, part = request.user, wants_fragment(request)
    form = SearchForm(request.GET, owner=owner, places=places(owner=owner), tags=tags(owner=owner))
    good = form.is_valid()
    like = _like(request, form)
    begun, end = shown(request.GET)
    first = begun if part else 0
    found = find(owner=owner, sought=form.sought() if good else Sought(), today=today(request), first=first, end=end)
    context = {
        "form": form,
        "found": found,
        "chips": list(form.chips(like)) if good else [],
        "used_up": 0 if first else used_up(owner=owner),
        "in_part": part,
        "more": _more(form, end) if end < found.count else None,
    }
    response = page(request, "stash/shelf.html", context, fragment="more" if first else "cloths")
    here = f"{reverse('stash:shelf')}?{address(_upto(form, end))}".removesuffix("?")
    return replace_url(response, here) if part else response


def _like(request: PersonRequest, form: SearchForm) -> Fabric | None:
    if "like" in form.errors:
        raise Http404
    wanted = form.cleaned_data.get("like")
    return get_object_or_404(Fabric.objects.of(request.user), pk=wanted) if wanted else None


def _upto(form: SearchForm, end: int) -> Query:
    """What is asked and how many are shown: an address as short as can be, by which Back finds the same list."""
    query = form.kept()
    if end > PER_PAGE:
        query["shown"] = str(end)
    return query


def _more(form: SearchForm, end: int) -> dict[str, str]:
    """The addresses of the list with the next cloths, and of those alone."""
    query = _upto(form, end + PER_PAGE)
    whole = address(query)
    query["from"] = str(end)
    return {"whole": whole, "part": address(query)}
