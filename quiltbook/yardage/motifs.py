"""What is a pieced motif made of, how far does it reach, and where do several of them sit along a border?

A hexagon flower stands point up: a centre hexagon and six neighbours that share its edges, each a hexagon or a petal.
Formulas follow from the regular hexagon of side a, whose neighbours' middles lie √3·a away. Lengths are in nm.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.patches import Patch, Refusal, Step
from quiltbook.yardage.shapes import ROOT3, Outline, hexagon, hexagon_petal, rough_cut

SIDES = ("left", "right", "top", "bottom")
RULES = ("even", "cells", "margins", "aligned")
MOST_MOTIFS = 1000
MOST_ON_A_SIDE = 200


class MotifError(Refusal):
    """The motif cannot be made, or cannot be placed as asked."""


@dataclass(frozen=True, slots=True)
class Motif:
    """A flower of hexagons of `side`; `petal_rise` is that of the petals' arcs, None for six hexagons.

    `seam_allowance` is what is turned over the papers all round.
    """

    name: str
    side: Length
    petal_rise: Length | None
    seam_allowance: Length
    kind: str = "hexagon flower"


@dataclass(frozen=True, slots=True)
class MotifsOnRound:
    """How many of the motif named `motif` lie on each side, by which rule of `spacing`.

    `applied`: "before" or "after" the border is joined. "aligned" goes by the nearest inner round that carries motifs.
    `corners`: one more in the middle of each corner; the sides' then keep to the strip between the corners.
    """

    motif: str
    left: int = 0
    right: int = 0
    top: int = 0
    bottom: int = 0
    rule: str = "even"
    applied: str = "before"
    end_margin: Length = 0
    corners: bool = False

    def on(self, side: str) -> int:
        return {"left": self.left, "right": self.right, "top": self.top, "bottom": self.bottom}[side]


@dataclass(frozen=True, slots=True)
class Flower:
    """One flower: its pieces drawn about its middle, and what sewing it takes.

    `size`: the upright box it fills. `seam_length`: 12 seams of one side, six to the centre and six between neighbours.
    `edge_length`: what is appliquéd down: three free sides, or the arc, of each neighbour.
    """

    centre: Outline
    outer: tuple[Outline, ...]
    outer_part: str
    size: Size
    seam_length: float
    edge_length: float


def flower(motif: Motif) -> Flower:
    """The flower of a motif. Raises `MotifError` for sizes that make none."""
    side = float(motif.side)
    if motif.kind != "hexagon flower":
        raise MotifError("kind", "The only motif so far is the hexagon flower.")
    if side <= 0 or motif.seam_allowance < 0:
        raise MotifError("side", "A flower needs a side above 0 and no negative allowance.")
    towards = [math.radians(30 + 60 * n) for n in range(6)]
    if motif.petal_rise is None:
        away = side * ROOT3
        outer = tuple(hexagon(side).moved(away * math.sin(t), -away * math.cos(t)) for t in towards)
        edge_length = 18 * side
    else:
        rise = float(motif.petal_rise)
        if not 0 < rise <= side * ROOT3 * (1 + 1e-9):
            raise MotifError(
                "petal_rise", "It must be above 0 and at most √3 times the side: beyond that the petals would overlap."
            )
        petal = hexagon_petal(side, rise)
        away = side * ROOT3 / 2
        outer = tuple(petal.moved(away * math.sin(t), -away * math.cos(t), t) for t in towards)
        edge_length = 6 * petal.edges[0].length
    (left, top), (right, bottom) = _box(outer)
    part = "petal hexagon" if motif.petal_rise is None else "petal"
    return Flower(hexagon(side), outer, part, Size(right - left, bottom - top), 12 * side, edge_length)


def _box(outlines: Sequence[Outline]) -> tuple[tuple[float, float], tuple[float, float]]:
    corners = [corner for outline in outlines for corner in outline.box]
    xs, ys = zip(*corners, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def flower_patches(motif: Motif, *, flowers: int, role: str, round_index: int, round_up_to: int) -> tuple[Patch, ...]:
    """The centres and the six pieces round each, to be cut from upright rectangles round the shapes."""
    if not flowers:
        return ()
    outer_is_hexagon = motif.petal_rise is None
    outer = (
        hexagon(float(motif.side))
        if motif.petal_rise is None
        else hexagon_petal(float(motif.side), float(motif.petal_rise))
    )

    def patch(suffix: str, part: str, shape: str, outline: Outline, count: int, alike: int) -> Patch:
        rough = rough_cut(outline, motif.seam_allowance)
        cut = Size(round_up(rough.width, round_up_to), round_up(rough.length, round_up_to))
        return Patch(
            role=f"{role} {suffix}", part=part, round=round_index, shape=shape, finished=outline.size, cut=cut,
            count=count, alike=alike, seam_allowance=motif.seam_allowance,
        )  # fmt: skip

    part, shape = ("petal hexagon", "hexagon") if outer_is_hexagon else ("petal", "hexagon petal")
    return (
        patch("flower centres", "flower centre", "hexagon", hexagon(float(motif.side)), flowers, 1),
        patch("petals", part, shape, outer, 6 * flowers, 6),
    )


# --- where they sit --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Spacing:
    """Where motifs sit along a strip.

    `centres` run from the strip's finished left (or upper) end; `from_centre` from its middle, negative leftward;
    `from_raw_edge` from the left end of the strip as cut to exact length. `gap` is that of the rule, or the least
    between neighbours; None where one motif stands alone. `fits`: no motif overlaps another or an end. `from_neighbour`: from
    each middle to the next. `to_end`: how far the outermost motifs keep from the finished ends, the seams; negative beyond.
    """

    count: int
    centres: tuple[Length, ...]
    from_centre: tuple[Length, ...]
    from_raw_edge: tuple[Length, ...]
    gap: Length | None
    fits: bool
    steps: tuple[Step, ...]
    from_neighbour: tuple[Length, ...] = ()
    to_end: Length | None = None


def spacing(
    length: Length,
    motif: Length,
    *,
    count: int | None = None,
    rule: str = "even",
    end_margin: Length = 0,
    least_gap: Length = 0,
    align_to: Sequence[Length] = (),
    align_shift: Length = 0,
    seam_allowance: Length = 0,
) -> Spacing:
    """Places `count` motifs, each `motif` long, on a strip of finished `length`; without `count`, the most that fit.

    Rules: "even": all gaps alike, the ends' included: (L - nm)/(n + 1). "cells": equal cells, each motif in the middle of
    its own: L/n - m between neighbours and half of that at the ends. "margins": `end_margin` at both ends and equal gaps
    between: (L - 2e - nm)/(n - 1); one motif sits in the middle. "aligned": over the centres in `align_to` (measured from
    the inner strip's left end) moved by `align_shift`; further ones go on outward at its pitch. Raises `MotifError`.
    """
    if rule not in RULES:
        raise MotifError("rule", f"It must be one of: {', '.join(RULES)}.")
    if length <= 0 or motif <= 0:
        raise MotifError("length" if length <= 0 else "motif", "It must be more than 0.")
    whole, m, margin, least = Fraction(length), Fraction(motif), Fraction(end_margin), Fraction(least_gap)
    if rule == "aligned":
        centres = _aligned(whole, m, count, [Fraction(centre) + Fraction(align_shift) for centre in align_to])
    else:
        n = _most(rule, whole, m, margin, least) if count is None else count
        _within_reason(n)
        centres = _placed(rule, n, whole, m, margin)
    gap = min((b - a - m for a, b in pairwise(centres)), default=None)
    if len(centres) == 1 and rule in ("even", "cells"):
        gap = (whole - m) / (2 if rule == "even" else 1)
    ends = margin if rule == "margins" else 0
    tolerance = m / 10**9  # roots come as floats
    fits = bool(centres) and (gap is None or gap >= -tolerance) and _inside(centres, whole, m + 2 * ends, tolerance)
    figures: dict[str, Length] = {"strip": length, "motif": motif} | ({"gap": gap} if gap is not None else {})
    return Spacing(
        count=len(centres),
        centres=tuple(centres),
        from_centre=tuple(centre - whole / 2 for centre in centres),
        from_raw_edge=tuple(centre + Fraction(seam_allowance) for centre in centres),
        gap=gap,
        fits=fits,
        steps=(Step(f"motifs by {rule}", figures, {"motifs": len(centres)}),),
        from_neighbour=tuple(b - a for a, b in pairwise(centres)),
        to_end=min(centres[0], whole - centres[-1]) - m / 2 if centres else None,
    )


def _within_reason(n: int) -> None:
    if not 0 <= n <= MOST_MOTIFS:
        raise MotifError("count", f"It must be from 0 to {MOST_MOTIFS} motifs on a strip.")


def _inside(centres: Sequence[Fraction], whole: Fraction, room: Fraction, tolerance: Fraction) -> bool:
    return centres[0] - room / 2 >= -tolerance and centres[-1] + room / 2 <= whole + tolerance


def _most(rule: str, whole: Fraction, m: Fraction, margin: Fraction, least: Fraction) -> int:
    if rule == "even":
        n = (whole - least) / (m + least)
    elif rule == "cells":
        n = whole / (m + least)
    else:
        n = (whole - 2 * margin + least) / (m + least)
    return max(0, math.floor(n + Fraction(1, 10**9)))


def _placed(rule: str, n: int, whole: Fraction, m: Fraction, margin: Fraction) -> list[Fraction]:
    if n == 0:
        return []
    if rule == "even":
        pitch = (whole - n * m) / (n + 1) + m
        first = pitch - m / 2
    elif rule == "cells":
        pitch = whole / n
        first = pitch / 2
    elif n == 1:
        return [whole / 2]
    else:
        pitch = (whole - 2 * margin - n * m) / (n - 1) + m
        first = margin + m / 2
    return [first + k * pitch for k in range(n)]


def _aligned(whole: Fraction, m: Fraction, count: int | None, inner: list[Fraction]) -> list[Fraction]:
    if not inner:
        raise MotifError("align_to", "It needs the centres of the motifs to align with.")
    if sorted(set(inner)) != inner:
        raise MotifError("align_to", "The centres must run from left to right, each once.")
    if count is None:
        centres = [centre for centre in inner if m / 2 <= centre <= whole - m / 2]
        if len(inner) == 1 or len(centres) < len(inner):
            return centres
        left, right = inner[1] - inner[0], inner[-1] - inner[-2]
        more_left = math.floor((inner[0] - m / 2) / left)
        more_right = math.floor((whole - m / 2 - inner[-1]) / right)
        _within_reason(len(inner) + more_left + more_right)
    else:
        _within_reason(count)
        more_left = (count - len(inner)) // 2
        more_right = count - len(inner) - more_left
        if more_right <= 0:
            return inner[-more_left : len(inner) + more_right]
        if len(inner) == 1:
            raise MotifError("align_to", "With one centre there is no pitch to go on at: give two or more.")
        left, right = inner[1] - inner[0], inner[-1] - inner[-2]
    before = [inner[0] - k * left for k in range(more_left, 0, -1)]
    return [*before, *inner, *(inner[-1] + k * right for k in range(1, more_right + 1))]
