"""What is to be read on the page of a top? Each round with the size after it, its pieces, where its flowers lie and whether they fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plans.models import Round
from plans.queries.centre import CentreRow, centre_row
from plans.queries.flowers import FlowersRow, flowers_row, room
from plans.queries.measured import measured_rows
from plans.queries.pieced import PiecedRow, pieced_row
from plans.queries.piecerow import PieceRow
from plans.queries.says import PARTS, mid_sentence, piece_how, sewing_order
from plans.queries.worked import Worked, round_name
from quiltbook.measures import Size, System
from quiltbook.yardage.tops import BorderPiece, Top


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One round; it is `called` so within a sentence. `after`: the quilt with it on; `measured`: that is what she measured, and `planned` what was worked out.
    `pieces`: its strips and squares. `room`: how many flowers would fit, where their size is said and their number is not. `remeasured`:
    what measuring the quilt inside it changed."""

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
    pieced: PiecedRow | None
    room: str
    remeasured: tuple[str, ...]


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
    remeasured = measured_rows(work.top, system)
    return TopRows(
        finished=work.top.finished,
        centre=centre_row(work.top, system),
        rounds=tuple(_round(place, row, work.top, remeasured, system) for place, row in enumerate(work.rounds)),
        order=sewing_order(work.top, work.rounds, system),
    )


def _round(place: int, row: Round, top: Top, remeasured: Mapping[int, Sequence[str]], system: System) -> RoundRow:
    result = top.rounds[place]
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
        flowers=flowers_row(row, result.motifs, system) if result.motifs else None,
        pieced=pieced_row(result, result.pieced, top.plan, system) if result.pieced else None,
        room=room(row, result, system) if row.flower_side and not row.flowers else "",
        remeasured=tuple(remeasured.get(place, ())),
    )


def _kind(row: Round) -> str:
    """The round in a few words: "butted, sides first"."""
    if row.unit_length:
        blocks = f"{row.unit_block} and {row.other_unit_block}" if row.other_unit_block else row.unit_block
        return f"pieced of {blocks}"
    words = str(Round.Corners(row.corners).label).lower()
    if row.corners == Round.Corners.BUTTED:
        words += f", {str(Round.First(row.first).label).lower()}"
    return f"{words}, {row.flowers} {'flower' if row.flowers == 1 else 'flowers'}" if row.flowers else words


def _piece(piece: BorderPiece, system: System) -> PieceRow:
    how = " ".join(piece_how(step, system) for step in piece.steps)
    return PieceRow(PARTS[piece.part].capitalize(), piece.count, piece.finished, piece.cut, piece.strips_joined, how)
