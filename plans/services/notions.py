"""How does a plan take from her notions? She chooses which serves which need; what is used is written down there, and can be taken back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction

from plans.models import NotionChoice, Plan
from plans.queries.notions_short import Need, used_for
from plans.services.changing import refuse_if_over
from plans.services.errors import PlanError
from quiltbook.measures import System
from stash.models import Notion, NotionChange
from stash.services import notions
from stash.services.errors import StashError


@transaction.atomic
def choose(*, plan: Plan, choices: Mapping[str, int | None]) -> None:
    """Which of her notions, by its id, serves each need; None: whichever is likeliest. Raises PlanError once the plan is over."""
    refuse_if_over(plan)
    own = set(
        Notion.objects.of(plan.owner).filter(pk__in=[pk for pk in choices.values() if pk]).values_list("pk", flat=True)
    )
    for need, notion_id in choices.items():
        if notion_id is None:
            NotionChoice.objects.filter(plan=plan, need=need).delete()
        elif notion_id in own:
            NotionChoice.objects.update_or_create(plan=plan, need=need, defaults={"notion_id": notion_id})
        else:
            raise PlanError("Choose one of your own notions.")


@transaction.atomic
def use(*, plan: Plan, need: Need, page: str, day: date, now: datetime) -> NotionChange:
    """What the need takes is used. Raises PlanError when nothing serves it, it is used already, or less than that is written down."""
    Plan.objects.select_for_update().get(pk=plan.pk)  # two windows that say so at once say it once
    now_used = used_for(plan, page, System.METRIC).get(need.key, ())
    if need.state == "used" or [each.change_id for each in now_used] != [each.change_id for each in need.used]:
        raise PlanError("That is written down as used already.")
    if need.notion is None:
        raise PlanError("Say first which of your notions serves this.")
    notion = Notion.objects.of(plan.owner).get(pk=need.notion.id)
    try:
        return notions.used(
            notion=notion, amount=need.takes, day=day, now=now, note=plan.name, link=f"{page}#{need.key}"
        )
    except StashError as why:
        raise PlanError(str(why)) from why


@transaction.atomic
def take_back(*, change: NotionChange, day: date, now: datetime) -> NotionChange:
    """It was not used after all, or was. Raises PlanError as the stash refuses it."""
    try:
        return notions.reverse(change=change, day=day, now=now)
    except StashError as why:
        raise PlanError(str(why)) from why
