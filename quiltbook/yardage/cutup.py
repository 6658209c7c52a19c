"""How is one cloth best cut, given some ways of laying its patches on it?

Every way is closed up, cut up in the orders that the method allows, and weighed: the largest offcut, then the fewest settings of the ruler, then
all that is kept, then the fewest cuts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.yardage.boxes import Box, clear
from quiltbook.yardage.guillotine import ACROSS, ALONG, Cutter, Item, NotEdgeToEdge, Part, numbered, tidied
from quiltbook.yardage.layouts import Cut
from quiltbook.yardage.tasks import Put, Task, lies


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One cloth cut up: `boxes` are where its rectangles lie, each with its kind."""

    sheet: int
    boxes: tuple[tuple[Box, int], ...]
    offcuts: tuple[Box, ...]
    cuts: tuple[Cut, ...]

    @property
    def largest(self) -> int:
        return max((box.area for box in self.offcuts), default=0)

    @property
    def kept(self) -> int:
        return sum(box.area for box in self.offcuts)

    @property
    def settings(self) -> int:
        """How many different measures the ruler is set to."""
        return len({cut.setting for cut in self.cuts})

    def worth(self) -> tuple[int, int, int, int]:
        """Less is better."""
        return -self.largest, self.settings, -self.kept, len(self.cuts)


def best_cut(task: Task, sheet: int, layouts: Sequence[Sequence[Put]], *, least: int, close: bool) -> CutSheet:
    """The best way to cut the cloth; without `close`, strips across and no other. Raises `NotEdgeToEdge` if a layout is not one that can be cut."""
    found = [one for puts in layouts for one in _ways(task, sheet, puts, least, close=close)]
    return min(found, key=CutSheet.worth)


def _ways(task: Task, sheet: int, puts: Sequence[Put], least: int, *, close: bool) -> Iterator[CutSheet]:
    flaws = task.sheets[sheet].flaws
    cloth = Box(0, 0, task.sheets[sheet].width, task.sheets[sheet].length)
    items = [Item(task.box(put), put.kind) for put in puts]
    for put, item in zip(puts, items, strict=True):
        turned_wrong = put.turned not in lies(task.sheets[sheet], task.kinds[put.kind])
        if turned_wrong or not _inside(item.box, cloth) or not clear(item.box, flaws):
            raise NotEdgeToEdge
    for first in (ACROSS, ALONG) if close else (ACROSS,):
        for merge in (False, True) if close else (False,):
            laid = items if flaws else tidied(items, first, fullest_first=merge)
            part = Cutter(flaws, least, merge).cut_up(cloth, laid, first)
            yield _cut_sheet(sheet, part)


def _inside(box: Box, cloth: Box) -> bool:
    return box.x0 >= 0 and box.y0 >= 0 and box.x1 <= cloth.x1 and box.y1 <= cloth.y1


def _cut_sheet(sheet: int, root: Part) -> CutSheet:
    leaves = list(root.leaves())
    boxes = tuple((leaf.box, leaf.tag) for leaf in leaves if leaf.tag is not None)
    offcuts = tuple(leaf.box for leaf in leaves if leaf.what == "offcut")
    return CutSheet(sheet, boxes, offcuts, tuple(numbered(root)))
