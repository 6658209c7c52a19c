"""How could a top be made about so big, and what would each way take in cloth? And what did measuring change?

A proposal is another plan: a wider or narrower outer border, all borders wider or narrower alike, one border more, or other counts of
blocks. Border widths go by the cutting step; cloth is the rough area of the rectangles to cut.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from quiltbook.measures import Length, Size
from quiltbook.yardage.patches import Refusal, Step
from quiltbook.yardage.setting import MOST_ACROSS
from quiltbook.yardage.topplan import Blocks, PaperField, Round, TopError, TopPlan
from quiltbook.yardage.tops import Top, work_out


@dataclass(frozen=True, slots=True)
class Proposal:
    """A `plan` of `finished` size, over or under the target by `off`; `cloth` is its area, `more` than the plan's as it is.

    `what`: "outer border", "all borders", "one border more", "block counts", "block counts and outer border" or "field".
    """

    what: str
    plan: TopPlan
    finished: Size
    off: Size
    cloth: Length
    more: Length
    steps: tuple[Step, ...]


def proposals(plan: TopPlan, target: Size) -> tuple[Proposal, ...]:
    """The ways to come near the target, the nearest first, then the least cloth. Raises `TopError` where the plan is at fault."""
    for name, side in (("target.width", target.width), ("target.length", target.length)):
        if side <= 0:
            raise TopError(name, "It must be more than 0.")
    now = work_out(plan)
    cloth = rough_cloth(now)
    found: list[Proposal] = []
    for what, other in _others(plan, now, target):
        try:
            top = work_out(other)
        except Refusal:
            continue  # no such border can be sewn: nothing to propose
        if all(other != one.plan for one in found):
            found.append(_proposal(what, top, target, cloth))
    return tuple(sorted(found, key=lambda one: (_far(one.off), one.cloth)))


def rough_cloth(top: Top) -> Length:
    """The area of every rectangle to cut for a top, in nm²: less than what must be bought, for it leaves out all waste."""
    return sum(patch.to_cut * Fraction(patch.cut.width) * Fraction(patch.cut.length) for patch in top.patches)


def _proposal(what: str, top: Top, target: Size, cloth: Length) -> Proposal:
    finished, area = top.finished, rough_cloth(top)
    off = Size(Fraction(finished.width) - Fraction(target.width), Fraction(finished.length) - Fraction(target.length))
    outer: dict[str, Length] = {"outer border": top.plan.rounds[-1].width} if top.plan.rounds else {}
    figures = {"width": finished.width, "length": finished.length, "width off": off.width, "length off": off.length}
    steps = (Step(what, figures | outer, {"blocks": top.centre.count} if top.centre.kind == "blocks" else {}),)
    return Proposal(what, top.plan, finished, off, area, Fraction(area) - Fraction(cloth), steps)


def _far(off: Size) -> Length:
    return max(abs(Fraction(off.width)), abs(Fraction(off.length)))


def _others(plan: TopPlan, now: Top, target: Size) -> Iterator[tuple[str, TopPlan]]:
    lacks = _lacks(now, target)
    loose = [n for n, round_ in enumerate(plan.rounds) if round_.measured is None and not round_.pieced]
    if loose and loose[-1] == len(plan.rounds) - 1:
        yield from _wider("outer border", plan, loose[-1:], lacks)
    if len(loose) > 1:
        yield from _wider("all borders", plan, loose, lacks)
    width = _to_step(lacks / 2, plan)
    if width > 0:
        corners = plan.rounds[-1].corners if plan.rounds and not plan.rounds[-1].pieced else "butted"
        yield "one border more", replace(plan, rounds=(*plan.rounds, Round(width, corners)))
    if isinstance(plan.centre, Blocks | PaperField) and plan.centre.measured is None:
        yield from _other_counts(plan, target)


def _lacks(top: Top, target: Size) -> Fraction:
    """What the top lacks of the target, the mean of both directions: borders grow both alike."""
    w, length = (
        Fraction(target.width) - Fraction(top.finished.width),
        Fraction(target.length) - Fraction(top.finished.length),
    )
    return (w + length) / 2


def _wider(what: str, plan: TopPlan, rounds: Iterable[int], lacks: Fraction) -> Iterator[tuple[str, TopPlan]]:
    """Those rounds as much wider, or narrower, as shares the lack among them by their widths."""
    chosen = set(rounds)
    have = sum(Fraction(plan.rounds[n].width) for n in chosen)
    scale = 1 + lacks / 2 / have
    if scale <= 0:
        return
    changed = tuple(
        replace(round_, width=max(_to_step(Fraction(round_.width) * scale, plan), plan.round_up))
        if n in chosen
        else round_
        for n, round_ in enumerate(plan.rounds)
    )
    if changed != plan.rounds:
        yield what, replace(plan, rounds=changed)


def _to_step(width: Fraction, plan: TopPlan) -> int:
    """The width to the nearest cutting step."""
    return round(width / plan.round_up) * plan.round_up


def _other_counts(plan: TopPlan, target: Size) -> Iterator[tuple[str, TopPlan]]:
    """The two nearest counts each way, and each with the outer border made to fit."""
    what = "block counts" if isinstance(plan.centre, Blocks) else "field"
    for across, down in product(_counts(plan, target, across=True), _counts(plan, target, across=False)):
        other = _counted(plan, across, down)
        if other != plan:
            yield what, other
        outer = plan.rounds[-1] if plan.rounds else None
        if what == "block counts" and outer and outer.measured is None and not outer.pieced:
            try:
                lacks = _lacks(work_out(other), target)
            except Refusal:
                continue
            for _, wider in _wider("", other, [len(plan.rounds) - 1], lacks):
                yield "block counts and outer border", wider


def _counts(plan: TopPlan, target: Size, *, across: bool) -> list[int]:
    """The counts below and above what the target asks for, found from how much one more adds to the top."""

    def size(count: int) -> Fraction:
        top = work_out(_counted(plan, count, 2) if across else _counted(plan, 2, count)).finished
        return Fraction(top.width if across else top.length)

    try:
        few, more = size(2), size(3)
    except Refusal:
        return []
    wanted = Fraction(target.width if across else target.length)
    exact = 2 + (wanted - few) / (more - few) if more > few else Fraction(2)
    return sorted({min(max(int(exact) + n, 1), MOST_ACROSS) for n in (0, 1)})


def _counted(plan: TopPlan, across: int, down: int) -> TopPlan:
    """The plan with so many blocks, or pieces of a field."""
    centre = plan.centre
    if isinstance(centre, Blocks):
        return replace(plan, centre=replace(centre, setting=replace(centre.setting, across=across, down=down)))
    if isinstance(centre, PaperField):
        return replace(plan, centre=replace(centre, columns=across, rows=down))
    return plan


# --- what measuring changed ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Changed:
    """Pieces of a round that are cut otherwise than planned, because the top inside measured otherwise: longer by `more`."""

    round: int
    part: str
    planned: Size
    cut: Size
    more: Size


def changed_by_measuring(top: Top) -> tuple[Changed, ...]:
    """Each kind of piece whose cut size goes by what was measured, beside what the plan alone would ask for.

    What is already cut stays as it is; `more` says by how much it is then too short, or, negative, too long.
    """
    plan = top.plan
    planned = replace(
        plan,
        centre=replace(plan.centre, measured=None),
        rounds=tuple(replace(round_, measured=None) for round_ in plan.rounds),
    )
    if planned == plan:
        return ()
    try:
        before = work_out(planned)
    except Refusal:
        return ()
    return tuple(
        Changed(index, new.part, old.cut, new.cut, Size(new.cut.width - old.cut.width, new.cut.length - old.cut.length))
        for index, (was, now) in enumerate(zip(before.rounds, top.rounds, strict=True))
        for old, new in zip(was.pieces, now.pieces, strict=False)
        if old.part == new.part and old.cut != new.cut
    )
