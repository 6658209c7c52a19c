"""Can this layout be cut, and is it what was asked? The engine's own verifier: nobody sees a layout that it has not passed.

It makes the cuts in their order on paper: each must go edge to edge through one part of the cloth, and at the end every placement and
offcut must be a part of its own. So nothing overlaps, nothing sticks out, and the sums of the areas are exact.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from quiltbook.yardage.boxes import Box, clear
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.fussy import Lattice
from quiltbook.yardage.layouts import ClothLayout, Cut, CuttingJob, Layout, Offcut, Placement, Reserved, Wanted
from quiltbook.yardage.usable import usable, washed


def check(job: CuttingJob, layout: Layout) -> list[str]:
    """The layout's faults, each a sentence; empty when it is sound."""
    return list(_faults(job, layout))


def _faults(job: CuttingJob, layout: Layout) -> Iterator[str]:
    cloths = {cloth.id: cloth for cloth in washed(job)}
    wanted = {patch.id: patch for patch in job.patches}
    seen: set[tuple[str, int]] = set()
    for laid in layout.cloths:
        where = f"{laid.id} ({laid.copy})"
        cloth = cloths.get(laid.id)
        if cloth is None or not 1 <= laid.copy <= cloth.count or (laid.id, laid.copy) in seen:
            yield f"There is no such cloth as {where}, or it is cut twice."
            continue
        seen.add((laid.id, laid.copy))
        if not (laid.placements or laid.reserved):
            yield f"Nothing lies on {where}."
        yield from (f"{where}: {fault}" for fault in _cloth_faults(job, cloth, laid, wanted))
    yield from _count_faults(job, layout, cloths)
    yield from _area_faults(layout, cloths, wanted)


def _cloth_faults(job: CuttingJob, cloth: Cloth, laid: ClothLayout, wanted: dict[str, Wanted]) -> Iterator[str]:
    area = usable(cloth, job.straightening)
    if area is None or laid.usable not in (None, area):
        yield "that is not what can be used of it."
        return
    within = Box(area.x, area.y, area.x + area.width, area.y + area.length)
    parts, faults = _cut_apart(Box(0, 0, cloth.width, cloth.length), laid.cuts)
    yield from faults
    flaws = [Box(f.x, f.y, f.x + f.width, f.y + f.length) for f in cloth.flaws]
    things: list[Placement | Offcut | Reserved] = [*laid.placements, *laid.offcuts, *laid.reserved]
    for thing in things:
        box = Box(thing.x, thing.y, thing.x + thing.width, thing.y + thing.length)
        if box in parts:
            parts.remove(box)
        else:
            yield f"the cuts do not free {box}."
        if not clear(box, flaws):
            yield f"{box} lies over a flaw."
        if box.y0 < within.y0 or box.y1 > within.y1:
            yield f"{box} lies on an end that straightening takes off."
    for placement in laid.placements:
        patch = wanted.get(placement.patch)
        if patch is None or not _lies_right(placement, patch, cloth):
            yield f"{placement} is not a patch that was asked for, or lies the wrong way."
    for one in laid.reserved:
        patch = wanted.get(one.patch)
        if patch is None or not _holds(one, patch, cloth):
            yield f"{one} does not surely hold so many of a patch that was asked for."
    if any(min(offcut.width, offcut.length) < job.least_offcut for offcut in laid.offcuts):
        yield "an offcut is too small to keep."


def _lies_right(placement: Placement, patch: Wanted, cloth: Cloth) -> bool:
    ways, lies = patch.ways(cloth), (placement.width, placement.length)
    if patch.per_repeat:
        return False
    if placement.part is None:
        straight, turned = lies == (patch.width, patch.length), lies == (patch.length, patch.width)
        return (straight and False in ways) or (turned and True in ways)
    if patch.join is None:
        return False
    thick, is_long = min(patch.width, patch.length), patch.length >= patch.width
    upright = placement.width == thick if is_long else placement.length == thick
    turned = placement.length == thick if is_long else placement.width == thick
    return (upright and False in ways) or (turned and True in ways)


def _holds(one: Reserved, patch: Wanted, cloth: Cloth) -> bool:
    if not (patch.per_repeat and cloth.repeat and patch.ways(cloth) and one.count > 0):
        return False
    lattice = Lattice(patch, cloth.repeat)
    least = lattice.size(one.across, one.rows)
    fits = one.width >= least[0] and one.length >= least[1]
    return fits and min(one.across, one.rows) > 0 and one.count <= one.across * one.rows * lattice.each


