"""Is what she has enough for what the quilt takes besides cloth? Each need with the notion that serves it, what is short, what was used.

Papers serve by shape and size, wadding where it covers; thread by her choice alone, since a colour cannot be guessed. What an earlier need of
the same quilt takes of a notion is no longer there for a later one; other quilts hold nothing back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.utils.text import slugify

from plans.models import NotionChoice, Plan
from plans.queries.finishing_list import Line
from plans.queries.notions import NotionsRows, PaperRow, spool_size
from plans.queries.says import show_length, show_size
from plans.queries.worked import Worked
from quiltbook.measures import NM_PER_MM, Size, System, mm2, round_up
from quiltbook.web.words import in_words
from quiltbook.yardage.wadding import Pack, to_buy
from stash.models import Notion, NotionChange
from stash.queries.history import undone
from stash.queries.notions import NotionRow, in_metres, in_nm, kept, said, side_of, thread_length

# Two boxes of a shape are of one size where no ruler tells them apart: a tenth of a millimetre.
ALIKE = NM_PER_MM // 10
Kind, Unit = Notion.Kind, Notion.Unit


@dataclass(frozen=True, slots=True)
class Serves:
    """A notion that would do for a need, how much of it that takes (in its unit), and the area (mm²) it would open, of wadding."""

    notion: NotionRow
    takes: Decimal
    opens: int = 0


@dataclass(frozen=True, slots=True)
class Used:
    """What was used for a need: the change to take back, how much of what, and when."""

    change_id: int
    words: str
    amount: Decimal
    day: date


@dataclass(frozen=True, slots=True)
class Need:
    """One need of the plan. `notion` serves it, chosen by her or the likeliest of `candidates`; `sentence` says what there is and what is
    needed; `state`: "used", "enough", "short", "none" (nothing would do) or "choose". `takes` is still to be used of `notion`, and
    `buy` what is missing, for the shopping list."""

    key: str
    words: str
    candidates: tuple[Serves, ...]
    notion: NotionRow | None
    takes: Decimal
    sentence: str
    state: str
    used: tuple[Used, ...]
    buy: Line | None


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A need before anybody looked into the boxes: how much, in the unit it is reckoned in."""

    key: str
    words: str
    kinds: tuple[str, ...]
    much: Decimal
    role: str
    paper: PaperRow | None = None


def needs(plan: Plan, work: Worked, rows: NotionsRows, *, system: System, page: str) -> tuple[Need, ...]:
    """What the plan takes, need by need. `page` is the address that what was used for it is written down under."""
    owner = plan.owner
    have = kept(owner=owner, system=system, kinds=[Kind.THREAD, Kind.PAPERS, Kind.TEMPLATES, Kind.WADDING, Kind.SPRAY])
    chosen = dict(NotionChoice.objects.filter(plan=plan).values_list("need", "notion_id"))
    done = used_for(plan, page, system)
    spoken_for: dict[int, Decimal] = defaultdict(Decimal)
    found = []
    for wanted in _wanted(rows, system):
        candidates = _candidates(wanted, have, plan, work)
        need = _need(wanted, candidates, chosen.get(wanted.key), done.get(wanted.key, ()), spoken_for, plan, system)
        if need.notion is not None and need.state in ("enough", "short"):
            spoken_for[need.notion.id] += need.takes
        found.append(need)
    return tuple(found)


def _wanted(rows: NotionsRows, system: System) -> Iterator[_Wanted]:
    yield _Wanted("wadding", in_words("Wadding"), (Kind.WADDING,), Decimal(1), "wadding")
    for thread in rows.thread:
        metres = in_metres(thread.taken)
        role = f"thread {slugify(thread.name)}"
        yield _Wanted(f"thread-{slugify(thread.what)}", thread.name, (Kind.THREAD,), metres, role)
    for n, paper in enumerate(rows.papers):
        key = f"papers-{slugify(paper.kind)}-{round(paper.size.width / 1000)}x{round(paper.size.length / 1000)}"
        side = side_of(paper.kind, paper.size)
        told = show_size(paper.size, system=system) if side is None else f"sides of {show_length(side, system=system)}"
        words = f"Papers: {paper.shape.lower()}, {told}"
        role = f"papers {slugify(paper.shape)} {n}"
        yield _Wanted(key, words, (Kind.PAPERS, Kind.TEMPLATES), Decimal(paper.papers), role, paper)
    if rows.adhesive:
        yield _Wanted("spray", "Basting spray", (Kind.SPRAY,), Decimal(rows.adhesive.containers), "spray")


def _candidates(wanted: _Wanted, have: tuple[NotionRow, ...], plan: Plan, work: Worked) -> tuple[Serves, ...]:
    """What would do, the likeliest first; threads in the order of their names."""
    fitting = [row for row in have if row.kind in wanted.kinds]
    if wanted.key == "wadding":
        serves = [each for row in fitting if (each := _covers(row, work.wadding, plan))]
        return tuple(sorted(serves, key=lambda each: (each.takes > each.notion.left, each.opens)))
    if wanted.paper is not None:
        paper = wanted.paper
        fitting = [row for row in fitting if row.shape == paper.kind and row.size and _alike(row.size, paper.size)]
    serves = [Serves(row, wanted.much) for row in fitting if row.unit == _unit_of(wanted)]
    return tuple(serves if wanted.kinds == (Kind.THREAD,) else sorted(serves, key=lambda each: -each.notion.left))


def _unit_of(wanted: _Wanted) -> str:
    return Unit.METRE if wanted.kinds == (Kind.THREAD,) else Unit.PIECE


