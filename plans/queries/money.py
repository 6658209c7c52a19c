"""What does a plan's cloth cost? Of every cloth its sheets hold or have cut, the part that does not go back to the shelf as an offcut, at its
share of what was paid for it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from plans.models import CuttingSheet, Plan, SheetCloth, SheetOffcut
from stash.models import MovementLine, Piece
from stash.queries.money import Costs, Money, costs_of_pieces, summed


@dataclass(frozen=True, slots=True)
class ClothCost:
    """One fabric of the plan: how much of it goes in (mm²) and its cost. `cut_mm2`: how much of that is cut already."""

    fabric_id: int
    name: str
    used_mm2: int
    cut_mm2: int
    costs: Costs


@dataclass(frozen=True, slots=True)
class PlanCosts:
    rows: tuple[ClothCost, ...]
    all: Costs


def plan_costs(*, plan: Plan) -> PlanCosts:
    """Patches and waste of the plan's sheets, by fabric; a fixed number of queries."""
    cloths = list(
        SheetCloth.objects.filter(sheet__in=CuttingSheet.objects.standing().filter(plan=plan), released_at=None)
        .select_related("piece__fabric")
        .order_by("piece__fabric__name", "pk")
    )
    fabrics = {cloth.piece.fabric_id for cloth in cloths}
    known = _with_expected(fabrics, costs_of_pieces(owner=plan.owner, fabrics=fabrics))
    back = _going_back(cloths)
    by_fabric: dict[int, list[SheetCloth]] = defaultdict(list)
    for cloth in cloths:
        by_fabric[cloth.piece.fabric_id].append(cloth)
    rows = tuple(_row(each, back, known) for each in by_fabric.values())
    sums = summed(money for row in rows for money in row.costs.sums)
    priced, unpriced = (sum(getattr(row.costs, key) for row in rows) for key in ("priced_mm2", "unpriced_mm2"))
    return PlanCosts(rows, Costs(sums, priced, unpriced))


def _row(cloths: list[SheetCloth], back: Mapping[int, int], known: Mapping[int, Money]) -> ClothCost:
    fabric = cloths[0].piece.fabric
    used = cut = priced = 0
    amounts = []
    for cloth in cloths:
        # Measured offcuts may come to a hair more than the cloth: then nothing of it stayed in the quilt.
        area = max(0, cloth.piece.area_mm2 - back[cloth.pk])
        used += area
        cut += area if cloth.cut_movement_id is not None else 0
        whole = known.get(cloth.piece_id)
        if whole is not None:
            priced += area
            amounts.append(Money(whole.amount * area / cloth.piece.area_mm2, whole.currency))
    return ClothCost(fabric.pk, fabric.name, used, cut, Costs(summed(amounts), priced, used - priced))


def _going_back(cloths: list[SheetCloth]) -> dict[int, int]:
    """The area (mm²) of each cloth's offcuts, by the cloth's id: as measured where it is cut, else as expected."""
    area: dict[int, int] = {cloth.pk: 0 for cloth in cloths}
    cut = {cloth.cut_movement_id: cloth.pk for cloth in cloths if cloth.cut_movement_id is not None}
    for line in MovementLine.objects.filter(movement__in=cut, change=1).select_related("piece"):
        area[cut[line.movement_id]] += line.piece.area_mm2
    still = [cloth.pk for cloth in cloths if cloth.cut_movement_id is None]
    for offcut in SheetOffcut.objects.filter(cloth__in=still).select_related("piece"):
        area[offcut.cloth_id] += offcut.piece.area_mm2
    return area


def _with_expected(fabrics: set[int], known: Mapping[int, Money]) -> dict[int, Money]:
    """With the cost of offcuts that are still to come: by area, of the cloth they will be cut from."""
    found = dict(known)
    # A cloth may itself be expected from another; its row is older, since it was laid out before anything could be laid out on it.
    for offcut in (
        SheetOffcut.objects.filter(piece__fabric__in=fabrics, piece__expected=True)
        .select_related("piece", "cloth__piece")
        .order_by("pk")
    ):
        source: Piece = offcut.cloth.piece
        if offcut.piece_id not in found and source.pk in found:
            whole = found[source.pk]
            found[offcut.piece_id] = Money(whole.amount * offcut.piece.area_mm2 / source.area_mm2, whole.currency)
    return found
