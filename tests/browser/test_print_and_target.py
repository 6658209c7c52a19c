"""On a phone: a fussy cut is wished for, held and met at the table; and a quilt is made about so big, and as it was again."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plans.models import Plan
from plans.services import plans, rounds
from plans.services.plans import Centre
from plans.services.rounds import RoundSpec
from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, FabricFactory, PersonFactory, bought, inches
from tests.plans.quilts import give

IN = NM_PER_INCH


@pytest.fixture
def owner(sign_in: Callable[[Person], None], page: Page) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    page.set_viewport_size({"width": 360, "height": 780})
    return owner


@pytest.fixture
def plan(owner: Person) -> Plan:
    """A square of 5 in within a border of 2 in."""
    plan = plans.start(owner=owner, name="Nosegay", centre=Centre(width=5 * IN, length=5 * IN), now=NOW)
    rounds.add(plan=plan, spec=RoundSpec(width=2 * IN), now=NOW)
    return plan


def test_a_motif_of_the_print_is_wished_for_held_and_cut_by_eye(
    page: Page, owner: Person, plan: Plan, assert_accessible: AxeCheck
) -> None:
    garden = FabricFactory.create(owner=owner, name="Garden")
    bought(garden, [inches(42, 36)])
    give(plan, "panel", garden)
    page.goto(f"/plans/{plan.pk}/cloth/")
    centre = page.get_by_role("article", name="Centre")
    centre.get_by_text("How the print is to lie").click()
    centre.get_by_label("Fussy cuts from each repeat").fill("1")
    centre.get_by_role("button", name="Keep").click()
    expect(centre).to_contain_text("Nothing can be fussy cut from Garden until")
    assert_accessible(page)

    # The repeat of the print is written down, and then it can.
    centre.get_by_role("link", name="the repeat of its print").click()
    page.get_by_text("Stripes and the repeat of the print").click()
    page.get_by_label("Repeat across").fill("8 in")
    page.get_by_label("Repeat along").fill("8 in")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("8 × 8 in")).to_be_visible()
    page.goto(f"/plans/{plan.pk}/cloth/")
    page.get_by_role("button", name="Lay out", exact=True).click()
    page.get_by_role("button", name="Hold this cloth").click()
    page.goto(f"/plans/{plan.pk}/cutting/")
    page.get_by_role("link", name="Garden").first.click()
    page.get_by_role("link", name="At the table").first.click()
    expect(page.get_by_text("by eye: the motif in the middle")).to_be_visible()
    assert_accessible(page)


def test_a_quilt_is_made_about_so_big_and_as_it_was_again(page: Page, plan: Plan, assert_accessible: AxeCheck) -> None:
    page.goto(f"/plans/{plan.pk}/top/")
    page.get_by_role("link", name="Make it about so big").click()
    page.get_by_label("Width", exact=False).first.fill("about 20")
    page.get_by_label("Length", exact=False).first.fill("20")
    page.get_by_role("button", name="Show the ways").click()
    expect(page.get_by_role("alert")).to_be_visible()
    page.get_by_label("Width", exact=False).first.fill("20")
    page.get_by_role("button", name="Show the ways").click()
    expect(page.get_by_role("heading", name="exactly so big").first).to_be_visible()
    assert_accessible(page)
    page.get_by_role("button", name="Make it so").first.click()
    expect(page.get_by_text("20 × 20 in").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("9 × 9 in").first).to_be_visible()
