"""What does one round of borders take: its pieces, cut and finished, its motifs, and the size it makes of the top?

With s the seam allowance, b the finished width and W by L the top inside it, a butted strip is cut its finished length + 2s;
a mitred one L + 2b + 2s(1 + √2), the least for which the mitre's seam runs through both corners of its 45° end.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.fit import Fit
from quiltbook.yardage.motifs import (
    SIDES,
    Flower,
    Motif,
    MotifError,
    MotifsOnRound,
    Spacing,
    flower,
    flower_patches,
    spacing,
)
from quiltbook.yardage.patches import Join, Patch, Step
from quiltbook.yardage.topplan import Round, TopError, TopPlan
from quiltbook.yardage.units import Units

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, slots=True)
class BorderPiece:
    """`count` pieces alike. `exact` is the cut size before it is rounded up to the cutting step.

    `strips_joined`: how many lengths of cloth it is joined from, 1 for a whole one. `join`: None where it never is.
    """

    part: str
    count: int
    finished: Size
    exact: Size
    cut: Size
    strips_joined: int
    join: Join | None
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class SideMotifs:
    """The motifs on one side, along a strip of finished length `strip`: `room` is the border's width, `reach` the motif's across it."""

    side: str
    strip: Length
    spacing: Spacing
    reach: Length
    room: Length

    @property
    def fits(self) -> bool:
        """Whether the motifs overlap neither each other nor any seam."""
        return self.spacing.fits and _holds(self.room, self.reach)

    @property
    def to_seam(self) -> Length:
        """How far the motifs keep from the seams along the strip; negative where they reach across one."""
        return (Fraction(self.room) - Fraction(self.reach)) / 2


@dataclass(frozen=True, slots=True)
class CornerMotifs:
    """One motif in the middle of each corner, `room` square; `from_raw_edge`: its middle from both raw edges of the corner."""

    count: int
    size: Size
    room: Length
    from_raw_edge: Length

    @property
    def fits(self) -> bool:
        return _holds(self.room, max(self.size.width, self.size.length))


def _holds(room: Length, reach: Length) -> bool:
    """Whether a motif that reaches so far fits in that room; roots come as floats."""
    return Fraction(reach) <= Fraction(room) * (1 + Fraction(1, 10**9))


@dataclass(frozen=True, slots=True)
class RoundMotifs:
    """The motifs of a round: where, how many, and the length of their seams and of their edges to appliqué, all together."""

    motif: Motif
    applied: str
    flower: Flower
    sides: tuple[SideMotifs, ...]
    flowers: int
    petals: int
    piecing_seam_length: Length
    edge_length: Length
    patches: tuple[Patch, ...]
    corners: CornerMotifs | None = None

    @property
    def fits(self) -> bool:
        return all(side.fits for side in self.sides) and (self.corners is None or self.corners.fits)


@dataclass(frozen=True, slots=True)
class PiecedRound:
    """How the units `fit`, and `other` lengths of them that would; `middle`: the top with its coping, round which they lie.

    `units`: the ways to sew them many at a time.
    """

    fit: Fit
    other: tuple[Fit, ...]
    middle: Size
    patches: tuple[Patch, ...]
    units: tuple[Units, ...]


@dataclass(frozen=True, slots=True)
class RoundResult:
    """A border as sewn round a top of `inner` size, which it makes `planned`; `finished` is that, or what was measured.

    `pieces` stand in the order they are joined. `seam_length`: of the seams that join the border on, corners included. Of a
    pieced border `pieces` are its coping and its plain corners, and `pieced` all the rest.
    """

    role: str
    corners: str
    first: str
    inner: Size
    planned: Size
    finished: Size
    pieces: tuple[BorderPiece, ...]
    motifs: RoundMotifs | None
    seam_length: Length
    pieced: PiecedRound | None = None

    @property
    def strips(self) -> int:
        """The strips and pieced lengths to join on, sides and ends."""
        coping = sum(piece.count for piece in self.pieces if piece.part.startswith("coping"))
        return 4 + coping


def border_name(index: int) -> str:
    """ "first border", "second border", …: the role of the border with that index, from 0."""
    return f"{_ORDINALS[index]} border" if index < len(_ORDINALS) else f"border {index + 1}"


def border(plan: TopPlan, index: int, inner: Size, before: Sequence[RoundResult]) -> RoundResult:
    """The round `index` of a checked plan, sewn round a top of `inner` size; `before` are the rounds inside it."""
    round_ = plan.rounds[index]
    b, w, length = (Fraction(side) for side in (round_.width, inner.width, inner.length))
    planned = Size(w + 2 * b, length + 2 * b)
    finished = round_.measured or planned
    if min(finished.width - w, finished.length - length) <= 0:
        raise TopError(f"rounds[{index}].measured", "It must be larger than the top inside this round.")
    pieces = _pieces(plan, round_, inner)
    return RoundResult(
        role=border_name(index),
        corners=round_.corners,
        first=round_.first,
        inner=inner,
        planned=planned,
        finished=finished,
        pieces=pieces,
        motifs=_motifs(plan, index, inner, pieces, before) if round_.motifs else None,
        seam_length=_seam_length(round_, w, length),
    )


def _pieces(plan: TopPlan, round_: Round, inner: Size) -> tuple[BorderPiece, ...]:
    b, w, length = (Fraction(side) for side in (round_.width, inner.width, inner.length))
    sides_long = round_.corners == "mitred" or (round_.corners == "butted" and round_.first == "ends")
    ends_long = round_.corners == "mitred" or (round_.corners == "butted" and round_.first == "sides")
    corners, long = round_.corners, round_.cut_long
    side = strip(plan, "side", b, length + 2 * b * sides_long, length, corners=corners, cut_long=long)
    end = strip(plan, "end", b, w + 2 * b * ends_long, w, corners=corners, cut_long=long)
    strips = (side, end) if round_.first == "sides" else (end, side)
    if round_.corners != "cornerstones":
        return strips
    return (*strips, cornerstones(plan, b))


def cornerstones(plan: TopPlan, width: Fraction) -> BorderPiece:
    """The four corner squares of a border of that finished width."""
    s = Fraction(plan.seam_allowance)
    exact = width + 2 * s
    cut = round_up(exact, plan.round_up)
    steps = (Step("cornerstone", {"border width": width, "seam allowance": s, "cut": cut}),)
    return BorderPiece("cornerstone", 4, Size(width, width), Size(exact, exact), Size(cut, cut), 1, None, steps)


def strip(
    plan: TopPlan, part: str, width: Length, finished: Fraction, top: Fraction, *, corners: str, cut_long: Length = 0
) -> BorderPiece:
    """Two sides or ends of a border `width` wide and `finished` long, along an edge of the top `top` long."""
    b, s, long = Fraction(width), Fraction(plan.seam_allowance), Fraction(cut_long)
    across = b + 2 * s
    if corners == "mitred":
        along = finished + 2 * s * Fraction(1 + math.sqrt(2)) + Fraction(plan.mitre_extra) + long
    else:
        along = finished + 2 * s + long
    cut = Size(round_up(across, plan.round_up), round_up(along, plan.round_up))
    join = join_of(plan, int(cut.width))
    joined = lengths_needed(Fraction(cut.length), Fraction(plan.cloth_width), Fraction(join.loss))
    if joined is None:
        raise TopError("cloth_width", "It must be wider than what a join takes off.")
    figures: dict[str, Length] = {
        "top": top,
        "border width": b,
        "seam allowance": s,
        "finished": finished,
        "cut": cut.length,
    }
    if corners == "mitred":
        figures["mitre extra"] = plan.mitre_extra
    if long:
        figures["cut long"] = long
    if joined > 1:
        figures |= {"cloth width": plan.cloth_width, "lost at a join": join.loss}
    steps = (Step(f"{corners} {part}", figures, {"lengths joined": joined}),)
    sizes = (Size(b, finished), Size(across, along), cut)
    if part.endswith("end"):
        sizes = (Size(finished, b), Size(along, across), Size(cut.length, cut.width))
    return BorderPiece(part, 2, *sizes, joined, join, steps)


def join_of(plan: TopPlan, cut_width: int) -> Join:
    """How strips of that cut width are joined from several lengths."""
    return Join(_join_loss(plan, cut_width), plan.join_least)


def _join_loss(plan: TopPlan, cut_width: int) -> int:
    if plan.join_loss is not None:
        return math.ceil(plan.join_loss)
    return cut_width if plan.join == "diagonal" else math.ceil(2 * Fraction(plan.seam_allowance))


def lengths_needed(length: Fraction, each: Fraction, loss: Fraction) -> int | None:
    """The least n with n·each - (n - 1)·loss ≥ length; None where joining gains nothing."""
    if length <= each:
        return 1
    if each <= loss:
        return None
    return math.ceil((length - loss) / (each - loss) - Fraction(1, 10**9))


def _seam_length(round_: Round, w: Fraction, length: Fraction) -> Length:
    b = Fraction(round_.width)
    if round_.corners == "mitred":
        return 2 * w + 2 * length + 4 * b * Fraction(math.sqrt(2))
    first, second = (length, w) if round_.first == "sides" else (w, length)
    return 2 * first + 2 * (second + 2 * b) + (4 * b if round_.corners == "cornerstones" else 0)


# --- motifs on it ----------------------------------------------------------------------------------------------------


def _motifs(
    plan: TopPlan, index: int, inner: Size, pieces: Sequence[BorderPiece], before: Sequence[RoundResult]
) -> RoundMotifs:
    round_ = plan.rounds[index]
    on = round_.motifs
    assert on is not None  # noqa: S101  (the caller looked)
    motif = plan.motifs[on.motif]
    one = flower(motif)
    sides = []
    for side in SIDES:
        if on.on(side):
            upright = side in ("left", "right")
            strip_length = _strip_length(round_, inner, pieces, upright)
            along, across = (one.size.length, one.size.width) if upright else (one.size.width, one.size.length)
            placed = _placed(plan, index, side, strip_length, along, on, before, pieces)
            sides.append(SideMotifs(side, strip_length, placed, across, round_.width))
    corners = None
    if on.corners:
        raw = Fraction(round_.width) / 2 + Fraction(plan.seam_allowance)
        corners = CornerMotifs(4, one.size, round_.width, raw)
    flowers = sum(side.spacing.count for side in sides) + (4 if corners else 0)
    patches = flower_patches(
        motif, flowers=flowers, role=border_name(index), round_index=index, round_up_to=plan.round_up
    )
    return RoundMotifs(
        motif=motif,
        applied=on.applied,
        flower=one,
        sides=tuple(sides),
        flowers=flowers,
        petals=6 * flowers,
        piecing_seam_length=flowers * one.seam_length,
        edge_length=flowers * one.edge_length,
        patches=patches,
        corners=corners,
    )


def _strip_length(round_: Round, inner: Size, pieces: Sequence[BorderPiece], upright: bool) -> Fraction:
    """Seam to seam; on a mitred strip, and between corners that carry a motif, along the top's own edge."""
    if round_.corners == "mitred" or (round_.motifs and round_.motifs.corners):
        return Fraction(inner.length if upright else inner.width)
    return _whole_strip(pieces, upright)


