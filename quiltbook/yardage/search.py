"""Which cloths are opened, and what is laid on each? The policies tried, within a budget of work, in the solver's process.

Cloths are opened one by one: the smallest, the one filled best, or the best of those that take the patch hardest to place; before each, the
smallest cloth that takes all the rest is tried. Then the small cloths of the best choice are filled again, and what lies on each is
shortened. The budget counts work and not time, so the same job gives the same answer anywhere.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

from quiltbook.yardage.packer import Packer, SpentError
from quiltbook.yardage.packing import Way, fill, goes_on, shorten
from quiltbook.yardage.squeezing import Squeezer
from quiltbook.yardage.tasks import Counts, Laid, Put, Task, kept, laid_counts, less, lies

QUEUES = (1, 4, 16, 64, 256, 1024)
POLICIES = ("ascending", "fullest", "hardest")
_CLOSERS = 4
_FEW = 8  # cloths, all choices of which are looked at
_CHOICES = 12
_ROOMY = 0.9
_COARSE = 20_000  # units
_FINISHING = 0.4  # of the budget
_MIXED, _MOST_MIXED, _SEVERAL, _MIXING = 8, 2000, 2, 0.5  # sizes of cloth, rectangles, cloths, of the budget each time

STRIPS = tuple(Way(2, "H", queue) for queue in QUEUES)
CLOSE = (
    Way(3, "H", 1), Way(0, "H", 4), Way(3, "H", 16), Way(3, "V", 4), Way(0, "H", 16), Way(3, "H", 64),
    Way(3, "V", 64), Way(0, "H", 64), Way(3, "H", 256), Way(3, "V", 256), Way(0, "H", 256), Way(3, "H", 1024),
)  # fmt: skip
MIXES = tuple(Way(3, "H", queue, columns=True) for queue in (16, 64, 256))


class Rung(NamedTuple):
    """One rung of the ladder from quick strips to thorough close cutting: the budget is in about milliseconds."""

    ways: tuple[Way, ...]
    budget: float


LADDER = {
    ("strips", "quick"): (Rung(STRIPS, 500),),
    ("close", "quick"): (Rung(STRIPS, 500), Rung(CLOSE, 1400)),
    ("strips", "thorough"): (Rung(STRIPS, 500), Rung(STRIPS, 5000)),
    ("close", "thorough"): (Rung(STRIPS, 500), Rung(CLOSE, 1400), Rung(STRIPS, 5000), Rung(CLOSE, 12000)),
}


class Choice(NamedTuple):
    """One cloth of an answer, and the ways of laying the same patches on it."""

    sheet: int
    layouts: tuple[tuple[Put, ...], ...]


type Answer = list[Choice]


def answers(task: Task, method: str, effort_: str, share: float = 1) -> Iterator[Answer]:
    """The answers of every rung up to this one, so that more is never worse. `share`: of the budget."""
    for rung in LADDER[method, effort_]:
        yield from Search(task, rung._replace(budget=rung.budget * share)).answers()


class _Found(NamedTuple):
    missing: int  # area not laid
    opened: int
    laid: list[Laid]

    def rank(self) -> tuple[int, int]:
        return self.missing, self.opened


class Search:
    """One rung tried on one task."""

    def __init__(self, task: Task, rung: Rung) -> None:
        self.task, self.rung = task, rung
        self.packer = Packer(task)
        self.squeezer = Squeezer(self.packer, any_cut=rung.ways != STRIPS)

    def answers(self) -> list[Answer]:
        """One answer, or one for each order of fabrics where patches are bound to one."""
        sheets = [n for n, sheet in enumerate(self.task.sheets) if min(sheet.width, sheet.length, sheet.copies) > 0]
        orders = [[sheets]]
        if self.task.bound_to_fabrics():
            orders += self._fabric_orders(sheets)
        share = self.rung.budget / len(orders)
        return [self._in_order(order, share) for order in orders]

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
            self.packer.left = budget / len(groups)
            self.packer.reserve = self.packer.left * _FINISHING
            one = sum(self.task.sheets[n].copies for n in group) == 1
            laid = self._on_one(group[0], counts) if one else self._lay(group, counts)
            whole = kept(self.task, laid)
            counts = less(counts, laid_counts(self.task, whole))
            mixed = self.task.bound_to_fabrics() and len({self.task.sheets[n].fabric for n in group}) > 1
            answer += self._finished(whole, refill=not mixed)
            if not any(counts):
                break
        return answer

    # --- which cloths --------------------------------------------------------------------------------------------------

    def _lay(self, sheets: Sequence[int], counts: Counts) -> list[Laid]:
        """The best that the policies find: most area laid, then least opened."""
        copies = {n: self.task.sheets[n].copies for n in sorted(sheets, key=lambda n: (self.task.sheets[n].area, n))}
        if not copies or not any(counts):
            return []
        best = _Found(self.task.area(counts), 0, [])
        choices = self._choices(copies, best.missing)
        alike = len(self._distinct(sheets)) == 1
        try:
            if self.rung.ways != STRIPS:
                best = min([best, *self._mixed(copies, counts, best.missing)], key=_Found.rank)
            for way in self._ways():
                if alike and way.stages:
                    best = min(best, self._spread(copies, counts, way), key=_Found.rank)
                for policy in POLICIES:
                    best = self._better(best, copies, counts, policy, way)
                smaller = [choice for choice in choices if best.missing or self._opened(choice) < best.opened]
                for choice in smaller[:_CHOICES]:
                    for policy in (*POLICIES, "largest"):
                        best = self._better(best, choice, counts, policy, way)
                if choices and not smaller:  # no choice of cloths opens less
                    break
        except SpentError:
            pass
        return best.laid

    def _better(self, best: _Found, copies: dict[int, int], counts: Counts, policy: str, way: Way) -> _Found:
        laid = self._grown(copies, counts, policy, way, None if best.missing else best.opened)
        return min(best, self._found(laid, counts), key=_Found.rank)

    def _found(self, laid: list[Laid], counts: Counts) -> _Found:
        missing = self.task.area(less(counts, laid_counts(self.task, laid)))
        return _Found(missing, sum(self.task.sheets[one.sheet].area for one in laid), laid)

    def _spread(self, copies: dict[int, int], counts: Counts, way: Way) -> _Found:
        """All of it on cloths alike, taken together."""
        cloths = [n for n, left in copies.items() for _ in range(left)]
        sheet = self.task.sheets[cloths[0]]._replace(copies=len(cloths))
        packed = self.packer.spread(sheet, counts, way)
        return self._found([Laid(n, tuple(puts)) for n, puts in zip(cloths, packed, strict=False)], counts)

    def _mixed(self, copies: dict[int, int], counts: Counts, need: int) -> Iterator[_Found]:
        """All of it on several cloths, weighed together, where a cloth holds few rectangles and there are few sizes of either."""
        cloths = [n for n, left in copies.items() if left]
        kinds = [kind for kind, n in zip(self.task.kinds, counts, strict=True) if n]
        sheets = [self.task.sheets[n]._replace(copies=min(copies[n], sum(counts))) for n in cloths]
        sizes = len(self._distinct(cloths))
        unlike = any(len({lies(sheet, kind) for sheet in sheets}) > 1 for kind in kinds)
        if unlike or sizes > _MIXED or any(sheet.flaws for sheet in sheets) or sum(counts) > _MOST_MIXED:
            return
        if need < _SEVERAL * max(sheet.area for sheet in sheets) or not all(lies(sheets[0], kind) for kind in kinds):
            return
        for way in MIXES:
            packed = self.packer.mix(sheets, counts, way, share=self.packer.free * _MIXING)
            if packed:
                yield self._found([Laid(cloths[n], tuple(puts)) for n, puts in packed], counts)

    def _choices(self, copies: dict[int, int], need: int) -> list[dict[int, int]]:
        """Where the cloths are few: each choice of them that has the area, least area first."""
        cloths = [n for n, left in copies.items() for _ in range(min(left, _FEW + 1))]
        if len(cloths) > _FEW:
            return []
        some = {chosen for size in range(1, len(cloths) + 1) for chosen in combinations(cloths, size)}
        choices = [dict(Counter(chosen)) for chosen in sorted(some)]
        return sorted((c for c in choices if self._opened(c) >= need), key=self._opened)

    def _opened(self, copies: Mapping[int, int]) -> int:
        return sum(self.task.sheets[n].area * number for n, number in copies.items())

    def _ways(self) -> Iterator[Way]:
        """The ways of this rung; any number of cuts only where the unit is coarse, since it costs by the unit."""
        longest = max(sheet.width + sheet.length for sheet in self.task.sheets)
        return (way for way in self.rung.ways if way.stages or longest <= _COARSE)

    def _on_one(self, sheet: int, counts: Counts) -> list[Laid]:
        """All of it on the one cloth there is or, failing that, as much as goes on."""
        best = self.squeezer.shortest(self.task.sheets[sheet], counts)
        try:
            if not best and self.squeezer.any_cut and self.task.area(counts) <= self.task.sheets[sheet].area:
                best = self.squeezer.fitted(self.task.sheets[sheet], counts)
            for way in self._ways():
                if sum(counts) == len(best):
                    break
                best = max(best, self._fill(sheet, counts, way), key=self.packer.area)
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
            puts = self._fill(n, counts, way)
            if len(puts) < sum(counts) and need < _ROOMY * self.task.sheets[n].area and not self.task.sheets[n].flaws:
                puts = self.packer.pack(
                    shorten, self.task.sheets[n], counts, way._replace(stages=way.stages or 3, first="H")
                )
            if len(puts) == sum(counts):
                return Laid(n, tuple(puts))
        return None

    def _picked(self, sheets: Sequence[int], counts: Counts, policy: str, way: Way) -> Laid | None:
        choices: Sequence[int] = self._distinct(sheets)
        if policy == "hardest":
            choices = self._for_hardest(choices, counts)
        best: tuple[float, Laid] | None = None
        for n in reversed(choices) if policy == "largest" else choices:
            puts = self._fill(n, counts, way)
            share = self.packer.area(puts) / self.task.sheets[n].area
            if puts and (best is None or share > best[0]):
                best = share, Laid(n, tuple(puts))
            if best and policy in ("ascending", "largest"):
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
        return list({self.task.sheets[n].likeness: n for n in reversed(sheets)}.values())[::-1]

    # --- what lies where -----------------------------------------------------------------------------------------------

    def _finished(self, laid: list[Laid], *, refill: bool) -> Answer:
        """The small cloths filled again, so that what is left is left of the largest; then each cloth shortened."""
        laid = sorted(laid, key=lambda one: (self.task.sheets[one.sheet].area, one.sheet))
        if refill and len(laid) > 1:
            self.packer.reserve = self.packer.left / 2
            laid = self._refilled(laid) or laid
        order = sorted(
            range(len(laid)), key=lambda n: self.packer.area(laid[n].puts) - self.task.sheets[laid[n].sheet].area
        )
        choices: dict[int, Choice] = {}
        for n in order:  # those with the most left over first, and with the most to spend
            self.packer.reserve = self.packer.left / 2 if len(choices) < len(order) - 1 else 0
            choices[n] = Choice(laid[n].sheet, self._layouts(laid[n]))
        return [choices[n] for n in range(len(laid))]

    def _refilled(self, laid: Sequence[Laid]) -> list[Laid]:
        """The same patches on the same cloths, every cloth but the last as full as can be; nothing where that fails."""
        counts = laid_counts(self.task, laid)
        again: list[Laid] = []
        for one in laid[:-1]:
            puts: list[Put] = []
            share = self.packer.free / (len(laid) - len(again))
            try:
                for way in self._ways():
                    puts = max(puts, self._fill(one.sheet, counts, way, share), key=self.packer.area)
            except SpentError:
                pass
            if not puts:
                return []
            again.append(Laid(one.sheet, tuple(puts)))
            counts = less(counts, laid_counts(self.task, again[-1:]))
            if not any(counts):
                return again
        last = self.squeezer.shortest(self.task.sheets[laid[-1].sheet], counts)
        return [*again, Laid(laid[-1].sheet, tuple(last))] if last else []

    def _layouts(self, one: Laid) -> tuple[tuple[Put, ...], ...]:
        return self.squeezer.layouts(self.task.sheets[one.sheet], one.puts, laid_counts(self.task, [one]))

    def _fill(self, n: int, counts: Counts, way: Way, share: float | None = None) -> list[Put]:
        return self.packer.pack(fill, self.task.sheets[n], counts, way, share=share)
