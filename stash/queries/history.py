"""What happened to this cloth, in sentences? The ledger's movements of a fabric or of one piece, newest first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Max

from quiltbook.measures import System, show_area, show_size
from quiltbook.people.models import Person
from stash.models import Hold, Movement, MovementLine, refusals

MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One movement told in a sentence. `undoable`: not reversed, nothing that came of it moved or held since, and no page of its own
    (`link`) to undo it on; `why_not` says which hold stands in the way, if that is all."""

    id: int
    day: date
    sentence: str
    note: str
    link: str
    undoable: bool
    undone: bool
    why_not: str
    price: Decimal | None
    currency: str
    bought_from: str


def history(*, owner: Person, fabric_id: int, system: System, piece_id: int | None = None) -> tuple[HistoryRow, ...]:
    """Every movement that touched a piece of the fabric (or that one piece of it)."""
    pieces = {"lines__piece__fabric_id": fabric_id} | ({"lines__piece_id": piece_id} if piece_id else {})
    movements = list(
        Movement.objects.of(owner)
        .filter(**pieces)
        .distinct()
        .select_related("purchase", "reverses__reverses__reverses")
        .prefetch_related("lines__piece")
    )
    reversed_by = {m.reverses_id: m.pk for m in movements if m.reverses_id is not None}
    last = dict(
        MovementLine.objects.filter(piece__lines__movement__in=movements)
        .values_list("piece_id")
        .annotate(last=Max("movement_id"))
    )
    held = {
        hold.piece_id: refusals.held(hold)
        for hold in Hold.objects.live()
        .filter(piece__lines__movement__in=movements)
        .select_related("piece__fabric")
        .distinct()
    }
    return tuple(_row(m, system, reversed_by, last, held) for m in movements)


def _row(
    movement: Movement,
    system: System,
    reversed_by: Mapping[int, int],
    last: Mapping[int, int],
    held: Mapping[int, str],
) -> HistoryRow:
    purchase = getattr(movement, "purchase", None)
    came = [line.piece_id for line in movement.lines.all() if line.change == 1]
    open_ = (
        movement.pk not in reversed_by and not movement.root.link and all(last[piece] == movement.pk for piece in came)
    )
    why_not = next((held[piece] for piece in came if piece in held), "") if open_ else ""
    return HistoryRow(
        id=movement.pk,
        day=movement.day,
        sentence=tell(movement, system),
        note=movement.note,
        link=movement.link,
        undoable=open_ and not why_not,
        undone=undone(movement.pk, reversed_by),
        why_not=why_not,
        price=purchase.price if purchase else None,
        currency=purchase.currency if purchase else "",
        bought_from=purchase.bought_from if purchase else "",
    )


def undone(movement: int, reversed_by: Mapping[int, int]) -> bool:
    """Reversed, by a reversal that was not itself reversed."""
    by = reversed_by.get(movement)
    return by is not None and not undone(by, reversed_by)


def tell_of(movement: Movement, system: System) -> str:
    """As `tell`, with the name of the fabric before it: for where more than one fabric is about."""
    line = movement.lines.all()[0]
    return f"{line.piece.fabric.name}: {_lower_first(tell(movement, system))}"


def tell(movement: Movement, system: System) -> str:
    """The movement as a sentence: what went and what came, with sizes in the person's own system."""
    out = [line for line in movement.lines.all() if line.change == -1]
    into = [line for line in movement.lines.all() if line.change == 1]
    if movement.reverses is None:
        return _told(Movement.Kind(movement.kind), out, into, system)
    # A reversal's lines are those of what it undid the other way round; one that undoes a reversal does the thing again.
    steps, root = 1, movement.reverses
    while root.reverses is not None:
        steps, root = steps + 1, root.reverses
    if steps % 2:
        return f"Undid: {_lower_first(_told(Movement.Kind(root.kind), into, out, system))}"
    return f"Did again: {_lower_first(_told(Movement.Kind(root.kind), out, into, system))}"


def _told(kind: Movement.Kind, lines_out: list[MovementLine], lines_in: list[MovementLine], system: System) -> str:
    out, into = _listed(lines_out, system), _listed(lines_in, system)
    match kind:
        case kind.BOUGHT:
            return f"Bought {into}."
        case kind.COUNTED:
            if not out:
                return f"Counted {into} that had not been written down."
            return f"Counted {out}: it is {into}." if into else f"Counted: {out} is no longer there."
        case kind.CUT:
            return f"Cut {out}; {into} left over." if into else f"Cut {out}; nothing worth keeping left over."
        case kind.WASHED:
            return f"Washed {out}; it is now {into}."
        case kind.SPLIT:
            return f"Cut {out} into {into}."
        case kind.SCRAPPED:
            return f"Scrapped {out}."
        case kind.GIVEN:
            return f"Gave away {out}."
        case kind.MOVED:
            return f"Moved {out} {_places(lines_out, lines_in)}."
        case kind.REVERSED:
            return "Undid a movement."


def _places(lines_out: list[MovementLine], lines_in: list[MovementLine]) -> str:
    old, new = ({line.place for line in lines if line.place} for lines in (lines_out, lines_in))
    left = f"from {' and '.join(sorted(old))} " if old else ""
    return f"{left}to {' and '.join(sorted(new)) or 'no set place'}"


def _listed(lines: Iterable[MovementLine], system: System) -> str:
    pieces = [line.piece for line in lines]
    if len(pieces) > MOST_NAMED:
        together = show_area(sum(p.area_mm2 for p in pieces), system=system)
        return f"{len(pieces)} pieces ({_unbroken(together)} together)"
    named = [f"{_unbroken(piece.name)} ({_unbroken(show_size(piece.size, system=system))})" for piece in pieces]
    if len(named) < 2:
        return "".join(named)
    return f"{', '.join(named[:-1])} and {named[-1]}"


def _unbroken(words: str) -> str:
    """A figure and its unit, or a short name, kept on one line; a label of several words may break."""
    return words.replace(" ", "\N{NO-BREAK SPACE}") if len(words) < 24 else words


def _lower_first(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


@dataclass(frozen=True, slots=True)
class Haul:
    """What cloth bought together has in common: offered again when she logs the next one."""

    day: date
    place: str
    bought_from: str
    currency: str


def haul(*, owner: Person, movement_id: int) -> Haul | None:
    """Of a purchase of hers; None where there is none of that id."""
    movement = (
        Movement.objects.of(owner)
        .filter(pk=movement_id, purchase__isnull=False)
        .select_related("purchase")
        .prefetch_related("lines")
        .first()
    )
    if movement is None:
        return None
    place = next((line.place for line in movement.lines.all()), "")
    return Haul(movement.day, place, movement.purchase.bought_from, movement.purchase.currency)
