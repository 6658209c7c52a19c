"""Where do the flowers of a round lie, where is each to be marked, and do they fit?

Marks are in words, to the nearest sixteenth of an inch or millimetre."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plans.models import Round
from plans.queries.piecerow import PieceRow
from plans.queries.says import PARTS, marked, number, show_length
from quiltbook.measures import Length, System
from quiltbook.yardage.borders import CornerMotifs
from quiltbook.yardage.motifs import Motif, MotifError, Spacing, flower, spacing
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.tops import RoundMotifs, RoundResult, SideMotifs

CUT_FROM = "Cut from a rectangle round the shape and its turning."
UPRIGHT = ("left", "right")


@dataclass(frozen=True, slots=True)
class MarkRow:
    """The middle of one flower: from the strip's finished left or upper end, from its middle ("3 in above"), from the flower before it
    ("" for the first) and from the raw end."""

    from_end: str
    from_centre: str
    from_neighbour: str
    from_raw_edge: str


@dataclass(frozen=True, slots=True)
class SideRow:
    """The flowers on one side of a round, or on two that are alike ("left and right"): `gap` between neighbours, `clear` how far they keep
    from the seams. Without `marks` where they do not fit. `most`: how many would fit, None where others say where they lie."""

    side: str
    count: int
    strip: Length
    gap: str
    clear: str
    marks: tuple[MarkRow, ...]
    most: int | None
    fits: bool


@dataclass(frozen=True, slots=True)
class FlowersRow:
    """The flowers of a round: `size` of one in words; `corners` where those in the corners lie, "" without any; `troubles` say why they do
    not fit, if they do not."""

    count: int
    petals: int
    size: str
    sides: tuple[SideRow, ...]
    corners: str
    pieces: tuple[PieceRow, ...]
    troubles: tuple[str, ...]
    edge_length: Length
    seam_length: Length


def flowers_row(row: Round, motifs: RoundMotifs, system: System) -> FlowersRow:
    """The flowers of a round worked out, in her own measures."""
    sides = tuple(_side(row, side, motifs, system) for side in motifs.sides)
    return FlowersRow(
        count=motifs.flowers,
        petals=motifs.petals,
        size=f"{marked(motifs.flower.size.width, system)} across and {marked(motifs.flower.size.length, system)} down",
        sides=tuple(_alike_together(sides)),
        corners=_in_corners(motifs.corners, system),
        pieces=tuple(_shape(patch) for patch in motifs.patches),
        troubles=tuple(_troubles(motifs, sides, system)),
        edge_length=motifs.edge_length,
        seam_length=motifs.piecing_seam_length,
    )


def _alike_together(sides: Iterable[SideRow]) -> Iterator[SideRow]:
    """Left and right, and top and bottom, as one row where all about them is alike."""
    waiting = list(sides)
    while waiting:
        row, *waiting = waiting
        if waiting and replace(waiting[0], side=row.side) == row:
            row = replace(row, side=f"{row.side} and {waiting.pop(0).side}")
        yield row


def _shape(patch: Patch) -> PieceRow:
    return PieceRow(PARTS[patch.part].capitalize(), patch.count, patch.finished, patch.cut, 1, CUT_FROM)


def _side(row: Round, side: SideMotifs, motifs: RoundMotifs, system: System) -> SideRow:
    placed, size = side.spacing, motifs.flower.size
    along = size.length if side.side in UPRIGHT else size.width
    return SideRow(
        side=side.side,
        count=placed.count,
        strip=side.strip,
        gap=marked(placed.gap, system) if placed.fits and placed.gap is not None else "",
        clear=_clear(side, system),
        marks=tuple(_marks(placed, side.side in UPRIGHT, system)) if placed.fits else (),
        most=_most(side.strip, along, row) if row.rule != Round.Rule.ALIGNED else None,
        fits=side.fits,
    )


def _marks(placed: Spacing, upright: bool, system: System) -> Iterator[MarkRow]:
    for n, middle in enumerate(placed.centres):
        yield MarkRow(
            from_end=marked(middle, system),
            from_centre=_from_centre(placed.from_centre[n], upright, system),
            from_neighbour=marked(placed.from_neighbour[n - 1], system) if n else "",
            from_raw_edge=marked(placed.from_raw_edge[n], system),
        )


def _from_centre(nm: Length, upright: bool, system: System) -> str:
    """ "3 in above" the middle of an upright strip, "3 in to the left" of that of a level one."""
    away = marked(abs(Fraction(nm)), system)
    if away == marked(0, system):
        return "the middle"
    before, after = ("above", "below") if upright else ("to the left", "to the right")
    return f"{away} {before if nm < 0 else after}"


def _clear(side: SideMotifs, system: System) -> str:
    """How far the flowers keep from the seams along the strip and from those at its ends."""
    ends = side.spacing.to_end
    if not side.fits or ends is None:
        return ""
    return f"{marked(side.to_seam, system)} along the strip, {marked(ends, system)} at its ends"


def _in_corners(corners: CornerMotifs | None, system: System) -> str:
    if corners is None:
        return ""
    return f"One in the middle of each corner: {marked(corners.from_raw_edge, system)} from both raw edges."


def room(row: Round, result: RoundResult, system: System) -> str:
    """How many flowers of the size she said would fit on each side."""
    try:
        size = flower(Motif("", row.flower_side or 0, row.petal_rise, 0)).size
    except MotifError:
        return ""
    across = max(size.width, size.length)
    if across > row.width:
        return f"Flowers of this size reach {marked(across, system)} across a border of {show_length(row.width, system=system)}."
    if row.rule == Round.Rule.ALIGNED:
        return ""
    upright, level = result.inner.length, result.inner.width
    if result.corners != "mitred":
        lengths = {piece.part: piece.finished for piece in result.pieces}
        upright, level = lengths["side"].length, lengths["end"].width
    on_sides, on_ends = _most(upright, size.length, row), _most(level, size.width, row)
    return f"Up to {number(on_sides)} would fit on the left and right, and {number(on_ends)} at the top and bottom."


def _most(strip: Length, along: Length, row: Round) -> int:
    return spacing(strip, along, rule=row.rule, end_margin=row.end_margin).count


def _troubles(motifs: RoundMotifs, sides: Sequence[SideRow], system: System) -> Iterator[str]:
    wide = [side for side in motifs.sides if side.reach > side.room * (1 + 1e-9)]
    if wide:
        reach, breadth = marked(max(side.reach for side in wide), system), show_length(wide[0].room, system=system)
        yield f"A flower reaches {reach} across the border, which is {breadth} wide: it would run over the seams."
    elif motifs.corners and not motifs.corners.fits:
        reach, breadth = (
            marked(max(motifs.corners.size.width, motifs.corners.size.length), system),
            show_length(motifs.corners.room, system=system),
        )
        yield f"A flower is {reach} long, and a corner {breadth} square: it would run over the seams."
    for row, side in zip(sides, motifs.sides, strict=True):
        if not side.spacing.fits:
            yield _trouble(row, side, system)


def _trouble(row: SideRow, side: SideMotifs, system: System) -> str:
    """Why the flowers do not fit along one side."""
    strip, placed = show_length(row.strip, system=system), side.spacing
    if row.most is not None:
        fit = f"at most {number(row.most)} fit" if row.most else "none fits"
        if row.count > row.most:
            return f"{number(row.count).capitalize()} on the {row.side} overlap: along {strip} {fit}."
        return (
            f"So far from the ends there is no room for {number(row.count)} on the {row.side}, which is {strip} long."
        )
    if placed.gap is not None and placed.gap < 0:
        return f"In line with the flowers inside, those on the {row.side} overlap by {marked(-placed.gap, system)}."
    beyond = -(placed.to_end or 0)
    return f"In line with the flowers inside, the outermost on the {row.side} reach {marked(beyond, system)} past the strip’s end."
