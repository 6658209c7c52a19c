"""How could a plan's quilt be made about so big? The engine's proposals in her words, each with what it would leave unfit of what is cut."""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass
from fractions import Fraction

from plans.models import Plan, Round
from plans.queries.needs import misfits
from plans.queries.says import show_length
from plans.queries.worked import Fault, Worked, round_name, top_plan, worked_from
from quiltbook.measures import Length, Size, System
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.target import Proposal, proposals
from quiltbook.yardage.topplan import Blocks, PaperField, TopPlan

MOST_SHOWN = 6


@dataclass(frozen=True, slots=True)
class Way:
    """One way to come near the size. `key` says what it changes, so that it is known again when she takes it.

    `cloth` is the area to cut in mm², and `along` how much of cloth as wide as the plan's that would be, without any waste; `more`
    likewise beyond the plan as it is, less than nothing where it takes less. `unfit`: patches cut or held that it no longer wants."""

    key: str
    changes: tuple[str, ...]
    finished: Size
    off: str
    cloth: int
    along: int
    more: int
    unfit: int
    work: Worked

    @property
    def less(self) -> int:
        return -self.more


def ways(plan: Plan, target: Size, system: System) -> tuple[Way, ...] | Fault:
    """The nearest first."""
    rows = list(plan.rounds.standing())
    try:
        found = proposals(top_plan(plan, rows), target)
    except Refusal as error:
        return Fault(error.field, str(error))
    return tuple(_ways(plan, rows, found[:MOST_SHOWN], system))


def _ways(plan: Plan, rows: list[Round], found: tuple[Proposal, ...], system: System) -> Iterator[Way]:
    for proposal in found:
        other, other_rows = changed(plan, rows, proposal.plan)
        work = worked_from(other, other_rows)
        if isinstance(work, Fault):
            continue  # the backing or the binding of such a top cannot be made
        yield Way(
            key=key_of(proposal),
            changes=tuple(_changes(plan, rows, other, other_rows, system)),
            finished=proposal.finished,
            off=_off(proposal.off, system),
            cloth=_mm2(proposal.cloth),
            along=round(Fraction(proposal.cloth) / plan.usable_width),
            more=round(Fraction(proposal.more) / plan.usable_width),
            unfit=sum(misfit.count for misfit in misfits(plan, work)) if plan.pk else 0,
            work=work,
        )


def key_of(proposal: Proposal) -> str:
    """What a proposal changes, as text: the counts of its centre and the width of every round, in nm."""
    across, down = counts(proposal.plan)
    return f"{across}x{down}," + ",".join(str(round_.width) for round_ in proposal.plan.rounds)


def counts(top: TopPlan) -> tuple[int | None, int | None]:
    """How many pieces the centre has across and down; None where it is not pieced."""
    if isinstance(top.centre, Blocks):
        return top.centre.setting.across, top.centre.setting.down
    if isinstance(top.centre, PaperField):
        return top.centre.columns, top.centre.rows
    return None, None


def changed(plan: Plan, rows: list[Round], to: TopPlan) -> tuple[Plan, list[Round]]:
    """Unsaved copies of a plan and its rounds that say what a proposal of the engine says."""
    other, others = copy(plan), [copy(row) for row in rows]
    other.pieces_across, other.pieces_down = counts(to)
    for row, round_ in zip(others, to.rounds, strict=False):
        row.width = int(round_.width)
    others += [
        Round(plan=plan, position=place, width=int(round_.width), corners=round_.corners)
        for place, round_ in enumerate(to.rounds[len(rows) :], start=len(rows) + 1)
    ]
    return other, others


def _changes(plan: Plan, rows: list[Round], other: Plan, others: list[Round], system: System) -> Iterator[str]:
    was, now = (plan.pieces_across, plan.pieces_down), (other.pieces_across, other.pieces_down)
    if was != now:
        yield f"{now[0]} by {now[1]} in the centre instead of {was[0]} by {was[1]}"
    for place, row in enumerate(others):
        width = show_length(row.width, system=system)
        if place >= len(rows):
            yield f"One more border, {width} wide"
        elif row.width != rows[place].width:
            yield f"{round_name(place, row)} {width} wide instead of {show_length(rows[place].width, system=system)}"


def _off(off: Size, system: System) -> str:
    told = [_one_off(off.width, "wide", system), _one_off(off.length, "long", system)]
    return ", ".join(part for part in told if part) or "exactly so big"


def _one_off(off: Length, way: str, system: System) -> str:
    if abs(Fraction(off)) < 1:
        return ""
    return f"{show_length(abs(Fraction(off)), system=system)} too {way if off > 0 else {'wide': 'narrow', 'long': 'short'}[way]}"


def _mm2(area: Length) -> int:
    return round(Fraction(area) / 10**12)
