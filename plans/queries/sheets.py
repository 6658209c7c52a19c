"""What do a plan's sheets look like? Each cloth with its drawing, its numbered cuts and ticks, what lies on it and what will be left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch, QuerySet

from plans.models import CuttingSheet, Miscut, Plan, SheetCloth, SheetLine
from plans.queries.says import PARTS
from plans.queries.worked import Fault, Worked
from quiltbook.measures import Size
from quiltbook.people.models import Person
from quiltbook.yardage.cutting import ClothLayout, Cut, Offcut, Placement
from quiltbook.yardage.layouts import Reserved, Usable
from stash.models import Hold, Piece


@dataclass(frozen=True, slots=True)
class MiscutRow:
    id: int
    count: int
    note: str


@dataclass(frozen=True, slots=True)
class LineRow:
    """What a letter on the drawing is, and how many of it lie on this cloth. Of a joined strip: the `length`-th of its `lengths`, and
    `cut` is the size of that one; else both are None and `cut` is the size of the patch."""

    id: int
    label: str
    role: str
    part: str
    size: Size
    cut: Size
    length: int | None
    lengths: int | None
    count: int
    good: int
    miscuts: tuple[MiscutRow, ...]


@dataclass(frozen=True, slots=True)
class OffcutRow:
    """An offcut expected, or come: `held_for` says which plan waits for it."""

    id: int
    name: str
    size: Size
    held_for: str
    fabric_id: int


@dataclass(frozen=True, slots=True)
class ClothRow:
    """One cloth of a sheet. `state`: "to cut", "waiting", "cut" or "released"."""

    id: int
    piece_id: int
    name: str
    place: str
    size: Size
    state: str
    waits_for: str
    freed: bool
    layout: ClothLayout
    drawn_size: Size
    lines: tuple[LineRow, ...]
    offcuts: tuple[OffcutRow, ...]
    ticks: frozenset[int]
    to_wash: bool = False

    @property
    def ticked(self) -> int:
        return len(self.ticks)


@dataclass(frozen=True, slots=True)
class UncutRow:
    role: str
    part: str
    size: Size
    count: int


@dataclass(frozen=True, slots=True)
class SheetRow:
    id: int
    plan_id: int
    plan_name: str
    fabric_id: int
    fabric: str
    colour: str
    photo_url: str
    one_way: bool
    state: str
    method: str
    effort: str
    stood_in: bool
    short: bool
    cloths: tuple[ClothRow, ...]
    uncut: tuple[UncutRow, ...]
    handbook: dict[str, Any]

    @property
    def waiting(self) -> bool:
        return any(cloth.state == "waiting" for cloth in self.cloths)

    @property
    def to_wash(self) -> tuple[ClothRow, ...]:
        """Those that were laid out as they may be once washed, which must come first."""
        return tuple(cloth for cloth in self.cloths if cloth.to_wash)

    @property
    def standing(self) -> int:
        return sum(cloth.state != "released" for cloth in self.cloths)

    @property
    def to_cut(self) -> int:
        return sum(cloth.state in ("to cut", "waiting") for cloth in self.cloths)

    @property
    def missing(self) -> int:
        return sum(row.count for row in self.uncut)


def drafts(plan: Plan, work: Worked) -> tuple[SheetRow, ...]:
    return _rows(CuttingSheet.objects.drafts().filter(plan=plan), _names(work))


def confirmed(plan: Plan, work: Worked | Fault) -> tuple[SheetRow, ...]:
    """Sheets to cut and cut, those still to cut first."""
    rows = _rows(CuttingSheet.objects.standing().filter(plan=plan), _names(work))
    return tuple(sorted(rows, key=lambda row: (row.to_cut == 0, row.id)))


def sheet(*, owner: Person, plan_id: int, sheet_id: int, work: Worked | Fault) -> SheetRow:
    """One sheet of the owner's, its roles named as its plan has them; raises CuttingSheet.DoesNotExist."""
    found = CuttingSheet.objects.of(owner).filter(plan_id=plan_id, pk=sheet_id)
    rows = _rows(found, _names(work))
    if not rows:
        raise CuttingSheet.DoesNotExist
    return rows[0]


def _names(work: Worked | Fault) -> dict[str, str]:
    return {} if isinstance(work, Fault) else {role.key: role.name for role in work.roles}


