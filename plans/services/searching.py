"""Who looks for a better layout while she does something else? A task of the background worker: the same laying out with thorough effort,
fabric by fabric, that says how far it is and can be stopped. What it finds replaces the drafts only if nothing changed meanwhile."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import F
from django.tasks import task

from plans.models import LayoutSearch, Plan
from plans.queries.needs import needs
from plans.queries.worked import Fault, worked
from plans.services.errors import PlanError
from plans.services.layout import lay_out_plan
from quiltbook.web import clock
from quiltbook.yardage.cutting import CuttingJob, Layout
from quiltbook.yardage.cutting import lay_out as engine_lay_out

# A worker that was killed leaves its search behind; after this long another may be asked for.
LONGEST = timedelta(minutes=30)


class _Stopped(Exception):
    """She asked for no more of it."""


def ask(*, plan: Plan, method: str, now: datetime) -> LayoutSearch:
    """Begin a search. Raises PlanError when one is under way, or there is nothing to look for."""
    work = worked(plan)
    if isinstance(work, Fault):
        raise PlanError(f"The plan cannot be worked out yet: {work.sentence}")
    roles = {need.role.key for need in needs(plan, work)}
    fabrics = plan.allotments.filter(role__in=roles).values("fabric").distinct().count()
    if not fabrics:
        raise PlanError("Nothing is left to lay out.")
    LayoutSearch.objects.under_way().filter(plan=plan, asked_at__lt=now - LONGEST).update(
        ended_at=now, said="It was broken off."
    )
    try:
        with transaction.atomic():
            search = LayoutSearch.objects.create(plan=plan, method=method, asked_at=now, of=fabrics)
    except IntegrityError as already:
        raise PlanError("Quiltbook is looking already.") from already
    transaction.on_commit(lambda: run.enqueue(search.pk))
    return search


@transaction.atomic
def stop(*, plan: Plan) -> None:
    """Ask the search that is under way to end after the fabric it is at; the drafts stay as they are."""
    LayoutSearch.objects.under_way().filter(plan=plan).update(stop=True)


@task
def run(search_id: int) -> None:
    """What the worker does. Each step it takes is a transaction of its own, so that the page can see how far it is."""
    search = LayoutSearch.objects.select_related("plan__owner__settings").filter(pk=search_id, ended_at=None).first()
    if search is None:
        return

    def thoroughly(job: CuttingJob) -> Layout:
        if LayoutSearch.objects.filter(pk=search_id, stop=True).exists():
            raise _Stopped
        layout = engine_lay_out(replace(job, effort="thorough"))
        LayoutSearch.objects.filter(pk=search_id, done__lt=F("of")).update(done=F("done") + 1)
        return layout

    said = "It came to grief, and the layouts are as they were."
    try:
        lay_out_plan(plan=search.plan, now=clock.now(), method=search.method, lay_out=thoroughly)
        said = ""
    except _Stopped:
        said = "Stopped: the layouts are as they were."
    except PlanError as why:
        said = str(why)
    finally:
        LayoutSearch.objects.filter(pk=search_id).update(ended_at=clock.now(), said=said)
