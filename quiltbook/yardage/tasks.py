"""What does a cutting job come to for whoever packs rectangles? Kinds of rectangles, sheets to lay them on, and bundles.

A bundle is laid whole, in one fabric, or not at all: six petals of a flower, the lengths of a joined strip. A task has no names and
one unit, so that it goes to the solver's process and back as bare numbers.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import gcd
from typing import NamedTuple

from quiltbook.yardage.boxes import Box, clipped
from quiltbook.yardage.cloths import Cloth, ways

FINEST = 3125  # nm: divides 1/64 in and 0.1 mm alike
_MOST_UNITS = 50_000_000  # a side: the solver's edges overflow near 1e9


class Kind(NamedTuple):
    """`repeat`: the number of the print's repeat that a sheet must have to take it; 0 where any sheet will do."""

    width: int
    length: int
    turn: bool
    stripes: str | None = None
    repeat: int = 0

    @property
    def area(self) -> int:
        return self.width * self.length

    def lying(self, *, turned: bool) -> tuple[int, int]:
        """Its size across the sheet and along it."""
        return (self.length, self.width) if turned else (self.width, self.length)


class Sheet(NamedTuple):
    """`copies` cloths alike. `repeat`: the number of the print's repeat, 0 where it has none that matters."""

    width: int
    length: int
    one_way: bool
    flaws: tuple[Box, ...]
    fabric: str
    copies: int
    stripes: str | None = None
    repeat: int = 0

    @property
    def likeness(self) -> tuple[object, ...]:
        """What settles which rectangles go on it, and where."""
        return self.width, self.length, self.one_way, self.flaws, self.stripes, self.repeat

    @property
    def area(self) -> int:
        return self.width * self.length


class Length(NamedTuple):
    """One rectangle of a bundle: its kind, its number in a joined patch, and how many motifs are to be cut from it by eye."""

    kind: int
    part: int | None
    motifs: int = 0


class Bundle(NamedTuple):
    """`copies` bundles, each of `patches` patches number `patch` of the job, made of these rectangles."""

    patch: int
    patches: int
    pieces: tuple[Length, ...]
    copies: int

    def needs(self) -> Counter[int]:
        return Counter(piece.kind for piece in self.pieces)


class Put(NamedTuple):
    """A rectangle laid: `turned`, its kind's width runs along the sheet."""

    kind: int
    x: int
    y: int
    turned: bool


class Laid(NamedTuple):
    """One copy of a sheet, and what is laid on it."""

    sheet: int
    puts: tuple[Put, ...]


type Counts = tuple[int, ...]  # by kind


@dataclass(frozen=True, slots=True)
class Task:
    sheets: tuple[Sheet, ...]
    kinds: tuple[Kind, ...]
    bundles: tuple[Bundle, ...]

    def counts(self) -> Counts:
        """How many rectangles of each kind there are to lay."""
        total: Counter[int] = Counter()
        for bundle in self.bundles:
            for kind, each in bundle.needs().items():
                total[kind] += each * bundle.copies
        return tuple(total[k] for k in range(len(self.kinds)))

    def box(self, put: Put) -> Box:
        width, length = self.kinds[put.kind].lying(turned=put.turned)
        return Box(put.x, put.y, put.x + width, put.y + length)

    def area(self, counts: Counts) -> int:
        return sum(n * kind.area for n, kind in zip(counts, self.kinds, strict=True))

    def bound_to_fabrics(self) -> bool:
        """Whether it matters which fabric a rectangle lies on."""
        return len({sheet.fabric for sheet in self.sheets}) > 1 and any(len(b.pieces) > 1 for b in self.bundles)


def lies(sheet: Sheet, kind: Kind) -> tuple[bool, ...]:
    """How a rectangle may lie on a sheet, were that large enough: not turned, turned, both, or neither. A square is never turned."""
    if kind.repeat and kind.repeat != sheet.repeat:
        return ()
    allowed = ways(turn=kind.turn, stripes=kind.stripes, one_way=sheet.one_way, cloth_stripes=sheet.stripes)
    return (False,) if allowed and kind.width == kind.length else allowed


def as_sheet(cloth: Cloth, most: int, repeat: int = 0) -> Sheet:
    """A cloth as a sheet; more copies than `most` can't be needed. `repeat`: the number of its print's repeat."""
    boxes = (Box(f.x, f.y, f.x + f.width, f.y + f.length) for f in cloth.flaws)
    flaws = tuple(sorted({inside for box in boxes if (inside := clipped(box, cloth.width, cloth.length))}))
    copies = min(cloth.count, most)
    return Sheet(cloth.width, cloth.length, cloth.one_way, flaws, cloth.fabric, copies, cloth.stripes, repeat)


