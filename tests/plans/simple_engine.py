"""A cutting engine small enough to be sure of, for tests of what is done with its answers: one shelf after another, nothing turned.

It answers as the real one does (inside the cloth, no overlap, edge to edge), only less well; the real one has its own tests."""

from dataclasses import dataclass, field

from quiltbook.yardage.cutting import ClothLayout, CuttingJob, Layout, Offcut, Placement, Uncut


@dataclass
class Shelf:
    """A strip across the cloth, filled from the left."""

    y: int
    height: int
    x: int = 0


@dataclass
class Sheet:
    width: int
    length: int
    shelves: list[Shelf] = field(default_factory=list)
    placed: list[Placement] = field(default_factory=list)

    @property
    def used(self) -> int:
        return self.shelves[-1].y + self.shelves[-1].height if self.shelves else 0

    def place(self, patch: str, width: int, length: int) -> bool:
        for shelf in self.shelves:
            if shelf.height >= length and shelf.x + width <= self.width:
                return self._put(shelf, patch, width, length)
        if width > self.width or self.used + length > self.length:
            return False
        self.shelves.append(Shelf(self.used, length))
        return self._put(self.shelves[-1], patch, width, length)

    def _put(self, shelf: Shelf, patch: str, width: int, length: int) -> bool:
        self.placed.append(Placement(patch, None, shelf.x, shelf.y, width, length))
        shelf.x += width
        return True


def lay_out(job: CuttingJob) -> Layout:
    """Place what fits, the tallest first, on the cloths in the order given."""
    sheets = {cloth.id: Sheet(cloth.width, cloth.length) for cloth in job.cloths}
    uncut: dict[str, int] = {}
    for wanted in sorted(job.patches, key=lambda w: -w.length):
        for _ in range(wanted.count):
            if not any(sheet.place(wanted.id, wanted.width, wanted.length) for sheet in sheets.values()):
                uncut[wanted.id] = uncut.get(wanted.id, 0) + 1
    cloths = tuple(_cloth(name, sheet, job.least_offcut) for name, sheet in sheets.items() if sheet.placed)
    used = sum(p.width * p.length for cloth in cloths for p in cloth.placements)
    offcuts = sum(o.width * o.length for cloth in cloths for o in cloth.offcuts)
    opened = sum(sheets[cloth.id].width * sheets[cloth.id].length for cloth in cloths)
    return Layout(
        method=job.method,
        effort=job.effort,
        stood_in=False,
        cloths=cloths,
        uncut=tuple(Uncut(name, count) for name, count in uncut.items()),
        used_area=used,
        offcut_area=offcuts,
        waste_area=opened - used - offcuts,
        handbook=None,
    )


def _cloth(name: str, sheet: Sheet, least: int) -> ClothLayout:
    left = sheet.length - sheet.used
    offcuts = (Offcut(0, sheet.used, sheet.width, left),) if left >= least and sheet.width >= least and left else ()
    return ClothLayout(name, 1, tuple(sheet.placed), (), offcuts)
