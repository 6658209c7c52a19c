"""When is cloth promised, and how is it given back? Confirming a draft holds its pieces and creates their offcuts as expected ones;
releasing gives back all that is not cut, save cloth whose offcuts another sheet waits for: that is still cut, for offcuts only."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet

from plans.models import CuttingSheet, Plan, SheetCloth, SheetLine, SheetOffcut
from plans.models.plan import State
from plans.queries.needs import laid_on, needs
from plans.queries.worked import Fault, worked
from plans.services.changing import refuse_if_over, touch
from plans.services.errors import PlanError
from plans.services.rows import given_back
from quiltbook.measures import Size
from stash.models import Hold, Piece
from stash.services import holds, offcuts
from stash.services.errors import StashError


@transaction.atomic
def confirm(*, sheet: CuttingSheet, now: datetime) -> CuttingSheet:
    """Hold the draft's cloth. Raises PlanError, saying why, when the plan or the cloth has changed since it was laid out, or another
    sheet came first."""
    sheet = CuttingSheet.objects.select_for_update().select_related("plan", "fabric").get(pk=sheet.pk)
    if sheet.state != CuttingSheet.State.DRAFT:
        raise PlanError("This sheet has been confirmed already.")
    refuse_if_over(sheet.plan)
    cloths = list(sheet.cloths.select_related("piece"))
    if not cloths:
        raise PlanError("Nothing fits on the cloth there is, so there is nothing to hold.")
    _still_wanted(sheet, cloths)
    _same_cloth(cloths)
    try:
        held = holds.hold(
            pieces=[cloth.piece for cloth in cloths], reason=sheet.plan.name, link=sheet.get_absolute_url(), now=now
        )
    except StashError as clash:
        raise PlanError(f"{clash} Lay it out again on what is free.") from clash
    for cloth, hold in zip(cloths, held, strict=True):
        cloth.hold = hold
        cloth.save(update_fields=["hold"])
        expect_offcuts(cloth, cloth.layout["offcuts"])
    sheet.state, sheet.confirmed_at = CuttingSheet.State.TO_CUT, now
    sheet.save(update_fields=["state", "confirmed_at"])
    if sheet.plan.state == State.IDEA:
        sheet.plan.state = State.ON_THE_GO
    touch(sheet.plan, now, "state")
    return sheet


@transaction.atomic
def release(*, sheet: CuttingSheet, now: datetime) -> CuttingSheet:
    """Give back every cloth of the sheet that is not cut yet."""
    sheet = CuttingSheet.objects.select_for_update().get(pk=sheet.pk)
    if sheet.state != CuttingSheet.State.TO_CUT:
        raise PlanError("There is nothing left on this sheet to release.")
    for cloth in standing_cloths(sheet).filter(cut_movement=None):
        if waiting_for(cloth):
            _free_patches(cloth)
        else:
            let_go(cloth, now)
    settle(sheet)
    return sheet


@transaction.atomic
def release_all(*, plan: Plan, now: datetime) -> None:
    """Give back all the cloth that a plan holds, and drop its drafts: it is finished or given up."""
    CuttingSheet.objects.drafts().filter(plan=plan).delete()
    for sheet in plan.sheets.filter(state=CuttingSheet.State.TO_CUT):
        release(sheet=sheet, now=now)


def standing_cloths(sheet: CuttingSheet) -> QuerySet[SheetCloth]:
    return sheet.cloths.filter(released_at=None).select_related("piece__fabric", "hold")


def waiting_for(cloth: SheetCloth) -> list[Hold]:
    """The live holds of other sheets on this cloth's offcuts."""
    return list(Hold.objects.live().filter(piece__sheet_offcut__cloth=cloth))


def expect_offcuts(cloth: SheetCloth, rectangles: Iterable[dict[str, int]]) -> None:
    """Create the offcuts that cutting this cloth will leave."""
    rows = list(rectangles)
    pieces = offcuts.expect(fabric=cloth.piece.fabric, sizes=[Size(row["width"], row["length"]) for row in rows])
    for row, piece in zip(rows, pieces, strict=True):
        SheetOffcut.objects.create(
            cloth=cloth, piece=piece, x=row["x"], y=row["y"], width=row["width"], length=row["length"]
        )


def let_go(cloth: SheetCloth, now: datetime) -> None:
    """Release one uncut cloth: its hold, its expected offcuts, and whatever was kept going only for its sake."""
    offcuts.no_longer_expect(pieces=[offcut.piece for offcut in cloth.offcuts.select_related("piece")])
    if cloth.hold is not None:
        holds.release(holds=[cloth.hold], now=now)
    cloth.released_at = now
    cloth.save(update_fields=["released_at"])
    _let_go_upstream(cloth.piece, now)


def settle(sheet: CuttingSheet) -> None:
    """The sheet's state follows from its cloths: to cut while any is, else cut if any was, else released."""
    cloths = list(standing_cloths(sheet))
    if any(cloth.cut_movement_id is None for cloth in cloths):
        sheet.state = CuttingSheet.State.TO_CUT
    else:
        sheet.state = CuttingSheet.State.CUT if cloths else CuttingSheet.State.RELEASED
    sheet.save(update_fields=["state"])


def _let_go_upstream(piece: Piece, now: datetime) -> None:
    """A released sheet's cloth may have been kept only because this piece was waited for."""
    source = SheetCloth.objects.filter(offcuts__piece=piece, freed=True, cut_movement=None, released_at=None).first()
    if source is not None and not waiting_for(source):
        let_go(source, now)
        settle(source.sheet)


def _free_patches(cloth: SheetCloth) -> None:
    """Its patches are wanted no more, but its offcuts are: the cloth is still cut, and the patches become offcuts too."""
    if not cloth.freed:
        expect_offcuts(cloth, given_back(cloth, cloth.sheet.plan.least_offcut))
    cloth.freed = True
    cloth.save(update_fields=["freed"])


def _still_wanted(sheet: CuttingSheet, cloths: Iterable[SheetCloth]) -> None:
    work = worked(sheet.plan)
    if isinstance(work, Fault):
        raise PlanError(f"The plan cannot be worked out: {work.sentence}")
    wanted = {need.key: need.count for need in needs(sheet.plan, work)}
    laid = laid_on(SheetLine.objects.filter(cloth__in=list(cloths)))
    if any(count > wanted.get(key, 0) for key, count in laid.items()):
        raise PlanError("The plan has changed since this was laid out: lay it out again.")


def _same_cloth(cloths: Iterable[SheetCloth]) -> None:
    for cloth in cloths:
        if cloth.to_wash:
            raise PlanError(
                f"{cloth.piece.full_name} is still to be washed: wash it, say on its page what it measures then, and lay it out again."
            )
        if cloth.piece.size != cloth.laid_out_on:
            raise PlanError(f"{cloth.piece.fabric.name} {cloth.piece.name} measures differently now: lay it out again.")