def laid_counts(task: Task, laid: Iterable[Laid]) -> Counts:
    total = Counter(put.kind for one in laid for put in one.puts)
    return tuple(total[k] for k in range(len(task.kinds)))


def less(counts: Counts, taken: Sequence[int]) -> Counts:
    return tuple(a - b for a, b in zip(counts, taken, strict=True))


# --- bundles ---------------------------------------------------------------------------------------------------------


def whole_bundles(task: Task, laid: Sequence[Laid]) -> dict[str, list[tuple[Bundle, int]]]:
    """How many of each bundle what is laid makes, by fabric; large bundles first, so that single rectangles use up the rest."""
    have: dict[str, Counter[int]] = {}
    for one in laid:
        have.setdefault(task.sheets[one.sheet].fabric, Counter()).update(put.kind for put in one.puts)
    bundles = sorted(task.bundles, key=lambda bundle: -len(bundle.pieces))
    left = [bundle.copies for bundle in bundles]
    made: dict[str, list[tuple[Bundle, int]]] = {}
    for fabric, pool in have.items():
        made[fabric] = []
        for n, bundle in enumerate(bundles):
            needs = bundle.needs()
            copies = min(left[n], *(pool[kind] // each for kind, each in needs.items()))
            if copies > 0:
                left[n] -= copies
                pool.subtract({kind: each * copies for kind, each in needs.items()})
                made[fabric].append((bundle, copies))
    return made


def kept(task: Task, laid: Sequence[Laid]) -> list[Laid]:
    """What is laid without the rectangles that make no whole bundle: the last laid go first."""
    room: dict[str, Counter[int]] = {}
    for fabric, made in whole_bundles(task, laid).items():
        pool = room.setdefault(fabric, Counter())
        for bundle, copies in made:
            pool.update({kind: each * copies for kind, each in bundle.needs().items()})
    rest = []
    for one in laid:
        pool = room[task.sheets[one.sheet].fabric]
        puts = []
        for put in one.puts:
            if pool[put.kind]:
                pool[put.kind] -= 1
                puts.append(put)
        if puts:
            rest.append(Laid(one.sheet, tuple(puts)))
    return rest


# --- the solver's unit -----------------------------------------------------------------------------------------------


def common_unit(task: Task) -> int:
    """The unit in nm that the solver's whole numbers count: what measures all sizes, where that is coarse enough."""
    sides = [side for sheet in task.sheets for side in (sheet.width, sheet.length)]
    sides += [edge for sheet in task.sheets for flaw in sheet.flaws for edge in flaw]
    sides += [side for kind in task.kinds for side in (kind.width, kind.length)]
    unit = max(gcd(*sides), FINEST)
    while max(sides) // unit > _MOST_UNITS:
        unit *= 2
    return unit


def in_units(task: Task, unit: int) -> Task:
    """The task in whole units: cloth rounded down, patches and flaws up. Kinds and sheets keep their places."""
    return replace(
        task,
        sheets=tuple(_sheet_in_units(sheet, unit) for sheet in task.sheets),
        kinds=tuple(k._replace(width=-(-k.width // unit), length=-(-k.length // unit)) for k in task.kinds),
    )


def _sheet_in_units(sheet: Sheet, unit: int) -> Sheet:
    width, length = sheet.width // unit, sheet.length // unit
    outward = (Box(f.x0 // unit, f.y0 // unit, -(-f.x1 // unit), -(-f.y1 // unit)) for f in sheet.flaws)
    flaws = tuple(inside for box in outward if (inside := clipped(box, width, length)))
    return sheet._replace(width=width, length=length, flaws=flaws)


# --- to the solver's process and back --------------------------------------------------------------------------------


def to_json(task: Task) -> dict[str, object]:
    return {"sheets": task.sheets, "kinds": task.kinds, "bundles": task.bundles}


def from_json(data: Mapping[str, Sequence[Sequence[object]]]) -> Task:
    """The task that `to_json` wrote, read back in the solver's process."""
    return Task(
        tuple(_sheet(Sheet(*row)) for row in data["sheets"]),  # type: ignore[arg-type]
        tuple(Kind(*row) for row in data["kinds"]),  # type: ignore[arg-type]
        tuple(_bundle(*row) for row in data["bundles"]),  # type: ignore[arg-type]
    )


def _sheet(sheet: Sheet) -> Sheet:
    return sheet._replace(flaws=tuple(Box(*flaw) for flaw in sheet.flaws))


def _bundle(patch: int, patches: int, pieces: list[tuple[int, int | None, int]], copies: int) -> Bundle:
    return Bundle(patch, patches, tuple(Length(*piece) for piece in pieces), copies)
