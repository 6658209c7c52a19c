"""How does a quilt top grow, round by round: how big is it, what must be cut for it, and in what order is it sewn?

Exact up to the cutting step: finished sizes are fractions of a nm, and only what is cut is rounded up to the step.
Widths run across the quilt and lengths down it, so that one-way prints stand upright.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.measures import Length, Size
from quiltbook.yardage.borders import (
    BorderPiece,
    PiecedRound,
    RoundMotifs,
    RoundResult,
    SideMotifs,
    border,
    border_name,
)
from quiltbook.yardage.centres import CentreResult, centre_of
from quiltbook.yardage.drawing import Drawn, draw
from quiltbook.yardage.motifs import MotifsOnRound
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.pieced import pieced_border
from quiltbook.yardage.topplan import (
    Blocks,
    Panel,
    PaperField,
    Pieced,
    Round,
    SewnTop,
    TopError,
    TopPlan,
    WholeCloth,
    check,
)

__all__ = [
    "Blocks",
    "BorderPiece",
    "CentreResult",
    "Drawn",
    "MotifsOnRound",
    "Panel",
    "PaperField",
    "Pieced",
    "PiecedRound",
    "Round",
    "RoundMotifs",
    "RoundResult",
    "SewingStep",
    "SewnTop",
    "SideMotifs",
    "Top",
    "TopError",
    "TopPlan",
    "WholeCloth",
    "border_name",
    "drawn",
    "work_out",
]

_ROLES = {"cornerstone": " cornerstones", "coping side": " coping", "coping end": " coping"}


@dataclass(frozen=True, slots=True)
class SewingStep:
    """`what` is done to `count` of a `part`; `size_after`, where the top grew by it, is its finished size then.

    `what`: "begin with", "trim", "join lengths", "piece", "apply", "join" or "mitre".
    """

    what: str
    round: int | None
    part: str
    count: int
    size_after: Size | None = None


@dataclass(frozen=True, slots=True)
class Top:
    """The top worked out."""

    plan: TopPlan
    centre: CentreResult
    rounds: tuple[RoundResult, ...]
    patches: tuple[Patch, ...]
    sewing_order: tuple[SewingStep, ...]

    @property
    def finished(self) -> Size:
        return self.rounds[-1].finished if self.rounds else self.centre.finished

    @property
    def _motifs(self) -> list[RoundMotifs]:
        return [round_.motifs for round_ in self.rounds if round_.motifs]

    @property
    def flowers(self) -> int:
        return sum(motifs.flowers for motifs in self._motifs)

    @property
    def petals(self) -> int:
        return sum(motifs.petals for motifs in self._motifs)

    @property
    def piecing_seam_length(self) -> Length:
        """Of all the seams inside motifs."""
        return sum(motifs.piecing_seam_length for motifs in self._motifs)

    @property
    def edge_length(self) -> Length:
        """Of all the motifs' edges to appliqué."""
        return sum(motifs.edge_length for motifs in self._motifs)

    @property
    def border_seam_length(self) -> Length:
        return sum(round_.seam_length for round_ in self.rounds)

    @property
    def strips(self) -> int:
        """The border strips to join on, sides and ends."""
        return sum(round_.strips for round_ in self.rounds)


def work_out(plan: TopPlan) -> Top:
    """Sizes after every round, pieces, patches and the order of sewing. Raises `TopError`, which names the field."""
    check(plan)
    centre = centre_of(plan)
    rounds: list[RoundResult] = []
    size = centre.finished
    for index in range(len(plan.rounds)):
        pieced = plan.rounds[index].pieced
        rounds.append(pieced_border(plan, index, size) if pieced else border(plan, index, size, rounds))
        size = rounds[-1].finished
    return Top(plan, centre, tuple(rounds), tuple(_patches(plan, centre, rounds)), tuple(_sewing(plan, centre, rounds)))


def drawn(top: Top) -> tuple[Drawn, ...]:
    """Every patch of the top, true to scale, in the order they are painted."""
    return draw(top.plan, top.centre, top.rounds)


