"""What if an offcut comes out smaller than a waiting sheet counted on? The sheet is marked short at once, in the same transaction; then
it is laid out again on what came, and what no longer fits is needed again. Its own offcuts shrink too, so this may go on down a chain."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet

from plans.models import CuttingSheet, SheetCloth, SheetOffcut
from plans.queries.real_cloth import cloth_of
from plans.services.rows import Marked, add_lines, drawing, given_back, marked_on
from plans.services.sheets import expect_offcuts, let_go, settle
from quiltbook.measures import Size
from quiltbook.people.models import Person
from quiltbook.yardage.cutting import ClothLayout, CuttingJob, Layout, Placement, Wanted
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from stash.models import Hold, Piece
from stash.services import holds, offcuts


@dataclass(frozen=True, slots=True)
class Slot:
    """What the placements that are alike on a cloth stand for."""

    patch: str
    whole: int | None
    part: int | None
    width: int
    length: int
    by_eye: bool


def mark_short(piece: Piece) -> None:
    """Mark the sheets that are still to cut this piece."""
    waiting = SheetCloth.objects.filter(piece=piece, cut_movement=None, released_at=None)
    CuttingSheet.objects.filter(cloths__in=waiting, state=CuttingSheet.State.TO_CUT).update(short=True)


def lose(row: SheetOffcut, now: datetime) -> None:
    """An offcut that will not come, or is not kept: whoever waited for it is marked short and holds it no more."""
    mark_short(row.piece)
    holds.release(holds=list(Hold.objects.live().filter(piece=row.piece)), now=now)
    offcuts.no_longer_expect(pieces=[row.piece])


def lay_short_again(
    *, owner: Person, now: datetime, lay_out: Callable[[CuttingJob], Layout] = engine_lay_out
) -> list[CuttingSheet]:
    """Lay out again every uncut cloth whose piece is smaller than its layout, or gone. The engine is asked outside transactions; each
    cloth is then changed in one. Returns the sheets that changed."""
    changed: dict[int, CuttingSheet] = {}
    while (cloth := _next_short(owner)) is not None:
        layout = _fitted(cloth, lay_out) if cloth.piece.on_shelf or cloth.piece.expected else None
        _swap(cloth, layout, now)
        changed[cloth.sheet_id] = cloth.sheet
    return list(changed.values())


def _next_short(owner: Person) -> SheetCloth | None:
    return next((cloth for cloth in _uncut(owner) if _is_short(cloth)), None)


def _uncut(owner: Person) -> QuerySet[SheetCloth]:
    """The cloths still to cut of her sheets that are marked short."""
    return SheetCloth.objects.filter(
        sheet__plan__owner=owner,
        sheet__short=True,
        sheet__state=CuttingSheet.State.TO_CUT,
        cut_movement=None,
        released_at=None,
    ).select_related("piece__fabric", "piece__sheet_offcut", "sheet__plan__owner", "hold")


def _is_short(cloth: SheetCloth) -> bool:
    piece = cloth.piece
    gone = not piece.on_shelf and not piece.expected
    return gone or piece.width < cloth.layout["width"] or piece.length < cloth.layout["length"]


def _fitted(cloth: SheetCloth, lay_out: Callable[[CuttingJob], Layout]) -> ClothLayout | None:
    """The cloth's own patches on the piece as it is now, or None when none fits."""
    slots = _slots(cloth)
    by_id = {str(number): slot for number, slot in enumerate(slots)}
    layout = lay_out(
        CuttingJob(
            cloths=(cloth_of(cloth.piece, cloth.piece.fabric),),
            patches=tuple(
                Wanted(number, slot.width, slot.length, slots[slot], turn=False, per_repeat=1 if slot.by_eye else None)
                for number, slot in by_id.items()
            ),
            method=cloth.sheet.method,
            effort="quick",
            least_offcut=cloth.sheet.plan.least_offcut,
            straightening=cloth.sheet.plan.straightening,
        )
    )
    if not layout.cloths:
        return None
    [fitted] = layout.cloths
    return replace(
        fitted,
        placements=tuple(_as_slot(p, by_id[p.patch]) for p in fitted.placements),
        reserved=tuple(replace(one, patch=by_id[one.patch].patch) for one in fitted.reserved),
    )


def _slots(cloth: SheetCloth) -> Counter[Slot]:
    """What lies on the cloth, alike together. Of what is cut by eye a repeat is taken to give one, which is never too many."""
    marked: dict[str, Marked] = marked_on(cloth)
    placed = (Placement(**row) for row in cloth.layout["placements"])
    slots = Counter(Slot(p.patch, p.whole, p.part, p.width, p.length, by_eye=False) for p in placed)
    for one in cloth.layout.get("reserved", ()):
        size = marked[one["patch"]].size
        slots[Slot(one["patch"], None, None, int(size.width), int(size.length), by_eye=True)] += one["count"]
    return slots


def _as_slot(placement: Placement, slot: Slot) -> Placement:
    return replace(placement, patch=slot.patch, whole=slot.whole, part=slot.part)


@transaction.atomic
def _swap(cloth: SheetCloth, layout: ClothLayout | None, now: datetime) -> None:
    """Put the new layout in the place of the old, unless the cloth was cut or given back, or came out otherwise, while it was made."""
    size = cloth.piece.size
    fresh = _uncut(cloth.sheet.plan.owner).select_for_update(of=("self",)).filter(pk=cloth.pk).first()
    if fresh is None or fresh.piece.size != size:
        return
    cloth = fresh
    if layout is None:
        for row in cloth.offcuts.select_related("piece__fabric"):
            lose(row, now)
        let_go(cloth, now)
        settle(cloth.sheet)
        return
    marked, lines = marked_on(cloth), cloth.lines.exclude(whole=None)
    joins = {(line.label, line.whole): line.join_of or 1 for line in lines}
    cloth.layout = drawing(layout, cloth.piece.size, marked)
    cloth.ticks = []
    cloth.save(update_fields=["layout", "ticks"])
    cloth.lines.all().delete()
    add_lines(cloth, layout, marked, joins)
    _swap_offcuts(cloth, now)


def _swap_offcuts(cloth: SheetCloth, now: datetime) -> None:
    """The largest new offcuts go to the pieces somebody waits for, so that as few as can be are lost."""
    rectangles = list(cloth.layout["offcuts"])
    if cloth.freed:
        rectangles += given_back(cloth, cloth.sheet.plan.least_offcut)
    rectangles.sort(key=lambda r: r["width"] * r["length"], reverse=True)
    rows = _waited_for_first(cloth)
    for row, rectangle in zip(rows, rectangles, strict=False):
        row.x, row.y, row.width, row.length = (rectangle[side] for side in ("x", "y", "width", "length"))
        row.save(update_fields=["x", "y", "width", "length"])
        offcuts.measured(piece=row.piece, size=Size(row.width, row.length))
        mark_short(row.piece)
    for row in rows[len(rectangles) :]:
        lose(row, now)
        row.delete()
    expect_offcuts(cloth, rectangles[len(rows) :])


def _waited_for_first(cloth: SheetCloth) -> Sequence[SheetOffcut]:
    held = set(Hold.objects.live().filter(piece__sheet_offcut__cloth=cloth).values_list("piece_id", flat=True))
    rows = list(cloth.offcuts.select_related("piece__fabric"))
    return sorted(rows, key=lambda row: (row.piece_id in held, row.piece.area_mm2), reverse=True)