def _covers(row: NotionRow, need: Size, plan: Plan) -> Serves | None:
    """How many packs, or how long a length off the roll, cover the wadding; nothing where no few of them do."""
    if row.unit == Unit.METRE and row.width:
        best = to_buy(need, increment=plan.shop_step, packs=(), roll_width=row.width).roll[0]
        return Serves(row, in_metres(best.length), mm2(row.width, best.length))
    if row.unit == Unit.PACK and row.size:
        ways = to_buy(need, increment=plan.shop_step, packs=[Pack(row.name, row.size)]).packs
        if ways:
            return Serves(row, Decimal(ways[0].packs), ways[0].packs * mm2(row.size.width, row.size.length))
    return None


def _alike(one: Size, other: Size) -> bool:
    return all(abs(float(a) - float(b)) <= ALIKE for a, b in ((one.width, other.width), (one.length, other.length)))


def _need(
    wanted: _Wanted,
    candidates: tuple[Serves, ...],
    chosen: int | None,
    done: tuple[Used, ...],
    spoken_for: Mapping[int, Decimal],
    plan: Plan,
    system: System,
) -> Need:
    serves = next((each for each in candidates if each.notion.id == chosen), None)
    if serves is None and wanted.kinds != (Kind.THREAD,):
        serves = next(iter(candidates), None)
    need = Need(wanted.key, wanted.words, candidates, serves.notion if serves else None, Decimal(0), "", "", done, None)
    used = sum((each.amount for each in done), Decimal(0))
    if done and (wanted.key == "wadding" or used >= wanted.much):
        return replace(need, state="used")
    if serves is None:
        state, sentence = _nothing(wanted, candidates, system)
        return replace(need, state=state, sentence=sentence)
    takes = serves.takes - used
    row, before = serves.notion, spoken_for.get(serves.notion.id, Decimal(0))
    missing = takes + before - row.left
    sentence = f"You have {said(row.left, row, system)} of {row.name}"
    if before:
        sentence += f", of which {said(before, row, system)} go to what stands above"
    sentence += f"{';' if before else ','} {said(takes, row, system)} {'more ' if used else ''}needed"
    if missing > 0:
        missing = min(missing, takes)
        sentence += f": {said(missing, row, system)} short"
    return replace(
        need,
        takes=takes,
        sentence=f"{sentence}.",
        state="short" if missing > 0 else "enough",
        buy=_buy(wanted, row, takes, missing, plan, system) if missing > 0 else None,
    )


def _nothing(wanted: _Wanted, candidates: tuple[Serves, ...], system: System) -> tuple[str, str]:
    """The state of a need that nothing serves, and what is said of it."""
    if wanted.key == "wadding":
        return "none", in_words("You have no wadding written down that covers it.")
    sewn = wanted.kinds == (Kind.THREAD,)
    much = thread_length(wanted.much, system) if sewn else f"{wanted.much}"
    if candidates:
        return "choose", f"{much} needed: say below of which thread."
    return "none", f"{much} needed, and you have none written down."


def _buy(wanted: _Wanted, row: NotionRow, takes: Decimal, missing: Decimal, plan: Plan, system: System) -> Line:
    """What is missing as a line for the list, as it is sold. Of a roll all that is needed: what is missing cannot be sewn to what is there."""
    if wanted.key == "wadding":
        if row.unit == Unit.METRE and row.width:
            width = show_length(row.width, system=system)
            return Line(
                "wadding", f"{in_words('Wadding')} off a roll {width} wide", round_up(in_nm(takes), plan.shop_step)
            )
        packs, size = _whole(missing, 1), show_size(row.size or Size(0, 0), system=system)
        return Line("wadding", f"{in_words('Wadding')}, {_many(packs, 'pack')} of {size}")
    if row.kind == Kind.THREAD:
        spools = _whole(Fraction(in_nm(missing)), plan.spool)
        return Line(
            wanted.role,
            f"Thread, {_many(spools, 'spool')} of {spool_size(plan.spool)}: {wanted.words.lower()}, like {row.name}"[
                :200
            ],
        )
    if row.kind == Kind.SPRAY:
        return Line(wanted.role, f"Basting spray, {_many(_whole(missing, 1), 'can')}")
    packs = _whole(missing, plan.papers_pack)
    return Line(
        wanted.role,
        f"Papers, {_many(packs, 'pack')}: {_whole(missing, 1)} {wanted.words.removeprefix('Papers: ')}"[:200],
    )


def _whole(amount: Decimal | Fraction, each: int) -> int:
    return round_up(Fraction(amount) / each, 1)


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def used_for(plan: Plan, page: str, system: System) -> dict[str, tuple[Used, ...]]:
    """What was used for each need and not taken back. A change names its need after the page: "/plans/3/finishing/#wadding"."""
    start = f"{page}#"
    changes = list(
        NotionChange.objects.filter(notion__owner=plan.owner_id, link__startswith=start)
        .select_related("notion")
        .order_by("pk")
    )
    reversed_by = {change.reverses_id: change.pk for change in changes if change.reverses_id}
    found: dict[str, tuple[Used, ...]] = defaultdict(tuple)
    for change in changes:
        if change.kind != NotionChange.Kind.USED or undone(change.pk, reversed_by):
            continue
        last = change.pk
        while last in reversed_by:  # done again: it is the doing again that can be taken back
            last = reversed_by[last]
        words = f"{said(-change.change, change.notion, system)} of {change.notion.name}"
        found[change.link.removeprefix(start)] += (Used(last, words, -change.change, change.day),)
    return dict(found)
