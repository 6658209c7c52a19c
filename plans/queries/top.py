"""What is to be read on the page of a top? Each round with the size after it, its pieces, where its flowers lie and whether they fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from plans.models import Round
from plans.queries.centre import CentreRow, centre_row
from plans.queries.piecerow import PieceRow
from plans.queries.says import (
    PARTS,
    marked,
    mid_sentence,
    number,
    piece_how,
    sewing_order,
    show_length,
)
from plans.queries.worked import Worked, round_name
from quiltbook.measures import Length, Size, System
from quiltbook.yardage.motifs import MOST_MOTIFS, Motif, MotifError, flower, spacing
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.tops import BorderPiece, RoundMotifs, RoundResult, SideMotifs

CUT_FROM = "Cut from a rectangle round the shape and its turning."


@dataclass(frozen=True, slots=True)
class SideRow:
    """The flowers on one side of a round, or on two that are alike ("left and right"). `marks`: their middles from the strip's finished left or upper end, in words;
    `gap` between neighbours likewise. Both are empty where they do not fit."""

    side: str
    count: int
    strip: Length
    gap: str
    marks: tuple[str, ...]
    most: int
    fits: bool


@dataclass(frozen=True, slots=True)
class FlowersRow:
    """The flowers of a round: `size` of one in words; `troubles` say why they do not fit, if they do not."""

    count: int
    petals: int
    size: str
    sides: tuple[SideRow, ...]
    pieces: tuple[PieceRow, ...]
    troubles: tuple[str, ...]
    edge_length: Length
    seam_length: Length


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One round; it is `called` so within a sentence. `after`: the quilt with it on; `measured`: that is what she measured, and `planned` what was worked out.
    `room`: how many flowers would fit, where their size is said and their number is not."""

    id: int | None
    name: str
    called: str
    width: int
    kind: str
    after: Size
    planned: Size
    measured: bool
    pieces: tuple[PieceRow, ...]
    flowers: FlowersRow | None
    room: str


@dataclass(frozen=True, slots=True)
class TopRows:
    """The whole top, told."""

    finished: Size
    centre: CentreRow
    rounds: tuple[RoundRow, ...]
    order: tuple[str, ...]

    def round(self, round_id: int | None) -> RoundRow | None:
        return next((row for row in self.rounds if row.id == round_id), None)


def top_rows(work: Worked, system: System) -> TopRows:
    """A plan worked out, in her own measures."""
    top = work.top
    return TopRows(
        finished=top.finished,
        centre=centre_row(top, system),
        rounds=tuple(
            _round(place, row, result, system)
            for place, (row, result) in enumerate(zip(work.rounds, top.rounds, strict=True))
        ),
        order=sewing_order(top, work.rounds, system),
    )


def _round(place: int, row: Round, result: RoundResult, system: System) -> RoundRow:
    return RoundRow(
        id=row.pk,
        name=round_name(place, row),
        called=mid_sentence(place, row),
        width=row.width,
        kind=_kind(row),
        after=result.finished,
        planned=result.planned,
        measured=row.measured is not None,
        pieces=tuple(_piece(piece, system) for piece in result.pieces),
        flowers=_flowers(row, result.motifs, system) if result.motifs else None,
        room=_room(row, result, system) if row.flower_side and not row.flowers else "",
    )


def _kind(row: Round) -> str:
    """The round in a few words: "butted, sides first"."""
    if row.unit_length:
        return f"pieced of {row.unit_block}"
    words = str(Round.Corners(row.corners).label).lower()
    if row.corners == Round.Corners.BUTTED:
        words += f", {str(Round.First(row.first).label).lower()}"
    return f"{words}, {row.flowers} {'flower' if row.flowers == 1 else 'flowers'}" if row.flowers else words


def _piece(piece: BorderPiece, system: System) -> PieceRow:
    how = " ".join(piece_how(step, system) for step in piece.steps)
    return PieceRow(PARTS[piece.part].capitalize(), piece.count, piece.finished, piece.cut, piece.strips_joined, how)


def _flowers(row: Round, motifs: RoundMotifs, system: System) -> FlowersRow:
    sides = tuple(_side(row, side, motifs, system) for side in motifs.sides)
    return FlowersRow(
        count=motifs.flowers,
        petals=motifs.petals,
        size=f"{marked(motifs.flower.size.width, system)} across and {marked(motifs.flower.size.length, system)} down",
        sides=tuple(_alike_together(sides)),
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
    along = size.length if side.side in ("left", "right") else size.width
    return SideRow(
        side=side.side,
        count=placed.count,
        strip=side.strip,
        gap=marked(placed.gap, system) if placed.fits and placed.gap is not None else "",
        marks=tuple(marked(middle, system) for middle in placed.centres) if placed.fits else (),
        most=_most(side.strip, along, row.rule),
        fits=side.fits,
    )


def _room(row: Round, result: RoundResult, system: System) -> str:
    """How many flowers of the size she said would fit on each side."""
    try:
        size = flower(Motif("", row.flower_side or 0, row.petal_rise, 0)).size
    except MotifError:
        return ""
    upright, level = result.inner.length, result.inner.width
    if result.corners != "mitred":
        lengths = {piece.part: piece.finished for piece in result.pieces}
        upright, level = lengths["side"].length, lengths["end"].width
    on_sides, on_ends = _most(upright, size.length, row.rule), _most(level, size.width, row.rule)
    across = max(size.width, size.length)
    if across > row.width:
        return f"Flowers of this size reach {marked(across, system)} across a border of {show_length(row.width, system=system)}."
    return f"Up to {number(on_sides)} would fit on the left and right, and {number(on_ends)} at the top and bottom."


def _most(strip: Length, along: Length, rule: str) -> int:
    try:
        return spacing(strip, along, rule=rule).count
    except MotifError:
        return MOST_MOTIFS


def _troubles(motifs: RoundMotifs, sides: Iterable[SideRow], system: System) -> Iterable[str]:
    wide = [side for side in motifs.sides if side.reach > side.room * (1 + 1e-9)]
    if wide:
        reach, room = marked(max(side.reach for side in wide), system), show_length(wide[0].room, system=system)
        yield f"A flower reaches {reach} across the border, which is {room} wide: it would run over the seams."
    for side in sides:
        if side.count > side.most:
            strip = show_length(side.strip, system=system)
            fit = f"at most {number(side.most)} fit" if side.most else "none fits"
            yield f"{number(side.count).capitalize()} on the {side.side} overlap: along {strip} {fit}."
