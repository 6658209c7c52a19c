"""What does a plan take besides cloth: thread by the kind of sewing, papers, what holds the layers, web? Each with how it was reckoned."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plans.models import Plan
from plans.queries.says import HARD_SPACE, number, show_length, show_size
from plans.queries.worked import Worked
from quiltbook.measures import NM_PER_INCH, NM_PER_METRE, NM_PER_MM, NM_PER_YARD, Length, Size, System, mm2, show_area
from quiltbook.web.words import in_words
from quiltbook.yardage.notions import (
    MACHINE,
    NotionsError,
    Papers,
    SewnLine,
    basting_adhesive,
    fusible_web,
    lengths_of,
    papered,
    papers,
    quilting_lines,
    sewing,
)

SEWN = {
    "seams": "Seams by machine",
    "paper seams": "Seams over papers",
    "applique": "Edges sewn down by hand",
    "hand quilting": "Quilting by hand",
    "machine quilting": "Quilting by machine",
    "binding seam": "Binding, sewn on by machine",
    "binding hem": "Binding, hemmed by hand",
}
SEWN_DOWN = ("petal", "petal hexagon", "flower centre")
_STITCHES = {
    "lockstitch": "a lockstitch, both its threads together,",
    "oversewn stitch": "oversewing",
    "running stitch": "a running stitch",
}


@dataclass(frozen=True, slots=True)
class ThreadRow:
    """One kind of sewing: how far it runs, the thread it takes with what is lost, and the spools that hold so much."""

    name: str
    line: str
    thread: str
    spools: int
    needlefuls: int
    how: str


@dataclass(frozen=True, slots=True)
class PaperRow:
    """Papers of one shape and finished size. `side` is that of a hexagon, which papers are sold by; else None."""

    shape: str
    size: Size
    side: Length | None
    pieces: int
    papers: int
    packs: int
    how: str


@dataclass(frozen=True, slots=True)
class Adhesive:
    """What holds the layers: so many `containers`, each of which covers what its label says."""

    containers: int
    how: str


@dataclass(frozen=True, slots=True)
class Web:
    """A length of fusible web for the flowers' shapes; None with the reason in `how` where there is no such length."""

    to_buy: int | None
    how: str


@dataclass(frozen=True, slots=True)
class NotionsRows:
    """All that a plan takes besides cloth. What she did not ask for is None; `quilted`: whether the quilting is in it."""

    spool: str
    quilted: bool
    thread: tuple[ThreadRow, ...]
    papers: tuple[PaperRow, ...]
    adhesive: Adhesive | None
    web: Web | None


def notions_rows(plan: Plan, work: Worked, system: System) -> NotionsRows:
    """The notions of a plan worked out."""
    lines = sewing(_lengths(plan, work), spool=plan.spool)
    return NotionsRows(
        spool=spool_size(plan.spool),
        quilted=plan.quilting_apart is not None,
        thread=tuple(_thread(line, plan.spool, system) for line in lines),
        papers=tuple(
            _papers(each, plan, system)
            for each in papers(papered(work.top.patches), pack=plan.papers_pack, uses=plan.papers_uses)
        ),
        adhesive=_adhesive(plan, work, system),
        web=_web(plan, work, system),
    )


def _lengths(plan: Plan, work: Worked) -> dict[str, Length]:
    around = work.binding.perimeter
    quilting: dict[str, Length] = {}
    if plan.quilting_apart:
        lines = quilting_lines(work.top.finished, apart=plan.quilting_apart, ways=plan.quilting_ways)
        quilting = {plan.quilted_by: lines}
    return lengths_of(work.top) | quilting | {"binding seam": around, "binding hem": around}


def spool_size(nm: int) -> str:
    """Thread as it is sold: in whole metres or yards where it is."""
    for unit, size in (("m", NM_PER_METRE), ("yd", NM_PER_YARD)):
        if nm % size == 0:
            return f"{nm // size}{HARD_SPACE}{unit}"
    return f"{round(Fraction(nm, NM_PER_METRE), 1)}{HARD_SPACE}m"


def long_length(nm: Length, system: System) -> str:
    """A length of sewing or of thread, to the whole yard or metre: nobody measures it nearer."""
    unit, size = ("yd", NM_PER_YARD) if system is System.INCHES else ("m", NM_PER_METRE)
    whole = max(1, round(Fraction(nm) / size))
    return f"{whole}{HARD_SPACE}{unit}"


def _thread(line: SewnLine, spool: int, system: System) -> ThreadRow:
    sewn, taken = long_length(line.length, system), long_length(line.thread.with_waste, system)
    pitch, ratio = Fraction(line.stitch.length), float(line.stitch.ratio)
    if system is System.INCHES:
        stitches = f"{round(NM_PER_INCH / pitch)} stitches to the inch"
    else:
        stitches = f"stitches of {round(float(pitch / NM_PER_MM), 1):g}{HARD_SPACE}mm"
    how = (
        f"{sewn} to sew. With {stitches}, {_STITCHES[line.stitch.kind]} takes {ratio:.1f} times its length: with"
        f" tails and starts {taken}, of which a spool holds {spool_size(spool)}."
    )
    if line.stitch.kind not in MACHINE:
        how += f" About {line.stitches:,} stitches; the needle is threaded about {line.needlefuls:,} times."
    return ThreadRow(SEWN[line.what], sewn, taken, line.thread.spools, line.needlefuls, how)


def _papers(each: Papers, plan: Plan, system: System) -> PaperRow:
    used = "used once" if plan.papers_uses == 1 else f"used {number(plan.papers_uses)} times over"
    packs = "one pack" if each.packs == 1 else f"{number(each.packs)} packs"
    how = f"{each.pieces} pieces, each paper {used}: {each.papers} papers; in packs of {plan.papers_pack}, {packs}."
    side = Fraction(each.size.length) / 2 if each.shape == "hexagon" else None
    return PaperRow(f"{each.shape}s".capitalize(), each.size, side, each.pieces, each.papers, each.packs, how)


def _adhesive(plan: Plan, work: Worked, system: System) -> Adhesive | None:
    if plan.adhesive_covers is None:
        return None
    found = basting_adhesive(work.wadding, covers=plan.adhesive_covers * NM_PER_MM**2)
    covers, area = (
        show_area(nm, system=system).replace(" ", HARD_SPACE)
        for nm in (plan.adhesive_covers, 2 * mm2(work.wadding.width, work.wadding.length))
    )
    size = show_size(work.wadding, system=system)
    how = in_words(f"Both faces of wadding of {size}: {area}. One covers {covers} by its label.")
    return Adhesive(found.containers, how)


def _web(plan: Plan, work: Worked, system: System) -> Web | None:
    if plan.web_width is None:
        return None
    flowers = [(patch.finished, patch.count) for patch in work.top.patches if patch.part in SEWN_DOWN]
    if not flowers:
        return Web(None, "This quilt has no shapes that are sewn onto it.")
    try:
        found = fusible_web(flowers, width=plan.web_width, increment=plan.shop_step)
    except NotionsError as error:
        return Web(None, error.problem)
    rows = [
        f"{step.counts['pieces']} of {show_size(Size(step.lengths['piece width'], step.lengths['piece length']), system=system)},"
        f" {number(step.counts['a row'])} in a row, {number(step.counts['rows'])} rows"
        for step in found.steps
    ]
    width = show_length(plan.web_width, system=system)
    return Web(
        found.to_buy,
        f"Across web {width} wide: {'; '.join(rows)}. Together {show_length(found.length, system=system)}.",
    )
