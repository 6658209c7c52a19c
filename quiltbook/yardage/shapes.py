"""What is a shape's finished outline, what must be cut for it, and from what?

The cut outline is the finished one grown by the seam allowance; the rough cut is the upright rectangle to cut it from. The
straight grain runs down the shape as it is drawn, so an edge is on it, across it, or on the bias. Lengths in nm.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.growing import ShapeError, grow
from quiltbook.yardage.outline import Edge, Outline, Point, crosses_itself, ring
from quiltbook.yardage.patches import Step

__all__ = [
    "ROOT2",
    "ROOT3",
    "SHAPES",
    "CutFrom",
    "Edge",
    "Outline",
    "Point",
    "ShapeError",
    "ShapeResult",
    "SquareCut",
    "grain",
    "grow",
    "ring",
    "rough_cut",
    "work_out",
]

ROOT2, ROOT3 = math.sqrt(2), math.sqrt(3)


# --- the shapes ------------------------------------------------------------------------------------------------------


def rectangle(width: float, length: float) -> Outline:
    """Its top left corner at the origin."""
    return ring([(0, 0), (width, 0), (width, length), (0, length)])


def square(side: float) -> Outline:
    return rectangle(side, side)


def half_square_triangle(side: float) -> Outline:
    """Half a square of `side`, cut once corner to corner: the right angle bottom left."""
    return ring([(0, 0), (side, side), (0, side)])


def quarter_square_triangle(base: float) -> Outline:
    """A quarter of a square of side `base`, cut twice: its long side level at the bottom."""
    return ring([(base / 2, 0), (base, base / 2), (0, base / 2)])


def hexagon(side: float) -> Outline:
    """Point up, its middle at the origin."""
    w, h = side * ROOT3 / 2, side / 2
    return ring([(0, -side), (w, -h), (w, h), (0, side), (-w, h), (-w, -h)])


def half_hexagon(side: float) -> Outline:
    """Three sides of a hexagon and the long chord, which lies level at the bottom."""
    return ring([(side / 2, 0), (side * 3 / 2, 0), (side * 2, side * ROOT3 / 2), (0, side * ROOT3 / 2)])


def hexagon_petal(side: float, rise: float) -> Outline:
    """A half hexagon standing on its short side, the middle of which is the origin; an arc closes the long chord."""
    h = side * ROOT3 / 2
    return ring([(-side, -h), (side, -h), (side / 2, 0), (-side / 2, 0)], {0: rise})


def diamond(side: float, angle: float) -> Outline:
    """Four sides alike, upright on the tip of `angle` degrees."""
    half = math.radians(angle) / 2
    w, h = side * math.sin(half), side * math.cos(half)
    return ring([(0, -h), (w, 0), (0, h), (-w, 0)])


def clamshell(width: float) -> Outline:
    """A half circle above, two hollow quarter circles below that meet in a foot; as high as it is wide."""
    r = width / 2
    hollow = -r * (1 - ROOT2 / 2)
    return ring([(-r, 0), (r, 0), (0, r)], {0: r, 1: hollow, 2: hollow})


def circle(diameter: float) -> Outline:
    r = diameter / 2
    return ring([(-r, 0), (r, 0)], {0: r, 1: r})


def kite(long: float, short: float, angle: float) -> Outline:
    """Two `long` sides that meet in a tip of `angle` degrees at the top, two `short` ones below."""
    half = math.radians(angle) / 2
    w, h = long * math.sin(half), long * math.cos(half)
    if short <= w:
        raise ShapeError("short", "The short sides are too short to meet: they must be longer than half the width.")
    return ring([(0, 0), (w, h), (0, h + math.sqrt(short**2 - w**2)), (-w, h)])


def wedge(wide: float, narrow: float, length: float) -> Outline:
    """A blade `length` long that tapers evenly from `wide` at the top to `narrow`, which may be 0, at the bottom."""
    foot = [(narrow / 2, length), (-narrow / 2, length)] if narrow else [(0.0, length)]
    return ring([(-wide / 2, 0), (wide / 2, 0), *foot])


def polygon(points: Sequence[Point], rises: Sequence[float] = ()) -> Outline:
    """Any polygon whose edges do not cross, its corners in either order.

    `rises`: for each corner, how far the edge that leaves it bows out (0 straight, negative hollow); none: all straight.
    """
    if rises and len(rises) != len(points):
        raise ShapeError("rises", "There must be as many rises as points, one for the edge that leaves each.")
    if len(points) < (2 if any(rises) else 3):
        raise ShapeError("points", "A polygon needs three corners or more.")
    if any(math.dist(a, b) == 0 for a, b in pairwise([*points, points[0]])):
        raise ShapeError("points", "Two corners that follow each other are the same.")
    bows = list(rises) or [0.0] * len(points)
    if ring(points).area < 0:  # the edge that left a corner now arrives at it
        points, bows = points[::-1], [*bows[-2::-1], bows[-1]]
    outline = ring(points, dict(enumerate(bows)))
    if outline.area <= 0 or crosses_itself(outline):
        raise ShapeError("points", "The edges must enclose an area and not cross.")
    return outline


SHAPES: Mapping[str, tuple[Callable[..., Outline], tuple[str, ...]]] = {
    "square": (square, ("side",)),
    "rectangle": (rectangle, ("width", "length")),
    "half square triangle": (half_square_triangle, ("side",)),
    "quarter square triangle": (quarter_square_triangle, ("base",)),
    "hexagon": (hexagon, ("side",)),
    "half hexagon": (half_hexagon, ("side",)),
    "hexagon petal": (hexagon_petal, ("side", "rise")),
    "diamond": (diamond, ("side", "angle")),
    "kite": (kite, ("long", "short", "angle")),
    "wedge": (wedge, ("wide", "narrow", "length")),
    "clamshell": (clamshell, ("width",)),
    "circle": (circle, ("diameter",)),
}


# --- what to cut it from ---------------------------------------------------------------------------------------------

_DIAGONALS = {"half square triangle": 1, "quarter square triangle": 2}
# these lie level in a strip across the cloth, side by side or alternately turned
_IN_STRIPS = ("square", "rectangle", "hexagon", "half hexagon", "wedge")


@dataclass(frozen=True, slots=True)
class SquareCut:
    """The square that triangles are cut from: exact, and up to the cutting step; `per_square` of them come from one."""

    exact: float
    cut: int
    per_square: int


@dataclass(frozen=True, slots=True)
class CutFrom:
    """One way to cut a shape.

    `how`: "square" (cut corner to corner along `diagonals`), "strip" (as wide as `exact`, cut into `pieces` by further cuts)
    or "template" (a drawn one, laid on a rectangle of that size). `exact` and `cut`, that up to the step: the square's,
    rectangle's, or the strip's share that one piece takes: `length` is the strip's width, `width` what is cut off it.
    """

    how: str
    exact: Size
    cut: Size
    diagonals: int = 0
    pieces: int = 1


@dataclass(frozen=True, slots=True)
class ShapeResult:
    """A shape's outlines and what to cut it from. `trimmed`: the cut outline with its sharp tips cut off."""

    finished: Outline
    cut: Outline
    trimmed: Outline
    rough_cut: Size
    square: SquareCut | None
    cut_from: tuple[CutFrom, ...]
    steps: tuple[Step, ...]


