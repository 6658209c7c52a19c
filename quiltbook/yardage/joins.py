"""Of which lengths is a strip made that is longer than any cloth? The fewest that will do, none shorter than the least.

A `Making` says so for some copies of a patch. `level` counts from the longest clear run of any cloth to shorter ones, for copies that
the cloths with long runs cannot all hold. Lengths are whole nm.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from quiltbook.measures import NM_PER_64TH, NM_PER_INCH, NM_PER_MM
from quiltbook.yardage.boxes import Box, longest_run
from quiltbook.yardage.cloths import ways
from quiltbook.yardage.layouts import Wanted
from quiltbook.yardage.patches import Join
from quiltbook.yardage.tasks import Sheet


@dataclass(frozen=True, slots=True)
class Making:
    """`copies` of a patch are each made of `lengths`; a single one is the patch whole."""

    level: int
    copies: int
    lengths: tuple[int, ...]


def makings(patch: Wanted, sheets: Sequence[Sheet], *, copies: int, level: int, even: bool) -> Making | None:
    """How that many copies are made at that level; None where the cloths have no such level.

    `even`: lengths as alike as the ruler's marks allow, instead of full lengths and a rest.
    """
    whole = Making(level, copies, (max(patch.width, patch.length),))
    if patch.join is None:
        return whole if level == 0 else None
    runs = clear_runs(patch, sheets)
    if level >= len(runs):
        return whole if level == 0 else None
    lengths = _lengths(max(patch.width, patch.length), runs[level], patch.join, even=even)
    if lengths is None:
        return whole if level == 0 else None
    return Making(level, copies, lengths)


def clear_runs(patch: Wanted, sheets: Sequence[Sheet]) -> list[int]:
    """The longest clear runs that the cloths offer a strip as thick as the patch, longest first, each once."""
    return sorted({run for sheet in set(sheets) if sheet.copies and (run := _run(sheet, patch))}, reverse=True)


def _run(sheet: Sheet, patch: Wanted) -> int:
    thick, is_long = min(patch.width, patch.length), patch.length >= patch.width
    allowed = ways(turn=patch.turn, stripes=patch.stripes, one_way=sheet.one_way, cloth_stripes=sheet.stripes)
    swapped = [Box(f.y0, f.x0, f.y1, f.x1) for f in sheet.flaws]
    along = longest_run(sheet.length, sheet.width, swapped, thick)
    across = longest_run(sheet.width, sheet.length, sheet.flaws, thick)
    return max((across if turned == is_long else along for turned in allowed), default=0)


def _lengths(long_: int, run: int, join: Join, *, even: bool) -> tuple[int, ...] | None:
    if run >= long_:
        return (long_,)
    if run <= join.loss:
        return None
    n = -(-(long_ - join.loss) // (run - join.loss))
    total = long_ + (n - 1) * join.loss
    if n * join.least > total or n > 1000:
        return None
    if even:
        mark = NM_PER_INCH // 8 if long_ % NM_PER_64TH == 0 else NM_PER_MM
        each = total // n // mark * mark
        lengths = [each] * (n - 1) + [total - each * (n - 1)]
        if each >= join.least and lengths[-1] <= run:
            return tuple(lengths)
    lengths = [run] * (n - 1) + [total - run * (n - 1)]
    if lengths[-1] < join.least:
        lengths[-2] -= join.least - lengths[-1]
        lengths[-1] = join.least
    return tuple(lengths) if min(lengths) >= join.least else None
