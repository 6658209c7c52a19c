"""How much cloth surely holds the motifs of a fussy cut, when only the size of the print's repeat is known?

Where a repeat begins is seen on the cloth alone. The first whole motif begins less than a repeat from any edge and the others follow by
whole repeats, so a rectangle `n` repeats and one patch wide holds `n` across wherever it lies. Such rectangles are reserved, and cut by eye.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.yardage.cloths import Repeat
from quiltbook.yardage.layouts import Wanted
from quiltbook.yardage.tasks import Kind, Sheet, lies


@dataclass(frozen=True, slots=True)
class Lattice:
    """How the motifs for one patch follow each other on one print: every `pitch`, in nm, so many `each` time.

    A patch that is larger than the repeat takes every second one, or third. Where as many patches as are asked for don't go side by
    side on a repeat, their motifs would cut into each other, and a repeat gives one.
    """

    patch: Wanted
    repeat: Repeat

    @property
    def pitch(self) -> tuple[int, int]:
        times = -(-self.patch.width // self.repeat.width), -(-self.patch.length // self.repeat.length)
        return times[0] * self.repeat.width, times[1] * self.repeat.length

    @property
    def each(self) -> int:
        beside = (self.repeat.width // self.patch.width) * (self.repeat.length // self.patch.length)
        asked = self.patch.per_repeat or 0
        return asked if asked <= beside else 1

    def size(self, across: int, rows: int) -> tuple[int, int]:
        """Width and length of a rectangle that surely holds so many."""
        return (
            (across - 1) * self.pitch[0] + self.repeat.width + self.patch.width,
            (rows - 1) * self.pitch[1] + self.repeat.length + self.patch.length,
        )

    def within(self, width: int, length: int) -> tuple[int, int]:
        """How many across and how many rows a rectangle surely holds, either of them perhaps 0."""
        across = (width - self.patch.width - self.repeat.width) // self.pitch[0] + 1
        rows = (length - self.patch.length - self.repeat.length) // self.pitch[1] + 1
        return max(across, 0), max(rows, 0)

    def holds(self, width: int, length: int) -> int:
        """How many patches a rectangle surely gives."""
        across, rows = self.within(width, length)
        return across * rows * self.each


@dataclass(frozen=True, slots=True)
class Picking:
    """`copies` patches come from rectangles of the repeat number `repeat` that hold up to `most` each."""

    level: int
    copies: int
    repeat: int
    lattice: Lattice
    most: int

    def sets(self) -> Iterator[tuple[int, int]]:
        """How many patches are cut as one, and how often: those of one fabric together, a rectangle's worth where they go in it."""
        alike = self.lattice.patch.alike
        together = max(self.most // alike * alike, alike)
        whole, rest = divmod(self.copies, together)
        for patches, times in ((together, whole), (rest // alike * alike, 1), (rest % alike, 1)):
            if patches and times:
                yield patches, times

    def rectangles(self, patches: int) -> list[int]:
        """How many of them come from each rectangle."""
        whole, rest = divmod(patches, self.most)
        return [self.most] * whole + ([rest] if rest else [])

    def kind(self, patches: int, sheets: Sequence[Sheet], *, wide: bool) -> Kind:
        """The rectangle that holds so many and goes on some sheet: the least in area, or the widest."""
        patch, best = self.lattice.patch, None
        for across in range(1, -(-patches // self.lattice.each) + 1):
            kind = _kind(self, across, -(-patches // (self.lattice.each * across)))
            worth = (-across, 0) if wide else (kind.area, across)
            if (best is None or worth < best[0]) and any(_goes_on(sheet, kind) for sheet in sheets):
                best = worth, kind
            if kind.width > max(sheet.width for sheet in sheets):
                break
        if best is None:
            raise ValueError(f"{patches} of {patch.id} go on no sheet")
        return best[1]


def _kind(picking: Picking, across: int, rows: int) -> Kind:
    width, length = picking.lattice.size(across, rows)
    return Kind(width, length, False, picking.lattice.patch.stripes, picking.repeat)


def _goes_on(sheet: Sheet, kind: Kind) -> bool:
    return bool(lies(sheet, kind)) and kind.width <= sheet.width and kind.length <= sheet.length


def picking(
    patch: Wanted, repeats: Sequence[Repeat], sheets: Sequence[Sheet], *, copies: int, level: int, small: bool
) -> Picking | None:
    """How that many fussy cuts are reserved at that level: ever smaller rectangles of each repeat in turn.

    `small`: to begin with, none larger than the cloth with fewest motifs gives. None where the cloths have no such level.
    """
    levels: list[tuple[int, Lattice, int]] = []
    for number, repeat in enumerate(repeats, 1):
        lattice = Lattice(patch, repeat)
        alone = Kind(1, 1, False, patch.stripes, number)
        held = [lattice.holds(s.width, s.length) for s in set(sheets) if s.copies and lies(s, alone)]
        held = [n for n in held if n]
        if held:
            most = min(patch.count, min(held) if small else max(held))
            levels += [(number, lattice, m) for m in _halved(most)]
    if level >= len(levels):
        return None
    number, lattice, most = levels[level]
    return Picking(level, copies, number, lattice, most)


def _halved(most: int) -> Iterator[int]:
    while most:
        yield most
        most //= 2
