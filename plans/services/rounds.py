"""How do the rounds of a quilt change? Added, changed, moved inward or outward, taken out and put back: one transaction each.

A round taken out is kept, so that it can be put back where it was. Positions run from 1, the innermost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from plans.models import Plan, Round
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError
from plans.services.plans import CENTRE, Centre, set_centre, sides
from quiltbook.measures import Size

MOST_ROUNDS = 20
# Positions are unique among the rounds that stand, so all step aside before they take their new places.
_ASIDE = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Flowers:
    """Paper-pieced flowers on a round: six petals whose curve rises `petal_rise` (nm), or six hexagons (None), round a hexagon."""

    side: int
    turn: int
    petal_rise: int | None = None
    left: int = 0
    right: int = 0
    top: int = 0
    bottom: int = 0
    corners: bool = False
    rule: str = Round.Rule.EVEN
    end_margin: int = 0
    applied: str = Round.Applied.BEFORE
    scrappy: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecedUnits:
    """What a pieced border is made of: units `length` long of `block`, the `other` taking turns with it, by the engine's names.
    `corner`: the block in the corners, "" for plain squares. `coping` and `least_coping` (nm): the plain border that makes them fit."""

    block: str
    length: int
    other: str = ""
    corner: str = ""
    coping: str = Round.Coping.AUTO
    least_coping: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSpec:
    """One round of borders, in nm. `measured` is what the quilt measured once it was on. Plain, with flowers, or pieced."""

    width: int
    name: str = ""
    corners: str = Round.Corners.BUTTED
    first: str = Round.First.SIDES
    cut_long: int = 0
    measured: Size | None = None
    flowers: Flowers | None = None
    pieced: PiecedUnits | None = None

    def write(self, row: Round) -> Round:
        """Put these figures into a row, unsaved."""
        row.width, row.name, row.corners, row.first = self.width, self.name, self.corners, self.first
        row.cut_long = self.cut_long
        row.measured_width, row.measured_length = sides(self.measured)
        flowers = self.flowers
        row.flower_side = flowers.side if flowers else None
        row.flower_turn = flowers.turn if flowers else None
        row.petal_rise = flowers.petal_rise if flowers else None
        for where in ("left", "right", "top", "bottom"):
            setattr(row, f"flowers_{where}", getattr(flowers, where) if flowers else 0)
        row.flowers_corners = flowers is not None and flowers.corners
        if flowers:
            row.rule, row.applied, row.scrappy = flowers.rule, flowers.applied, flowers.scrappy
            row.end_margin = flowers.end_margin
        pieced = self.pieced
        row.unit_length = pieced.length if pieced else None
        row.unit_block, row.other_unit_block = (pieced.block, pieced.other) if pieced else ("", "")
        row.corner_block = pieced.corner if pieced else ""
        if pieced:
            row.coping, row.least_coping = pieced.coping, pieced.least_coping
        return row


@transaction.atomic
def keep_top(
    *, plan: Plan, centre: Centre, rounds: Mapping[int, RoundSpec], now: datetime, new: RoundSpec | None = None
) -> Round | None:
    """Keep a whole top at once: its centre, its rounds by id, and a new outermost one, which is returned.

    Raises PlanError where one of the rounds no longer stands: nothing is kept then."""
    refuse_if_over(plan)
    standing = {row.pk: row for row in _standing(plan)}
    if not rounds.keys() <= standing.keys():
        raise PlanError("A round was taken out of this quilt meanwhile, in another window. Open the page afresh.")
    set_centre(plan, centre)
    touch(plan, now, *CENTRE)
    for pk, spec in rounds.items():
        spec.write(standing[pk]).save()
    return add(plan=plan, spec=new, now=now) if new else None


@transaction.atomic
def add(*, plan: Plan, spec: RoundSpec, now: datetime) -> Round:
    """A new outermost round."""
    refuse_if_over(plan)
    count = len(_standing(plan))
    if count >= MOST_ROUNDS:
        raise PlanError(f"A quilt here has at most {MOST_ROUNDS} rounds.")
    row = spec.write(Round(plan=plan, position=count + 1))
    row.save()
    touch(plan, now)
    return row


@transaction.atomic
def change(*, row: Round, spec: RoundSpec, now: datetime) -> Round:
    """Other figures for one round."""
    refuse_if_over(row.plan)
    spec.write(row).save()
    touch(row.plan, now)
    return row


@transaction.atomic
def move(*, row: Round, inward: bool, now: datetime) -> Round:
    """Change places with the next round towards the centre, or away from it. Raises PlanError where there is none."""
    refuse_if_over(row.plan)
    rows = _standing(row.plan)
    here = _place_of(row, rows)
    there = here - 1 if inward else here + 1
    if not 0 <= there < len(rows):
        raise PlanError("It is the innermost round already." if inward else "It is the outermost round already.")
    rows[here], rows[there] = rows[there], rows[here]
    _set_in_order(rows)
    touch(row.plan, now)
    return rows[there]


@transaction.atomic
def take_out(*, row: Round, now: datetime) -> Round:
    """Take a round out of the quilt; the ones outside it move in."""
    refuse_if_over(row.plan)
    rows = _standing(row.plan)
    gone = rows.pop(_place_of(row, rows))
    gone.removed_at = now
    gone.save()
    _set_in_order(rows)
    touch(row.plan, now)
    return gone


@transaction.atomic
def put_back(*, row: Round, now: datetime) -> Round:
    """Put a round that was taken out back where it was. Doing it twice changes nothing."""
    refuse_if_over(row.plan)
    rows = _standing(row.plan)
    if row.pk in [other.pk for other in rows]:
        return row
    if len(rows) >= MOST_ROUNDS:
        raise PlanError(f"A quilt here has at most {MOST_ROUNDS} rounds.")
    row.removed_at = None
    rows.insert(row.position - 1, row)
    _set_in_order(rows)
    touch(row.plan, now)
    return row


def _standing(plan: Plan) -> list[Round]:
    """The plan's rounds, inner first; it is locked, so nobody else changes them until the transaction ends."""
    return list(plan.rounds.standing())


def _place_of(row: Round, rows: Sequence[Round]) -> int:
    for place, other in enumerate(rows):
        if other.pk == row.pk:
            return place
    raise PlanError("That round has been taken out of the quilt already.")


def _set_in_order(rows: Sequence[Round]) -> None:
    for start in (_ASIDE, 1):
        for place, row in enumerate(rows):
            row.position = start + place
            row.save(update_fields=["position", "removed_at"])
