"""The shelf as a table for a spreadsheet, and a table taken in: looked at first, then all of it or none."""

from __future__ import annotations

from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.forms import csv_file
from stash.forms.csv_file import CsvError
from stash.forms.importing import Checked, ExportForm, TakeInForm, UploadForm, check
from stash.models import ImportedRow
from stash.queries.csv_rows import piece_lines
from stash.services import exporting, importing
from stash.services.errors import StashError
from stash.services.importing import TakenIn

MOST_SHOWN = 100


@require_http_methods(["GET", "POST"])
def exchange(request: PersonRequest) -> HttpResponse:
    """What goes out and comes in; and a table that was uploaded, set aside to be looked at."""
    form = UploadForm(request.POST, request.FILES) if request.method == "POST" else UploadForm()
    if form.is_valid():
        upload = form.cleaned_data["table"]
        try:
            # One byte more than is taken tells that there is more.
            table = upload.read(csv_file.MOST_BYTES + 1)
            csv_file.read(table)
        except CsvError as why:
            form.add_error("table", str(why))
        else:
            name = importing.set_aside(owner=request.user, table=table, now=clock.now())
            return go(request, reverse("stash:exchange_look", args=[name]))
    return page(request, "stash/exchange.html", {"form": form, "export": ExportForm()})


@require_safe
def table(request: PersonRequest) -> HttpResponse | StreamingHttpResponse:
    """The shelf, a row a piece."""
    form = ExportForm(request.GET)
    style = exporting.STYLES[form.cleaned_data["cells"] if form.is_valid() else "comma"]
    lines = exporting.table(piece_lines(owner=request.user), system=request.user.settings.measures, style=style)
    answer = StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="stash-{today(request).isoformat()}.csv"'
    return answer


@require_http_methods(["GET", "POST"])
def look(request: PersonRequest, name: str) -> HttpResponse:
    """What the table would bring, row by row; and, when she says so, it brings it."""
    owner = request.user
    try:
        checked = check(owner=owner, today=today(request), sheet=csv_file.read(importing.aside(owner=owner, name=name)))
    except (StashError, CsvError) as why:
        warn(request, str(why))
        return go(request, reverse("stash:exchange"))
    form = TakeInForm(request.POST) if request.method == "POST" else TakeInForm()
    if form.is_valid():
        if checked.wrong and not form.cleaned_data["leave_out"]:
            form.add_error("leave_out", "Some rows are wrong, so nothing was taken in: tick this, or put them right.")
        else:
            taken = importing.take_in(owner=owner, cloths=checked.cloths, now=clock.now())
            importing.drop_aside(owner=owner, name=name)
            return _told(request, taken, checked)
    context = {
        "form": form,
        "checked": checked,
        "wrong": checked.wrong[:MOST_SHOWN],
        "wrong_more": max(0, len(checked.wrong) - MOST_SHOWN),
        "coming": checked.coming[:MOST_SHOWN],
        "coming_more": max(0, len(checked.coming) - MOST_SHOWN),
    }
    return page(request, "stash/exchange_look.html", context)


@require_POST
def undo(request: PersonRequest, row_id: int) -> HttpResponse:
    """Take back all that came in together with this row."""
    row = get_object_or_404(ImportedRow, owner=request.user, pk=row_id)
    try:
        importing.undo(row=row, day=today(request), now=clock.now())
    except StashError as why:
        warn(request, str(why))
    else:
        say(request, "What came in from the table was taken back. Its fabrics stay, with no cloth of them.")
    return go(request, reverse("stash:exchange"))


def _told(request: PersonRequest, taken: TakenIn, checked: Checked) -> HttpResponse:
    if taken.first_row is None:
        say(request, "There was nothing new in that table, so nothing was taken in.")
        return go(request, reverse("stash:exchange"))
    left = f" {_count(len(checked.wrong), 'row')} left out." if checked.wrong else ""
    say(
        request,
        f"Took in {_count(taken.pieces, 'piece')} of {_count(taken.fabrics, 'fabric')}.{left}",
        undo=reverse("stash:exchange_undo", args=[taken.first_row]),
    )
    return go(request, reverse("stash:shelf"))


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
