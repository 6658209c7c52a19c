"""How far is the top sewn? Each step of sewing it together, in order, with whether the work log says it is done."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from plans.queries.planned import keys_of
from plans.queries.says import sewing_order as sentences
from plans.queries.stages import Sewing
from plans.queries.worked import Worked
from quiltbook.measures import System
from quiltbook.yardage.tops import SewingStep


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One step, as a sentence."""

    words: str
    done: bool


def sewing_order(work: Worked, sewing: Sewing, system: System) -> tuple[OrderRow, ...]:
    """The steps from the centre outwards."""
    told = zip(sentences(work.top, work.rounds, system), work.top.sewing_order, strict=True)
    return tuple(OrderRow(words, _done(work, step, sewing)) for words, step in told)


def _done(work: Worked, step: SewingStep, sewing: Sewing) -> bool:
    """By the count of the round's stage: two strips are joined first, four in the end; flowers as the step has them."""
    if step.round is None:
        return bool(work.rounds) and _so_far(sewing, keys_of(work.rounds[0]).join) > 0
    keys = keys_of(work.rounds[step.round])
    if step.what in ("piece", "apply"):
        return _so_far(sewing, keys.piece if step.what == "piece" else keys.sew_on) >= step.count
    pieces = work.top.rounds[step.round].pieces
    return _so_far(sewing, keys.join) >= (2 if step.part == pieces[0].part else 4)


def _so_far(sewing: Sewing, key: str) -> Decimal:
    row = sewing.row(key)
    if row is None:
        return Decimal(0)
    return row.size if row.finished or row.skipped else row.done
