"""What does the top look like, true to scale?

Outlines in nm, from the quilt's top left corner, y down, in the order they are painted: the centre, each border's pieces,
its motifs upon them. Background pieces fill the top exactly; the outlines are those of `shapes`, arcs and all.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.yardage import centres
from quiltbook.yardage.borders import PiecedRound, RoundResult
from quiltbook.yardage.centres import CentreResult
from quiltbook.yardage.outline import Edge, Outline, Point, ring
from quiltbook.yardage.pieced import placed
from quiltbook.yardage.topplan import TopPlan


@dataclass(frozen=True, slots=True)
class Drawn:
    """One visible patch. An SVG path is M start, then for each edge L end, or A radius radius 0 large sweep end."""

    role: str
    part: str
    round: int | None
    outline: tuple[Edge, ...]
    side: str | None = None


def draw(plan: TopPlan, centre: CentreResult, rounds: Sequence[RoundResult]) -> tuple[Drawn, ...]:
    """Every patch of a top, all rounds lying evenly about its centre."""
    whole = rounds[-1].finished if rounds else centre.finished
    x, y = float(whole.width) / 2, float(whole.length) / 2
    w, h = float(centre.finished.width) / 2, float(centre.finished.length) / 2
    drawn = [
        Drawn(one.role, one.part, None, one.outline.moved(x - w, y - h).edges) for one in centres.placed(plan, centre)
    ]
    for index, result in enumerate(rounds):
        for part, side, outline in (*_background(result), *_flowers(result)):
            drawn.append(Drawn(_role(result, part), part, index, outline.moved(x, y).edges, side))
        asked = plan.rounds[index].pieced
        if asked:
            drawn += [Drawn(one.role, one.part, index, one.outline.moved(x, y).edges) for one in placed(result, asked)]
    return tuple(drawn)


def _role(result: RoundResult, part: str) -> str:
    names = {
        "cornerstone": " cornerstones",
        "coping side": " coping",
        "coping end": " coping",
        "flower centre": " flower centres",
        "petal": " petals",
        "petal hexagon": " petals",
    }
    return result.role + names.get(part, "")


def _box(left: float, top: float, right: float, bottom: float) -> Outline:
    return ring([(left, top), (right, top), (right, bottom), (left, bottom)])


def _background(result: RoundResult) -> Iterator[tuple[str, str, Outline]]:
    """Part, side and outline of each piece of a border, the quilt's middle at the origin."""
    w, h = float(result.inner.width) / 2, float(result.inner.length) / 2
    ow, oh = float(result.finished.width) / 2, float(result.finished.length) / 2
    if result.pieced:
        yield from _round_pieced(result, result.pieced)
        return
    if result.corners == "mitred":
        inner: list[Point] = [(-w, -h), (w, -h), (w, h), (-w, h)]
        outer: list[Point] = [(-ow, -oh), (ow, -oh), (ow, oh), (-ow, oh)]
        for n, side in enumerate(("top", "right", "bottom", "left")):
            m = (n + 1) % 4
            yield ("end" if n % 2 == 0 else "side"), side, ring([outer[n], outer[m], inner[m], inner[n]])
        return
    # how far the sides reach up and down, and the ends left and right
    reach_y = oh if result.corners == "butted" and result.first == "ends" else h
    reach_x = ow if result.corners == "butted" and result.first == "sides" else w
    yield "side", "left", _box(-ow, -reach_y, -w, reach_y)
    yield "side", "right", _box(w, -reach_y, ow, reach_y)
    yield "end", "top", _box(-reach_x, -oh, reach_x, -h)
    yield "end", "bottom", _box(-reach_x, h, reach_x, oh)
    if result.corners == "cornerstones":
        yield from _corners(w, h, ow, oh)


def _corners(w: float, h: float, ow: float, oh: float) -> Iterator[tuple[str, str, Outline]]:
    yield "cornerstone", "top left", _box(-ow, -oh, -w, -h)
    yield "cornerstone", "top right", _box(w, -oh, ow, -h)
    yield "cornerstone", "bottom right", _box(w, h, ow, oh)
    yield "cornerstone", "bottom left", _box(-ow, h, -w, oh)


def _round_pieced(result: RoundResult, pieced: PiecedRound) -> Iterator[tuple[str, str, Outline]]:
    """The coping and the plain corners of a pieced border."""
    w, h = float(result.inner.width) / 2, float(result.inner.length) / 2
    mw, mh = float(pieced.middle.width) / 2, float(pieced.middle.length) / 2
    if mw > w:
        yield "coping side", "left", _box(-mw, -h, -w, h)
        yield "coping side", "right", _box(w, -h, mw, h)
    if mh > h:
        yield "coping end", "top", _box(-mw, -mh, mw, -h)
        yield "coping end", "bottom", _box(-mw, h, mw, mh)
    if any(piece.part == "cornerstone" for piece in result.pieces):
        yield from _corners(mw, mh, float(result.finished.width) / 2, float(result.finished.length) / 2)


def _flowers(result: RoundResult) -> Iterator[tuple[str, str, Outline]]:
    if not result.motifs:
        return
    across_x = float(result.inner.width + result.finished.width) / 4
    across_y = float(result.inner.length + result.finished.length) / 4
    one = result.motifs.flower
    spots: list[tuple[str, float, float]] = []
    for motifs in result.motifs.sides:
        for along in map(float, motifs.spacing.from_centre):
            at = {"left": (-across_x, along), "right": (across_x, along), "top": (along, -across_y)}
            spots.append((motifs.side, *at.get(motifs.side, (along, across_y))))
    if result.motifs.corners:
        spots += [
            (f"{up} {side}", x, y)
            for up, y in (("top", -across_y), ("bottom", across_y))
            for side, x in (("left", -across_x), ("right", across_x))
        ]
    for side, x, y in spots:
        for outline in one.outer:
            yield one.outer_part, side, outline.moved(x, y)
        yield "flower centre", side, one.centre.moved(x, y)
