"""What may the packing of one task cost? Calls of the solver within a budget, none of them made twice.

The budget counts work and not time, so the same job gives the same answer anywhere. What is out of reach raises `SpentError`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from quiltbook.yardage.packing import Way, effort, fill, mix, mixing_effort, spread
from quiltbook.yardage.tasks import Counts, Kind, Put, Sheet, Task

type Pack = Callable[[Sheet, Sequence[Kind], Counts, Way], list[Put]]


class SpentError(Exception):
    """The budget does not reach for another call."""


@dataclass(slots=True)
class Packer:
    """`left` of the budget, in about milliseconds, of which `reserve` is for the steps to come."""

    task: Task
    left: float = 0
    reserve: float = 0
    memo: dict[object, list[Put]] = field(default_factory=dict)

    @property
    def free(self) -> float:
        return self.left - self.reserve

    def spend(self, cost: float) -> None:
        if cost > self.free:
            raise SpentError
        self.left -= cost

    def pack(self, pack: Pack, sheet: Sheet, counts: Counts, way: Way, *, share: float | None = None) -> list[Put]:
        """What `pack` lays of these counts on the sheet. `share`: the most it may cost."""
        kinds = self.task.kinds
        if pack is fill:  # more than the sheet could hold makes no difference, and the answer is known already
            counts = tuple(min(n, sheet.area // kind.area) for n, kind in zip(counts, kinds, strict=True))
        key = (pack, sheet.likeness, counts, way)
        if key not in self.memo:
            cost = self.cost(pack, sheet, kinds, counts, way)
            if share is not None and cost > share:
                raise SpentError
            self.spend(cost)
            self.memo[key] = pack(sheet, kinds, counts, way)
        return self.memo[key]

    def spread(self, sheet: Sheet, counts: Counts, way: Way) -> list[list[Put]]:
        """All of these counts on the fewest copies of the sheet that are found to do."""
        self.spend(effort(sheet, sum(n > 0 for n in counts), sum(counts), way))
        return spread(sheet, self.task.kinds, counts, way)

    def mix(self, sheets: Sequence[Sheet], counts: Counts, way: Way, *, share: float) -> list[tuple[int, list[Put]]]:
        """All of these counts on the sheets of several sizes that cost least; nothing where that may cost more than the share."""
        cost = mixing_effort(sheets, self.task.kinds, counts, way)
        if cost > share:
            return []
        self.spend(cost)
        return mix(sheets, self.task.kinds, counts, way)

    def cost(self, pack: Pack, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> float:
        number, some = sum(counts), sum(n > 0 for n in counts)
        if pack is not fill:
            return effort(sheet, some, number, way)
        area = sum(n * kind.area for n, kind in zip(counts, kinds, strict=True))
        likely = min(number, 1 + sheet.area * number // max(area, 1))
        return effort(sheet, some, likely, way, choosing_from=number)

    def area(self, puts: Sequence[Put]) -> int:
        return sum(self.task.kinds[put.kind].area for put in puts)
