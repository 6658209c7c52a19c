"""The Cloth page: which fabrics each part is cut from, whether there is enough, and the layouts to confirm."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from plans.forms.allot import AllotForm, CountForm, PrintForm
from plans.models import CuttingSheet, Plan
from plans.queries.cloth import AllottedRow, RoleRow, cloth_page
from plans.queries.says import PARTS
from plans.queries.worked import Fault, Worked, worked
from plans.queries.would_do import would_do
from plans.services import allotting, layout, print_wishes, searching, sheets, shopping
from plans.services.errors import PlanError
from plans.views.drawn import drawn
from plans.views.frame import plan_page
from plans.views.owned import allotment_of, own_plan, sheet_of
from quiltbook.measures import show_amount, show_area
from quiltbook.people.models import Person
from quiltbook.people.requests import PersonRequest
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.queries.shelf import fabrics


@dataclass(frozen=True, slots=True)
class RoleOnPage:
    """A role with the form that gives it a fabric, and one form a fabric it has."""

    role: RoleRow
    form: AllotForm
    print_form: PrintForm
    allotted: tuple[tuple[AllottedRow, CountForm], ...]


@require_GET
def cloth(request: PersonRequest, plan_id: int) -> HttpResponse:
    return _page(request, own_plan(request, plan_id))


@require_POST
def allot(request: PersonRequest, plan_id: int, role: str) -> HttpResponse:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    if isinstance(work, Worked) and work.role(role) is None:
        raise Http404
    form = AllotForm(request.POST, owner=request.user, prefix=role, choices=_choices(request.user))
    if form.is_valid():
        data = form.cleaned_data
        try:
            allotting.allot(plan=plan, role_key=role, fabric=data["fabric"], count=data["count"], now=clock.now())
        except PlanError as why:
            form.add_error("count" if data["count"] else "fabric", str(why))
        else:
            return go(request, f"{_url(plan)}#{role}")
    return _page(request, plan, {role: form})


@require_POST
def lie(request: PersonRequest, plan_id: int, role: str) -> HttpResponse:
    """How the print is to lie on the patches of a role."""
    plan = own_plan(request, plan_id)
    work = worked(plan)
    if isinstance(work, Worked) and work.role(role) is None:
        raise Http404
    form = PrintForm(request.POST, prefix=f"print-{role}")
    if form.is_valid():
        try:
            print_wishes.wish(plan=plan, role_key=role, **form.cleaned_data, now=clock.now())
        except PlanError as why:
            form.add_error("per_repeat", str(why))
        else:
            return go(request, f"{_url(plan)}#{role}")
    return _page(request, plan, prints={role: form})


@require_POST
def change_count(request: PersonRequest, plan_id: int, allotment_id: int) -> HttpResponse:
    allotment = allotment_of(request, plan_id, allotment_id)
    form = CountForm(request.POST, prefix=f"count-{allotment_id}")
    if form.is_valid():
        try:
            allotting.change_count(allotment=allotment, count=form.cleaned_data["count"], now=clock.now())
        except PlanError as why:
            form.add_error("count", str(why))
        else:
            return go(request, f"{_url(allotment.plan)}#{allotment.role}")
    return _page(request, allotment.plan, counts={allotment_id: form})


@require_POST
def ask_earlier(request: PersonRequest, plan_id: int, allotment_id: int) -> HttpResponse:
    allotment = allotment_of(request, plan_id, allotment_id)
    try:
        allotting.move_up(allotment=allotment, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    return go(request, f"{_url(allotment.plan)}#{allotment.role}")


@require_POST
def take_off(request: PersonRequest, plan_id: int, allotment_id: int) -> HttpResponse:
    allotment = allotment_of(request, plan_id, allotment_id)
    try:
        allotting.take_off(allotment=allotment, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    else:
        undo = reverse("plans:put_on_again", args=[plan_id, allotment.role, allotment.fabric_id, allotment.count or 0])
        say(request, f"{allotment.fabric.name} taken off.", undo=undo)
    return go(request, f"{_url(allotment.plan)}#{allotment.role}")


@require_POST
def put_on_again(request: PersonRequest, plan_id: int, role: str, fabric_id: int, count: int) -> HttpResponse:
    """Undo of taking a fabric off: it comes back as the last of its role."""
    plan = own_plan(request, plan_id)
    form = AllotForm({"fabric": fabric_id, "count": count or ""}, owner=request.user)
    if form.is_valid():
        try:
            allotting.allot(
                plan=plan, role_key=role, fabric=form.cleaned_data["fabric"], count=count or None, now=clock.now()
            )
        except PlanError as why:
            warn(request, str(why))
    return go(request, f"{_url(plan)}#{role}")


@require_POST
def lay_out(request: PersonRequest, plan_id: int) -> HttpResponse:
    plan = own_plan(request, plan_id)
    try:
        layout.lay_out_plan(plan=plan, now=clock.now(), method=_method(request))
    except PlanError as why:
        warn(request, str(why))
    return go(request, f"{_url(plan)}#layouts")


@require_POST
def search(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Look harder for less cloth, in the background; she may leave the page meanwhile."""
    plan = own_plan(request, plan_id)
    try:
        searching.ask(plan=plan, method=_method(request), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    return go(request, f"{_url(plan)}#layouts")


@require_POST
def search_stop(request: PersonRequest, plan_id: int) -> HttpResponse:
    plan = own_plan(request, plan_id)
    searching.stop(plan=plan)
    return go(request, f"{_url(plan)}#layouts")


@require_GET
def search_now(request: PersonRequest, plan_id: int) -> HttpResponse:
    """How far the search is; once it has ended, the page it changed."""
    plan = own_plan(request, plan_id)
    under_way = plan.searches.under_way().first()
    if under_way is None:
        return go(request, f"{_url(plan)}#layouts")
    return page(request, "plans/search.html", {"plan": plan, "search": under_way}, fragment="search")


@require_POST
def confirm(request: PersonRequest, plan_id: int, sheet_id: int) -> HttpResponse:
    sheet = sheet_of(request, plan_id, sheet_id)
    try:
        sheets.confirm(sheet=sheet, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
        return go(request, _url(sheet.plan))
    say(
        request,
        f"{sheet.fabric.name} is held for {sheet.plan.name}.",
        undo=reverse("plans:release", args=[plan_id, sheet_id]),
    )
    return go(request, reverse("plans:sheet", args=[plan_id, sheet_id]))


@require_POST
def confirm_all(request: PersonRequest, plan_id: int) -> HttpResponse:
    """Hold every draft; each is held or refused by itself."""
    plan = own_plan(request, plan_id)
    held = 0
    for sheet in CuttingSheet.objects.drafts().filter(plan=plan).select_related("fabric", "plan"):
        try:
            sheets.confirm(sheet=sheet, now=clock.now())
            held += 1
        except PlanError as why:
            warn(request, f"{sheet.fabric.name}: {why}")
    if held:
        say(request, f"{held} cutting sheet{'s' if held > 1 else ''} confirmed: the cloth is held for {plan.name}.")
    return go(request, reverse("plans:cutting", args=[plan_id]))


@require_GET
def find_other(request: PersonRequest, plan_id: int, sheet_id: int) -> HttpResponse:
    """Other fabrics of the stash that would do for what a draft is short of."""
    sheet = sheet_of(request, plan_id, sheet_id)
    return plan_page(
        request,
        sheet.plan,
        "plans/would_do.html",
        "cloth",
        {"plan": sheet.plan, "sheet": sheet, "found": would_do(sheet=sheet)},
        fragment="found",
    )


@require_POST
def to_buy(request: PersonRequest, plan_id: int, sheet_id: int) -> HttpResponse:
    sheet = sheet_of(request, plan_id, sheet_id)
    try:
        length = shopping.length_to_buy(sheet=sheet)
    except PlanError as why:
        warn(request, str(why))
        return go(request, _url(sheet.plan))
    line = shopping.put_on_list(plan=sheet.plan, fabric=sheet.fabric, length=length, now=clock.now())
    amount = show_amount(length, system=request.user.settings.measures)
    undo = reverse("plans:shopping_line", args=[line.pk, "remove"])
    say(request, f"{amount} of {sheet.fabric.name} is on the shopping list.", undo=undo)
    return go(request, _url(sheet.plan))


def _method(request: PersonRequest) -> str:
    method = request.POST.get("method", "")
    return method if method in CuttingSheet.Method.values else CuttingSheet.Method.CLOSE


def _url(plan: Plan) -> str:
    return reverse("plans:cloth", args=[plan.pk])


def _page(
    request: PersonRequest,
    plan: Plan,
    forms: dict[str, AllotForm] | None = None,
    counts: dict[int, CountForm] | None = None,
    prints: dict[str, PrintForm] | None = None,
) -> HttpResponse:
    work = worked(plan)
    if isinstance(work, Fault):
        return plan_page(request, plan, "plans/cloth.html", "cloth", done=work)
    cloth = cloth_page(plan, work)
    given, counted, printed = forms or {}, counts or {}, prints or {}
    owner = request.user
    choices = _choices(owner)
    rows = [
        RoleOnPage(
            role=role,
            form=given.get(role.key) or AllotForm(owner=owner, prefix=role.key, choices=choices),
            print_form=printed.get(role.key) or _print_form(role),
            allotted=tuple((a, counted.get(a.id) or _count_form(a)) for a in role.allotted),
        )
        for role in cloth.roles
    ]
    found = [row for row in rows if not row.role.left.missing]
    system = owner.settings.measures
    context = {
        "cloth": cloth,
        "open_rows": [row for row in rows if row.role.left.missing],
        "found_rows": found,
        "found_open": any(row.form.errors or row.print_form.errors for row in found),
        "misfits": [(PARTS[misfit.part], misfit) for misfit in cloth.misfits],
        "drafts": [(sheet, drawn(sheet, system)) for sheet in cloth.drafts],
        "method": cloth.drafts[0].method if cloth.drafts else CuttingSheet.Method.CLOSE,
        "search": plan.searches.first(),
        "thorough": all(sheet.effort == "thorough" for sheet in cloth.drafts),
        "has_fabrics": bool(choices),
    }
    return plan_page(request, plan, "plans/cloth.html", "cloth", context, done=work)


def _choices(owner: Person) -> list[tuple[int, str]]:
    """Her fabrics with what is free of each."""
    system = owner.settings.measures
    return [(row.id, f"{row.name}: {show_area(row.free_mm2, system=system)} free") for row in fabrics(owner=owner)]


def _print_form(row: RoleRow) -> PrintForm:
    return PrintForm(initial={"stripes": row.stripes, "per_repeat": row.per_repeat}, prefix=f"print-{row.key}")


def _count_form(row: AllottedRow) -> CountForm:
    return CountForm(initial={"count": row.count}, prefix=f"count-{row.id}")
