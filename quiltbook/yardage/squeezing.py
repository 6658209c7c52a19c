"""On how little of a cloth do its patches go? Shorter and narrower layouts of the same patches, for a larger leftover.

First by the solver's own search for the least length; then, where any cut may be made, by asking for less and less length until it is
not found. All within the packer's budget.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.yardage.boxes import Box, clipped
from quiltbook.yardage.packer import Packer, SpentError
from quiltbook.yardage.packing import Way, fit, shorten
from quiltbook.yardage.tasks import Counts, Kind, Put, Sheet

_SPACES = (2, 16, 64)
_MOST_DOUBLINGS = 11


@dataclass(frozen=True, slots=True)
class Squeezer:
    """`any_cut`: strips within strips and cuts along the whole cloth are allowed as well as strips across."""

    packer: Packer
    any_cut: bool

    def layouts(self, sheet: Sheet, puts: Sequence[Put], counts: Counts) -> tuple[tuple[Put, ...], ...]:
        """The layout found, and shorter ones: along the cloth and, where the first cut may run along, across it."""
        layouts = [list(puts), self.shortest(sheet, counts)]
        if self.any_cut:
            layouts.append(self._narrowest(sheet, counts))
            layouts.append(self._shrunk(sheet, counts, layouts[:2]))
        return tuple(tuple(puts) for puts in layouts if puts)

    def shortest(self, sheet: Sheet, counts: Counts) -> list[Put]:
        """All of it on the least length found; nothing where it is not found to go on."""
        return self._shortest(sheet, self.packer.task.kinds, counts, self.packer.free)

    def fitted(self, sheet: Sheet, counts: Counts) -> list[Put]:
        """All of it on the sheet by any cuts; nothing where it is not found to go on."""
        for queue in _SPACES:
            puts = self.packer.pack(fit, sheet, counts, Way(0, "H", queue, spaces=True))
            if puts:
                return puts
        return []

    def _narrowest(self, sheet: Sheet, counts: Counts) -> list[Put]:
        """The shortest with the cloth laid on its side."""
        flaws = tuple(Box(f.y0, f.x0, f.y1, f.x1) for f in sheet.flaws)
        aside = sheet._replace(width=sheet.length, length=sheet.width, flaws=flaws)
        # Stripes change their names on both sides, so that which kinds are turned stays the same.
        kinds = [k._replace(width=k.length, length=k.width) for k in self.packer.task.kinds]
        puts = self._shortest(aside, kinds, counts, self.packer.free / 3)
        return [Put(put.kind, put.y, put.x, put.turned) for put in puts]

    def _shortest(self, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, budget: float) -> list[Put]:
        key = (shorten, sheet.likeness, tuple(kinds), counts)
        if key not in self.packer.memo:
            found = self._shorter(sheet, kinds, counts, budget)
            self.packer.memo[key] = min(found, key=lambda puts: _reach(puts, kinds), default=[])
        return self.packer.memo[key]

    def _shorter(self, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, budget: float) -> Iterator[list[Put]]:
        """Layouts of all of it, until the least length that its area allows is met or the budget is spent."""
        least = -(-sum(n * kind.area for n, kind in zip(counts, kinds, strict=True)) // sheet.width)
        if least > sheet.length:
            return
        stages = (2, 3) if self.any_cut else (2,)
        for way in (Way(s, "H", 2**n) for n in range(_MOST_DOUBLINGS) for s in stages):
            cost = self.packer.cost(shorten, sheet, kinds, counts, way)
            if cost > budget:
                return
            budget -= cost
            self.packer.spend(cost)
            puts = shorten(sheet, kinds, counts, way)
            if puts:
                yield puts
                if _reach(puts, kinds) == least:
                    return

    def _shrunk(self, sheet: Sheet, counts: Counts, known: Sequence[list[Put]]) -> list[Put]:
        """Ask for less and less length, with any number of cuts, until it is not found."""
        kinds = self.packer.task.kinds
        best = min((puts for puts in known if puts), key=lambda puts: _reach(puts, kinds))
        least = -(-self.packer.area(best) // sheet.width)
        try:
            while _reach(best, kinds) > least:
                shorter = self.fitted(_cut_to(sheet, _reach(best, kinds) - 1), counts)
                if not shorter:
                    break
                best = shorter
        except SpentError:
            pass
        return best


def _reach(puts: Sequence[Put], kinds: Sequence[Kind]) -> int:
    return max(put.y + (kinds[put.kind].width if put.turned else kinds[put.kind].length) for put in puts)


def _cut_to(sheet: Sheet, length: int) -> Sheet:
    flaws = tuple(inside for flaw in sheet.flaws if (inside := clipped(flaw, sheet.width, length)))
    return sheet._replace(length=length, flaws=flaws)
