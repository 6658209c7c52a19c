"""What is a shape's finished outline, and what must be cut for it?

An outline is a ring of straight and arc edges, in nm, clockwise with y down the page. The cut outline is the finished
one grown by the seam allowance, its tips left pointed; the rough cut is the upright rectangle to cut it from.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.patches import Refusal, Step

type Point = tuple[float, float]

_TINY = 1e-9
ROOT2, ROOT3 = math.sqrt(2), math.sqrt(3)


class ShapeError(Refusal):
    """No such shape can be drawn or cut."""


@dataclass(frozen=True, slots=True)
class Edge:
    """From `start` to `end`: straight, or an arc whose middle lies `rise` outside the chord (inside it where negative)."""

    start: Point
    end: Point
    rise: float = 0.0

    @property
    def chord(self) -> float:
        return math.dist(self.start, self.end)

    @property
    def radius(self) -> float:
        """The arc's radius, from its chord c and rise h: (c²/4 + h²) / 2h. Infinite for a straight edge."""
        return (self.chord**2 / 4 + self.rise**2) / (2 * abs(self.rise)) if self.rise else math.inf

    @property
    def angle(self) -> float:
        """The angle the arc turns through, in radians; 0 for a straight edge."""
        return 2 * math.atan2(self.chord / 2, self.radius - abs(self.rise)) if self.rise else 0.0

    @property
    def length(self) -> float:
        return self.radius * self.angle if self.rise else self.chord

    @property
    def large(self) -> bool:
        """Whether it turns through more than half a circle: SVG's large-arc flag. (Its sweep flag is `rise > 0`.)"""
        return self.angle > math.pi

    @property
    def normal(self) -> Point:
        """The unit vector square to the chord that points out of the outline."""
        (x0, y0), (x1, y1) = self.start, self.end
        return (y1 - y0) / self.chord, (x0 - x1) / self.chord

    @property
    def centre(self) -> Point:
        """The arc's centre."""
        away = self.rise - math.copysign(self.radius, self.rise)
        nx, ny = self.normal
        return (self.start[0] + self.end[0]) / 2 + nx * away, (self.start[1] + self.end[1]) / 2 + ny * away

    def extremes(self) -> list[Point]:
        """The points among which the edge's furthest left, right, up and down lie."""
        points = [self.start, self.end]
        if self.rise:
            (cx, cy), r = self.centre, self.radius
            sides = [(cx - r, cy), (cx + r, cy), (cx, cy - r), (cx, cy + r)]
            points += [side for side in sides if _sweep(self.centre, self.start, side, self.rise) <= self.angle]
        return points


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed ring of edges."""

    edges: tuple[Edge, ...]

    @property
    def perimeter(self) -> float:
        return sum(edge.length for edge in self.edges)

    @property
    def area(self) -> float:
        """The polygon of the chords, and each arc's segment R²(a - sin a)/2 added or taken off."""
        total = 0.0
        for edge in self.edges:
            (x0, y0), (x1, y1) = edge.start, edge.end
            total += (x0 * y1 - x1 * y0) / 2
            if edge.rise:
                total += math.copysign(edge.radius**2 * (edge.angle - math.sin(edge.angle)) / 2, edge.rise)
        return total

    @property
    def box(self) -> tuple[Point, Point]:
        """The upright rectangle round it: its top left and its bottom right."""
        xs, ys = zip(*(point for edge in self.edges for point in edge.extremes()), strict=True)
        return (min(xs), min(ys)), (max(xs), max(ys))

    @property
    def size(self) -> Size:
        """Width and height of the box."""
        (left, top), (right, bottom) = self.box
        return Size(right - left, bottom - top)

    def moved(self, x: float, y: float, turn: float = 0.0) -> "Outline":
        """Turned clockwise by `turn` radians about the origin, then moved."""
        cos, sin = math.cos(turn), math.sin(turn)

        def move(point: Point) -> Point:
            return point[0] * cos - point[1] * sin + x, point[0] * sin + point[1] * cos + y

        return Outline(tuple(Edge(move(edge.start), move(edge.end), edge.rise) for edge in self.edges))


def _sweep(centre: Point, start: Point, end: Point, way: float) -> float:
    """The angle from `start` round to `end` about `centre`: clockwise on the page where `way` is positive."""
    first, last = (math.atan2(y - centre[1], x - centre[0]) for x, y in (start, end))
    return math.copysign(1, way) * (last - first) % (2 * math.pi)


def ring(points: Sequence[Point], rises: Mapping[int, float] | None = None) -> Outline:
    """The outline through `points`, clockwise on the page; `rises` makes arcs of the edges that leave those points."""
    ends = [*points[1:], points[0]]
    return Outline(
        tuple(Edge(a, b, (rises or {}).get(n, 0.0)) for n, (a, b) in enumerate(zip(points, ends, strict=True)))
    )


