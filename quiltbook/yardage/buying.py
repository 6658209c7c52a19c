"""How much cloth of one width is to be bought for these patches? The shortest length found, what is lost of it, up to the shop's step.

The patches are laid on a bolt so long that the shortest layout leaves the largest rectangle: what `cutting.lay_out` looks for. Strips longer
than the cloth is wide are tried whole along it and joined across it. What strip arithmetic would take stands beside it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, gcd

from quiltbook.measures import NM_PER_INCH, NM_PER_METRE, Length, Size
from quiltbook.yardage.cloths import Cloth, Repeat
from quiltbook.yardage.cutting import CuttingError, CuttingJob, Layout, Offcut, Placement, Reserved, Wanted, handbook
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from quiltbook.yardage.cutup import best_cut
from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.layouts import LONGEST_CLOTH, validate
from quiltbook.yardage.patches import Step
from quiltbook.yardage.shrinkage import Shrinkage, before_washing
from quiltbook.yardage.tasks import FINEST, Kind, Put, Task, as_sheet
from quiltbook.yardage.usable import prepared, restored, washed

_TIGHTER = {"quick": 1, "thorough": 3}  # times that a shorter bolt is tried; by strips it has gained next to nothing
_RUNGS = {
    ("strips", "quick"): (),
    ("strips", "thorough"): (("strips", "thorough"),),
    ("close", "quick"): (("close", "quick"),),
    ("close", "thorough"): (("close", "quick"), ("strips", "thorough"), ("close", "thorough")),
}
_LONGEST_BOLT = 150 * NM_PER_METRE  # beyond it the solver has to reckon in coarser units
_MANY = 3000  # patches, beyond which the cloth is cut up in the plainest way

type LayOut = Callable[[CuttingJob], Layout]


@dataclass(frozen=True, slots=True)
class Buying:
    """Patches to be cut from a new cloth of that usable `width`, of which the shop cuts whole `increment`s. Whole nm.

    `method` and `effort` as in a `CuttingJob`; `one_way`, `stripes` and `repeat` as of a `Cloth`. `straightening`: what
    squaring up the cut end takes off the length. `shrinkage`: the cloth is washed before it is cut.
    """

    width: int
    increment: int
    patches: tuple[Wanted, ...]
    method: str = "close"
    effort: str = "quick"
    one_way: bool = False
    stripes: str | None = None
    repeat: Repeat | None = None
    least_offcut: int = 2 * NM_PER_INCH
    straightening: int = 0
    shrinkage: Shrinkage | None = None


@dataclass(frozen=True, slots=True)
class Bought:
    """The answer, in whole nm.

    `length`: the shortest found that takes the patches, of cloth washed and squared up; `handbook_length`: what strip arithmetic
    takes of the same. `to_buy` and `handbook_to_buy`: with what washing and squaring up take, in whole increments.

    `layout`: how they are cut from one cloth, named "bolt", that is `to_buy` long; they lie within `length` of what can be used of
    it. Patches that go on no length of this cloth are `uncut` there, and in none of the lengths.
    """

    length: int
    to_buy: int
    handbook_length: int
    handbook_to_buy: int
    layout: Layout
    steps: tuple[Step, ...]


def buy(job: Buying, *, lay_out: LayOut = engine_lay_out) -> Bought:
    """The least length of cloth found for the job: the same for the same job.

    Never more than the handbook's, by `close` never more than by `strips`, with more effort never more. Raises `CuttingError`, with the
    field of `Buying`, for a job that makes no sense.
    """
    bolt = _Bolt(job, _washed(job), lay_out)
    book = bolt.book()
    found = bolt.shortest()
    to_buy, steps = _bought(job, found.reach)
    handbook_to_buy, _ = _bought(job, book.length)
    if to_buy > LONGEST_CLOTH:
        raise CuttingError("patches", "they take more than a kilometre of this cloth.")
    layout = replace(found.layout, method=job.method, effort=job.effort)
    if found.reach:
        layout = _recut(_asked(job, to_buy), layout)
    cut = sum(patch.count for patch in job.patches) - sum(row.count for row in layout.uncut)
    figures: dict[str, Length] = {
        "cloth width": bolt.cloth.width,
        "length": found.reach,
        "least by area": bolt.least(layout),
    }
    strips = {"strips": sum(line.strips for line in book.lines)}
    how = (
        Step("handbook", {"cloth width": bolt.cloth.width, "length": book.length}, strips),
        Step("length found", figures, {"patches": cut}),
    )
    return Bought(found.reach, to_buy, book.length, handbook_to_buy, layout, (*how, *steps))


# --- what is asked ---------------------------------------------------------------------------------------------------


def _asked(job: Buying, length: int) -> CuttingJob:
    """The job on a cloth of that length, as it comes from the shop."""
    new = Cloth(
        "bolt",
        "bolt",
        job.width,
        length,
        one_way=job.one_way,
        stripes=job.stripes,
        repeat=job.repeat,
        washed=job.shrinkage is None,
    )
    return CuttingJob((new,), job.patches, job.method, job.effort, job.least_offcut, job.shrinkage, job.straightening)


def _washed(job: Buying) -> Cloth:
    """The new cloth after its wash, its length still open. Raises `CuttingError`."""
    for field, value in (("width", job.width), ("increment", job.increment)):
        if value <= 0:
            raise CuttingError(field, "it must be more than 0.")
        if value > LONGEST_CLOTH:
            raise CuttingError(field, "it is longer than a kilometre.")
    asked = _asked(job, LONGEST_CLOTH)
    try:
        validate(asked)
    except CuttingError as error:
        raise CuttingError(error.field.removeprefix("cloths[0]."), error.problem) from None
    if not any(patch.count for patch in job.patches):
        raise CuttingError("patches", "there must be at least one to cut.")
    [cloth] = washed(asked)
    if not cloth.width:
        raise CuttingError("width", "the wash leaves nothing of it.")
    return cloth


# --- the shortest length ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Found:
    """`reach`: how far along the cloth the last patch lies."""

    patches: tuple[Wanted, ...]
    layout: Layout
    reach: int

    def rank(self) -> tuple[int, int]:
        """Less is better."""
        sizes = {patch.id: patch.width * patch.length for patch in self.patches}
        return sum(row.count * sizes[row.patch] for row in self.layout.uncut), self.reach

    def or_shorter(self, other: "_Found") -> "_Found":
        """The better of two; where the solver failed at either, that is said."""
        best = min(self, other, key=_Found.rank)
        stood_in = self.layout.stood_in or other.layout.stood_in
        return replace(best, layout=replace(best.layout, stood_in=stood_in))


@dataclass(frozen=True, slots=True)
class _Bolt:
    """The washed `cloth`, straight at its end, of any length."""

    job: Buying
    cloth: Cloth
    lay_out: LayOut

    def book(self) -> Handbook:
        book = handbook(self._cutting(self.job.patches, self.cloth.length, "strips", "quick"))
        if book is None or book.length > LONGEST_CLOTH:
            raise CuttingError("patches", "they take more than a kilometre of this cloth.")
        return book

    def shortest(self) -> _Found:
        """By strips, by any cuts, and with more effort: each only ever shortens what was found before it, until the area allows no less."""
        best = min((self._laid(p, "strips", "quick") for p in self._choices()), key=_Found.rank)
        for method, effort in _RUNGS[self.job.method, self.job.effort]:
            if best.reach == self.least(best.layout):
                break
            best = best.or_shorter(self._laid(best.patches, method, effort))
            if method == "close":
                best = self._tightened(best, _TIGHTER[effort])
        return best

    def _choices(self) -> Iterator[tuple[Wanted, ...]]:
        """The patches with long strips whole where the bolt takes them so and, if they differ, as the handbook joins them."""
        yield self.job.patches
        joined = {line.patch for line in self.book().lines if line.lengths > 1}
        across = tuple(_across(patch, self.cloth) if patch.id in joined else patch for patch in self.job.patches)
        if across != self.job.patches:
            yield across

    def _tightened(self, best: _Found, times: int) -> _Found:
        """What the same search finds on a bolt that is a little shorter than the best."""
        for _ in range(times):
            length = best.reach - self._unit()
            if length < self.least(best.layout) or length <= 0:
                break
            tighter = self._on(best.patches, length, "close", "quick")
            if tighter.rank() >= best.rank():
                break
            best = best.or_shorter(tighter)
        return best

    def least(self, layout: Layout) -> int:
        """The length that the area laid takes of it."""
        return -(-layout.used_area // self.cloth.width)

    def _laid(self, patches: tuple[Wanted, ...], method: str, effort: str) -> _Found:
        return self._on(patches, self._ample(), method, effort)

    def _on(self, patches: tuple[Wanted, ...], length: int, method: str, effort: str) -> _Found:
        layout = self.lay_out(self._cutting(patches, length, method, effort))
        return _Found(patches, layout, max((thing.y + thing.length for thing in _things(layout)), default=0))

    def _cutting(self, patches: tuple[Wanted, ...], length: int, method: str, effort: str) -> CuttingJob:
        """Anything left is kept here, so that the shortest layout leaves the largest rectangle, however little that is."""
        return CuttingJob((replace(self.cloth, length=length),), patches, method, effort, least_offcut=0)

    def _ample(self) -> int:
        """So long a bolt that a layout with a shorter reach always leaves the larger rectangle.

        Whatever leaves a rectangle beside the narrowest patch, s, leaves less than (W - s)·L; a reach r leaves W·(L - r) beyond it. The latter
        is larger where L > W·r / s. Whole widths of it keep the sizes' common measure.
        """
        width, patches = self.cloth.width, [patch for patch in self.job.patches if patch.count]
        most = self.book().length + sum(max(p.width, p.length) * p.count for p in patches if p.join)
        narrowest = min(min(patch.width, patch.length) for patch in patches)
        ample = min((most // narrowest + 1) * width, _LONGEST_BOLT // width * width)
        return ample if ample > most else min(most + width, LONGEST_CLOTH)

    def _unit(self) -> int:
        sides = [side for patch in self.job.patches for side in (patch.width, patch.length)]
        return max(gcd(self.cloth.width, *sides), FINEST)


def _things(layout: Layout) -> list[Placement | Reserved]:
    things: list[Placement | Reserved] = []
    for cloth in layout.cloths:
        things += [*cloth.placements, *cloth.reserved]
    return things


def _across(patch: Wanted, cloth: Cloth) -> Wanted:
    """The patch lying across the cloth, if it may lie either way."""
    if len(patch.ways(cloth)) < 2:
        return patch
    long_, short = max(patch.width, patch.length), min(patch.width, patch.length)
    return replace(patch, width=long_, length=short, turn=False)


# --- what is bought --------------------------------------------------------------------------------------------------


def _bought(job: Buying, length: int) -> tuple[int, tuple[Step, ...]]:
    """What to buy so that `length` is left, and how that comes about."""
    if not length:
        return 0, ()
    steps = []
    need = length + job.straightening
    if job.straightening:
        steps.append(Step("straightening", {"straightening": job.straightening, "length": need}))
    if job.shrinkage:
        across = job.width * (1 - Fraction(job.shrinkage.width))
        before = before_washing(Size(across, need), job.shrinkage)
        need, steps = ceil(before.size.length), [*steps, *before.steps]
    increments = -(-need // job.increment)
    to_buy = increments * job.increment
    figures: dict[str, Length] = {"length": need, "increment": job.increment, "to buy": to_buy}
    return to_buy, (*steps, Step("to buy", figures, {"increments": increments}))


def _recut(job: CuttingJob, found: Layout) -> Layout:
    """The layout found, cut from the one cloth of the job with the patches where they were: what is left over is of that length."""
    [cloth], [laid], things = prepared(job).cloths, found.cloths, _things(found)
    task = Task((as_sheet(cloth, 1),), tuple(Kind(thing.width, thing.length, False) for thing in things), ())
    puts = [Put(n, thing.x, thing.y, False) for n, thing in enumerate(things)]
    close = job.method == "close" and len(puts) <= _MANY
    sheet = best_cut(task, 0, [puts], least=job.least_offcut, close=close)
    moved = [replace(things[n], x=box.x0, y=box.y0) for box, n in sheet.boxes]
    recut = replace(
        laid,
        placements=tuple(thing for thing in moved if isinstance(thing, Placement)),
        reserved=tuple(thing for thing in moved if isinstance(thing, Reserved)),
        cuts=sheet.cuts,
        offcuts=tuple(Offcut(box.x0, box.y0, box.width, box.length) for box in sheet.offcuts),
    )
    return restored(job, replace(found, cloths=(recut,), offcut_area=sheet.kept, handbook=handbook(job)))
