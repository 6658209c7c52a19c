"""How many shapes of the flowers does a fat quarter give, and how much cloth do they take, if they are cut with scissors and nested?

Beside that stands what rough-cut rectangles take, which is what layouts on her cloth count with. A search may take seconds, so it is made
when she asks, and remembered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from plans.models import Plan
from plans.queries.says import PARTS
from quiltbook.measures import Size, round_up
from quiltbook.yardage.nesting import Nested, NestJob, NestShape, nest
from quiltbook.yardage.outline import Outline
from quiltbook.yardage.patches import Patch, Refusal
from quiltbook.yardage.shapes import hexagon, hexagon_petal
from quiltbook.yardage.tops import RoundMotifs

# About as many as are nested in a few seconds; a fat quarter of the smallest papers that are sewn, 1/4 in, comes to fewer.
MOST_LOOKED_FOR = 2_500


@dataclass(frozen=True, slots=True)
class NestedRow:
    """`count` shapes alike: how many one fat quarter gives, nested and as rectangles, and the length of cloth (nm, as wide as the plan's)
    that all of them take. None where the shape does not go on it, or is so small that looking would take too long."""

    words: str
    count: int
    per_fat_quarter: int | None
    rectangles_per_fat_quarter: int | None
    length: int | None
    rectangles_length: int | None


def nested_rows(motifs: RoundMotifs, plan: Plan, fat_quarter: Size) -> tuple[NestedRow, ...]:
    """The kinds of shape in the flowers of a round. Each is cut of cloth of its own, so each is nested by itself."""
    return tuple(_rows(motifs, plan, fat_quarter))


def _rows(motifs: RoundMotifs, plan: Plan, fat_quarter: Size) -> Iterator[NestedRow]:
    for patch in motifs.patches:
        outline = _outline(patch, motifs)
        shape = NestShape(patch.part, outline, patch.seam_allowance)
        quarter = _nested(
            NestJob((shape,), int(fat_quarter.width), int(fat_quarter.length), round_up_to=plan.cutting_step)
        )
        wanted = NestShape(patch.part, outline, patch.seam_allowance, count=patch.count)
        whole = _nested(NestJob((wanted,), plan.usable_width, round_up_to=plan.cutting_step))
        yield NestedRow(
            words=PARTS[patch.part].capitalize(),
            count=patch.count,
            per_fat_quarter=len(quarter.placed) if quarter else None,
            rectangles_per_fat_quarter=quarter.rough[0].per_cloth if quarter else None,
            length=round_up(whole.length, plan.cutting_step) if whole and not whole.left else None,
            rectangles_length=int(whole.strips.length) if whole and not whole.strips.too_wide else None,
        )


def _outline(patch: Patch, motifs: RoundMotifs) -> Outline:
    """Upright, as its rough-cut rectangle has it."""
    side, rise = float(motifs.motif.side), motifs.motif.petal_rise
    return hexagon_petal(side, float(rise)) if patch.part == "petal" and rise is not None else hexagon(side)


@lru_cache(maxsize=256)
def _nested(job: NestJob) -> Nested | None:
    shape = job.shapes[0]
    many = shape.count or job.width * (job.length or 0) / shape.finished.area
    try:
        return nest(job) if many <= MOST_LOOKED_FOR else None
    except Refusal:
        return None
