"""Which cloths are opened, and what is laid on each? The policies tried, within a budget of work, in the solver's process.

Cloths are opened one by one: the smallest, the one filled best, or the best of those that take the patch hardest to place; before each, the
smallest cloth that takes all the rest is tried. Then the small cloths of the best choice are filled again, and what lies on each is
shortened. The budget counts work and not time, so the same job gives the same answer anywhere.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from quiltbook.yardage.boxes import Box
from quiltbook.yardage.packing import Way, effort, fill, fit, goes_on, shorten
from quiltbook.yardage.tasks import Counts, Kind, Laid, Put, Sheet, Task, kept, laid_counts, less

QUEUES = (1, 4, 16, 64, 256, 1024)
POLICIES = ("ascending", "hardest", "fullest")
_CLOSERS = 4
_ROOMY = 0.9


class Rung(NamedTuple):
    """One rung of the ladder from quick strips to thorough close cutting: the budget is in about milliseconds."""

    ways: tuple[tuple[int, str], ...]  # stages of cuts and the first of them
    budget: float
    shrink: bool = False


STRIPS = ((2, "H"),)
CLOSE = ((3, "H"), (0, "H"), (3, "V"))
LADDER = {
    ("strips", "quick"): (Rung(STRIPS, 350),),
    ("close", "quick"): (Rung(STRIPS, 350), Rung(CLOSE, 750)),
    ("strips", "thorough"): (Rung(STRIPS, 350), Rung(STRIPS, 6000)),
    ("close", "thorough"): (Rung(STRIPS, 350), Rung(CLOSE, 750), Rung(STRIPS, 6000), Rung(CLOSE, 14000, shrink=True)),
}


class Choice(NamedTuple):
    """One cloth of an answer, and the ways of laying the same patches on it."""

    sheet: int
    layouts: tuple[tuple[Put, ...], ...]


type Answer = list[Choice]
type Pack = Callable[[Sheet, Sequence[Kind], Counts, Way], list[Put]]


class SpentError(Exception):
    """The budget does not reach for another call."""


def answers(task: Task, method: str, effort_: str, share: float = 1) -> Iterator[Answer]:
    """The answers of every rung up to this one, so that more is never worse. `share`: of the budget."""
    for rung in LADDER[method, effort_]:
        yield from Search(task, rung._replace(budget=rung.budget * share)).answers()


@dataclass(slots=True)
class Search:
    task: Task
    rung: Rung
    left: float = 0
    memo: dict[object, list[Put]] = field(default_factory=dict)

    def answers(self) -> list[Answer]:
        """One answer, or one for each order of fabrics where patches are bound to one."""
        sheets = [n for n, sheet in enumerate(self.task.sheets) if min(sheet.width, sheet.length, sheet.copies) > 0]
        orders = [[sheets]]
        if self.task.bound_to_fabrics():
            orders += self._fabric_orders(sheets)
        budget = self.rung.budget / sum(len(order) for order in orders)
        return [self._in_order(order, budget) for order in orders]

    def _fabric_orders(self, sheets: Sequence[int]) -> list[list[list[int]]]:
        """The fabrics one after the other, the one with least cloth first, and the one with most first."""
        fabrics: dict[str, list[int]] = {}
        for n in sheets:
            fabrics.setdefault(self.task.sheets[n].fabric, []).append(n)
        by_area = sorted(
            fabrics.values(), key=lambda ns: sum(self.task.sheets[n].area * self.task.sheets[n].copies for n in ns)
        )
        return [by_area, by_area[::-1]]

    def _in_order(self, groups: Sequence[Sequence[int]], budget: float) -> Answer:
        """Lay what goes on each group of sheets in turn, in whole bundles."""
        counts = self.task.counts()
        answer: Answer = []
        for group in groups:
            if sum(self.task.sheets[n].copies for n in group) == 1:
                laid = self._on_one(group[0], counts, budget * 0.6)
            else:
                laid = self._lay(group, counts, budget * 0.6)
            whole = kept(self.task, laid)
            counts = less(counts, laid_counts(self.task, whole))
            answer += self._finished(whole, budget * 0.4)
            if not any(counts):
                break
        return answer

    # --- which cloths --------------------------------------------------------------------------------------------------

    def _lay(self, sheets: Sequence[int], counts: Counts, budget: float) -> list[Laid]:
        """The best that the policies find: most area laid, then least opened."""
        self.left = budget
        copies = {n: self.task.sheets[n].copies for n in sorted(sheets, key=lambda n: (self.task.sheets[n].area, n))}
        if not copies or not any(counts):
            return []
        best: tuple[int, int, list[Laid]] | None = None
        try:
            for way in self._ways():
                for policy in POLICIES:
                    limit = best[1] if best and not best[0] else None
                    laid = self._grown(copies, counts, policy, way, limit)
                    missing = self.task.area(less(counts, laid_counts(self.task, laid)))
                    opened = sum(self.task.sheets[one.sheet].area for one in laid)
                    if laid and (best is None or (missing, opened) < best[:2]):
                        best = missing, opened, laid
        except SpentError:
            pass
        return best[2] if best else []

    def _ways(self) -> Iterator[Way]:
        for queue in QUEUES:
            for stages, first in self.rung.ways:
                yield Way(stages, first, queue)

    def _on_one(self, sheet: int, counts: Counts, budget: float) -> list[Laid]:
        """All of it on the one cloth there is or, failing that, as much as goes on."""
        self.left = budget
        best = self._shortest(sheet, counts, budget)
        try:
            for way in self._ways():
                if sum(counts) == len(best):
                    break
                best = max(best, self._pack(fill, sheet, counts, way), key=self._area)
        except SpentError:
            pass
        return [Laid(sheet, tuple(best))] if best else []

    def _grown(self, copies: dict[int, int], counts: Counts, policy: str, way: Way, limit: int | None) -> list[Laid]:
        """Open cloth after cloth until all is laid, or the area opened reaches the limit: then nothing."""
        free, laid, opened = dict(copies), list[Laid](), 0
        while any(counts):
            need = self.task.area(counts)
            room = None if limit is None else limit - opened
            if room is not None and need >= room:
                return []
            sheets = [n for n, left in free.items() if left and (room is None or self.task.sheets[n].area < room)]
            last = self._closing(sheets, counts, need, way)
            if last:
                return [*laid, last]
            one = self._picked(sheets, counts, policy, way)
            if one is None:
                return [] if limit is not None else laid
            laid.append(one)
            free[one.sheet] -= 1
            opened += self.task.sheets[one.sheet].area
            counts = less(counts, laid_counts(self.task, [one]))
        return laid

    def _closing(self, sheets: Sequence[int], counts: Counts, need: int, way: Way) -> Laid | None:
        """The smallest cloth that takes all that is left."""
        kinds = [self.task.kinds[k] for k, n in enumerate(counts) if n]
        large = [
            n
            for n in sheets
            if self.task.sheets[n].area >= need and all(goes_on(self.task.sheets[n], k) for k in kinds)
        ]
        for n in self._distinct(large)[:_CLOSERS]:
            puts = self._pack(fill, n, counts, way)
            if len(puts) < sum(counts) and need < _ROOMY * self.task.sheets[n].area and not self.task.sheets[n].flaws:
                puts = self._pack(shorten, n, counts, way._replace(stages=way.stages or 3, first="H"))
            if len(puts) == sum(counts):
                return Laid(n, tuple(puts))
        return None

    def _picked(self, sheets: Sequence[int], counts: Counts, policy: str, way: Way) -> Laid | None:
        choices: Sequence[int] = self._distinct(sheets)
        if policy == "hardest":
            choices = self._for_hardest(choices, counts)
        best: tuple[float, Laid] | None = None
        for n in choices:
            puts = self._pack(fill, n, counts, way)
            share = self._area(puts) / self.task.sheets[n].area
            if puts and (best is None or share > best[0]):
                best = share, Laid(n, tuple(puts))
            if best and policy == "ascending":
                break
        return best[1] if best else None

    def _for_hardest(self, sheets: Sequence[int], counts: Counts) -> Sequence[int]:
        """The sheets that take the kind which goes on the fewest of them."""
        takers = [
            [s for s in sheets if goes_on(self.task.sheets[s], kind)]
            for kind, n in zip(self.task.kinds, counts, strict=True)
            if n
        ]
        return min((some for some in takers if some), key=len, default=[])

    def _distinct(self, sheets: Sequence[int]) -> list[int]:
        """One sheet of each size."""
        return list({self.task.sheets[n][:4]: n for n in reversed(sheets)}.values())[::-1]

    # --- what lies where -----------------------------------------------------------------------------------------------

    def _finished(self, laid: list[Laid], budget: float) -> Answer:
        """The small cloths filled again, so that what is left is left of the largest; then each cloth shortened."""
        laid = sorted(laid, key=lambda one: (self.task.sheets[one.sheet].area, one.sheet))
        if len(laid) > 1:
            budget /= 2
            self.left = budget
            laid = self._refilled(laid) or laid
        order = sorted(range(len(laid)), key=lambda n: self._area(laid[n].puts) - self.task.sheets[laid[n].sheet].area)
        choices: dict[int, Choice] = {}
        for n in order:  # those with the most left over first, and with the most to spend
            budget = budget if len(choices) == len(order) - 1 else budget / 2
            self.left = budget
            choices[n] = Choice(laid[n].sheet, self._layouts(laid[n]))
        return [choices[n] for n in range(len(laid))]

    def _refilled(self, laid: Sequence[Laid]) -> list[Laid]:
        """The same patches on the same cloths, every cloth but the last as full as can be; nothing where that fails."""
        counts = laid_counts(self.task, laid)
        again: list[Laid] = []
        for one in laid[:-1]:
            puts: list[Put] = []
            try:
                for way in self._ways():
                    share = self.left / (len(laid) - len(again))
                    puts = max(puts, self._pack(fill, one.sheet, counts, way, share), key=self._area)
            except SpentError:
                pass
            if not puts:
                return []
            again.append(Laid(one.sheet, tuple(puts)))
            counts = less(counts, laid_counts(self.task, again[-1:]))
        if not any(counts):
            return again
        last = self._shortest(laid[-1].sheet, counts, self.left)
        return [*again, Laid(laid[-1].sheet, tuple(last))] if last else []

    def _layouts(self, one: Laid) -> tuple[tuple[Put, ...], ...]:
        """The layout found, and shorter ones: along the cloth and, where the first cut may run along, across it."""
        counts = laid_counts(self.task, [one])
        layouts = [list(one.puts), self._shortest(one.sheet, counts, self.left)]
        if self.rung.ways != STRIPS:
            layouts.append(self._narrowest(one.sheet, counts))
        if self.rung.shrink:
            layouts.append(self._shrunk(one.sheet, counts, layouts[:2]))
        return tuple(tuple(puts) for puts in layouts if puts)

    def _shortest(self, sheet: int, counts: Counts, budget: float) -> list[Put]:
        """All of it on the least length found; nothing where it is not found to go on."""
        return self._shortest_on(self.task.sheets[sheet], self.task.kinds, counts, budget)

    def _narrowest(self, sheet: int, counts: Counts) -> list[Put]:
        """The same with the cloth laid on its side."""
        width, length, one_way, flaws, fabric, copies = self.task.sheets[sheet]
        aside = Sheet(length, width, one_way, tuple(Box(f.y0, f.x0, f.y1, f.x1) for f in flaws), fabric, copies)
        kinds = [Kind(k.length, k.width, k.turn) for k in self.task.kinds]
        puts = self._shortest_on(aside, kinds, counts, self.left)
        return [Put(put.kind, put.y, put.x, put.turned) for put in puts]

    def _shortest_on(self, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, budget: float) -> list[Put]:
        key = (shorten, sheet[:4], tuple(kinds), counts)
        if key not in self.memo:
            self.memo[key] = min(
                self._shorter(sheet, kinds, counts, budget), key=lambda puts: _reach(puts, kinds), default=[]
            )
        return self.memo[key]

    def _shorter(self, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, budget: float) -> Iterator[list[Put]]:
        """Layouts of all of it, until the least length that its area allows is met or the budget is spent."""
        least = -(-sum(n * kind.area for n, kind in zip(counts, kinds, strict=True)) // sheet.width)
        stages = sorted({2} | {min(stages or 3, 3) for stages, _ in self.rung.ways})
        for way in (Way(s, "H", queue) for queue in QUEUES for s in stages):
            cost = self._cost(sheet, kinds, counts, way)
            if cost > min(budget, self.left):
                return
            budget -= cost
            self.left -= cost
            puts = shorten(sheet, kinds, counts, way)
            if puts:
                yield puts
                if _reach(puts, kinds) == least:
                    return

    def _shrunk(self, sheet: int, counts: Counts, known: Sequence[list[Put]]) -> list[Put]:
        """Ask for less and less length, with any number of cuts, until it is not found."""
        kinds, cloth = self.task.kinds, self.task.sheets[sheet]
        best = min((puts for puts in known if puts), key=lambda puts: _reach(puts, kinds))
        least = -(-self._area(best) // cloth.width)
        try:
            while _reach(best, kinds) > least:
                shorter = cloth._replace(length=_reach(best, kinds) - 1)
                best = self._fitted(shorter, counts)
        except SpentError:
            pass
        return best

    def _fitted(self, sheet: Sheet, counts: Counts) -> list[Put]:
        for queue in QUEUES[1:]:
            way = Way(0, "H", queue)
            self._spend(self._cost(sheet, self.task.kinds, counts, way))
            puts = fit(sheet, self.task.kinds, counts, way)
            if puts:
                return puts
        raise SpentError

    # --- the budget ----------------------------------------------------------------------------------------------------

    def _pack(self, pack: Pack, n: int, counts: Counts, way: Way, share: float | None = None) -> list[Put]:
        sheet = self.task.sheets[n]
        if pack is fill:  # more than the sheet could hold makes no difference, and the answer is known already
            counts = tuple(min(c, sheet.area // kind.area) for c, kind in zip(counts, self.task.kinds, strict=True))
        key = (pack, sheet[:4], counts, way)
        if key not in self.memo:
            cost = self._cost(sheet, self.task.kinds, counts, way)
            if share is not None and cost > share:
                raise SpentError
            self._spend(cost)
            self.memo[key] = pack(sheet, self.task.kinds, counts, way)
        return self.memo[key]

    def _cost(self, sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> float:
        number = sum(counts)
        area = sum(n * kind.area for n, kind in zip(counts, kinds, strict=True))
        likely = min(number, 1 + sheet.area * number // max(area, 1))
        return effort(sum(n > 0 for n in counts), likely, way, len(sheet.flaws))

    def _spend(self, cost: float) -> None:
        if cost > self.left:
            raise SpentError
        self.left -= cost

    def _area(self, puts: Sequence[Put]) -> int:
        return sum(self.task.kinds[put.kind].area for put in puts)


def _reach(puts: Sequence[Put], kinds: Sequence[Kind]) -> int:
    return max(put.y + (kinds[put.kind].width if put.turned else kinds[put.kind].length) for put in puts)
