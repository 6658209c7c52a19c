"""How is a quilt made another size? One of the engine's proposals is taken as a whole, and can be taken back as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from plans.models import Plan, Round
from plans.queries.target import changed, key_of
from plans.queries.worked import top_plan
from plans.services import rounds
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError
from plans.services.rounds import RoundSpec
from quiltbook.measures import Size
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.target import proposals

COUNTS = ("pieces_across", "pieces_down")


@dataclass(frozen=True, slots=True)
class Before:
    """What a quilt was like before it was made another size: the widths (nm) of its rounds by their ids, the counts of its centre, and
    the round that was added, if one was."""

    widths: Mapping[int, int]
    across: int | None
    down: int | None
    added: int | None


@transaction.atomic
def take(*, plan: Plan, target: Size, key: str, now: datetime) -> Before:
    """Change the quilt as the proposal with that key says. Raises PlanError where there is no such proposal any more."""
    refuse_if_over(plan)
    plan.refresh_from_db()
    rows = list(plan.rounds.standing())
    try:
        found = proposals(top_plan(plan, rows), target)
    except Refusal as error:
        raise PlanError(str(error)) from error
    chosen = next((proposal for proposal in found if key_of(proposal) == key), None)
    if chosen is None:
        raise PlanError("The quilt was changed meanwhile. Look at the ways again.")
    other, others = changed(plan, rows, chosen.plan)
    before = Before({row.pk: row.width for row in rows}, plan.pieces_across, plan.pieces_down, None)
    plan.pieces_across, plan.pieces_down = other.pieces_across, other.pieces_down
    touch(plan, now, *COUNTS)
    for row in others[: len(rows)]:
        row.save(update_fields=["width"])
    if len(others) == len(rows):
        return before
    new = rounds.add(plan=plan, spec=RoundSpec(width=others[-1].width, corners=others[-1].corners), now=now)
    return Before(before.widths, before.across, before.down, new.pk)


@transaction.atomic
def take_back(*, plan: Plan, before: Before, now: datetime) -> None:
    """As it was before. Raises PlanError where the rounds are not the same any more."""
    refuse_if_over(plan)
    standing = {row.pk: row for row in plan.rounds.standing()}
    if standing.keys() != {*before.widths, *([before.added] if before.added else [])}:
        raise PlanError("The rounds of the quilt were changed since: set their widths yourself.")
    if before.added:
        rounds.take_out(row=standing[before.added], now=now)
    Round.objects.bulk_update(_with_widths(standing, before), ["width"])
    plan.pieces_across, plan.pieces_down = before.across, before.down
    touch(plan, now, *COUNTS)


def _with_widths(standing: Mapping[int, Round], before: Before) -> list[Round]:
    for pk, width in before.widths.items():
        standing[pk].width = width
    return [standing[pk] for pk in before.widths]
