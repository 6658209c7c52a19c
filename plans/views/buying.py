"""What to buy: the cloth a plan still lacks, by the strip arithmetic at once and by the least length when asked, and onto the list with it."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_POST

from plans.forms.buying import PutForm
from plans.models import Plan
from plans.queries.buying import BuyingPage, ClothLength, ToBuy, at_once, buying_page, layout_title, least, length_of
from plans.queries.plans import can_change
from plans.queries.worked import Fault, worked
from plans.services import buying as services
from plans.services.errors import PlanError
from plans.views.frame import plan_page
from plans.views.owned import own_plan
from quiltbook.measures import Size, System, show_amount, show_length
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page, wants_fragment
from quiltbook.web.notices import say, warn
from quiltbook.web.pictures import layout_svg
from quiltbook.web.svg import Look


@dataclass(frozen=True, slots=True)
class RowOnPage:
    """A row with its form, its length at once and, where it was asked for, each way that takes less; `no_less` says which do not."""

    row: ToBuy
    form: PutForm
    at_once: ClothLength
    found: tuple[tuple[str, ClothLength, SafeString], ...] = ()
    no_less: str = ""


@require_GET
def buying(request: PersonRequest, plan_id: int) -> HttpResponse:
    return _page(request, own_plan(request, plan_id))


@require_GET
def found(request: PersonRequest, plan_id: int, key: str) -> HttpResponse:
    """The least length of one row: by itself where the page is there already, else the page with it."""
    plan = own_plan(request, plan_id)
    if not wants_fragment(request):
        return _page(request, plan, look_for=key)
    shown = _shown(request, plan, _row(plan, key), look=True)
    return page(request, "plans/_least.html", {"shown": shown, "row": shown.row, "fixed": can_change(plan)})


@require_POST
def put(request: PersonRequest, plan_id: int, key: str) -> HttpResponse:
    """Onto the shopping list, with the length as it was shown: reckoned again, never taken from the page."""
    plan, system = own_plan(request, plan_id), request.user.settings.measures
    row, form = _row(plan, key), PutForm(request.POST, key=key)
    if not form.is_valid():
        return _page(request, plan, forms={key: form})
    length = None if row.panel else length_of(row, plan, form.cleaned_data["way"], system)
    if length and length.missing:
        warn(
            request,
            f"Not all of {row.name} goes on cloth {show_length(row.width, system=system)} wide: look for wider cloth.",
        )
        return go(request, _url(plan, key))
    try:
        line = services.put(
            plan=plan,
            role=row.role,
            what=_what(row, form.cleaned_data["cloth"], system),
            length=length.to_buy if length else None,
            now=clock.now(),
            fabric=row.fabric,
        )
    except PlanError as why:
        warn(request, str(why))
    else:
        amount = f"{show_amount(length.to_buy, system=system)} of {row.name}" if length else row.name
        say(
            request, f"{amount} is on the shopping list.", undo=reverse("plans:shopping_line", args=[line.pk, "remove"])
        )
    return go(request, _url(plan, key))


def _url(plan: Plan, key: str) -> str:
    return f"{reverse('plans:buying', args=[plan.pk])}#{key}"


def _what(row: ToBuy, cloth: str, system: System) -> str:
    """ "Blue for the first border, at least 42 in wide": what the shop has to be asked."""
    wanted = cloth or ("A printed panel" if row.panel else "Cloth")
    wide = "" if row.panel else f", {show_length(row.width, system=system)} wide or more"
    return f"{wanted} for {row.what}{wide}"


def _row(plan: Plan, key: str) -> ToBuy:
    work = worked(plan)
    row = None if isinstance(work, Fault) else buying_page(plan, work).row(key)
    if row is None:
        raise Http404
    return row


def _page(
    request: PersonRequest, plan: Plan, look_for: str = "", forms: dict[str, PutForm] | None = None
) -> HttpResponse:
    work = worked(plan)
    if isinstance(work, Fault):
        return plan_page(request, plan, "plans/buying.html", "cloth", done=work)
    to_buy: BuyingPage = buying_page(plan, work)
    rows = [
        _shown(request, plan, row, look=row.key == look_for, form=(forms or {}).get(row.key)) for row in to_buy.to_buy
    ]
    return plan_page(request, plan, "plans/buying.html", "cloth", {"buying": to_buy, "rows": rows}, done=work)


def _shown(request: PersonRequest, plan: Plan, row: ToBuy, *, look: bool, form: PutForm | None = None) -> RowOnPage:
    system = request.user.settings.measures
    first = at_once(row, plan, system)
    found = least(row, plan, system) if look and not row.panel else ()
    kept = _lessening(first, found)
    return RowOnPage(
        row=row,
        form=form or PutForm(key=row.key),
        at_once=first,
        found=tuple((way, length, _drawn(row, way, length, system)) for way, length in kept),
        no_less=_no_less({way for way, _ in kept}) if found else "",
    )


def _lessening(first: ClothLength, found: tuple[tuple[str, ClothLength], ...]) -> list[tuple[str, ClothLength]]:
    """Of the ways found, each that is bought for less than those before it, or for patches they could not cut."""
    kept, best = [], first
    for way, length in found:
        if (length.missing, length.to_buy) < (best.missing, best.to_buy):
            kept.append((way, length))
            best = length
    return kept


def _no_less(kept: set[str]) -> str:
    if not kept:
        return "Laid out by strips, or close with any cuts, it takes no less."
    return "" if "close" in kept else "Cut close, with more ruler settings, it takes no less."


def _drawn(row: ToBuy, way: str, length: ClothLength, system: System) -> SafeString:
    """How the length found is cut, to scale."""
    if length.layout is None:
        return SafeString("")
    fabric = row.fabric
    look = Look(fabric.name, fabric.colour) if fabric else Look(row.name, "#c9b79c")
    return layout_svg(
        length.layout,
        cloth=Size(row.width, length.to_buy),
        look=look,
        labels=row.labels,
        key=f"{row.key}-{way}",
        title=layout_title(row, length, system),
        system=system,
    )
