"""Small quilts to try the cloth on: a plan with rounds, fabrics with pieces, and what is allotted."""

from datetime import timedelta

from plans.models import CuttingSheet, Plan
from plans.models.sheet import SheetCloth
from plans.services import allotting, layout, plans, rounds, sheets
from plans.services.plans import Centre
from plans.services.rounds import RoundSpec
from quiltbook.measures import NM_PER_INCH, Size
from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from tests.factories import NOW, FabricFactory, bought
from tests.plans.simple_engine import lay_out

INCH = NM_PER_INCH
LATER = NOW + timedelta(minutes=1)


def framed(owner: Person, name: str = "Framed square", centre: int = 10, border: int = 2) -> Plan:
    """A square of cloth in one butted border: two sides of 2 1/2 x 10 1/2 in and two ends of 14 1/2 x 2 1/2 in as it comes."""
    plan = plans.start(owner=owner, name=name, centre=Centre(width=centre * INCH, length=centre * INCH), now=NOW)
    rounds.add(plan=plan, spec=RoundSpec(width=border * INCH), now=NOW)
    return plan


def border_role(plan: Plan) -> str:
    return f"round-{plan.rounds.get().pk}-border"


def cloth(owner: Person, name: str, *sizes: Size) -> Fabric:
    """A fabric with pieces on the shelf."""
    fabric = FabricFactory.create(owner=owner, name=name)
    bought(fabric, sizes, place="Shelf A")
    return fabric


def give(plan: Plan, role: str, fabric: Fabric, count: int | None = None) -> None:
    allotting.allot(plan=plan, role_key=role, fabric=fabric, count=count, now=NOW)


def laid_out(plan: Plan) -> list[CuttingSheet]:
    return layout.lay_out_plan(plan=plan, now=NOW, lay_out=lay_out)


def held(plan: Plan, role: str, fabric: Fabric) -> CuttingSheet:
    """Allot, lay out and confirm one role from one fabric."""
    give(plan, role, fabric)
    [sheet] = [s for s in laid_out(plan) if s.fabric_id == fabric.pk]
    return sheets.confirm(sheet=sheet, now=NOW)


def only_cloth(sheet: CuttingSheet) -> SheetCloth:
    return sheet.cloths.get()


def only_offcut(sheet: CuttingSheet) -> Piece:
    return Piece.objects.get(sheet_offcut__cloth__sheet=sheet)
