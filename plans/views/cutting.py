"""The Cutting pages: the plan's sheets, one cloth at a time at the table, what came of it, and what was spoiled."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from plans.forms.table import CutForm, SpoilForm
from plans.models import CuttingSheet, SheetCloth
from plans.queries.sheets import ClothRow, SheetRow, confirmed, sheet
from plans.queries.worked import Fault, Worked, worked
from plans.services import at_the_table, layout, sheets, short
from plans.services.errors import PlanError
from plans.views.drawn import drawn, drawn_cloth
from plans.views.frame import plan_page
from plans.views.owned import cloth_of, line_of, miscut_of, own_plan, sheet_of
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, wants_fragment
from quiltbook.web.notices import say, warn


@require_GET
def cutting(request: PersonRequest, plan_id: int) -> HttpResponse:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    return plan_page(request, plan, "plans/cutting.html", "cutting", {"sheets": confirmed(plan, work)}, done=work)


@require_GET
def one_sheet(request: PersonRequest, plan_id: int, sheet_id: int) -> HttpResponse:
    return _sheet_page(request, plan_id, sheet_id)


@require_GET
def table(request: PersonRequest, plan_id: int, sheet_id: int, cloth_id: int) -> HttpResponse:
    """One cloth beside the mat."""
    return _table_page(request, cloth_of(request, plan_id, sheet_id, cloth_id))


@require_POST
def tick(request: PersonRequest, plan_id: int, sheet_id: int, cloth_id: int, number: int) -> HttpResponse:
    cloth = cloth_of(request, plan_id, sheet_id, cloth_id)
    try:
        at_the_table.tick(cloth=cloth, number=number, done=number not in cloth.ticks)
    except PlanError as why:
        raise Http404 from why
    return _table_page(request, cloth) if wants_fragment(request) else go(request, _table_url(cloth))


@require_POST
def cut(request: PersonRequest, plan_id: int, sheet_id: int, cloth_id: int) -> HttpResponse:
    """The cloth is cut: one movement, the offcuts as measured; sheets that waited for more are laid out again at once."""
    cloth = cloth_of(request, plan_id, sheet_id, cloth_id)
    row = _row(request, cloth)
    owner = request.user
    form = CutForm(request.POST, cloth=row, system=owner.settings.measures, today=today(request))
    if not form.is_valid():
        return _table_page(request, cloth, form)
    try:
        at_the_table.record_cut(cloth=cloth, measured=form.measured(), day=form.cleaned_data["day"], now=clock.now())
    except PlanError as why:
        warn(request, str(why))
        return _table_page(request, cloth, form)
    for shortened in short.lay_short_again(owner=owner, now=clock.now()):
        warn(
            request,
            f"An offcut came out smaller than expected, so the sheet for {shortened.plan.name} was laid out again.",
        )
    undo = reverse("plans:undo_cut", args=[plan_id, sheet_id, cloth_id])
    say(request, f"{cloth.piece.fabric.name} {cloth.piece.name} is cut.", undo=undo)
    return go(request, reverse("plans:sheet", args=[plan_id, sheet_id]))


@require_POST
def undo_cut(request: PersonRequest, plan_id: int, sheet_id: int, cloth_id: int) -> HttpResponse:
    cloth = cloth_of(request, plan_id, sheet_id, cloth_id)
    try:
        at_the_table.undo_cut(cloth=cloth, day=today(request), now=clock.now())
    except PlanError as why:
        warn(request, str(why))
    return go(request, _table_url(cloth))


@require_POST
def release(request: PersonRequest, plan_id: int, sheet_id: int) -> HttpResponse:
    row = sheet_of(request, plan_id, sheet_id)
    try:
        released = sheets.release(sheet=row, now=clock.now())
    except PlanError as why:
        warn(request, str(why))
        return go(request, reverse("plans:sheet", args=[plan_id, sheet_id]))
    if released.state == CuttingSheet.State.TO_CUT:
        say(
            request,
            "Released. Another quilt waits for offcuts of this cloth, so it is still to be cut, for offcuts only.",
        )
    else:
        say(request, f"{row.fabric.name} is free again. Lay the plan out once more to hold it anew.")
    return go(request, reverse("plans:cloth", args=[plan_id]))


@require_POST
def spoil(request: PersonRequest, plan_id: int, sheet_id: int, line_id: int) -> HttpResponse:
    """A miscut: recorded, and what is missing now is laid out again at once on free cloth."""
    line = line_of(request, plan_id, sheet_id, line_id)
    form = SpoilForm(request.POST, prefix=f"line-{line_id}")
    if form.is_valid():
        try:
            miscut = at_the_table.spoil(
                line=line, count=form.cleaned_data["count"], note=form.cleaned_data["note"], now=clock.now()
            )
        except PlanError as why:
            form.add_error("count", str(why))
        else:
            say(
                request,
                "Noted. What is missing is laid out again below.",
                undo=reverse("plans:take_back", args=[plan_id, miscut.pk]),
            )
            _lay_out_again(request, plan_id)
            return go(request, f"{reverse('plans:cloth', args=[plan_id])}#layouts")
    return _sheet_page(request, plan_id, sheet_id, {line_id: form})


@require_POST
def take_back(request: PersonRequest, plan_id: int, miscut_id: int) -> HttpResponse:
    miscut = miscut_of(request, plan_id, miscut_id)
    at_the_table.take_back_miscut(miscut=miscut, now=clock.now())
    _lay_out_again(request, plan_id)
    return go(request, miscut.line.cloth.sheet.get_absolute_url())


def _lay_out_again(request: PersonRequest, plan_id: int) -> None:
    try:
        layout.lay_out_plan(plan=own_plan(request, plan_id), now=clock.now())
    except PlanError as why:
        warn(request, str(why))


def _table_url(cloth: SheetCloth) -> str:
    return reverse("plans:table", args=[cloth.sheet.plan_id, cloth.sheet_id, cloth.pk])


def _row(request: PersonRequest, cloth: SheetCloth) -> ClothRow:
    found = _sheet(request, cloth.sheet.plan_id, cloth.sheet_id, worked(cloth.sheet.plan))
    return next(row for row in found.cloths if row.id == cloth.pk)


def _sheet(request: PersonRequest, plan_id: int, sheet_id: int, work: Worked | Fault) -> SheetRow:
    try:
        return sheet(owner=request.user, plan_id=plan_id, sheet_id=sheet_id, work=work)
    except CuttingSheet.DoesNotExist as missing:
        raise Http404 from missing


def _sheet_page(
    request: PersonRequest, plan_id: int, sheet_id: int, forms: dict[int, SpoilForm] | None = None
) -> HttpResponse:
    plan = own_plan(request, plan_id)
    work = worked(plan)
    row = _sheet(request, plan_id, sheet_id, work)
    given = forms or {}
    cloths = [
        {
            "drawn": one,
            "spoil": [(line, given.get(line.id) or SpoilForm(prefix=f"line-{line.id}")) for line in one.cloth.lines],
            "spoil_open": any(line.id in given for line in one.cloth.lines),
        }
        for one in drawn(row, request.user.settings.measures)
    ]
    return plan_page(request, plan, "plans/sheet.html", "cutting", {"sheet": row, "cloths": cloths}, done=work)


def _table_page(request: PersonRequest, cloth: SheetCloth, form: CutForm | None = None) -> HttpResponse:
    work = worked(cloth.sheet.plan)
    found = _sheet(request, cloth.sheet.plan_id, cloth.sheet_id, work)
    row = next(c for c in found.cloths if c.id == cloth.pk)
    system = request.user.settings.measures
    form = form or CutForm(cloth=row, system=system, today=today(request))
    context = {
        "sheet": found,
        "cloth": row,
        "drawn": drawn_cloth(found, row, system),
        "form": form,
        "offcuts": form.rows(),
        "following": next((c for c in found.cloths if c.state == "to cut" and c.id != row.id), None),
    }
    return plan_page(request, cloth.sheet.plan, "plans/table.html", "cutting", context, fragment="cuts", done=work)
