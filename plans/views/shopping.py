"""The shopping list: what plans are short of, and what she wrote down herself."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from plans.forms.shopping import ShoppingForm
from plans.models import ShoppingLine
from plans.services import shopping as services
from plans.services.errors import PlanError
from plans.views.owned import shopping_line_of
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn


@require_http_methods(["GET", "POST"])
def shopping(request: PersonRequest) -> HttpResponse:
    owner = request.user
    form = ShoppingForm(request.POST or None, system=owner.settings.measures)
    if request.method == "POST" and form.is_valid():
        services.write_down(
            owner=owner, what=form.cleaned_data["what"], length=form.cleaned_data["length"], now=clock.now()
        )
        return go(request, reverse("plans:shopping"))
    lines = ShoppingLine.objects.of(owner).filter(removed_at=None).select_related("plan", "fabric")
    context = {
        "form": form,
        "to_buy": [line for line in lines if line.got_at is None],
        "got": [line for line in lines if line.got_at is not None],
    }
    return page(request, "plans/shopping.html", context)


@require_POST
def shopping_line(request: PersonRequest, line_id: int, act: str) -> HttpResponse:
    """Tick a line, untick it, strike it off, or put it back."""
    line = shopping_line_of(request, line_id)
    acts = {
        "got": (services.got, clock.now()),
        "not-got": (services.got, None),
        "remove": (services.remove, clock.now()),
        "put-back": (services.remove, None),
    }
    if act not in acts:
        raise Http404
    service, moment = acts[act]
    try:
        service(line=line, now=moment)
    except PlanError as why:
        warn(request, str(why))
    else:
        if act == "remove":
            say(
                request,
                f"{line.what} is off the list.",
                undo=reverse("plans:shopping_line", args=[line_id, "put-back"]),
            )
    return go(request, reverse("plans:shopping"))
