"""A plan's cloth costs its share of what was paid: what the sheets hold or have cut, less what goes back to the shelf."""

from decimal import Decimal

from django.test import Client
from django.urls import reverse

from plans.queries.money import plan_costs
from plans.services import at_the_table, sheets
from plans.services.at_the_table import Kept
from quiltbook.people.models import Person
from stash.models import Fabric
from stash.queries.money import of_fabric
from stash.services import cloth as cloth_service
from stash.services.cloth import Paid
from tests.factories import NOW, TODAY, FabricFactory, inches
from tests.plans.quilts import border_role, cloth, framed, give, held, laid_out, only_cloth, only_offcut

# The framed square's border is laid in two rows of 2 1/2 in across the cloth, so that 13 in of an 18 in length come back.


def paid(owner: Person, price: str | None, currency: str = "USD") -> Fabric:
    """42 x 18 in of kelp."""
    kelp = FabricFactory.create(owner=owner, name="Kelp")
    cloth_service.buy(
        fabric=kelp,
        sizes=[inches(42, 18)],
        paid=Paid(Decimal(price) if price else None, currency),
        place="",
        day=TODAY,
        now=NOW,
    )
    return kelp


def test_what_goes_in_costs_its_share_and_what_comes_back_does_not(owner: Person) -> None:
    plan = framed(owner)
    sheet = held(plan, border_role(plan), paid(owner, "18.00"))
    back = only_offcut(sheet)
    found = plan_costs(plan=plan)
    [row] = found.rows
    assert row.used_mm2 + back.area_mm2 == only_cloth(sheet).piece.area_mm2
    assert row.cut_mm2 == 0
    # A length of 18 in for 18.00: an inch of it, all across, for 1.00.
    inches_back = Decimal(back.length) / 25_400_000
    assert [money.rounded for money in found.all.sums] == [(18 - inches_back).quantize(Decimal("0.01"))]


def test_cut_it_costs_by_the_offcut_as_measured_and_plan_and_shelf_come_to_what_was_paid(owner: Person) -> None:
    plan, kelp = framed(owner), paid(owner, "18.00")
    sheet = held(plan, border_role(plan), kelp)
    row = only_cloth(sheet).offcuts.get()
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={row.pk: Kept(inches(42, 9), "Box")}, day=TODAY, now=NOW)
    found = plan_costs(plan=plan)
    assert [money.words for money in found.all.sums] == ["9.00 USD"]
    assert found.rows[0].cut_mm2 == found.rows[0].used_mm2
    assert [money.words for money in of_fabric(owner=owner, fabric=kelp).here.sums] == ["9.00 USD"]


def test_a_cut_undone_costs_as_it_did_while_it_was_held(owner: Person) -> None:
    plan = framed(owner)
    sheet = held(plan, border_role(plan), paid(owner, "18.00"))
    before = plan_costs(plan=plan)
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    at_the_table.undo_cut(cloth=only_cloth(sheet), day=TODAY, now=NOW)
    assert plan_costs(plan=plan) == before


def test_an_offcut_still_to_come_costs_its_share_of_the_cloth_it_comes_from(owner: Person) -> None:
    first, second = framed(owner, "First"), framed(owner, "Second")
    kelp = paid(owner, "18.00")
    held(first, border_role(first), kelp)
    sheet = held(second, border_role(second), kelp)
    assert only_cloth(sheet).waiting
    one, two = plan_costs(plan=first).all, plan_costs(plan=second).all
    # A square millimetre costs what it cost in the whole.
    assert one.sums[0].amount / one.priced_mm2 == two.sums[0].amount / two.priced_mm2
    assert two.unpriced_mm2 == 0


def test_drafts_and_released_sheets_cost_nothing(owner: Person) -> None:
    plan, kelp = framed(owner), paid(owner, "18.00")
    give(plan, border_role(plan), kelp)
    [draft] = laid_out(plan)
    assert plan_costs(plan=plan).rows == ()
    sheet = sheets.confirm(sheet=draft, now=NOW)
    assert plan_costs(plan=plan).rows
    sheets.release(sheet=sheet, now=NOW)
    assert plan_costs(plan=plan).rows == ()


def test_cloth_without_a_price_is_told_by_its_area(owner: Person) -> None:
    plan = framed(owner)
    held(plan, border_role(plan), cloth(owner, "Oat", inches(42, 18)))
    found = plan_costs(plan=plan)
    assert found.all.sums == ()
    assert found.all.unpriced_mm2 == found.rows[0].used_mm2 > 0


def test_the_hours_page_says_it(at_home: Client, owner: Person) -> None:
    plan = framed(owner)
    sheet = held(plan, border_role(plan), paid(owner, "18.00"))
    at_the_table.record_cut(
        cloth=only_cloth(sheet), measured={only_cloth(sheet).offcuts.get().pk: None}, day=TODAY, now=NOW
    )
    text = at_home.get(reverse("plans:hours", args=[plan.pk])).text
    assert "What its cloth costs" in text
    assert "18.00 USD" in text
