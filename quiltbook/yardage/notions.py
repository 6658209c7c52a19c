"""What does a quilt take besides cloth: thread for each way of sewing, papers or leave-in templates, adhesive?

Lengths in nm. The lengths to sew come from the top (its seams, its paper-pieced seams, its appliqué edges) and from how it is quilted
and bound; each is sewn with its own stitch, so that each kind of thread is reckoned on its own.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from quiltbook.measures import NM_PER_INCH, Length, Size, round_up
from quiltbook.yardage.outline import Outline
from quiltbook.yardage.patches import Patch, Refusal, Step
from quiltbook.yardage.thread import OVERSEWN, SPOOLS, USUAL_WASTE, Stitch, Thread, needlefuls, thread
from quiltbook.yardage.topplan import Centre
from quiltbook.yardage.tops import PaperField, Top, drawn

# What lies between two faces, in inches, is an assumption: two cottons 0.02, a turned edge 0.02, wadding 0.06 drawn in.
# Stitches to the inch are common practice, no single source.
USUAL_STITCHES: Mapping[str, Stitch] = MappingProxyType(
    {
        name: Stitch(kind, Fraction(NM_PER_INCH, to_the_inch), thickness * NM_PER_INCH, bite * NM_PER_INCH)
        for name, kind, to_the_inch, thickness, bite in (
            ("seams", "lockstitch", 12, Fraction(2, 100), Fraction(0)),
            ("paper seams", OVERSEWN, 16, Fraction(2, 100), Fraction(1, 32)),
            ("applique", OVERSEWN, 12, Fraction(2, 100), Fraction(1, 16)),
            ("hand quilting", "running stitch", 8, Fraction(6, 100), Fraction(0)),
            ("machine quilting", "lockstitch", 10, Fraction(5, 100), Fraction(0)),
            ("binding seam", "lockstitch", 10, Fraction(5, 100), Fraction(0)),
            ("binding hem", OVERSEWN, 8, Fraction(2, 100), Fraction(1, 16)),
        )
    }
)
MACHINE = ("lockstitch", "chainstitch")
# The parts of a top that are turned over papers.
_PAPERED = ("petal", "petal hexagon", "flower centre", "field patch")


class NotionsError(Refusal):
    """The notions cannot be worked out."""


# --- thread ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SewnLine:
    """One kind of sewing: its `length`, the thread it takes, its stitches, and how often a hand needle is threaded (by machine 0)."""

    what: str
    length: Length
    stitch: Stitch
    stitches: int
    needlefuls: int
    thread: Thread


def sewing(
    lengths: Mapping[str, Length],
    *,
    stitches: Mapping[str, Stitch] = USUAL_STITCHES,
    waste: Length = USUAL_WASTE,
    spool: Length = SPOOLS[0],
) -> tuple[SewnLine, ...]:
    """The thread of each kind of sewing in `lengths`, by the names of `stitches`; nothing for a length of 0.

    Raises `NotionsError` for a kind that has no stitch, `ThreadError` for figures that make none.
    """
    lines = []
    for what, length in lengths.items():
        if what not in stitches:
            raise NotionsError(f"sewing.{what}", f"It must be one of: {', '.join(stitches)}.")
        if not length:
            continue
        stitch = stitches[what]
        needed = thread(length, [stitch.ratio], waste=waste, spool=spool, what=what)
        threaded = 0 if stitch.kind in MACHINE else needlefuls(needed.with_waste)
        lines.append(SewnLine(what, length, stitch, stitch.times(length), threaded, needed))
    return tuple(lines)


def lengths_of(top: Top) -> dict[str, Length]:
    """What a top worked out gives `sewing`: all its seams, those sewn over papers, and the edges to be sewn down, in whole nm.

    Seams join two patches each, so that they are half of what the patches that fill the top measure round, less the top's own
    outline. A field over papers counts as one patch there: its seams are its own.
    """
    on = [round_.motifs for round_ in top.rounds if round_.motifs]
    papers, edge = _field_lengths(top.plan.centre)
    return {
        "seams": round(_seams(top)),
        "paper seams": round(papers + sum(float(motifs.piecing_seam_length) for motifs in on)),
        "applique": round(edge + sum(float(motifs.edge_length) for motifs in on)),
    }


def _seams(top: Top) -> float:
    """(The perimeters of all patches that fill the top - that of the top) / 2."""
    around = [Outline(one.outline).perimeter for one in drawn(top) if one.part not in _PAPERED]
    centre = top.plan.centre
    if isinstance(centre, PaperField) and centre.edge == "trimmed":
        around.append(_around(top.centre.finished))
    return (sum(around) - _around(top.finished)) / 2


def _around(size: Size) -> float:
    return 2 * (float(size.width) + float(size.length))


def _field_lengths(centre: Centre) -> tuple[float, float]:
    """The seams within a field over papers, and its edge where it is sewn down whole.

    R rows of C hexagons share C - 1 edges within each row and 2C - 1 between two rows; diamonds those between rows alone.
    """
    if not isinstance(centre, PaperField):
        return 0.0, 0.0
    rows, columns = centre.rows, centre.columns
    shared = (rows - 1) * (2 * columns - 1)
    sides = 4
    if centre.shape == "hexagon":
        shared, sides = shared + rows * (columns - 1), 6
    side = float(centre.side)
    free = sides * rows * columns - 2 * shared
    return shared * side, free * side if centre.edge == "applied" else 0.0


def quilting_lines(size: Size, *, apart: Length, ways: int = 1) -> Fraction:
    """The length of parallel lines `apart` over a quilt, one way or crossed: W·L/d for each way. Raises `NotionsError`."""
    if apart <= 0:
        raise NotionsError("apart", "It must be more than 0.")
    if ways not in (1, 2):
        raise NotionsError("ways", "Lines run one way, or two when they cross.")
    return ways * Fraction(size.width) * Fraction(size.length) / Fraction(apart)


# --- papers ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Papers:
    """Papers or templates of one shape and finished `size`: as many as `papers`, in so many packs, for all the `pieces`."""

    shape: str
    size: Size
    pieces: int
    papers: int
    packs: int
    steps: tuple[Step, ...]


def papers(pieces: Iterable[tuple[str, Size, int]], *, pack: int = 100, uses: int = 1) -> tuple[Papers, ...]:
    """Papers for (shape, finished size, count): pieces alike are taken together, the largest number first.

    `uses`: how often each paper is taken out and used again; a template left in is used once. Raises `NotionsError`.
    """
    if pack < 1 or uses < 1:
        raise NotionsError("pack" if pack < 1 else "uses", "It must be at least 1.")
    counts: dict[tuple[str, Size], int] = {}
    for shape, size, count in pieces:
        if count < 0:
            raise NotionsError("count", "It must not be negative.")
        whole = Size(round(size.width), round(size.length))  # roots come as floats
        counts[shape, whole] = counts.get((shape, whole), 0) + count
    found = []
    for (shape, size), count in counts.items():
        needed = -(-count // uses)
        packs = -(-needed // pack)
        figures = {"pieces": count, "uses": uses, "papers": needed, "in a pack": pack, "packs": packs}
        steps = (Step("papers", {"width": size.width, "length": size.length}, figures),)
        found.append(Papers(shape, size, count, needed, packs, steps))
    return tuple(sorted(found, key=lambda each: -each.pieces))


def papered(patches: Iterable[Patch]) -> list[tuple[str, Size, int]]:
    """Those of a top's patches that are turned over papers, as `papers` takes them."""
    return [(patch.shape, patch.finished, patch.count) for patch in patches if patch.part in _PAPERED]


