"""How are these patches cut from these cloths? The one call that lays out, always to be trusted.

Plain layouts are made here; the solver, in its own process, is asked for better ones; all are cut up and weighed alike, in the engine's
order: all patches, least cloth opened, the largest offcut, fewest ruler settings. What is returned has passed `check`.
"""

from collections import Counter, defaultdict, deque
from collections.abc import Sequence
from dataclasses import dataclass

from quiltbook.yardage import aside
from quiltbook.yardage.bundling import missing_area, tasks_of, uncut
from quiltbook.yardage.check import check
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutup import CutSheet, best_cut
from quiltbook.yardage.fussy import Lattice
from quiltbook.yardage.guillotine import NotEdgeToEdge
from quiltbook.yardage.handbook import Handbook, Motifs, Sized, strip_arithmetic
from quiltbook.yardage.layouts import (
    ClothLayout,
    Cut,
    CuttingError,
    CuttingJob,
    Layout,
    Offcut,
    Placement,
    Reserved,
    Uncut,
    Usable,
    Wanted,
    validate,
)
from quiltbook.yardage.plain import plain
from quiltbook.yardage.tasks import Laid, Put, Task, common_unit, in_units, kept, laid_counts, less, whole_bundles
from quiltbook.yardage.usable import prepared, restored

__all__ = [
    "ClothLayout",
    "Cut",
    "CuttingError",
    "CuttingJob",
    "Layout",
    "Offcut",
    "Placement",
    "Reserved",
    "Uncut",
    "Usable",
    "Wanted",
    "check",
    "handbook",
    "lay_out",
]

_MANY = 3000  # patches, beyond which only the plainest way to cut each cloth is looked at


def lay_out(job: CuttingJob, *, limit: float | None = None, solver: Sequence[str] = aside.SOLVER) -> Layout:
    """The best layout found; the same for the same job, on any machine.

    `limit`: seconds after which the solver is killed and the plain layout stands in (8 for quick, 50 for thorough effort).
    `solver`: the command that is asked. Raises `CuttingError` for a job that makes no sense.
    """
    validate(job)
    asked, job = job, prepared(job)
    tasks = [task for task in tasks_of(job) if task.sheets and task.bundles]
    found = [weighed for task in tasks for weighed in _plain(job, task)]
    stood_in = False
    if found:
        solved = _solved(job, tasks, limit, solver)
        stood_in = solved is None
        found += solved or []
    for weighed in sorted(found, key=_Weighed.rank):
        layout = restored(asked, _layout(job, weighed, stood_in=stood_in))
        if not check(asked, layout):
            return layout
        stood_in = True
    return restored(asked, _layout(job, None, stood_in=stood_in))


def handbook(job: CuttingJob) -> Handbook | None:
    """What strip arithmetic would take of the widest cloth; None without cloth."""
    if not job.cloths:
        return None
    cloth = max(prepared(job).cloths, key=lambda cloth: cloth.width)
    return strip_arithmetic(cloth.width, [_sized(patch, cloth) for patch in job.patches if patch.count])


def _sized(patch: Wanted, cloth: Cloth) -> Sized:
    """The patch as the arithmetic has it on that cloth, lying as the stripes ask; with no way to lie, as motifs that are not there."""
    lies = patch.ways(cloth)
    motifs = None
    if patch.per_repeat and cloth.repeat and lies:
        lattice = Lattice(patch, cloth.repeat)
        (across, strip), (_, deep) = lattice.pitch, lattice.size(1, 1)
        per_strip = lattice.within(cloth.width, deep)[0] * lattice.each
        motifs = Motifs(per_strip, across, strip, deep - strip)
    elif patch.per_repeat or not lies:
        motifs = Motifs(0, 0, 0, 0)
    sides = (patch.length, patch.width) if lies == (True,) else (patch.width, patch.length)
    loss, least = (patch.join.loss, patch.join.least) if patch.join else (None, 0)
    return Sized(patch.id, *sides, patch.count, len(lies) > 1, loss, motifs, least)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """One answer to the job, cut up; `left` uncut of each patch."""

    task: Task
    sheets: tuple[CutSheet, ...]
    left: tuple[int, ...]
    missing: int

    def rank(self) -> tuple[int, ...]:
        """Less is better: the engine's order."""
        return (
            self.missing,
            sum(self.left),
            sum(self.task.sheets[one.sheet].area for one in self.sheets),
            -max((one.largest for one in self.sheets), default=0),
            sum(one.settings for one in self.sheets),
            -sum(one.kept for one in self.sheets),
            sum(len(one.cuts) for one in self.sheets),
        )


def _plain(job: CuttingJob, task: Task) -> list[_Weighed]:
    found = []
    for laid in _plainly(task):
        choices = [(one.sheet, [one.puts]) for one in laid]
        found.append(_weighed(job, task, choices))
    return found


def _plainly(task: Task) -> list[list[Laid]]:
    """Plain layouts on all cloths at once and, where patches are bound to one fabric, on one fabric after another."""
    everywhere = range(len(task.sheets))
    found = plain(task, everywhere, task.counts())
    if task.bound_to_fabrics():
        fabrics: defaultdict[str, list[int]] = defaultdict(list)
        for n in everywhere:
            fabrics[task.sheets[n].fabric].append(n)
        groups = sorted(fabrics.values(), key=lambda ns: sum(task.sheets[n].area * task.sheets[n].copies for n in ns))
        found += [_fabric_by_fabric(task, groups), _fabric_by_fabric(task, groups[::-1])]
    return found


