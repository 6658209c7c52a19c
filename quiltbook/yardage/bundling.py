"""What does a cutting job come to as bundles of rectangles on sheets, and what did a layout of them leave uncut?

A job is one task, or several where strips are joined or motifs picked: in full lengths and a rest, in lengths alike, and in shorter lengths or
fewer motifs at a time for what the large cloths cannot all hold.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from quiltbook.yardage.cloths import Repeat
from quiltbook.yardage.fussy import Picking, picking
from quiltbook.yardage.joins import Making, makings
from quiltbook.yardage.layouts import CuttingJob, Wanted
from quiltbook.yardage.plain import plain
from quiltbook.yardage.tasks import Bundle, Kind, Laid, Length, Sheet, Task, as_sheet, whole_bundles

_MOST_LEVELS = 4
_MOST_FUSSY_LEVELS = 16

type Made = list[list[Making | Picking]]  # for each patch of the job


@dataclass(frozen=True, slots=True)
class _Style:
    """`even`: joined strips of lengths alike. `wide`, `small`: how the rectangles for fussy cuts are chosen (see `fussy`)."""

    even: bool = False
    wide: bool = False
    small: bool = False


_PLAIN = _Style()
_STYLES = (_PLAIN, _Style(even=True, wide=True), _Style(small=True))


def tasks_of(job: CuttingJob) -> list[Task]:
    """The ways to put the job, at least one; the cloths and patches keep their numbers."""
    build = _Builder(job)
    joined = any(patch.join for patch in job.patches)
    fussy = any(patch.per_repeat for patch in job.patches)
    made = build.first(_PLAIN)
    tasks = [build.task(made, _PLAIN)]
    if fussy or any(isinstance(way, Making) and len(way.lengths) > 1 for ways in made for way in ways):
        tasks += [build.task(build.first(style), style) for style in _STYLES[1 : 3 if fussy else 2]]
    if joined or fussy:
        tasks += _deeper(build, tasks[0], fussy=fussy)
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


def _deeper(build: "_Builder", task: Task, *, fussy: bool) -> list[Task]:
    """While the plain layout leaves joined strips or fussy cuts uncut: the same with those made of less at a time, if that helps."""
    job, sheets = build.job, build.sheets
    made = build.first(_PLAIN)
    laid = min(
        plain(task, range(len(sheets)), task.counts()), key=lambda laid: missing_area(job, uncut(task, laid, job))
    )
    left = uncut(task, laid, job)
    found = []
    styles = (_PLAIN, _Style(wide=True)) if fussy else (_PLAIN,)
    for _ in range(_MOST_FUSSY_LEVELS if fussy else _MOST_LEVELS):
        deeper = [build.one_deeper(*row) for row in zip(job.patches, made, left, strict=True)]
        if deeper == made:
            break
        made = deeper
        for other in (build.task(made, style) for style in styles):
            for laid in plain(other, range(len(sheets)), other.counts()):
                now = uncut(other, laid, job)
                if missing_area(job, now) < missing_area(job, left):
                    left = now
                    found = [other]
    return found


@dataclass(slots=True)
class _Builder:
    """The job's cloths as sheets, and its patches as bundles of rectangles in one style or another."""

    job: CuttingJob
    repeats: list[Repeat] = field(init=False)
    sheets: tuple[Sheet, ...] = field(init=False)

    def __post_init__(self) -> None:
        """A print that no patch minds makes no difference between cloths."""
        fussy = any(patch.per_repeat for patch in self.job.patches)
        striped = any(patch.stripes for patch in self.job.patches)
        self.repeats = list(dict.fromkeys(c.repeat for c in self.job.cloths if c.repeat and fussy))
        most = max(1, sum(patch.count for patch in self.job.patches))
        self.sheets = tuple(
            as_sheet(
                cloth if striped else replace(cloth, stripes=None),
                most,
                self.repeats.index(cloth.repeat) + 1 if cloth.repeat in self.repeats else 0,
            )
            for cloth in self.job.cloths
        )

    def first(self, style: _Style) -> Made:
        return [self._made(patch, patch.count, 0, style) for patch in self.job.patches]

    def _made(self, patch: Wanted, copies: int, level: int, style: _Style) -> list[Making | Picking]:
        """How that many copies are made at that level, if the cloths have it."""
        if not copies:
            return []
        if patch.per_repeat:
            picked = picking(patch, self.repeats, self.sheets, copies=copies, level=level, small=style.small)
            return [picked] if picked else []
        making = makings(patch, self.sheets, copies=copies, level=level, even=style.even)
        return [making] if making else []

    def one_deeper(self, patch: Wanted, made: list[Making | Picking], left: int) -> list[Making | Picking]:
        """The makings with the copies that were left uncut made of less at a time."""
        last = made[-1] if made else None
        if not ((patch.join or patch.per_repeat) and left and last):
            return made
        left = min(left, last.copies)
        deeper = self._made(patch, left, last.level + 1, _PLAIN)
        if not deeper:
            return made
        return [*made[:-1], *self._made(patch, last.copies - left, last.level, _PLAIN), *deeper]

    def task(self, made: Made, style: _Style) -> Task:
        kinds: dict[Kind, int] = {}
        bundles: list[Bundle] = []
        for number, (patch, ways) in enumerate(zip(self.job.patches, made, strict=True)):
            for way in ways:
                if isinstance(way, Picking):
                    bundles += self._picked(number, way, kinds, style)
                else:
                    bundles += self._whole_or_joined(number, patch, way, kinds)
        return Task(self.sheets, tuple(kinds), tuple(bundles))

    def _picked(self, number: int, way: Picking, kinds: dict[Kind, int], style: _Style) -> list[Bundle]:
        bundles = []
        for patches, times in way.sets():
            pieces = []
            for motifs in way.rectangles(patches):
                kind = way.kind(motifs, self.sheets, wide=style.wide)
                pieces.append(Length(kinds.setdefault(kind, len(kinds)), None, motifs))
            bundles.append(Bundle(number, patches, tuple(pieces), times))
        return bundles

    def _whole_or_joined(self, number: int, patch: Wanted, way: Making, kinds: dict[Kind, int]) -> list[Bundle]:
        pieces = tuple(self._length(patch, way, n, kinds) for n in range(len(way.lengths)))
        whole, rest = divmod(way.copies, patch.alike)
        bundles = [Bundle(number, patch.alike, pieces * patch.alike, whole)] if whole else []
        return [*bundles, Bundle(number, rest, pieces * rest, 1)] if rest else bundles

    def _length(self, patch: Wanted, making: Making, n: int, kinds: dict[Kind, int]) -> Length:
        """The kind of one length of a patch, numbered as it comes."""
        width, length = patch.width, patch.length
        if len(making.lengths) > 1:
            width, length = (width, making.lengths[n]) if length >= width else (making.lengths[n], length)
        stripes = patch.stripes if any(sheet.stripes for sheet in self.sheets) else None
        kind = Kind(width, length, patch.turn and (width != length or stripes is not None), stripes)
        return Length(kinds.setdefault(kind, len(kinds)), n + 1 if len(making.lengths) > 1 else None)
