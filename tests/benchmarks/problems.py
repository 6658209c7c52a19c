"""Which published packing problems are measured, and what do they come to as cutting jobs?

They stand in `tests/published/packing`, each with its source and that of its best known value. A problem's unit is taken as a mm.
"""

import json
from dataclasses import dataclass
from pathlib import Path

from quiltbook.measures import NM_PER_MM
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutting import CuttingJob, Layout, Wanted
from quiltbook.yardage.handbook import Sized, strip_arithmetic

_WHERE = Path(__file__).parent.parent / "published" / "packing"


@dataclass(frozen=True, slots=True)
class Rectangle:
    width: int
    length: int
    copies: int

    @property
    def area(self) -> int:
        return self.width * self.length


@dataclass(frozen=True, slots=True)
class Problem:
    """`kind`: "strip", "bin", "variable-bin" or "knapsack". `stages`: of cuts the best known value allows; None for any number.

    `sheets` of a strip: one, as long as the strip arithmetic of the handbooks asks for. `by_area`: a knapsack of areas.
    """

    name: str
    kind: str
    stages: int | None
    turn: bool
    sheets: tuple[Rectangle, ...]
    items: tuple[Rectangle, ...]
    best_known: float
    by_area: bool

    @property
    def least_length(self) -> int:
        """Of a strip, as the area of the items allows."""
        return -(-sum(item.area * item.copies for item in self.items) // self.sheets[0].width)

    def job(self, method: str, effort: str) -> CuttingJob:
        cloths = [
            Cloth(f"sheet {n}", "kelp", sheet.width * NM_PER_MM, sheet.length * NM_PER_MM, sheet.copies)
            for n, sheet in enumerate(self.sheets)
        ]
        patches = [
            Wanted(f"item {n}", item.width * NM_PER_MM, item.length * NM_PER_MM, item.copies, turn=self.turn)
            for n, item in enumerate(self.items)
        ]
        return CuttingJob(tuple(cloths), tuple(patches), method, effort, least_offcut=0)

    def value(self, layout: Layout) -> float:
        """The length taken of a strip, the sheets or the area of sheets opened, or the area laid of a knapsack's."""
        if self.kind == "strip":
            return max(p.y + p.length for p in layout.cloths[0].placements) / NM_PER_MM
        if self.kind == "bin":
            return len(layout.cloths)
        opened = layout.used_area + layout.offcut_area + layout.waste_area
        return (layout.used_area if self.kind == "knapsack" else opened) / NM_PER_MM**2


def published(kind: str) -> list[Problem]:
    """The problems of a kind."""
    problems = [_problem(path) for path in sorted(_WHERE.glob("*.json"))]
    return [problem for problem in problems if problem.kind == kind]


def _problem(path: Path) -> Problem:
    told = json.loads(path.read_text())
    items = [(row["w"], row["h"], row["copies"]) for row in told["items"]]
    sheets = [(row["w"], row["h"], row["copies"]) for row in told["bins"]]
    if told["problem"] == "strip":
        sized = [Sized(str(n), w, h, copies, told["rotation"]) for n, (w, h, copies) in enumerate(items)]
        sheets = [(w, strip_arithmetic(w, sized).length, 1) for w, _, _ in sheets]
    largest = max(w * h for w, h, _ in sheets)
    # Where a number is not told, as many as could be used.
    rectangles = [Rectangle(w, h, copies or largest // (w * h)) for w, h, copies in items]
    number = sum(rectangle.copies for rectangle in rectangles)
    return Problem(
        name=told["name"],
        kind=told["problem"],
        stages=told["stages"],
        turn=told["rotation"],
        sheets=tuple(Rectangle(w, h, copies or number) for w, h, copies in sheets),
        items=tuple(rectangles),
        best_known=float(told["best_known"]),
        by_area=all(row["profit"] in (None, row["w"] * row["h"]) for row in told["items"]),
    )
