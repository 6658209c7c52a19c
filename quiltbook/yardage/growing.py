"""What is the cut outline: the finished one grown by the seam allowance, its tips left pointed or trimmed?

Each edge moves out square to itself; where two grown edges never meet again the tip is closed by an arc of the allowance.
"""

import math
from itertools import pairwise

from quiltbook.yardage.outline import (
    TINY,
    Edge,
    Outline,
    Point,
    circles_meet,
    crosses_itself,
    line_meets_circle,
    sweep,
)
from quiltbook.yardage.patches import Refusal


class ShapeError(Refusal):
    """No such shape can be drawn or cut."""


def grow(outline: Outline, by: float, *, trim: bool = False) -> Outline:
    """The outline with every edge moved out by `by` and the corners run on to a point.

    Where the grown edges never meet again (at a clamshell's foot they leave the tip side by side), the tip is closed by
    an arc of radius `by`. `trim`: tips sharper than a right angle are cut off square, `by` beyond the finished tip, as
    far as the seam reaches. Raises `ShapeError` where the allowance swallows an edge.
    """
    if not by:
        return outline
    edges = outline.edges
    if any(edge.rise < 0 and edge.radius <= by * (1 + TINY) for edge in edges):
        raise ShapeError("seam_allowance", "It is wider than a hollow curve of the shape allows.")
    corners = [_corner(before, after, by) for before, after in pairwise((edges[-1], *edges))]
    blunted = [trim and _sharp(edges[n - 1], edges[n], *corners[n], by) for n in range(len(edges))]
    for n in (n for n, blunt in enumerate(blunted) if blunt):
        corners[n] = _trimmed(edges[n - 1], edges[n], corners[n][0], by)
    grown: list[Edge] = []
    for n, edge in enumerate(edges):
        after = (n + 1) % len(edges)
        (_, start), (end, beyond) = corners[n], corners[after]
        grown.append(_grown_edge(edge, start, end, by))
        if end != beyond:
            across = math.dist(end, beyond)
            rise = 0.0 if blunted[after] else by - math.sqrt(max(by**2 - across**2 / 4, 0.0))
            grown.append(Edge(end, beyond, rise))
    cut = Outline(tuple(grown))
    if crosses_itself(cut):
        raise ShapeError("seam_allowance", "It is so wide that it closes up a hollow of the shape.")
    return cut


def _grown_edge(edge: Edge, start: Point, end: Point, by: float) -> Edge:
    swallowed = ShapeError("seam_allowance", "It is so wide that it swallows an edge of the shape.")
    if not edge.rise:
        (x0, y0), (x1, y1) = edge.start, edge.end
        if (end[0] - start[0]) * (x1 - x0) + (end[1] - start[1]) * (y1 - y0) <= 0:
            raise swallowed
        return Edge(start, end)
    angle = sweep(edge.centre, start, end, edge.rise)
    if abs(angle - edge.angle) > math.pi:
        raise swallowed
    return Edge(start, end, math.copysign(_radius(edge, by) * (1 - math.cos(angle / 2)), edge.rise))


def _radius(arc: Edge, by: float) -> float:
    """An arc's radius once it is moved out."""
    return arc.radius + math.copysign(by, arc.rise)


def _corner(before: Edge, after: Edge, by: float) -> tuple[Point, Point]:
    """Where the grown edges meet at the corner between two edges: one point, or two with a cap between them."""
    tip = after.start
    if not before.rise and not after.rise:
        met = [_lines_met(before, after, by)]
    elif before.rise and after.rise:
        first, second = _radius(before, by), _radius(after, by)
        one_circle = math.dist(before.centre, after.centre) <= first * TINY
        met = [_pushed(after, tip, by)] if one_circle else circles_meet(before.centre, first, after.centre, second)
    else:
        line, arc = (after, before) if before.rise else (before, after)
        met = _met(line, arc, by)
    if met:
        nearest = min(met, key=lambda point: math.dist(point, tip))
        return nearest, nearest
    return _pushed(before, tip, by), _pushed(after, tip, by)


def _met(line: Edge, arc: Edge, by: float) -> list[Point]:
    return line_meets_circle(_pushed(line, line.start, by), line.normal, arc.centre, _radius(arc, by))


def _pushed(edge: Edge, tip: Point, by: float) -> Point:
    """`tip`, an end of `edge`, moved out square to it."""
    if not edge.rise:
        return tip[0] + edge.normal[0] * by, tip[1] + edge.normal[1] * by
    (cx, cy), scale = edge.centre, 1 + math.copysign(by, edge.rise) / edge.radius
    return cx + (tip[0] - cx) * scale, cy + (tip[1] - cy) * scale


def _lines_met(before: Edge, after: Edge, by: float) -> Point:
    (ax, ay), (bx, by_) = before.normal, after.normal
    cross, dot = ax * by_ - ay * bx, ax * bx + ay * by_
    if 1 + dot < TINY:
        raise ShapeError("points", "Two edges of the shape run back on each other.")
    if abs(cross) < TINY:
        return _pushed(after, after.start, by)
    # the corner moves along the sum of the normals, far enough that its distance from both edges is `by`
    return after.start[0] + (ax + bx) * by / (1 + dot), after.start[1] + (ay + by_) * by / (1 + dot)


def _sharp(before: Edge, after: Edge, grown: Point, beyond: Point, by: float) -> bool:
    """Whether a corner runs to one point, further out than that of a right angle does. A hollow corner has no tip."""
    tip = after.start
    (ax, ay), (bx, by_) = before.heading(tip), after.heading(tip)
    hollow = ax * by_ - ay * bx < 0
    return not hollow and grown == beyond and math.dist(tip, grown) > by * math.sqrt(2) * (1 + TINY)


def _trimmed(before: Edge, after: Edge, grown: Point, by: float) -> tuple[Point, Point]:
    """The two ends of the cut that takes off a grown tip, square to the line from the finished tip."""
    tip = after.start
    far = math.dist(tip, grown)
    normal = ((grown[0] - tip[0]) / far, (grown[1] - tip[1]) / far)
    on = (tip[0] + normal[0] * by, tip[1] + normal[1] * by)
    return _on_edge(before, on, normal, grown, by), _on_edge(after, on, normal, grown, by)


def _on_edge(edge: Edge, on: Point, normal: Point, grown: Point, by: float) -> Point:
    """Where the line through `on` meets the grown edge, the nearest to its tip."""
    if edge.rise:
        met = line_meets_circle(on, normal, edge.centre, _radius(edge, by))
        return min(met, key=lambda point: math.dist(point, grown)) if met else grown
    (x0, y0), (x1, y1) = edge.start, edge.end
    towards = ((x1 - x0) * normal[0] + (y1 - y0) * normal[1]) / edge.chord
    back = ((on[0] - grown[0]) * normal[0] + (on[1] - grown[1]) * normal[1]) / towards
    return grown[0] + (x1 - x0) / edge.chord * back, grown[1] + (y1 - y0) / edge.chord * back
