"""What is an outline: a ring of straight and arc edges, how long is it, what does it hold, and does it cross itself?

Lengths in nm, clockwise with y down the page; an arc is told by its rise over its chord. Everything follows from the circle.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from quiltbook.measures import Size

type Point = tuple[float, float]

TINY = 1e-9


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

    def heading(self, at: Point) -> Point:
        """The unit vector along the edge at one of its points."""
        if self.rise:
            (cx, cy), way = self.centre, math.copysign(self.radius, self.rise)
            return (cy - at[1]) / way, (at[0] - cx) / way
        return (self.end[0] - self.start[0]) / self.chord, (self.end[1] - self.start[1]) / self.chord

    def extremes(self) -> list[Point]:
        """The points among which the edge's furthest left, right, up and down lie."""
        points = [self.start, self.end]
        if self.rise:
            (cx, cy), r = self.centre, self.radius
            sides = [(cx - r, cy), (cx + r, cy), (cx, cy - r), (cx, cy + r)]
            points += [side for side in sides if sweep(self.centre, self.start, side, self.rise) <= self.angle]
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

    def stretched(self, x: float, y: float) -> "Outline":
        """With all it measures across times `x`, and down times `y`; of straight edges only, for arcs would not stay arcs."""
        return ring([(edge.start[0] * x, edge.start[1] * y) for edge in self.edges])

    def moved(self, x: float, y: float, turn: float = 0.0) -> "Outline":
        """Turned clockwise by `turn` radians about the origin, then moved."""
        cos, sin = math.cos(turn), math.sin(turn)

        def move(point: Point) -> Point:
            return point[0] * cos - point[1] * sin + x, point[0] * sin + point[1] * cos + y

        return Outline(tuple(Edge(move(edge.start), move(edge.end), edge.rise) for edge in self.edges))


@dataclass(frozen=True, slots=True)
class Placed:
    """A patch of a `role` where it lies."""

    role: str
    part: str
    outline: Outline


def sweep(centre: Point, start: Point, end: Point, way: float) -> float:
    """The angle from `start` round to `end` about `centre`: clockwise on the page where `way` is positive."""
    first, last = (math.atan2(y - centre[1], x - centre[0]) for x, y in (start, end))
    return math.copysign(1, way) * (last - first) % (2 * math.pi)


def ring(points: Sequence[Point], rises: Mapping[int, float] | None = None) -> Outline:
    """The outline through `points`, clockwise on the page; `rises` makes arcs of the edges that leave those points."""
    ends = [*points[1:], points[0]]
    return Outline(
        tuple(Edge(a, b, (rises or {}).get(n, 0.0)) for n, (a, b) in enumerate(zip(points, ends, strict=True)))
    )


def line_meets_circle(on: Point, normal: Point, centre: Point, radius: float) -> list[Point]:
    """Where the line through `on`, square to the unit vector `normal`, meets a circle: two points, or none."""
    (nx, ny), (cx, cy) = normal, centre
    away = (on[0] - cx) * nx + (on[1] - cy) * ny
    if abs(away) > radius * (1 + TINY):
        return []
    half = math.sqrt(max(radius**2 - away**2, 0.0))
    return [(cx + nx * away - ny * side, cy + ny * away + nx * side) for side in (half, -half)]


def circles_meet(a: Point, first: float, b: Point, second: float) -> list[Point]:
    """Where two circles of other middles meet: two points, or none."""
    apart = math.dist(a, b)
    along = (first**2 - second**2 + apart**2) / (2 * apart) if apart else math.inf
    if abs(along) > first * (1 + TINY):
        return []
    half = math.sqrt(max(first**2 - along**2, 0.0))
    ux, uy = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    return [(a[0] + ux * along - uy * side, a[1] + uy * along + ux * side) for side in (half, -half)]


def crosses_itself(outline: Outline) -> bool:
    """Whether two edges cross or touch anywhere but at the corner they share."""
    edges = outline.edges
    if any(_meet_again(a, b) for a, b in pairwise((*edges, edges[0])) if a.rise or b.rise):
        return True
    pairs = ((a, b) for n, a in enumerate(edges) for b in edges[n + 2 : len(edges) - (n == 0)])
    return any(_cross(a, b) if not a.rise and not b.rise else bool(_meetings(a, b)) for a, b in pairs)


def _meet_again(a: Edge, b: Edge) -> bool:
    """Whether two edges that follow each other meet elsewhere than at their ends."""
    near = 1e-6 * (a.chord + b.chord)
    corners = (b.start, a.start) if math.dist(a.start, b.end) <= near else (b.start,)
    return any(all(math.dist(point, corner) > near for corner in corners) for point in _meetings(a, b))


def _meetings(a: Edge, b: Edge) -> list[Point]:
    """The points both edges run through, at least one of them an arc."""
    if a.rise and b.rise:
        points = circles_meet(a.centre, a.radius, b.centre, b.radius)
    else:
        line, arc = (b, a) if a.rise else (a, b)
        points = line_meets_circle(line.start, line.normal, arc.centre, arc.radius)
    return [point for point in points if _runs_through(a, point) and _runs_through(b, point)]


def _runs_through(edge: Edge, point: Point) -> bool:
    """Whether a point on the edge's line or circle lies between its ends."""
    if edge.rise:
        return sweep(edge.centre, edge.start, point, edge.rise) <= edge.angle
    (x0, y0), (x1, y1) = edge.start, edge.end
    return 0 <= (point[0] - x0) * (x1 - x0) + (point[1] - y0) * (y1 - y0) <= edge.chord**2


def _cross(a: Edge, b: Edge) -> bool:
    def side(edge: Edge, point: Point) -> float:
        (x0, y0), (x1, y1) = edge.start, edge.end
        return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)

    crossing = side(a, b.start) * side(a, b.end) <= 0 and side(b, a.start) * side(b, a.end) <= 0
    return crossing and all(_overlap(a, b, axis) for axis in (0, 1))  # in one line they may still lie apart


def _overlap(a: Edge, b: Edge, axis: int) -> bool:
    spans = [sorted((edge.start[axis], edge.end[axis])) for edge in (a, b)]
    return max(low for low, _ in spans) <= min(high for _, high in spans)
