"""How does a quilt top grow, round by round: how big is it, what must be cut for it, and in what order is it sewn?

Exact up to the cutting step: finished sizes are fractions of a nm, and only what is cut is rounded up to the step.
Widths run across the quilt and lengths down it, so that one-way prints stand upright.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.borders import BorderPiece, RoundMotifs, RoundResult, SideMotifs, border, border_name
from quiltbook.yardage.drawing import Drawn, draw
from quiltbook.yardage.motifs import MotifsOnRound
from quiltbook.yardage.patches import Patch, Step
from quiltbook.yardage.topplan import Panel, Round, TopError, TopPlan, check

__all__ = [
    "BorderPiece",
    "CentreResult",
    "Drawn",
    "MotifsOnRound",
    "Panel",
    "Round",
    "RoundMotifs",
    "RoundResult",
    "SewingStep",
    "SideMotifs",
    "Top",
    "TopError",
    "TopPlan",
    "border_name",
    "drawn",
    "work_out",
]


@dataclass(frozen=True, slots=True)
class CentreResult:
    """`cut`: what the centre is cut or trimmed to. For a printed panel, per edge left and right (width), top and bottom
    (length): `trim` comes off, and `blank` of the unprinted edge is left to show inside the seam.
    """

    finished: Size
    planned: Size
    cut: Size
    trim: Size | None
    blank: Size | None
    steps: tuple[Step, ...]


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
        return 4 * len(self.rounds)


def work_out(plan: TopPlan) -> Top:
    """Sizes after every round, pieces, patches and the order of sewing. Raises `TopError`, which names the field."""
    check(plan)
    centre = _centre(plan)
    rounds: list[RoundResult] = []
    size = centre.finished
    for index in range(len(plan.rounds)):
        rounds.append(border(plan, index, size, rounds))
        size = rounds[-1].finished
    return Top(plan, centre, tuple(rounds), tuple(_patches(plan, centre, rounds)), tuple(_sewing(plan, centre, rounds)))


def drawn(top: Top) -> tuple[Drawn, ...]:
    """Every patch of the top, true to scale, in the order they are painted."""
    return draw(top.centre.finished, top.rounds)


def _centre(plan: TopPlan) -> CentreResult:
    panel, s = plan.centre, Fraction(plan.seam_allowance)
    planned = Size(Fraction(panel.width), Fraction(panel.length))
    exact = Size(planned.width + 2 * s, planned.length + 2 * s)
    steps = (Step("centre", {"finished width": planned.width, "finished length": planned.length, "seam allowance": s}),)
    if panel.printed is None and not panel.printed_seam:
        cut = Size(round_up(exact.width, plan.round_up), round_up(exact.length, plan.round_up))
        return CentreResult(panel.measured or planned, planned, cut, None, None, steps)
    seam = Fraction(panel.printed_seam)
    printed = panel.printed or Size(planned.width + 2 * seam, planned.length + 2 * seam)
    trim = Size((printed.width - exact.width) / 2, (printed.length - exact.length) / 2)
    if min(trim.width, trim.length) < 0:
        where = "centre.printed" if panel.printed else "centre.printed_seam"
        raise TopError(
            where,
            "The printed panel is too small: it must reach a seam allowance beyond the finished size on every edge.",
        )
    blank = Size(max(seam - trim.width - s, Fraction(0)), max(seam - trim.length - s, Fraction(0)))
    cut = Size(round_up(exact.width, 1), round_up(exact.length, 1))  # trimmed to measure, so not to the step
    return CentreResult(panel.measured or planned, planned, cut, trim, blank, steps)


def _patches(plan: TopPlan, centre: CentreResult, rounds: Sequence[RoundResult]) -> Iterator[Patch]:
    s = plan.seam_allowance
    yield Patch(
        role="panel", part="panel", round=None, shape="rectangle", finished=centre.planned, cut=centre.cut, count=1, seam_allowance=s,
    )  # fmt: skip
    for index, result in enumerate(rounds):
        for piece in result.pieces:
            stone = piece.part == "cornerstone"
            yield Patch(
                role=f"{result.role} cornerstones" if stone else result.role,
                part=piece.part,
                round=index,
                shape="square" if stone else "rectangle",
                finished=piece.finished,
                cut=piece.cut,
                count=piece.count,
                seam_allowance=s,
                join=piece.join,
            )
        if result.motifs:
            yield from result.motifs.patches


def _sewing(plan: TopPlan, centre: CentreResult, rounds: Sequence[RoundResult]) -> Iterator[SewingStep]:
    yield SewingStep("trim" if centre.trim else "begin with", None, "panel", 1, centre.finished)
    for index, result in enumerate(rounds):
        motifs = result.motifs if result.motifs and result.motifs.flowers else None
        for piece in result.pieces:
            if piece.strips_joined > 1:
                yield SewingStep("join lengths", index, piece.part, piece.count)
        if motifs:
            yield SewingStep("piece", index, "flower", motifs.flowers)
        if motifs and motifs.applied == "before":
            yield SewingStep("apply", index, "flower", motifs.flowers)
        yield from _joining(index, result, trimmed=bool(plan.rounds[index].cut_long))
        if motifs and motifs.applied == "after":
            yield SewingStep("apply", index, "flower", motifs.flowers)


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