def _cut_apart(cloth: Box, cuts: Sequence[Cut]) -> tuple[set[Box], list[str]]:
    """The parts of a cloth when the cuts are made in their order, and what is wrong with the cuts."""
    parts = {cloth}
    across: defaultdict[tuple[int, int], set[Box]] = defaultdict(set, {(cloth.x0, cloth.x1): {cloth}})
    along: defaultdict[tuple[int, int], set[Box]] = defaultdict(set, {(cloth.y0, cloth.y1): {cloth}})
    faults = []
    for n, cut in enumerate(cuts, 1):
        edges = (cut.start, cut.end)
        if cut.direction == "across":
            part = next((p for p in across[edges] if p.y0 < cut.at < p.y1), None)
            halves = part and (part._replace(y1=cut.at), part._replace(y0=cut.at))
        else:
            part = next((p for p in along[edges] if p.x0 < cut.at < p.x1), None)
            halves = part and (part._replace(x1=cut.at), part._replace(x0=cut.at))
        if cut.number != n or part is None or halves is None:
            faults.append(f"cut {cut.number} does not go edge to edge through one part.")
            continue
        for pool in (parts, across[part.x0, part.x1], along[part.y0, part.y1]):
            pool.remove(part)
        for half in halves:
            for pool in (parts, across[half.x0, half.x1], along[half.y0, half.y1]):
                pool.add(half)
    return parts, faults


def _count_faults(job: CuttingJob, layout: Layout, cloths: dict[str, Cloth]) -> Iterator[str]:
    uncut = {row.patch: row.count for row in layout.uncut}
    for patch in job.patches:
        pools: defaultdict[str, list[Placement]] = defaultdict(list)
        by_eye: Counter[str] = Counter()
        for laid in layout.cloths:
            if laid.id in cloths:
                pools[cloths[laid.id].fabric] += [p for p in laid.placements if p.patch == patch.id]
                by_eye[cloths[laid.id].fabric] += sum(one.count for one in laid.reserved if one.patch == patch.id)
        made, odd = 0, 0
        for fabric, placements in pools.items():
            here, faults = _patches_of(patch, placements)
            here += by_eye[fabric]
            yield from faults
            made += here
            odd += here % patch.alike
        if made + uncut.pop(patch.id, 0) != patch.count:
            yield f"{patch.id}: {made} are cut, and the rest are not said to be uncut."
        if odd not in (0, patch.count % patch.alike):
            yield f"{patch.id}: not {patch.alike} at a time of one fabric."
    if uncut:
        yield "Patches that nobody asked for are said to be uncut."


def _patches_of(patch: Wanted, placements: Sequence[Placement]) -> tuple[int, list[str]]:
    """How many patches the placements on one fabric make, and what is wrong with the joined ones."""
    joined: defaultdict[int | None, list[Placement]] = defaultdict(list)
    for placement in placements:
        if placement.part is not None:
            joined[placement.whole].append(placement)
    faults = [f"{patch.id}: {fault}" for whole in joined.values() for fault in _join_faults(patch, whole)]
    return sum(p.part is None for p in placements) + len(joined), faults


def _join_faults(patch: Wanted, lengths: Sequence[Placement]) -> Iterator[str]:
    if patch.join is None:
        yield "it may not be joined."
        return
    thick, long_ = sorted((patch.width, patch.length))
    sizes = [p.width * p.length // thick for p in lengths]
    if sorted(p.part or 0 for p in lengths) != list(range(1, len(lengths) + 1)):
        yield "a joined one lacks a length."
    if sum(sizes) - patch.join.loss * (len(sizes) - 1) != long_ or min(sizes) < patch.join.least:
        yield "the lengths of a joined one are wrong."


def _area_faults(layout: Layout, cloths: dict[str, Cloth], wanted: dict[str, Wanted]) -> Iterator[str]:
    listed = [cloth for cloth in layout.cloths if cloth.id in cloths]
    used = sum(p.width * p.length for cloth in listed for p in cloth.placements)
    by_eye = [(one.count, wanted[one.patch]) for cloth in listed for one in cloth.reserved if one.patch in wanted]
    used += sum(count * patch.width * patch.length for count, patch in by_eye)
    offcuts = sum(o.width * o.length for cloth in listed for o in cloth.offcuts)
    opened = sum(cloths[cloth.id].width * cloths[cloth.id].length for cloth in listed)
    if (used, offcuts) != (layout.used_area, layout.offcut_area) or used + offcuts + layout.waste_area != opened:
        yield "The areas do not add up."
    counts = Counter(row.patch for row in layout.uncut)
    if any(n > 1 for n in counts.values()) or any(row.count < 1 for row in layout.uncut):
        yield "What is uncut is not said plainly."