def _fabric_by_fabric(task: Task, groups: Sequence[Sequence[int]]) -> list[Laid]:
    counts, laid = task.counts(), list[Laid]()
    for group in groups:
        here = plain(task, group, counts)[0]
        laid = kept(task, [*laid, *here])
        counts = less(task.counts(), laid_counts(task, laid))
    return laid


def _solved(
    job: CuttingJob, tasks: Sequence[Task], limit: float | None, solver: Sequence[str]
) -> list[_Weighed] | None:
    """The solver's answers, cut up; None where it failed, or where anything it says is not so."""
    unit = [common_unit(task) for task in tasks]
    asked = [in_units(task, size) for task, size in zip(tasks, unit, strict=True)]
    answers = aside.ask(asked, job.method, job.effort, limit=limit, command=solver)
    if answers is None:
        return None
    try:
        return [_weighed(job, tasks[n], _in_nm(choices, unit[n])) for n, choices in answers]
    except NotEdgeToEdge:
        return None


def _in_nm(choices: Sequence[aside.Choice], unit: int) -> list[aside.Choice]:
    return [
        (sheet, [tuple(put._replace(x=put.x * unit, y=put.y * unit) for put in puts) for puts in layouts])
        for sheet, layouts in choices
    ]


def _weighed(job: CuttingJob, task: Task, choices: Sequence[aside.Choice]) -> _Weighed:
    """Cut up an answer. Raises `NotEdgeToEdge` for one that is not sound."""
    laid = aside.one_each(choices)
    opened = Counter(one.sheet for one in laid)
    too_many = any(n > task.sheets[sheet].copies for sheet, n in opened.items())
    unlike = any(len({tuple(sorted(put.kind for put in puts)) for puts in layouts}) != 1 for _, layouts in choices)
    if too_many or unlike or min(less(task.counts(), laid_counts(task, laid)), default=0) < 0:
        raise NotEdgeToEdge
    whole = kept(task, laid)
    if whole != laid:
        choices = [(one.sheet, [one.puts]) for one in whole]
    close = job.method == "close" and sum(task.counts()) <= _MANY
    sheets = tuple(best_cut(task, sheet, layouts, least=job.least_offcut, close=close) for sheet, layouts in choices)
    left = tuple(uncut(task, whole, job))
    return _Weighed(task, sheets, left, missing_area(job, left))


# --- the answer ------------------------------------------------------------------------------------------------------


def _layout(job: CuttingJob, best: _Weighed | None, *, stood_in: bool) -> Layout:
    cloths = _cloths(job, best) if best else ()
    left = best.left if best else [patch.count for patch in job.patches]
    sizes = {patch.id: patch.width * patch.length for patch in job.patches}
    used = sum(p.width * p.length for cloth in cloths for p in cloth.placements)
    used += sum(r.count * sizes[r.patch] for cloth in cloths for r in cloth.reserved)
    offcuts = sum(o.width * o.length for cloth in cloths for o in cloth.offcuts)
    opened = sum(best.task.sheets[one.sheet].area for one in best.sheets) if best else 0
    return Layout(
        method=job.method,
        effort=job.effort,
        stood_in=stood_in,
        cloths=cloths,
        uncut=tuple(Uncut(p.id, n) for p, n in zip(job.patches, left, strict=True) if n),
        used_area=used,
        offcut_area=offcuts,
        waste_area=opened - used - offcuts,
        handbook=handbook(job),
    )


def _cloths(job: CuttingJob, best: _Weighed) -> tuple[ClothLayout, ...]:
    """The cloths as they are asked for, the small ones first, every rectangle with the name of its patch."""
    task = best.task
    sheets = sorted(best.sheets, key=lambda one: (task.sheets[one.sheet].area, one.sheet))
    names = _names(job, task, sheets)
    wanted = {patch.id: patch for patch in job.patches}
    copies: Counter[int] = Counter()
    cloths = []
    for one in sheets:
        copies[one.sheet] += 1
        pool = names[task.sheets[one.sheet].fabric]
        cloth = job.cloths[one.sheet]
        placements, reserved = [], []
        for box, kind in one.boxes:
            patch, part, whole, motifs = pool[kind].popleft()
            if motifs and cloth.repeat:
                across, rows = Lattice(wanted[patch], cloth.repeat).within(box.width, box.length)
                reserved.append(Reserved(patch, motifs, across, rows, box.x0, box.y0, box.width, box.length))
            else:
                placements.append(Placement(patch, part, box.x0, box.y0, box.width, box.length, whole))
        offcuts = tuple(Offcut(box.x0, box.y0, box.width, box.length) for box in one.offcuts)
        cloths.append(ClothLayout(cloth.id, copies[one.sheet], tuple(placements), one.cuts, offcuts, tuple(reserved)))
    return tuple(cloths)


type _Name = tuple[str, int | None, int | None, int]


def _names(job: CuttingJob, task: Task, sheets: Sequence[CutSheet]) -> dict[str, defaultdict[int, deque[_Name]]]:
    """For each fabric, the names to give to its rectangles of each kind: patch, part, which of the joined ones, and how many motifs."""
    laid = [Laid(one.sheet, tuple(Put(kind, box.x0, box.y0, False) for box, kind in one.boxes)) for one in sheets]
    wholes: Counter[int] = Counter()
    names = {}
    for fabric, made in whole_bundles(task, laid).items():
        pool: defaultdict[int, deque[_Name]] = defaultdict(deque)
        for bundle, copies in made:
            for piece in bundle.pieces * copies:
                wholes[bundle.patch] += piece.part == 1
                whole = wholes[bundle.patch] if piece.part else None
                pool[piece.kind].append((job.patches[bundle.patch].id, piece.part, whole, piece.motifs))
        names[fabric] = pool
    return names