# --- adhesive --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Adhesive:
    """`area` in nm² to be covered, and how many containers (or lengths of web) that each cover so much."""

    area: Length
    containers: int
    steps: tuple[Step, ...]


def basting_adhesive(size: Size, *, covers: Length, faces: int = 2) -> Adhesive:
    """For holding layers: `faces` of wadding of that size, by what the label says one container `covers`, in nm²."""
    if covers <= 0:
        raise NotionsError("covers", "It must be more than 0.")
    if faces not in (1, 2):
        raise NotionsError("faces", "Wadding has two faces: 1 or 2 of them.")
    area = faces * Fraction(size.width) * Fraction(size.length)
    containers = round_up(area / Fraction(covers), 1)
    figures = {"width": size.width, "length": size.length}
    return Adhesive(area, containers, (Step("adhesive", figures, {"faces": faces, "containers": containers}),))


@dataclass(frozen=True, slots=True)
class FusibleWeb:
    """For so many `pieces` in rows across the web: the `length` they take, of which a shop cuts `to_buy`."""

    pieces: int
    length: Length
    to_buy: int
    steps: tuple[Step, ...]


def fusible_web(
    pieces: Iterable[tuple[Size, int]], *, width: Length, margin: Length = 0, increment: int = 1
) -> FusibleWeb:
    """The web behind pieces given as (finished size, count): each one's box and a `margin` round it, in rows of its own.

    `width` is the web's. Raises `NotionsError` for a piece that is wider than it either way.
    """
    total, length, steps = 0, Fraction(0), []
    for size, count in pieces:
        row = _web_rows(Size(Fraction(size.width) + 2 * margin, Fraction(size.length) + 2 * margin), count, width)
        if row is None:
            raise NotionsError("width", "A piece is wider than the web, either way.")
        a_row, rows, along = row
        total, length = total + count, length + rows * along
        figures: dict[str, Length] = {"web width": width, "piece width": size.width, "piece length": size.length}
        steps.append(Step("web", figures | {"length": rows * along}, {"pieces": count, "a row": a_row, "rows": rows}))
    return FusibleWeb(total, length, round_up(length, increment), tuple(steps))


def _web_rows(box: Size, count: int, width: Length) -> tuple[int, int, Fraction] | None:
    """Pieces a row, rows and how far each reaches along the web, the way up that takes less of it."""
    best = None
    for across, along in ((box.width, box.length), (box.length, box.width)):
        if 0 < across <= width:
            a_row = math.floor(Fraction(width) / Fraction(across))
            way = (a_row, -(-count // a_row), Fraction(along))
            if best is None or way[1] * way[2] < best[1] * best[2]:
                best = way
    return best