# --- growing by the seam allowance -----------------------------------------------------------------------------------


def grow(outline: Outline, by: float) -> Outline:
    """The outline with every edge moved out by `by` and the corners run on to a point.

    Where the grown edges never meet again (at a clamshell's foot they leave the tip side by side), the tip is closed by
    an arc of radius `by`. Raises `ShapeError` where the allowance swallows an edge.
    """
    if not by:
        return outline
    edges = outline.edges
    if any(edge.rise < 0 and edge.radius <= by * (1 + _TINY) for edge in edges):
        raise ShapeError("seam_allowance", "It is wider than a hollow curve of the shape allows.")
    corners = [_corner(before, after, by) for before, after in pairwise((edges[-1], *edges))]
    grown: list[Edge] = []
    for n, edge in enumerate(edges):
        start, end = corners[n], corners[(n + 1) % len(edges)]
        grown.append(_grown_edge(edge, start[1], end[0], by))
        if end[0] != end[1]:
            across = math.dist(end[0], end[1])
            grown.append(Edge(end[0], end[1], by - math.sqrt(max(by**2 - across**2 / 4, 0.0))))
    cut = Outline(tuple(grown))
    if not any(edge.rise for edge in grown) and _crosses_itself(cut):
        raise ShapeError("seam_allowance", "It is so wide that it closes up a hollow of the shape.")
    return cut


def _grown_edge(edge: Edge, start: Point, end: Point, by: float) -> Edge:
    if not edge.rise:
        along = (end[0] - start[0]) * (edge.end[0] - edge.start[0]) + (end[1] - start[1]) * (
            edge.end[1] - edge.start[1]
        )
        if along <= 0:
            raise ShapeError("seam_allowance", "It is so wide that it swallows an edge of the shape.")
        return Edge(start, end)
    radius = edge.radius + math.copysign(by, edge.rise)
    angle = _sweep(edge.centre, start, end, edge.rise)
    if abs(angle - edge.angle) > math.pi:
        raise ShapeError("seam_allowance", "It is so wide that it swallows an edge of the shape.")
    return Edge(start, end, math.copysign(radius * (1 - math.cos(angle / 2)), edge.rise))


def _corner(before: Edge, after: Edge, by: float) -> tuple[Point, Point]:
    """Where the grown edges meet at the corner between two edges: one point, or two with a cap between them."""
    tip = after.start
    if not before.rise and not after.rise:
        met = _lines_met(before, after, by)
    elif before.rise and after.rise:
        met = _circles_met(before, after, by)
    else:
        line, arc = (after, before) if before.rise else (before, after)
        met = _line_met_circle(line, arc, by)
    if met:
        nearest = min(met, key=lambda point: math.dist(point, tip))
        return nearest, nearest
    return _pushed(before, tip, by), _pushed(after, tip, by)


def _pushed(edge: Edge, tip: Point, by: float) -> Point:
    """`tip`, an end of `edge`, moved out square to it."""
    if not edge.rise:
        return tip[0] + edge.normal[0] * by, tip[1] + edge.normal[1] * by
    (cx, cy), scale = edge.centre, 1 + math.copysign(by, edge.rise) / edge.radius
    return cx + (tip[0] - cx) * scale, cy + (tip[1] - cy) * scale


def _lines_met(before: Edge, after: Edge, by: float) -> list[Point]:
    (ax, ay), (bx, by_) = before.normal, after.normal
    cross, dot = ax * by_ - ay * bx, ax * bx + ay * by_
    if 1 + dot < _TINY:
        raise ShapeError("points", "Two edges of the shape run back on each other.")
    if abs(cross) < _TINY:
        return [_pushed(after, after.start, by)]
    # the corner moves along the sum of the normals, far enough that its distance from both edges is `by`
    return [(after.start[0] + (ax + bx) * by / (1 + dot), after.start[1] + (ay + by_) * by / (1 + dot))]


def _line_met_circle(line: Edge, arc: Edge, by: float) -> list[Point]:
    (nx, ny), (cx, cy) = line.normal, arc.centre
    radius = arc.radius + math.copysign(by, arc.rise)
    px, py = _pushed(line, line.start, by)
    away = (px - cx) * nx + (py - cy) * ny
    if abs(away) > radius * (1 + _TINY):
        return []
    half = math.sqrt(max(radius**2 - away**2, 0.0))
    return [(cx + nx * away - ny * side, cy + ny * away + nx * side) for side in (half, -half)]


