"""What the cloth on the shelf cost."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.views.decorators.http import require_safe

from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page
from stash.queries.money import worth

ROWS_A_PAGE = 100


@require_safe
def shelf_worth(request: PersonRequest) -> HttpResponse:
    found = worth(owner=request.user)
    rows = Paginator(found.rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    return page(request, "stash/worth.html", {"worth": found, "rows": rows})
