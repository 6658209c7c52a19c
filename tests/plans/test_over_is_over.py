"""A quilt that is finished or given up holds no cloth and asks for none, whatever is pressed, in whatever window."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import CuttingSheet, Plan
from plans.models.plan import State
from plans.services import allotting, at_the_table, layout, plans, rounds
from plans.services.errors import PlanError
from plans.services.rounds import RoundSpec
from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import INCH, border_role, cloth, framed, held, only_cloth


@pytest.fixture
def plan(owner: Person) -> Plan:
    return framed(owner)


@pytest.fixture
def kelp(owner: Person) -> Fabric:
    return cloth(owner, "Kelp", inches(42, 36))


@pytest.fixture
def sheet(plan: Plan, kelp: Fabric) -> CuttingSheet:
    """Cut, of a plan that was given up since."""
    sheet = held(plan, border_role(plan), kelp)
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    plans.move(plan=plan, to=State.GIVEN_UP, now=NOW)
    return sheet


ACTS: dict[str, Callable[[CuttingSheet], object]] = {
    "not cut after all": lambda sheet: at_the_table.undo_cut(cloth=only_cloth(sheet), day=TODAY, now=NOW),
    "spoilt": lambda sheet: at_the_table.spoil(line=only_cloth(sheet).lines.all()[0], count=1, note="", now=NOW),
    "lay out": lambda sheet: layout.lay_out_plan(plan=sheet.plan, now=NOW),
    "allot": lambda sheet: allotting.allot(
        plan=sheet.plan, role_key="binding", fabric=sheet.fabric, count=None, now=NOW
    ),
    "count": lambda sheet: allotting.change_count(allotment=sheet.plan.allotments.get(), count=1, now=NOW),
    "ask earlier": lambda sheet: allotting.move_up(allotment=sheet.plan.allotments.get(), now=NOW),
    "take off": lambda sheet: allotting.take_off(allotment=sheet.plan.allotments.get(), now=NOW),
}


@pytest.mark.parametrize("act", ACTS)
def test_it_is_refused_in_a_sentence_and_nothing_is_held(sheet: CuttingSheet, act: str) -> None:
    with pytest.raises(PlanError, match=r"was given up\. Make it an idea again"):
        ACTS[act](sheet)
    assert not Piece.objects.held().exists()
    assert sheet.plan.allotments.count() == 1


def test_the_cloth_page_of_such_a_quilt_offers_nothing_to_change_and_says_why(
    at_home: Client, sheet: CuttingSheet
) -> None:
    page = at_home.get(reverse("plans:cloth", args=[sheet.plan_id])).content.decode()
    assert "was given up. Make it an idea again to change it." in page
    allotment = sheet.plan.allotments.get()
    for address in (
        reverse("plans:lay_out", args=[sheet.plan_id]),
        reverse("plans:allot", args=[sheet.plan_id, "binding"]),
        reverse("plans:take_off", args=[sheet.plan_id, allotment.pk]),
        reverse("plans:change_count", args=[sheet.plan_id, allotment.pk]),
    ):
        assert f'action="{address}"' not in page
        assert at_home.post(address, {}).status_code < 500


def test_a_window_opened_before_neither_brings_it_back_nor_changes_it(plan: Plan) -> None:
    before = Plan.objects.get(pk=plan.pk)
    plans.move(plan=plan, to=State.GIVEN_UP, now=NOW)
    plans.rename(plan=before, name="Another name", note="", now=NOW)
    with pytest.raises(PlanError, match="given up"):
        plans.change_figures(plan=before, figures={"cutting_step": INCH}, now=NOW)
    with pytest.raises(PlanError, match="given up"):
        rounds.add(plan=before, spec=RoundSpec(width=INCH), now=NOW)
    plan.refresh_from_db()
    assert (plan.name, plan.state) == ("Another name", State.GIVEN_UP)
    assert plan.rounds.count() == 1