def _patches(plan: TopPlan, centre: CentreResult, rounds: Sequence[RoundResult]) -> Iterator[Patch]:
    s = plan.seam_allowance
    yield from centre.patches
    for index, result in enumerate(rounds):
        for piece in result.pieces:
            stone = piece.part == "cornerstone"
            yield Patch(
                role=result.role + _ROLES.get(piece.part, ""),
                part=piece.part,
                round=index,
                shape="square" if stone else "rectangle",
                finished=piece.finished,
                cut=piece.cut,
                count=piece.count,
                seam_allowance=s,
                join=piece.join,
            )
        if result.pieced:
            yield from result.pieced.patches
        if result.motifs:
            yield from result.motifs.patches


def _sewing(plan: TopPlan, centre: CentreResult, rounds: Sequence[RoundResult]) -> Iterator[SewingStep]:
    yield from _begin(centre)
    for index, result in enumerate(rounds):
        motifs = result.motifs if result.motifs and result.motifs.flowers else None
        for piece in result.pieces:
            if piece.strips_joined > 1:
                yield SewingStep("join lengths", index, piece.part, piece.count)
        if motifs:
            yield SewingStep("piece", index, "flower", motifs.flowers)
        if motifs and motifs.applied == "before":
            yield SewingStep("apply", index, "flower", motifs.flowers)
        if result.pieced:
            yield from _joining_pieced(index, result, result.pieced)
            continue
        yield from _joining(index, result, trimmed=bool(plan.rounds[index].cut_long))
        if motifs and motifs.applied == "after":
            yield SewingStep("apply", index, "flower", motifs.flowers)


def _begin(centre: CentreResult) -> Iterator[SewingStep]:
    if centre.kind == "blocks":
        yield SewingStep("piece", None, "block", centre.count)
        yield SewingStep("join", None, "blocks", centre.count, centre.finished)
    elif centre.kind.endswith("field"):
        yield SewingStep("piece", None, "field patch", centre.count)
        yield SewingStep("trim" if centre.trim else "apply", None, "field", 1, centre.finished)
    else:
        part = {"panel": "panel", "top": "sewn top"}.get(centre.kind, "whole cloth")
        if centre.count > 1:
            yield SewingStep("join lengths", None, part, centre.count)
        trimmed = centre.trim is not None and (centre.trim.width or centre.trim.length)
        yield SewingStep("trim" if trimmed else "begin with", None, part, 1, centre.finished)


def _joining_pieced(index: int, result: RoundResult, pieced: PiecedRound) -> Iterator[SewingStep]:
    """The coping, then the units sewn into lengths, the sides joined before the ends with the corners."""
    inner, middle = result.inner, pieced.middle
    for piece in result.pieces:
        if piece.part.startswith("coping"):
            size = Size(middle.width, inner.length) if piece.part == "coping side" else middle
            yield SewingStep("join", index, piece.part, 2, size)
    yield SewingStep("piece", index, "unit", 2 * (pieced.fit.across + pieced.fit.down))
    yield SewingStep("join", index, "side", 2, Size(result.planned.width, middle.length))
    yield SewingStep("join", index, "cornerstone", 4)
    yield SewingStep("join", index, "end", 2, result.finished)


def _joining(index: int, result: RoundResult, *, trimmed: bool) -> Iterator[SewingStep]:
    first, second = result.pieces[:2]
    if result.corners == "mitred":  # the corners are sewn, and surplus length trimmed, once all four are on
        yield SewingStep("join", index, first.part, 2)
        yield SewingStep("join", index, second.part, 2)
        yield SewingStep("mitre", index, "corner", 4, result.finished)
        return
    inner, planned = result.inner, result.planned
    between = Size(planned.width, inner.length) if first.part == "side" else Size(inner.width, planned.length)
    for piece, size in ((first, between), (second, result.finished)):
        if trimmed:
            yield SewingStep("trim", index, piece.part, 2)
        if piece is second and result.corners == "cornerstones":
            yield SewingStep("join", index, "cornerstone", 4)
        yield SewingStep("join", index, piece.part, 2, size)
