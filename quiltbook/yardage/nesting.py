"""How do small and curved shapes, cut with scissors, lie on a rectangle of cloth, and how many does one give?

Rows of each shape, nested into each other, are stacked in every order, across the cloth or along it. Beside that stands what rough-cut
rectangles take in strips, with the rotary cutter. The same job gives the same answer: nothing here is left to chance or to the clock.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations

from quiltbook.measures import Size, round_up
from quiltbook.yardage.clearances import Tables
from quiltbook.yardage.handbook import Handbook, Sized, strip_arithmetic, yield_of
from quiltbook.yardage.layouts import Uncut
from quiltbook.yardage.nestcheck import check
from quiltbook.yardage.nestjob import (
    MOST_SHAPES,
    Drawn,
    Nested,
    NestError,
    NestJob,
    NestShape,
    RoughCut,
    Set,
    draw,
    validate,
)
from quiltbook.yardage.patches import Step
from quiltbook.yardage.shapes import rough_cut
from quiltbook.yardage.stacking import Kind, Laid, Stacker
from quiltbook.yardage.tightening import filled_up, loose, shortened

__all__ = ["NestError", "NestJob", "NestShape", "Nested", "RoughCut", "Set", "check", "nest", "per_rectangle"]

_FEW = 3  # kinds, of which every order is tried
_LESS = (1, 3)


def nest(job: NestJob) -> Nested:
    """The best layout found. Raises `NestError` for a job that makes no sense, `ShapeError` for a shape that cannot be drawn."""
    validate(job)
    drawn = [draw(n, shape, job.spacing) for n, shape in enumerate(job.shapes)]
    counts = [_most(job, one) if one.shape.count is None else one.shape.count for one in drawn]
    placed = _placed(job, drawn, _filled(job, drawn, counts))
    stood_in = bool(check(job, placed))
    if stood_in:
        placed = _placed(job, drawn, _plain(job, drawn, counts))
    return _answer(job, drawn, placed, stood_in=stood_in)


def per_rectangle(shape: NestShape, width: int, length: int, spacing: int = 0) -> int:
    """How many of a shape one rectangle of cloth gives, a fat quarter for instance, whatever its `count`."""
    return len(nest(NestJob((replace(shape, count=None),), width, length, spacing=spacing)).placed)


def _most(job: NestJob, one: Drawn) -> int:
    """More than the cloths can give."""
    length = job.length or 0
    return min(MOST_SHAPES, job.cloths * (math.floor(job.width * length / one.cut.area) + 1))


# --- layouts ---------------------------------------------------------------------------------------------------------


def _filled(job: NestJob, drawn: Sequence[Drawn], counts: Sequence[int]) -> list[list[Laid]]:
    """The shapes on each cloth; a fill comes again as long as there are shapes enough for it."""
    filler = _Filler(job, drawn)
    left, cloths = list(counts), list[list[Laid]]()
    while any(left) and len(cloths) < job.cloths:
        filled = filler.fill(left, nudge=not cloths)
        if not filled:
            break
        taken = Counter(one.form.kind for one in filled)
        times = min(job.cloths - len(cloths), *(left[kind] // taken[kind] for kind in taken))
        cloths += [filled] * times
        left = [count - times * taken[kind] for kind, count in enumerate(left)]
    return cloths


class _Filler:
    """Fills one cloth after another with what is left of the shapes."""

    def __init__(self, job: NestJob, drawn: Sequence[Drawn]) -> None:
        self.open = job.length is None
        self.width, self.room = _reach(job)
        self.forms = [form for one in drawn for form in one.forms]
        numbers = iter(range(len(self.forms)))
        self.kinds = [Kind(tuple(next(numbers) for _ in one.forms), one.cut.area) for one in drawn]
        self.across = Stacker(Tables(self.forms), self.kinds, self.width, self.room)
        turned = Tables([form.transposed() for form in self.forms])
        self.along = Stacker(turned, self.kinds, self.room, self.width)

    def fill(self, counts: Sequence[int], *, nudge: bool) -> list[Laid]:
        """The best of all orders: the most area laid, then the least length. Nudging, which takes a second, is for the first cloth."""
        stacked = [
            min(self._stacked(counts, along), key=self._rank) for along in ([False] if self.open else [False, True])
        ]
        found = list(stacked)
        if nudge and self.open:
            found.append(shortened(self.forms, stacked[0], self.width))
        elif nudge and any(len(laid) < sum(counts) and loose(laid, self.width, self.room) for laid in stacked):
            # rows may be wedged in: with some shapes less they leave room to move at the end
            starts = [start for n, laid in enumerate(stacked) for start in self._roomier(laid, along=bool(n))]
            if starts:
                found.append(filled_up(self.forms, self.kinds, counts, starts, self.width, self.room))
        return min(found, key=self._rank)

    def _stacked(self, counts: Sequence[int], along: bool) -> Iterator[list[Laid]]:
        for order in _orders(self.kinds, counts):
            yield _turned(self.along.stack(order, counts)) if along else self.across.stack(order, counts)

    def _roomier(self, laid: Sequence[Laid], *, along: bool) -> Iterator[list[Laid]]:
        """Layouts with a few shapes less of the kind there is most of."""
        there = Counter(one.form.kind for one in laid)
        for less in _LESS:
            counts = [there[kind] for kind in range(len(self.kinds))]
            counts[counts.index(max(counts))] -= less
            if max(counts) > less:
                yield min(self._stacked(counts, along), key=self._rank)

    def _rank(self, laid: Sequence[Laid]) -> tuple[float, float]:
        return -round(sum(self.kinds[one.form.kind].area for one in laid)), _end(laid)


def _turned(laid: Sequence[Laid]) -> list[Laid]:
    return [Laid(one.form.transposed(), one.y, one.x) for one in laid]


def _reach(job: NestJob) -> tuple[float, float]:
    """Half the spacing, by which every shape has grown, may hang over each edge of the cloth."""
    return float(job.width + job.spacing), math.inf if job.length is None else float(job.length + job.spacing)


def _orders(kinds: Sequence[Kind], counts: Sequence[int]) -> list[tuple[int, ...]]:
    wanted = [n for n, count in enumerate(counts) if count]
    if len(wanted) <= _FEW:
        return list(permutations(wanted))
    by_area = sorted(wanted, key=lambda n: -kinds[n].area)
    return [tuple(wanted), tuple(by_area), tuple(by_area[::-1])]


def _end(laid: Sequence[Laid]) -> float:
    return max((one.y + one.form.height for one in laid), default=0.0)


def _plain(job: NestJob, drawn: Sequence[Drawn], counts: Sequence[int]) -> list[list[Laid]]:
    """Rows of the boxes round the shapes, each kind on its own."""
    width, room = _reach(job)
    cloths, y = [list[Laid]()], 0
    for one, count in zip(drawn, counts, strict=True):
        ways = [form for form in one.forms if form.width <= width and form.height <= room]
        left = count if ways else 0
        while left:
            form = min(ways, key=lambda way: math.ceil(left / (width // way.width)) * way.height)
            if y + form.height > room:
                if len(cloths) == job.cloths:
                    break
                cloths, y = [*cloths, []], 0
            many = min(left, int(width // form.width))
            cloths[-1] += [Laid(form, math.ceil(n * form.width), y) for n in range(many)]
            left, y = left - many, y + math.ceil(form.height)
    return cloths


def _placed(job: NestJob, drawn: Sequence[Drawn], cloths: Sequence[Sequence[Laid]]) -> tuple[Set, ...]:
    def put(one: Laid, cloth: int) -> Set:
        kind = drawn[one.form.kind]
        x, y = kind.inset[one.form.turn]
        half = job.spacing / 2
        return Set(kind.shape.id, cloth, round(one.x + x - half), round(one.y + y - half), one.form.turn)

    return tuple(put(one, n) for n, laid in enumerate(cloths, 1) for one in laid)


# --- the answer ------------------------------------------------------------------------------------------------------


def _answer(job: NestJob, drawn: Sequence[Drawn], placed: tuple[Set, ...], *, stood_in: bool) -> Nested:
    kinds = {one.shape.id: one for one in drawn}
    laid = Counter(one.id for one in placed)
    cloths = max((one.cloth for one in placed), default=0)
    length = max((one.y + kinds[one.id].size(one.turn)[1] for one in placed if one.cloth == cloths), default=0.0)
    area = math.fsum(kinds[name].cut.area * count for name, count in laid.items())
    taken = job.width * ((job.length or 0) * max(cloths - 1, 0) + length)
    rough = tuple(_rough(job, one) for one in drawn)
    boxes = [(one.shape, one.cut.size) for one in drawn]
    strips = [(one.shape, Size(cut.width, cut.length)) for one, cut in zip(drawn, rough, strict=True)]
    return Nested(
        placed=placed,
        cloths=cloths,
        length=math.ceil(length - 1e-3),
        left=tuple(Uncut(s.id, s.count - laid[s.id]) for s in job.shapes if s.count and s.count > laid[s.id]),
        area=area,
        area_bound=area / job.width,
        utilisation=area / taken if taken else 0.0,
        rough=rough,
        strips=_strips(job, laid, strips),
        boxes=_strips(job, laid, boxes),
        stood_in=stood_in,
        steps=tuple(_steps(job, kinds, laid, length)),
    )


def _rough(job: NestJob, one: Drawn) -> RoughCut:
    exact = rough_cut(one.shape.finished, one.shape.seam_allowance)
    cut = Size(round_up(exact.width, job.round_up_to), round_up(exact.length, job.round_up_to))
    per_cloth = None
    if job.length is not None:
        ways = [cut, Size(cut.length, cut.width)][: 1 + _turns(one.shape)]
        per_cloth = max(yield_of(Size(job.width, job.length), way).patches for way in ways)
    return RoughCut(one.shape.id, int(cut.width), int(cut.length), per_cloth)


def _turns(shape: NestShape) -> bool:
    return shape.turns == "any quarter"


def _strips(job: NestJob, laid: Counter[str], sizes: Sequence[tuple[NestShape, Size]]) -> Handbook:
    """What strips of such rectangles take for all that is asked."""
    wanted = [
        Sized(
            s.id, math.ceil(size.width), math.ceil(size.length), laid[s.id] if s.count is None else s.count, _turns(s)
        )
        for s, size in sizes
    ]
    return strip_arithmetic(job.width, [one for one in wanted if one.count])


def _steps(job: NestJob, kinds: dict[str, Drawn], laid: Counter[str], length: float) -> Iterator[Step]:
    for name, count in laid.items():
        size = kinds[name].cut.size
        yield Step(f"{name} laid", {"cut width": size.width, "cut height": size.length}, {"shapes": count})
    lengths = {"width": job.width, "spacing": job.spacing, "length": length}
    yield Step("cloth taken", lengths, {"shapes": laid.total()})