def _circles_met(before: Edge, after: Edge, by: float) -> list[Point]:
    (ax, ay), (bx, by_) = before.centre, after.centre
    first, second = (edge.radius + math.copysign(by, edge.rise) for edge in (before, after))
    apart = math.dist((ax, ay), (bx, by_))
    if apart <= first * _TINY:
        return [_pushed(after, after.start, by)]
    along = (first**2 - second**2 + apart**2) / (2 * apart)
    if abs(along) > first * (1 + _TINY):
        return []
    half = math.sqrt(max(first**2 - along**2, 0.0))
    ux, uy = (bx - ax) / apart, (by_ - ay) / apart
    return [(ax + ux * along - uy * side, ay + uy * along + ux * side) for side in (half, -half)]


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


def polygon(points: Sequence[Point]) -> Outline:
    """Any polygon with straight edges that do not cross, its corners in either order."""
    if len(points) < 3:
        raise ShapeError("points", "A polygon needs three corners or more.")
    if any(math.dist(a, b) == 0 for a, b in pairwise([*points, points[0]])):
        raise ShapeError("points", "Two corners that follow each other are the same.")
    outline = ring(points)
    if outline.area < 0:
        outline = ring(points[::-1])
    if outline.area <= 0 or _crosses_itself(outline):
        raise ShapeError("points", "The edges must enclose an area and not cross.")
    return outline


def _crosses_itself(outline: Outline) -> bool:
    edges = outline.edges
    pairs = ((a, b) for n, a in enumerate(edges) for b in edges[n + 2 : len(edges) - (n == 0)])
    return any(_cross(a, b) for a, b in pairs)


def _cross(a: Edge, b: Edge) -> bool:
    def side(edge: Edge, point: Point) -> float:
        (x0, y0), (x1, y1) = edge.start, edge.end
        return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)

    crossing = side(a, b.start) * side(a, b.end) <= 0 and side(b, a.start) * side(b, a.end) <= 0
    return crossing and all(_overlap(a, b, axis) for axis in (0, 1))  # in one line they may still lie apart


def _overlap(a: Edge, b: Edge, axis: int) -> bool:
    spans = [sorted((edge.start[axis], edge.end[axis])) for edge in (a, b)]
    return max(low for low, _ in spans) <= min(high for _, high in spans)


SHAPES: Mapping[str, tuple[Callable[..., Outline], tuple[str, ...]]] = {
    "square": (square, ("side",)),
    "rectangle": (rectangle, ("width", "length")),
    "half square triangle": (half_square_triangle, ("side",)),
    "quarter square triangle": (quarter_square_triangle, ("base",)),
    "hexagon": (hexagon, ("side",)),
    "half hexagon": (half_hexagon, ("side",)),
    "hexagon petal": (hexagon_petal, ("side", "rise")),
    "diamond": (diamond, ("side", "angle")),
    "clamshell": (clamshell, ("width",)),
    "circle": (circle, ("diameter",)),
}
_PER_SQUARE = {"half square triangle": 2, "quarter square triangle": 4}


@dataclass(frozen=True, slots=True)
class SquareCut:
    """The square that triangles are cut from: exact, and up to the cutting step; `per_square` of them come from one."""

    exact: float
    cut: int
    per_square: int


@dataclass(frozen=True, slots=True)
class ShapeResult:
    """A shape's outlines and what to cut it from."""

    finished: Outline
    cut: Outline
    rough_cut: Size
    square: SquareCut | None
    steps: tuple[Step, ...]


def work_out(finished: Outline, *, seam_allowance: Length, round_up_to: int, shape: str = "polygon") -> ShapeResult:
    """The cut outline, the rough cut and, for the two triangles, the square to cut. Raises `ShapeError`."""
    cut = grow(finished, float(seam_allowance))
    rough = rough_cut(finished, seam_allowance)
    per_square = _PER_SQUARE.get(shape)
    square_cut = None
    steps = [
        Step(
            "rough cut",
            {
                "finished width": finished.size.width,
                "finished height": finished.size.length,
                "seam allowance": seam_allowance,
            },
        )
    ]
    if per_square:
        exact = float(cut.size.width)
        square_cut = SquareCut(exact, round_up(exact, round_up_to), per_square)
        steps.append(Step("square", {"exact": exact, "cut": square_cut.cut}, {"triangles a square": per_square}))
    return ShapeResult(finished, cut, rough, square_cut, tuple(steps))


def rough_cut(finished: Outline, seam_allowance: Length) -> Size:
    """The finished box and the allowance all round: the least upright rectangle once the tips are blunted to it."""
    both = 2 * float(seam_allowance)
    return Size(float(finished.size.width) + both, float(finished.size.length) + both)
