"""Which other fabrics of the stash would do for what a draft is short of? Those on which the engine can lay all of it out, fewest cloth first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from plans.models import CuttingSheet
from plans.queries.real_cloth import cloth_of
from plans.queries.washing import shrinkage_of, still_to_wash
from quiltbook.measures import mm2
from quiltbook.yardage.cutting import CuttingJob, Layout
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from stash.models import Piece
from stash.queries.shelf import FabricRow, fabrics

# Each candidate costs a run of the solver, so only those with most cloth to spare are tried.
MOST_TRIED = 6


@dataclass(frozen=True, slots=True)
class WouldDo:
    """A fabric with cloth enough, and how much of it would be opened (mm²)."""

    fabric: FabricRow
    opened_mm2: int


def would_do(*, sheet: CuttingSheet, lay_out: Callable[[CuttingJob], Layout] = engine_lay_out) -> tuple[WouldDo, ...]:
    if not sheet.uncut:
        return ()
    area = sum(mm2(row["width"], row["length"]) * row["count"] for row in sheet.uncut)
    here = sheet.fabric_id
    found = [
        f
        for f in fabrics(owner=sheet.plan.owner, only_free=True)
        if f.id != here and f.free_mm2 >= area and f.printed is None
    ]
    found.sort(key=lambda f: (-f.free_mm2, f.id))
    tried = [(f, lay_out(_job(sheet, f))) for f in found[:MOST_TRIED]]
    good = [WouldDo(f, sum(_area(f, cloth.id) for cloth in layout.cloths)) for f, layout in tried if not layout.uncut]
    return tuple(sorted(good, key=lambda w: (w.opened_mm2, w.fabric.id)))


def _job(sheet: CuttingSheet, fabric: FabricRow) -> CuttingJob:
    free = Piece.objects.free().on_shelf().filter(fabric=fabric.id).select_related("fabric", "sheet_offcut")
    pieces, plan = list(free.order_by("pk")), sheet.plan
    to_wash = still_to_wash(plan, pieces)
    return CuttingJob(
        cloths=tuple(cloth_of(piece, piece.fabric, washed=piece.pk not in to_wash) for piece in pieces),
        patches=sheet.uncut_wanted(),
        method=sheet.method,
        effort="quick",
        least_offcut=plan.least_offcut,
        straightening=plan.straightening,
        shrinkage=shrinkage_of(plan, pieces[0].fabric.kind) if to_wash else None,
    )


def _area(fabric: FabricRow, piece_id: str) -> int:
    return next(p.area_mm2 for p in fabric.free_pieces if str(p.id) == piece_id)
