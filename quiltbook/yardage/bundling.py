"""What does a cutting job come to as bundles of rectangles on sheets, and what did a layout of them leave uncut?

A job is one task, or several where strips are joined: in full lengths and a rest, in lengths alike, and in shorter lengths for the strips
that the long cloths cannot all hold.
"""

from collections.abc import Sequence

from quiltbook.yardage.joins import Making, makings
from quiltbook.yardage.layouts import CuttingJob, Wanted
from quiltbook.yardage.plain import plain
from quiltbook.yardage.tasks import Bundle, Kind, Laid, Length, Sheet, Task, as_sheet, whole_bundles

_MOST_LEVELS = 4

type Made = list[list[Making]]  # for each patch of the job


def tasks_of(job: CuttingJob) -> list[Task]:
    """The ways to put the job, at least one; the cloths and patches keep their numbers."""
    most = max(1, sum(patch.count for patch in job.patches))
    sheets = tuple(as_sheet(cloth, most) for cloth in job.cloths)
    tasks = []
    for even in (False, True):
        made = [_first(patch, sheets, even=even) for patch in job.patches]
        tasks.append(_task(job, sheets, made))
        if not any(len(making.lengths) > 1 for makings_ in made for making in makings_):
            break
    if any(patch.join for patch in job.patches):
        tasks += _with_more_joins(job, sheets, tasks[0])
    return list(dict.fromkeys(tasks))


def uncut(task: Task, laid: Sequence[Laid], job: CuttingJob) -> list[int]:
    """How many of each patch of the job are not laid whole."""
    left = [patch.count for patch in job.patches]
    for made in whole_bundles(task, laid).values():
        for bundle, copies in made:
            left[bundle.patch] -= bundle.patches * copies
    return left


def missing_area(job: CuttingJob, left: Sequence[int]) -> int:
    return sum(n * patch.width * patch.length for n, patch in zip(left, job.patches, strict=True))


def _first(patch: Wanted, sheets: Sequence[Sheet], *, even: bool) -> list[Making]:
    making = makings(patch, sheets, copies=patch.count, level=0, even=even)
    return [making] if making else []


def _with_more_joins(job: CuttingJob, sheets: tuple[Sheet, ...], task: Task) -> list[Task]:
    """While the plain layout leaves joined strips uncut: the same with those made of shorter lengths, if that helps."""
    made = [_first(patch, sheets, even=False) for patch in job.patches]
    laid = min(
        plain(task, range(len(sheets)), task.counts()), key=lambda laid: missing_area(job, uncut(task, laid, job))
    )
    left = uncut(task, laid, job)
    found = []
    for _ in range(_MOST_LEVELS):
        deeper = [_one_deeper(*row, sheets) for row in zip(job.patches, made, left, strict=True)]
        if deeper == made:
            break
        made = deeper
        other = _task(job, sheets, made)
        for laid in plain(other, range(len(sheets)), other.counts()):
            now = uncut(other, laid, job)
            if missing_area(job, now) < missing_area(job, left):
                left = now
                found = [other]
    return found


def _one_deeper(patch: Wanted, made: list[Making], left: int, sheets: Sequence[Sheet]) -> list[Making]:
    """The makings with the copies that were left uncut made of shorter lengths."""
    last = made[-1] if made else None
    if not (patch.join and left and last):
        return made
    left = min(left, last.copies)
    deeper = makings(patch, sheets, copies=left, level=last.level + 1, even=False)
    if deeper is None:
        return made
    rest = makings(patch, sheets, copies=last.copies - left, level=last.level, even=False)
    return [*made[:-1], *([rest] if rest and rest.copies else []), deeper]


def _task(job: CuttingJob, sheets: tuple[Sheet, ...], made: Made) -> Task:
    kinds: dict[Kind, int] = {}
    bundles = []
    for number, (patch, ways) in enumerate(zip(job.patches, made, strict=True)):
        for making in ways:
            pieces = tuple(_length(patch, making, n, kinds) for n in range(len(making.lengths)))
            whole, rest = divmod(making.copies, patch.alike)
            if whole:
                bundles.append(Bundle(number, patch.alike, pieces * patch.alike, whole))
            if rest:
                bundles.append(Bundle(number, rest, pieces * rest, 1))
    return Task(sheets, tuple(kinds), tuple(bundles))


def _length(patch: Wanted, making: Making, n: int, kinds: dict[Kind, int]) -> Length:
    """The kind of one length of a patch, numbered as it comes."""
    width, length = patch.width, patch.length
    if len(making.lengths) > 1:
        width, length = (width, making.lengths[n]) if length >= width else (making.lengths[n], length)
    kind = Kind(width, length, patch.turn and width != length)
    return Length(kinds.setdefault(kind, len(kinds)), n + 1 if len(making.lengths) > 1 else None)
