"""What happened to this cloth, in sentences? The ledger's movements of a fabric, newest first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quiltbook.measures import System, show_size
from quiltbook.people.models import Person
from stash.models import Movement, MovementLine


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One movement told in a sentence. `undoable`: not reversed yet, and no page of its own (`link`) to undo it on."""

    id: int
    day: date
    sentence: str
    note: str
    link: str
    undoable: bool
    undone: bool
    price: Decimal | None
    currency: str
    bought_from: str


def history(*, owner: Person, fabric_id: int, system: System) -> tuple[HistoryRow, ...]:
    """Every movement that touched a piece of the fabric."""
    movements = (
        Movement.objects.of(owner)
        .filter(lines__piece__fabric_id=fabric_id)
        .distinct()
        .select_related("purchase", "reverses", "reversed_by")
        .prefetch_related("lines__piece", "reverses__lines__piece")
    )
    return tuple(_row(movement, system) for movement in movements)


def _row(movement: Movement, system: System) -> HistoryRow:
    purchase = getattr(movement, "purchase", None)
    undone = getattr(movement, "reversed_by", None) is not None
    return HistoryRow(
        id=movement.pk,
        day=movement.day,
        sentence=tell(movement, system),
        note=movement.note,
        link=movement.link,
        undoable=not undone and not movement.link and movement.kind != Movement.Kind.REVERSED,
        undone=undone,
        price=purchase.price if purchase else None,
        currency=purchase.currency if purchase else "",
        bought_from=purchase.bought_from if purchase else "",
    )


def tell(movement: Movement, system: System) -> str:
    """The movement as a sentence: what went and what came, with sizes in the person's own system."""
    out = _listed((line for line in movement.lines.all() if line.change == -1), system)
    into = _listed((line for line in movement.lines.all() if line.change == 1), system)
    kind = Movement.Kind
    match kind(movement.kind):
        case kind.BOUGHT:
            return f"Bought {into}."
        case kind.COUNTED:
            if not out:
                return f"Counted {into} that had not been written down."
            return f"Counted: {out} is now {into}." if into else f"Counted: {out} is no longer there."
        case kind.CUT:
            return f"Cut {out}; {into} left over." if into else f"Cut {out}; nothing worth keeping left over."
        case kind.WASHED:
            return f"Washed {out}; it now measures {into}."
        case kind.SPLIT:
            return f"Split {out} into {into}."
        case kind.SCRAPPED:
            return f"Scrapped {out}."
        case kind.GIVEN:
            return f"Gave away {out}."
        case kind.MOVED:
            return _told_move(movement, out)
        case kind.REVERSED:
            return (
                f"Undid: {_lower_first(tell(movement.reverses, system))}" if movement.reverses else "Undid a movement."
            )


def _told_move(movement: Movement, out: str) -> str:
    [old] = [line.place for line in movement.lines.all() if line.change == -1]
    [new] = [line.place for line in movement.lines.all() if line.change == 1]
    return f"Moved {out} from {old or 'no set place'} to {new or 'no set place'}."


def _listed(lines: Iterable[MovementLine], system: System) -> str:
    named = [f"{line.piece.name} ({show_size(line.piece.size, system=system)})" for line in lines]
    if len(named) < 2:
        return "".join(named)
    return f"{', '.join(named[:-1])} and {named[-1]}"


def _lower_first(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
