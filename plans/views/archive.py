"""Everything of hers as one file, and such a file loaded into an account with nothing in it."""

from __future__ import annotations

from django.http import FileResponse, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from plans.forms.archive import ArchiveForm
from plans.services import archive
from quiltbook.people.requests import PersonRequest, today
from quiltbook.web import clock
from quiltbook.web.fragments import go, page
from quiltbook.web.notices import say, warn
from stash.services.archive import ArchiveError


@require_http_methods(["GET", "POST"])
def everything(request: PersonRequest) -> HttpResponse:
    """The page; and what is uploaded on it, loaded."""
    form = ArchiveForm(request.POST, request.FILES) if request.method == "POST" else ArchiveForm()
    if form.is_valid():
        upload = form.cleaned_data["archive"]
        try:
            loaded = archive.load(owner=request.user, file=upload.file, size=upload.size)
        except ArchiveError as why:
            form.add_error("archive", str(why))
        else:
            say(request, _told(loaded))
            return go(request, reverse("stash:shelf"))
    return page(request, "plans/archive.html", {"form": form})


@require_safe
def download(request: PersonRequest) -> FileResponse | HttpResponse:
    try:
        file = archive.write(owner=request.user, now=clock.now())
    except ArchiveError as why:
        warn(request, str(why))
        return go(request, reverse("plans:archive"))
    name = f"quiltbook-{today(request).isoformat()}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")


def _told(loaded: dict[str, int]) -> str:
    counted = (("stash.fabric", "fabric"), ("stash.movement", "movement"), ("plans.plan", "plan"))
    parts = [f"{loaded[label]} {word}{'' if loaded[label] == 1 else 's'}" for label, word in counted]
    return f"Loaded {parts[0]}, {parts[1]} and {parts[2]}, as they were."