def work_out(
    finished: Outline, *, seam_allowance: Length, round_up_to: int, shape: str = "polygon", surplus: Length = 0
) -> ShapeResult:
    """The cut outlines, the rough cut and what to cut the shape from; `surplus` is added to the square triangles are cut from,
    to be trimmed off once they are sewn. Raises `ShapeError`.
    """
    by = float(seam_allowance)
    cut = grow(finished, by)
    rough = rough_cut(finished, seam_allowance)
    step = Step(
        "rough cut",
        {
            "finished width": finished.size.width,
            "finished height": finished.size.length,
            "seam allowance": seam_allowance,
        },
    )
    square_cut = None
    steps = [step]
    if shape in _DIAGONALS:
        exact = float(cut.size.width) + float(surplus)
        square_cut = SquareCut(exact, round_up(exact, round_up_to), 2 * _DIAGONALS[shape])
        lengths = {"exact": exact, "cut": square_cut.cut} | ({"surplus": surplus} if surplus else {})
        steps.append(Step("square", lengths, {"triangles a square": square_cut.per_square}))
    return ShapeResult(
        finished=finished,
        cut=cut,
        trimmed=grow(finished, by, trim=True),
        rough_cut=rough,
        square=square_cut,
        cut_from=tuple(_ways(shape, finished, rough, square_cut, by, round_up_to)),
        steps=tuple(steps),
    )


def _ways(
    shape: str, finished: Outline, rough: Size, square_cut: SquareCut | None, by: float, step: int
) -> list[CutFrom]:
    """The ways to cut it, the quickest first."""

    def way(how: str, exact: Size, diagonals: int = 0, pieces: int = 1) -> CutFrom:
        return CutFrom(how, exact, Size(round_up(exact.width, step), round_up(exact.length, step)), diagonals, pieces)

    ways = []
    if square_cut:
        size = Size(square_cut.exact, square_cut.exact)
        ways.append(way("square", size, _DIAGONALS[shape], square_cut.per_square))
    if shape in _IN_STRIPS:
        ways.append(way("strip", rough))
    if (
        shape == "diamond"
    ):  # two of its edges lie along the strip, and the cuts across it are as far apart as it is wide
        height = finished.area / finished.edges[0].length + 2 * by
        ways.append(way("strip", Size(height, height)))
    if shape not in ("square", "rectangle"):
        ways.append(way("template", rough))
    return ways


def rough_cut(finished: Outline, seam_allowance: Length) -> Size:
    """The finished box and the allowance all round: the least upright rectangle once the tips are blunted to it."""
    both = 2 * float(seam_allowance)
    return Size(float(finished.size.width) + both, float(finished.size.length) + both)


def grain(edge: Edge) -> str:
    """How an edge lies to the cloth, of which the straight grain runs down the drawing: "straight", "cross" or "bias"."""
    if edge.rise:
        return "bias"
    across, down = (abs(b - a) for a, b in zip(edge.start, edge.end, strict=True))
    if across <= edge.chord * 1e-6:
        return "straight"
    return "cross" if down <= edge.chord * 1e-6 else "bias"
