"""What of a cloth can be used, once it is washed and squared up, and where does a layout of that lie on the cloth?

Cloth yet to be washed is reckoned in its washed sizes throughout: cloth and repeat lose their share each way, flaws keep their places in
proportion. Then each raw end loses what straightening takes; that end is waste, and taking it off is the first cut.
"""

from dataclasses import replace
from fractions import Fraction
from itertools import count
from math import ceil, floor

from quiltbook.yardage.cloths import Cloth, Flaw, Repeat
from quiltbook.yardage.layouts import ClothLayout, Cut, CuttingJob, Layout, Usable
from quiltbook.yardage.shrinkage import Shrinkage


def prepared(job: CuttingJob) -> CuttingJob:
    """The job on what can be used of its cloths, each beginning at its first straight edge. A cloth that is all lost has a count of 0."""
    cloths = tuple(_squared(cloth, job.straightening) for cloth in washed(job))
    return replace(job, cloths=cloths, shrinkage=None, straightening=0)


def washed(job: CuttingJob) -> tuple[Cloth, ...]:
    """The cloths as they are after the wash, whole."""
    shrinkage = job.shrinkage
    if shrinkage is None:
        return job.cloths
    return tuple(cloth if cloth.washed else _shrunk(cloth, shrinkage) for cloth in job.cloths)


def usable(cloth: Cloth, straightening: int) -> Usable | None:
    """What squaring up leaves of a washed cloth; None where it leaves nothing."""
    start = straightening if cloth.raw_ends else 0
    length = cloth.length - straightening * cloth.raw_ends
    return Usable(0, start, cloth.width, length) if cloth.width > 0 and length > 0 else None


def restored(job: CuttingJob, layout: Layout) -> Layout:
    """A layout of the prepared job as it lies on the whole washed cloths."""
    cloths = {cloth.id: cloth for cloth in washed(job)}
    laid = tuple(_on_whole_cloth(cloths[one.id], job.straightening, one) for one in layout.cloths)
    opened = sum(cloths[one.id].width * cloths[one.id].length for one in laid)
    return replace(layout, cloths=laid, waste_area=opened - layout.used_area - layout.offcut_area)


def _shrunk(cloth: Cloth, shrinkage: Shrinkage) -> Cloth:
    """Cloth rounded down, flaws and repeat up."""
    across, along = Fraction(1) - shrinkage.width, Fraction(1) - shrinkage.length
    repeat = cloth.repeat and Repeat(ceil(cloth.repeat.width * across), ceil(cloth.repeat.length * along))
    flaws = []
    for flaw in cloth.flaws:
        x, y = floor(flaw.x * across), floor(flaw.y * along)
        flaws.append(Flaw(x, y, ceil((flaw.x + flaw.width) * across) - x, ceil((flaw.y + flaw.length) * along) - y))
    return replace(
        cloth,
        width=floor(cloth.width * across),
        length=floor(cloth.length * along),
        repeat=repeat,
        flaws=tuple(flaws),
        washed=True,
    )


def _squared(cloth: Cloth, straightening: int) -> Cloth:
    left = usable(cloth, straightening)
    if left is None:
        return replace(cloth, width=1, length=1, count=0, flaws=(), raw_ends=0)
    flaws = tuple(replace(flaw, y=flaw.y - left.y) for flaw in cloth.flaws)
    return replace(cloth, length=left.length, flaws=flaws, raw_ends=0)


def _on_whole_cloth(cloth: Cloth, straightening: int, laid: ClothLayout) -> ClothLayout:
    area = usable(cloth, straightening)
    if area is None or area.length == cloth.length:
        return replace(laid, usable=area)
    numbers, y = count(1), area.y
    ends = ([y] if y else []) + ([y + area.length] if y + area.length < cloth.length else [])
    trims = [Cut(next(numbers), "across", at, 0, cloth.width, kind="straighten", setting=straightening) for at in ends]
    return replace(
        laid,
        placements=tuple(replace(placement, y=placement.y + y) for placement in laid.placements),
        cuts=(*trims, *(replace(_lower(cut, y), number=next(numbers)) for cut in laid.cuts)),
        offcuts=tuple(replace(offcut, y=offcut.y + y) for offcut in laid.offcuts),
        reserved=tuple(replace(one, y=one.y + y) for one in laid.reserved),
        usable=area,
    )


def _lower(cut: Cut, y: int) -> Cut:
    """The cut that much further along the cloth."""
    if cut.direction == "across":
        return replace(cut, at=cut.at + y)
    return replace(cut, start=cut.start + y, end=cut.end + y)
