"""Can these shapes be cut so? The nesting's own verifier, which shares no reckoning with what laid them: shapely's.

No two shapes, each grown by half the spacing, may cover any cloth together, none may stick out, and no more may lie there than asked.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from quiltbook.yardage.clearances import polygon_round
from quiltbook.yardage.growing import grow
from quiltbook.yardage.nestjob import TURNS, NestJob, Set
from quiltbook.yardage.outline import Outline

_HAIR = 10.0  # nm: shapes that touch may seem to overlap by so much


def check(job: NestJob, placed: Sequence[Set]) -> list[str]:
    """The layout's faults, each a sentence; empty when it is sound."""
    return list(_faults(job, placed))


def _faults(job: NestJob, placed: Sequence[Set]) -> Iterator[str]:
    shapes = {shape.id: shape for shape in job.shapes}
    counts = Counter(one.id for one in placed)
    for name, count in counts.items():
        if name not in shapes:
            yield f"{name} was not asked for."
            return
        most = shapes[name].count
        if most is not None and count > most:
            yield f"There are {count} of {name}, and {most} were asked for."
    if any(one.turn not in TURNS[shapes[one.id].turns] or not 1 <= one.cloth <= job.cloths for one in placed):
        yield "A shape lies on no cloth, or turned as it may not be."
        return
    outlines = _outlines(job, placed)
    # a layout that comes again is looked at once
    sheets = {
        tuple((one.id, one.x, one.y, one.turn) for one in placed if one.cloth == n) for n in {s.cloth for s in placed}
    }
    for sheet in sheets:
        yield from _sheet_faults(job, sheet, outlines)


def _outlines(job: NestJob, placed: Sequence[Set]) -> dict[tuple[str, int], tuple[Outline, Outline]]:
    """The cut outline of each shape in each turn, and that grown by half the spacing; the cut one's box at the origin."""
    found = {}
    for shape in job.shapes:
        for turn in {one.turn for one in placed if one.id == shape.id}:
            cut = grow(shape.finished, float(shape.seam_allowance)).moved(0, 0, math.radians(turn))
            (left, top), _ = cut.box
            cut = cut.moved(-left, -top)
            found[shape.id, turn] = (cut, grow(cut, job.spacing / 2, trim=True))
    return found


def _sheet_faults(
    job: NestJob, sheet: tuple[tuple[str, int, int, int], ...], outlines: dict[tuple[str, int], tuple[Outline, Outline]]
) -> Iterator[str]:
    length = math.inf if job.length is None else job.length
    rings = {key: np.array(polygon_round(grown)) for key, (_, grown) in outlines.items()}
    for name, x, y, turn in sheet:
        size = outlines[name, turn][0].size
        out = x + float(size.width) > job.width + _HAIR or y + float(size.length) > length + _HAIR
        if out or x < -_HAIR or y < -_HAIR:
            yield f"{name} at {x}, {y} sticks out."
    polygons = [shapely.Polygon(rings[name, turn] + (x, y)) for name, x, y, turn in sheet]
    first, second = shapely.STRtree(polygons).query(polygons)
    first, second = first[first < second], second[first < second]
    lie = np.array(polygons, dtype=object)
    shared = shapely.area(shapely.intersection(lie[first], lie[second]))
    around = shapely.length(lie[first])
    for n in np.flatnonzero(shared > around * _HAIR):
        yield f"{sheet[first[n]]} and {sheet[second[n]]} overlap."
