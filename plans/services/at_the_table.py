"""What happens at the cutting table? Cuts are ticked; a cloth is recorded as cut in one movement, with its offcuts as she measured
them; a cut is undone; patches are spoiled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from django.db import transaction

from plans.models import CuttingSheet, Miscut, SheetCloth, SheetLine, SheetOffcut
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError
from plans.services.rows import patches_mm2
from plans.services.sheets import expect_offcuts, settle
from plans.services.short import lose, mark_short
from quiltbook.measures import Size, mm2
from stash.models import Movement, Piece
from stash.services import holds, ledger, offcuts
from stash.services.errors import StashError

# Cloth gives a little under the ruler: so much more than the whole may its parts measure. Common practice, no source.
STRETCH = Fraction(102, 100)


@dataclass(frozen=True, slots=True)
class Kept:
    """An offcut as it came out, and where it was put."""

    size: Size
    place: str


@transaction.atomic
def tick(*, cloth: SheetCloth, number: int, done: bool) -> SheetCloth:
    """Mark one cut as made, or not. A tick is a mark on the sheet, no change of cloth."""
    cloth = SheetCloth.objects.select_for_update().get(pk=cloth.pk)
    if number not in {cut["number"] for cut in cloth.layout["cuts"]}:
        raise PlanError("There is no such cut on this cloth.")
    cloth.ticks = sorted({*cloth.ticks, number} if done else set(cloth.ticks) - {number})
    cloth.save(update_fields=["ticks"])
    return cloth


@transaction.atomic
def record_cut(*, cloth: SheetCloth, measured: Mapping[int, Kept | None], day: date, now: datetime) -> Movement:
    """The cloth is cut: it ends, and its offcuts come to the shelf as `measured` (by SheetOffcut id; None: not worth keeping; one that
    is not named comes as expected, to where the cloth lay). Sheets that wait for an offcut that came out smaller are marked short."""
    cloth = _locked(cloth)
    if cloth.piece.expected:
        raise PlanError("This cloth is still to come from another sheet: cut that one first.")
    rows = list(cloth.offcuts.select_related("piece__fabric"))
    coming, lost = [], []
    for row in rows:
        kept = measured.get(row.pk, Kept(row.piece.size, cloth.piece.place))
        if kept is None:
            lost.append(row)
        else:
            _fits(kept.size, cloth, row)
            coming.append(ledger.Coming(_as_measured(row, kept.size), kept.place))
    patches = 0 if cloth.freed else patches_mm2(cloth)
    if patches + sum(line.piece.area_mm2 for line in coming) > cloth.piece.area_mm2 * STRETCH:
        raise PlanError("Together with its patches, what is left over is larger than the cloth was: measure it again.")
    for row in lost:
        lose(row, now)
    if cloth.hold is not None:
        holds.release(holds=[cloth.hold], now=now)
    left_over = cloth.piece.area_mm2 - patches - sum(mm2(row.width, row.length) for row in rows)
    cloth.cut_movement = ledger.record(
        owner=cloth.sheet.plan.owner,
        kind=Movement.Kind.CUT,
        day=day,
        now=now,
        leaving=[cloth.piece],
        coming=coming,
        patches_mm2=patches,
        waste_mm2=max(0, left_over) + sum(mm2(row.width, row.length) for row in lost),
        note=f"For {cloth.sheet.plan.name}",
        link=cloth.sheet.get_absolute_url(),
    )
    cloth.save(update_fields=["cut_movement"])
    settle(cloth.sheet)
    touch(cloth.sheet.plan, now)
    return cloth.cut_movement


@transaction.atomic
def undo_cut(*, cloth: SheetCloth, day: date, now: datetime) -> SheetCloth:
    """Take back "it is cut": the cloth is on the shelf again, held again, and its offcuts are expected again. Refused while an offcut
    has moved or is held by another, and once the quilt is finished or given up: such a one holds no cloth."""
    cloth = SheetCloth.objects.select_for_update().select_related("sheet__plan", "piece__fabric").get(pk=cloth.pk)
    if cloth.cut_movement is None:
        raise PlanError("This cloth is not recorded as cut.")
    refuse_if_over(cloth.sheet.plan)
    try:
        ledger.reverse(movement=cloth.cut_movement, day=day, now=now, link=cloth.sheet.get_absolute_url())
    except StashError as why:
        raise PlanError(str(why)) from why
    cloth.piece.refresh_from_db()
    [cloth.hold] = holds.hold(
        pieces=[cloth.piece], reason=cloth.sheet.plan.name, link=cloth.sheet.get_absolute_url(), now=now
    )
    cloth.cut_movement = None
    cloth.save(update_fields=["cut_movement", "hold"])
    # The size of a piece that has lain on the shelf never changes, so the offcuts to come are new rows.
    sides = ("x", "y", "width", "length")
    rectangles = [dict(zip(sides, row, strict=True)) for row in cloth.offcuts.values_list(*sides)]
    cloth.offcuts.all().delete()
    expect_offcuts(cloth, rectangles)
    settle(cloth.sheet)
    return cloth


@transaction.atomic
def spoil(*, line: SheetLine, count: int, note: str, now: datetime) -> Miscut:
    """Patches were miscut: they count no more, so the plan needs as many again, from free cloth."""
    line = SheetLine.objects.select_for_update().select_related("cloth__sheet__plan").get(pk=line.pk)
    if line.cloth.sheet.state not in (CuttingSheet.State.TO_CUT, CuttingSheet.State.CUT) or line.cloth.released_at:
        raise PlanError("Only cloth that is being cut, or was, can be miscut.")
    refuse_if_over(line.cloth.sheet.plan)
    if not 0 < count <= line.good:
        raise PlanError(f"Between 1 and {line.good} of these can have been spoiled.")
    return Miscut.objects.create(line=line, count=count, note=note, recorded_at=now)


@transaction.atomic
def take_back_miscut(*, miscut: Miscut, now: datetime) -> None:
    Miscut.objects.filter(pk=miscut.pk, taken_back_at=None).update(taken_back_at=now)


def _locked(cloth: SheetCloth) -> SheetCloth:
    cloth = (
        SheetCloth.objects.select_for_update(of=("self",))
        .select_related("sheet__plan__owner", "piece__fabric", "hold")
        .get(pk=cloth.pk)
    )
    if cloth.cut_movement_id is not None:
        raise PlanError("This cloth is recorded as cut already.")
    if cloth.released_at is not None or cloth.sheet.state != CuttingSheet.State.TO_CUT:
        raise PlanError("This cloth is not held for cutting any more.")
    return cloth


def _fits(size: Size, cloth: SheetCloth, row: SheetOffcut) -> None:
    across, along = sorted([cloth.piece.width, cloth.piece.length])
    short, long = sorted([size.width, size.length])
    if short > across or long > along:
        raise PlanError(f"Offcut {row.piece.name} cannot be larger than the cloth it was cut from.")


def _as_measured(row: SheetOffcut, size: Size) -> Piece:
    smaller = size.width < row.piece.width or size.length < row.piece.length
    piece = offcuts.measured(piece=row.piece, size=size)
    if smaller:
        mark_short(piece)
    return piece
