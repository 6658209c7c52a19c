"""How can the patches be laid without a solver? Shelves of mixed sizes, and strips of one size, on the small cloths first.

It stands in when the solver fails, and no layout that is worse is ever shown. First fit, the highest patches first: a shelf is a strip
across the cloth, in which patches stand side by side between the flaws. Deterministic, and quick for thousands of patches.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from quiltbook.yardage.boxes import free_runs, strip_tops
from quiltbook.yardage.tasks import Counts, Kind, Laid, Put, Sheet, Task, laid_counts, less, lies

_FEW = 12
_MANY_KINDS = 60
_VERY_MANY_KINDS = 500


@dataclass(slots=True)
class _Open:
    """One cloth, filled from the top down to `used`."""

    sheet: int
    used: int = 0
    puts: list[Put] = field(default_factory=list)


@dataclass(slots=True)
class _Shelf:
    cloth: int
    y: int
    height: int
    runs: list[tuple[int, int]]
    widest: int


def plain(task: Task, sheets: Sequence[int], counts: Counts) -> list[list[Laid]]:
    """Good plain layouts of these counts on those sheets, not all of which need be complete: shelves, then strips."""
    cloths = _copies(task, sheets, sum(counts))
    if not cloths or not any(counts):
        return [[]]
    found = []
    for mixed in (True, False):
        ways = ("flat", "given", "tall") if len(task.kinds) <= _VERY_MANY_KINDS else ("flat",)
        tries = [
            _fewer(task, order, counts, way, mixed=mixed) for way in ways for order in _orders(task, cloths, counts)
        ]
        found.append(min(tries, key=lambda laid: _worth(task, counts, laid)))
    return found


def _copies(task: Task, sheets: Sequence[int], most: int) -> list[int]:
    by_area = sorted(sheets, key=lambda s: (task.sheets[s].area, s))
    return [s for s in by_area for _ in range(min(task.sheets[s].copies, most))]


def _orders(task: Task, cloths: list[int], counts: Counts) -> Iterator[list[int]]:
    """The cloths small ones first, large ones first, and each alone that has the area for everything."""
    yield cloths
    if len(set(cloths)) > 1:
        yield cloths[::-1]
        need = task.area(counts)
        alone = [s for s in dict.fromkeys(cloths) if task.sheets[s].area >= need]
        yield from ([s] for s in alone[:_FEW])


def _worth(task: Task, counts: Counts, laid: Sequence[Laid]) -> tuple[int, int, int]:
    """Less is better: area left uncut, area opened, and less what is left below the last shelf of one cloth."""
    missing = task.area(less(counts, laid_counts(task, laid)))
    opened = sum(task.sheets[one.sheet].area for one in laid)
    left = max((_left_below(task, one) for one in laid), default=0)
    return missing, opened, -left


def _left_below(task: Task, one: Laid) -> int:
    sheet = task.sheets[one.sheet]
    return sheet.width * (sheet.length - max(task.box(put).y1 for put in one.puts))


def _fewer(task: Task, cloths: list[int], counts: Counts, way: str, *, mixed: bool) -> list[Laid]:
    """The shelves on these cloths; then, while it can be done, without the cloth that is filled least."""
    laid = _shelves(task, cloths, counts, way, mixed=mixed)
    need = task.area(counts)
    if not 1 < len(laid) <= _FEW or len(task.kinds) > _MANY_KINDS or task.area(laid_counts(task, laid)) < need:
        return laid
    sheets = [one.sheet for one in laid]
    for one in sorted(laid, key=lambda one: sum(task.box(p).area for p in one.puts) / task.sheets[one.sheet].area):
        rest = list(sheets)
        rest.remove(one.sheet)
        if not rest:
            break
        again = _shelves(task, rest, counts, way, mixed=mixed)
        if task.area(laid_counts(task, again)) == need:
            sheets, laid = rest, again
    return laid


def _shelves(task: Task, cloths: Sequence[int], counts: Counts, way: str, *, mixed: bool) -> list[Laid]:
    opened = [_Open(sheet) for sheet in cloths]
    shelves: list[_Shelf] = []
    first = [_turned_first(task, kind, cloths, way, counts, mixed=mixed) for kind in range(len(task.kinds))]
    order = sorted(
        (k for k, n in enumerate(counts) if n), key=lambda k: (*(-s for s in _size(task, k, first[k])[::-1]), k)
    )
    for kind in order:
        ways = [first[kind]]
        if task.kinds[kind].turn and task.kinds[kind].width != task.kinds[kind].length:
            ways.append(not first[kind])
        own: list[_Shelf] = shelves if mixed else []
        left = counts[kind]
        narrowest = min(_size(task, kind, turned)[0] for turned in ways)
        for shelf in own:
            if shelf.widest < narrowest:
                continue
            left -= _fill(task, opened[shelf.cloth], shelf, kind, ways, left)
            if not left:
                break
        while left:
            new = _new_shelf(task, opened, kind, ways)
            if new is None:
                break
            own.append(new)
            left -= _fill(task, opened[new.cloth], new, kind, ways, left)
    return [Laid(cloth.sheet, tuple(cloth.puts)) for cloth in opened if cloth.puts]


def _turned_first(task: Task, kind: int, cloths: Sequence[int], way: str, counts: Counts, *, mixed: bool) -> bool:
    """Whether this kind is turned by preference: so that it lies flat, stands tall, or as its strips take the least cloth."""
    width, length, turn, *_ = task.kinds[kind]
    if not turn or way == "given":
        return False
    if way == "tall":
        return width > length
    if mixed:
        return length > width
    widest = max(task.sheets[s].width for s in cloths)
    ways = [
        (_strips(widest, w, counts[kind]) * h, t)
        for w, h, t in ((width, length, False), (length, width, True))
        if w <= widest
    ]
    return min(ways, default=(0, False))[1]


def _strips(width: int, side: int, count: int) -> int:
    return -(-count // (width // side))


def _size(task: Task, kind: int, turned: bool) -> tuple[int, int]:
    return task.kinds[kind].lying(turned=turned)


def _allowed(sheet: Sheet, kind: Kind, ways: Sequence[bool]) -> list[bool]:
    allowed = lies(sheet, kind)
    return [turned for turned in ways if turned in allowed]


def _fill(task: Task, cloth: _Open, shelf: _Shelf, kind: int, ways: Sequence[bool], count: int) -> int:
    """Put up to `count` of the kind on the shelf; how many went on."""
    done = 0
    for turned in _allowed(task.sheets[cloth.sheet], task.kinds[kind], ways):
        width, height = _size(task, kind, turned)
        if height > shelf.height:
            continue
        runs = []
        for x, end in shelf.runs:
            n = min((end - x) // width, count - done)
            cloth.puts += [Put(kind, x + i * width, shelf.y, turned) for i in range(n)]
            done += n
            if x + n * width < end:
                runs.append((x + n * width, end))
        shelf.runs = runs
    shelf.widest = max((end - x for x, end in shelf.runs), default=0)
    return done


def _new_shelf(task: Task, opened: Sequence[_Open], kind: int, ways: Sequence[bool]) -> _Shelf | None:
    for n, cloth in enumerate(opened):
        sheet = task.sheets[cloth.sheet]
        for turned in _allowed(sheet, task.kinds[kind], ways):
            width, height = _size(task, kind, turned)
            if width > sheet.width or cloth.used + height > sheet.length:
                continue
            for top in strip_tops(sheet.flaws, cloth.used):
                if top + height > sheet.length:
                    break
                runs = free_runs(sheet.width, sheet.flaws, top, top + height)
                if any(end - x >= width for x, end in runs):
                    cloth.used = top + height
                    return _Shelf(n, top, height, runs, sheet.width)
    return None
