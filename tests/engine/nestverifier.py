"""An independent verifier of nested shapes: shapely on the outlines with their true arcs, and nothing of the nesting's own."""

import math
from collections import Counter

import shapely
from shapely import affinity
from shapely.geometry import Polygon, box

from quiltbook.yardage.growing import grow
from quiltbook.yardage.nesting import Nested, NestJob
from tests.engine.outlines import polygon

HAIR = 2_000.0  # nm: what an arc drawn through so many points may stand in


def lying(job: NestJob, nested: Nested) -> dict[int, list[Polygon]]:
    """The cut outlines on each cloth."""
    cuts = {s.id: polygon(grow(s.finished, float(s.seam_allowance)).edges, 200) for s in job.shapes}
    turned = {
        (name, turn): affinity.rotate(cut, turn, origin=(0, 0))
        for name, cut in cuts.items()
        for turn in (0, 90, 180, 270)
    }
    found: dict[int, list[Polygon]] = {}
    for one in nested.placed:
        shape = turned[one.id, one.turn]
        left, top = shape.bounds[:2]
        found.setdefault(one.cloth, []).append(affinity.translate(shape, one.x - left, one.y - top))
    return found


def assert_sound(job: NestJob, nested: Nested) -> None:
    cloths = lying(job, nested)
    assert sorted(cloths) == list(range(1, nested.cloths + 1))
    for number, polygons in cloths.items():
        room = math.inf if job.length is None else job.length
        length = nested.length if number == nested.cloths else room
        cloth = box(-HAIR, -HAIR, job.width + HAIR, min(length, room) + HAIR)
        assert all(cloth.covers(one) for one in polygons)
        tree = shapely.STRtree(polygons)
        first, second = tree.query(polygons, predicate="dwithin", distance=job.spacing)
        for a, b in zip(first, second, strict=True):
            if a < b:
                assert shapely.distance(polygons[a], polygons[b]) >= job.spacing - HAIR
                shared = shapely.intersection(polygons[a], polygons[b]).area
                assert shared <= HAIR * polygons[a].length, (number, a, b)
    laid = Counter(one.id for one in nested.placed)
    left = {one.patch: one.count for one in nested.left}
    for shape in job.shapes:
        if shape.count is not None:
            assert laid[shape.id] + left.get(shape.id, 0) == shape.count
        turns = {one.turn for one in nested.placed if one.id == shape.id}
        assert turns <= {"any quarter": {0, 90, 180, 270}, "half": {0, 180}, "none": {0}}[shape.turns]
    area = sum(one.area for polygons in cloths.values() for one in polygons)
    assert math.isclose(area, nested.area, rel_tol=1e-3)
