"""What the cloth on the shelf cost."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_safe

from quiltbook.people.requests import PersonRequest
from quiltbook.web.fragments import page
from stash.queries.money import worth


@require_safe
def shelf_worth(request: PersonRequest) -> HttpResponse:
    return page(request, "stash/worth.html", {"worth": worth(owner=request.user)})
