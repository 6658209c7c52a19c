"""On a phone in the dark: she says whose words she reads, asks what her cloth cost, and what a quilt's cloth comes to."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from quiltbook.people.models import Person
from stash.models import Fabric
from stash.services import cloth
from stash.services.cloth import Paid
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches
from tests.plans.quilts import border_role, framed, held


@pytest.fixture
def owner(page: Page, sign_in: Callable[[Person], None]) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    page.set_viewport_size({"width": 360, "height": 740})
    page.emulate_media(color_scheme="dark")
    return owner


@pytest.fixture
def kelp(owner: Person) -> Fabric:
    """Half a yard for 9.00, and a fat quarter of which nobody knows the price."""
    kelp = FabricFactory.create(owner=owner, name="Kelp")
    cloth.buy(
        fabric=kelp, sizes=[inches(42, 18)], paid=Paid(Decimal("9.00"), "USD"), place="Shelf A", day=TODAY, now=NOW
    )
    bought(FabricFactory.create(owner=owner, name="Batting sample"), [inches(21, 18)])
    return kelp


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"))


def test_she_chooses_american_words_and_every_page_says_them(
    page: Page, kelp: Fabric, assert_accessible: AxeCheck
) -> None:
    page.goto("/you/")
    expect(page.get_by_label("Wadding beyond the top")).to_be_visible()
    page.get_by_label("American: batting, basting, selvage").check()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_label("Batting beyond the top")).to_be_visible()
    assert_accessible(page)
    page.goto(f"/stash/{kelp.pk}/edit/")
    expect(page.get_by_text("with the selvages off")).to_be_visible()


def test_what_she_typed_herself_stays_as_she_typed_it(page: Page, kelp: Fabric) -> None:
    page.goto("/stash/worth/")
    expect(page.get_by_role("link", name="Batting sample")).to_be_visible()


def test_what_the_shelf_cost_and_what_a_quilts_cloth_costs(
    page: Page, owner: Person, kelp: Fabric, assert_accessible: AxeCheck
) -> None:
    page.goto("/stash/")
    page.get_by_role("link", name="What it cost").click()
    expect(page.get_by_text("9.00 USD").first).to_be_visible()
    page.get_by_text("How it is reckoned").click()
    assert fits(page)
    assert_accessible(page)
    page.get_by_role("link", name="Kelp").click()
    cost = page.get_by_role("region", name="What it cost")
    cost.get_by_text("How it is reckoned").click()
    expect(cost).to_contain_text("carries its share by area")
    assert fits(page)
    assert_accessible(page)

    plan = framed(owner)
    held(plan, border_role(plan), kelp)
    page.goto(f"/plans/{plan.pk}/hours/")
    costs = page.get_by_role("region", name="What its cloth costs")
    costs.get_by_text("By fabric, and how it is reckoned").click()
    expect(costs).to_contain_text("held, not cut yet")
    assert fits(page)
    assert_accessible(page)
