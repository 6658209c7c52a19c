"""What is a field of paper-pieced hexagons or diamonds: how many, how big, and what is left when its edges are cut straight?

Alternate rows lie shifted by half a piece. R rows of C hexagons of side a, points up, fill (C + ½)√3·a by (1½R + ½)a; of diamonds w wide
and h high, (C + ½)w by ½(R + 1)h. Lengths in nm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from quiltbook.measures import Length, Size
from quiltbook.yardage.outline import Outline, Point, ring
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.shapes import diamond, hexagon

FIELDS = ("hexagon", "diamond")
EDGES = ("trimmed", "applied")
MOST_ROWS = 200


class FieldError(Refusal):
    """There is no such field."""


@dataclass(frozen=True, slots=True)
class Field:
    """`size` is the box round the field; `inside` the corners, top left and bottom right, of the rectangle it covers without a gap."""

    piece: Outline
    middles: tuple[Point, ...]
    size: Size
    inside: tuple[Point, Point]

    @property
    def count(self) -> int:
        return len(self.middles)

    def outlines(self) -> Iterator[Outline]:
        """Every piece where it lies, from the top left of the box."""
        return (self.piece.moved(x, y) for x, y in self.middles)


def field(shape: str, side: Length, rows: int, columns: int, angle: float = 60.0) -> Field:
    """A field of `rows` of `columns` pieces each. Raises `FieldError`."""
    if shape not in FIELDS:
        raise FieldError("shape", f"It must be one of: {', '.join(FIELDS)}.")
    if side <= 0:
        raise FieldError("side", "It must be more than 0.")
    if not (1 <= rows <= MOST_ROWS and 1 <= columns <= MOST_ROWS):
        raise FieldError("rows", f"A field has from 1 to {MOST_ROWS} rows, and so many pieces in a row.")
    a = float(side)
    piece = hexagon(a) if shape == "hexagon" else diamond(a, angle)
    width, height = (float(length) for length in (piece.size.width, piece.size.length))
    down = 1.5 * a if shape == "hexagon" else height / 2
    middles = tuple(
        ((column + (row % 2 + 1) / 2) * width, height / 2 + row * down)
        for row in range(rows)
        for column in range(columns)
    )
    shift = width / 2 if rows > 1 else 0.0
    size = Size(columns * width + shift, height + (rows - 1) * down)
    tip = a / 2 if shape == "hexagon" else height / 2
    side_in = shift if shape == "hexagon" else width / 2
    inside = (
        (side_in, tip),
        (columns * width + (0.0 if shape == "hexagon" or rows > 1 else -width / 2), float(size.length) - tip),
    )
    return Field(piece, middles, size, inside)


def clipped(outline: Outline, low: Point, high: Point) -> Outline | None:
    """What of a convex outline of straight edges lies in an upright rectangle; None where nothing does."""
    points = [edge.start for edge in outline.edges]
    for axis in (0, 1):
        for limit, way in ((low[axis], 1.0), (high[axis], -1.0)):
            points = list(_kept(points, axis, limit, way))
    if len(points) < 3:
        return None
    kept = ring(points)
    return kept if kept.area > 1.0 else None  # a square nanometre


def _kept(points: list[Point], axis: int, limit: float, way: float) -> Iterator[Point]:
    """The corners of what lies on one side of a line across the axis."""
    for a, b in zip(points, [*points[1:], *points[:1]], strict=True):
        inside_a, inside_b = ((p[axis] - limit) * way >= 0 for p in (a, b))
        if inside_a:
            yield a
        if inside_a != inside_b and a[axis] != limit and b[axis] != limit:
            share = (limit - a[axis]) / (b[axis] - a[axis])
            crossing = [a[n] + (b[n] - a[n]) * share for n in (0, 1)]
            crossing[axis] = limit
            yield crossing[0], crossing[1]