def _whole_strip(pieces: Sequence[BorderPiece], upright: bool) -> Fraction:
    piece = next(piece for piece in pieces if piece.part == ("side" if upright else "end"))
    return Fraction(piece.finished.length if upright else piece.finished.width)


def _placed(
    plan: TopPlan,
    index: int,
    side: str,
    strip: Fraction,
    along: Length,
    on: MotifsOnRound,
    before: Sequence[RoundResult],
    pieces: Sequence[BorderPiece],
) -> Spacing:
    round_, s = plan.rounds[index], Fraction(plan.seam_allowance)
    # the raw end lies one allowance beyond the seam; on a mitred strip, a border's width and the mitre's share beyond
    raw = Fraction(round_.width) + s * Fraction(1 + math.sqrt(2)) if round_.corners == "mitred" else s
    if round_.corners == "butted":  # a strip that runs through the corners begins before the part between them
        raw += (_whole_strip(pieces, side in ("left", "right")) - strip) / 2
    align_to: tuple[Length, ...] = ()
    shift = Fraction(0)
    if on.rule == "aligned":
        inner = next((m for r in reversed(before) if r.motifs for m in r.motifs.sides if m.side == side), None)
        if inner is None:
            raise TopError(
                f"rounds[{index}].motifs.rule", f"No inner round carries motifs on the {side} to align with."
            )
        align_to, shift = inner.spacing.centres, (strip - Fraction(inner.strip)) / 2
    try:
        return spacing(
            strip, along, count=on.on(side), rule=on.rule, end_margin=on.end_margin, align_to=align_to,
            align_shift=shift, seam_allowance=raw,
        )  # fmt: skip
    except MotifError as error:
        raise TopError(f"rounds[{index}].motifs.{side}", error.problem) from None
