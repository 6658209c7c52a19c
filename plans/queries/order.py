"""In what order is the top sewn? The engine's steps as sentences in her own units, each with whether the work log says it is done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from plans.queries.planned import keys_of, named
from plans.queries.stages import Sewing
from plans.queries.worked import Worked
from quiltbook.measures import Size, System, show_size
from quiltbook.yardage.tops import SewingStep

PLURALS = {"side": "sides", "end": "ends", "cornerstone": "cornerstones", "corner": "corners", "flower": "flowers"}
ENDS = "top and bottom"


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One step. `size`: what the top measures then, finished; empty where it does not grow."""

    words: str
    size: str
    done: bool


def sewing_order(work: Worked, sewing: Sewing, system: System) -> tuple[OrderRow, ...]:
    """The steps from the centre outwards."""
    return tuple(_row(work, step, sewing, system) for step in work.top.sewing_order)


def _row(work: Worked, step: SewingStep, sewing: Sewing, system: System) -> OrderRow:
    size = (
        "" if step.size_after is None else show_size(Size(step.size_after.width, step.size_after.length), system=system)
    )
    return OrderRow(_words(work, step), size, _done(work, step, sewing))


def _words(work: Worked, step: SewingStep) -> str:
    if step.round is None:
        return "Trim the panel" if step.what == "trim" else "Begin with the centre"
    name = list(named(work))[step.round][1]
    part = ENDS if step.part == "end" else PLURALS[step.part]
    sentences: Mapping[str, str] = {
        "join lengths": f"{name}: join lengths into strips for the {part}",
        "piece": f"{name}: piece {step.count} flowers",
        "apply": f"{name}: appliqué {step.count} flowers",
        "trim": f"{name}: trim the {part} to measure",
        "mitre": f"{name}: mitre the corners",
    }
    if step.what == "join" and step.part == "cornerstone":
        return f"{name}: sew the cornerstones to the other two strips"
    return sentences.get(step.what, f"{name}: join the {part}")


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