def _rows(found: QuerySet[CuttingSheet], names: dict[str, str]) -> tuple[SheetRow, ...]:
    lines = SheetLine.objects.prefetch_related("miscuts")
    cloths = SheetCloth.objects.select_related("piece__sheet_offcut__cloth__sheet__plan").prefetch_related(
        Prefetch("lines", queryset=lines), "offcuts__piece"
    )
    sheets = found.select_related("fabric", "plan").prefetch_related(Prefetch("cloths", queryset=cloths))
    held = _held_for(sheets)
    return tuple(_row(row, names, held) for row in sheets)


def _held_for(sheets: QuerySet[CuttingSheet]) -> dict[int, str]:
    live = Hold.objects.live().filter(piece__sheet_offcut__cloth__sheet__in=sheets.values("pk"))
    return {hold.piece_id: hold.reason for hold in live}


def _row(row: CuttingSheet, names: dict[str, str], held: dict[int, str]) -> SheetRow:
    return SheetRow(
        id=row.pk,
        plan_id=row.plan_id,
        plan_name=row.plan.name,
        fabric_id=row.fabric_id,
        fabric=row.fabric.name,
        colour=row.fabric.colour,
        photo_url=row.fabric.photo.url if row.fabric.photo else "",
        one_way=row.fabric.one_way,
        state=row.state,
        method=row.method,
        effort=row.effort,
        stood_in=row.stood_in,
        short=row.short,
        cloths=tuple(_cloth(cloth, names, held) for cloth in row.cloths.all()),
        uncut=tuple(
            UncutRow(
                names.get(u["role"], "No longer in the plan"),
                PARTS[u["part"]],
                Size(u["width"], u["length"]),
                u["count"],
            )
            for u in row.uncut
        ),
        handbook=row.handbook,
    )


def _cloth(cloth: SheetCloth, names: dict[str, str], held: dict[int, str]) -> ClothRow:
    layout = layout_of(cloth)
    return ClothRow(
        id=cloth.pk,
        piece_id=cloth.piece_id,
        name=cloth.piece.name,
        place=cloth.piece.place,
        size=cloth.piece.size,
        state=_state(cloth),
        waits_for=_source(cloth.piece) if cloth.waiting else "",
        freed=cloth.freed,
        layout=layout,
        drawn_size=Size(cloth.layout["width"], cloth.layout["length"]),
        lines=tuple(_line(line, layout, names) for line in cloth.lines.all()),
        offcuts=tuple(
            OffcutRow(o.pk, o.piece.name, o.piece.size, held.get(o.piece_id, ""), o.piece.fabric_id)
            for o in cloth.offcuts.all()
        ),
        ticks=frozenset(cloth.ticks),
        to_wash=cloth.to_wash,
    )


def _state(cloth: SheetCloth) -> str:
    if cloth.cut_movement_id is not None:
        return "cut"
    if cloth.released_at is not None:
        return "released"
    return "waiting" if cloth.waiting else "to cut"


def _source(piece: Piece) -> str:
    """Whose cutting the piece will come from."""
    return piece.sheet_offcut.cloth.sheet.plan.name


def layout_of(cloth: SheetCloth) -> ClothLayout:
    """The engine's layout as it was kept."""
    kept = cloth.layout
    return ClothLayout(
        str(cloth.piece_id),
        1,
        tuple(Placement(**row) for row in kept["placements"]),
        tuple(Cut(**row) for row in kept["cuts"]),
        tuple(Offcut(**row) for row in kept["offcuts"]),
        reserved=tuple(Reserved(**row) for row in kept.get("reserved", ())),
        usable=Usable(**kept["usable"]) if kept.get("usable") else None,
    )


def _cut_size(line: SheetLine, layout: ClothLayout) -> Size:
    """As it is cut from this cloth: of a joined strip only the length that lies here."""
    for placed in layout.placements:
        if placed.part is not None and (placed.patch, placed.whole, placed.part) == (
            line.label,
            line.whole,
            line.join_part,
        ):
            return Size(placed.width, placed.length)
    return line.size


def _line(line: SheetLine, layout: ClothLayout, names: dict[str, str]) -> LineRow:
    kept: list[Miscut] = [m for m in line.miscuts.all() if m.taken_back_at is None]
    return LineRow(
        id=line.pk,
        label=line.label,
        role=names.get(line.role, "No longer in the plan"),
        part=PARTS[line.part],
        size=line.size,
        cut=_cut_size(line, layout),
        length=line.join_part,
        lengths=line.join_of,
        count=line.count,
        good=line.good,
        miscuts=tuple(MiscutRow(m.pk, m.count, m.note) for m in kept),
    )
