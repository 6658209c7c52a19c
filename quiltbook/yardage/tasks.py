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
from quiltbook.yardage.cloths import Cloth

FINEST = 3125  # nm: divides 1/64 in and 0.1 mm alike
_MOST_UNITS = 50_000_000  # a side: the solver's edges overflow near 1e9


class Kind(NamedTuple):
    width: int
    length: int
    turn: bool

    @property
    def area(self) -> int:
        return self.width * self.length


class Sheet(NamedTuple):
    """`copies` cloths alike."""

    width: int
    length: int
    one_way: bool
    flaws: tuple[Box, ...]
    fabric: str
    copies: int

    @property
    def area(self) -> int:
        return self.width * self.length


class Length(NamedTuple):
    """One rectangle of a bundle: its kind, and its number in a joined patch."""

    kind: int
    part: int | None


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
        kind = self.kinds[put.kind]
        width, length = (kind.length, kind.width) if put.turned else (kind.width, kind.length)
        return Box(put.x, put.y, put.x + width, put.y + length)

    def area(self, counts: Counts) -> int:
        return sum(n * kind.area for n, kind in zip(counts, self.kinds, strict=True))

    def bound_to_fabrics(self) -> bool:
        """Whether it matters which fabric a rectangle lies on."""
        return len({sheet.fabric for sheet in self.sheets}) > 1 and any(len(b.pieces) > 1 for b in self.bundles)


def as_sheet(cloth: Cloth, most: int) -> Sheet:
    """A cloth as a sheet; more copies than `most` can't be needed."""
    boxes = (Box(f.x, f.y, f.x + f.width, f.y + f.length) for f in cloth.flaws)
    flaws = tuple(sorted({inside for box in boxes if (inside := clipped(box, cloth.width, cloth.length))}))
    return Sheet(cloth.width, cloth.length, cloth.one_way, flaws, cloth.fabric, min(cloth.count, most))


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
        kinds=tuple(Kind(-(-k.width // unit), -(-k.length // unit), k.turn) for k in task.kinds),
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
        tuple(_sheet(*row) for row in data["sheets"]),  # type: ignore[arg-type]
        tuple(Kind(*row) for row in data["kinds"]),  # type: ignore[arg-type]
        tuple(_bundle(*row) for row in data["bundles"]),  # type: ignore[arg-type]
    )


def _sheet(width: int, length: int, one_way: bool, flaws: list[list[int]], fabric: str, copies: int) -> Sheet:
    return Sheet(width, length, one_way, tuple(Box(*flaw) for flaw in flaws), fabric, copies)


def _bundle(patch: int, patches: int, pieces: list[tuple[int, int | None]], copies: int) -> Bundle:
    return Bundle(patch, patches, tuple(Length(*piece) for piece in pieces), copies)
