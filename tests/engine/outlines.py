"""Outlines as shapely polygons, their arcs sampled: a second opinion on areas, boxes and overlaps."""

import math
from collections.abc import Iterable

from shapely.geometry import Polygon

from quiltbook.yardage.outline import Edge, Point

STEPS = 400


def points(edges: Iterable[Edge], steps: int = STEPS) -> list[Point]:
    """Corners, and points along each arc found by turning about the centre of the circle through its three known points."""
    found: list[Point] = []
    for edge in edges:
        found.append(edge.start)
        if edge.rise:
            cx, cy = _centre(edge)
            first = math.atan2(edge.start[1] - cy, edge.start[0] - cx)
            turn = (math.atan2(edge.end[1] - cy, edge.end[0] - cx) - first) % (2 * math.pi)
            turn = turn if edge.rise > 0 else turn - 2 * math.pi
            radius = math.dist(edge.start, (cx, cy))
            found += [
                (cx + radius * math.cos(first + turn * n / steps), cy + radius * math.sin(first + turn * n / steps))
                for n in range(1, steps)
            ]
    return found


def _centre(edge: Edge) -> Point:
    (ax, ay), (bx, by) = edge.start, edge.end
    chord = math.dist(edge.start, edge.end)
    mx = (ax + bx) / 2 + (by - ay) / chord * edge.rise
    my = (ay + by) / 2 - (bx - ax) / chord * edge.rise
    d = 2 * (ax * (by - my) + bx * (my - ay) + mx * (ay - by))
    a, b, m = ax * ax + ay * ay, bx * bx + by * by, mx * mx + my * my
    return (a * (by - my) + b * (my - ay) + m * (ay - by)) / d, (a * (mx - bx) + b * (ax - mx) + m * (bx - ax)) / d


def polygon(edges: Iterable[Edge], steps: int = STEPS) -> Polygon:
    return Polygon(points(edges, steps))
