"""What to buy, in a browser: the least length comes by itself, or by a link without scripts; and the finishing answers as she types."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from plans.models import Plan, ShoppingLine
from quiltbook.people.models import Person
from tests.browser.conftest import AxeCheck
from tests.factories import PersonFactory
from tests.plans.medallion import medallion

type Wait = Callable[[Page], None]


@pytest.fixture
def owner(sign_in: Callable[[Person], None]) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    return owner


def test_cloth_is_looked_for_by_itself_and_put_on_the_list(
    page: Page, owner: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/cloth/")
    page.get_by_role("link", name="What to buy").click()
    border = page.get_by_role("region", name="First border", exact=True)
    border.scroll_into_view_if_needed()
    expect(border).to_contain_text("it takes no less")
    expect(border.locator(".least")).to_have_count(0)
    border.get_by_text("How", exact=True).last.click()
    expect(border).to_contain_text("across the cloth")
    border.get_by_label("What are you looking for?").fill("Sea green")
    border.get_by_role("button", name="Put it on the list").last.click()
    expect(page.get_by_role("status").first).to_contain_text("is on the shopping list.")
    expect(page.get_by_role("region", name="First border", exact=True)).to_contain_text("on the list:")
    assert ShoppingLine.objects.get().what.startswith("Sea green for the first border, 42")
    wait_for_htmx(page)
    assert_accessible(page)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("heading", name="Shopping list")).to_be_visible()
    assert not ShoppingLine.objects.to_buy().exists()


def test_every_part_s_least_length_comes_one_after_another(page: Page, owner: Person) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/buying/")
    for section in page.locator("#to-buy > section").all():
        section.scroll_into_view_if_needed()
        expect(section.locator(".least")).to_have_count(0, timeout=20_000)
        expect(section).to_contain_text("By the strip arithmetic")


def test_what_to_buy_works_without_scripts(
    browser: Browser, live_server: LiveServer, owner: Person, page: Page, transactional_db: None
) -> None:
    plan = medallion(owner)
    context = browser.new_context(
        base_url=live_server.url, java_script_enabled=False, storage_state=page.context.storage_state()
    )
    plain = context.new_page()
    plain.goto(f"/plans/{plan.pk}/buying/")
    binding = plain.get_by_role("region", name="Binding", exact=True)
    expect(binding.get_by_text("Looking for the least length")).to_be_hidden()
    binding.get_by_role("link", name="Find the least length").click()
    expect(binding).to_contain_text("it takes no less")
    binding.get_by_role("button", name="Put it on the list").last.click()
    expect(plain.get_by_role("region", name="Binding", exact=True)).to_contain_text("on the list:")
    context.close()


def test_the_finishing_answers_as_she_types(
    page: Page, owner: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/finishing/")
    page.get_by_text("Quilting and thread").click()
    page.get_by_label("Lines of quilting apart").fill("2 in")
    expect(page.locator("#comes-to")).to_contain_text("Quilting by hand")
    page.get_by_text("Papers, tacking and web").click()
    page.get_by_label("One can of basting spray covers").fill("1.5")
    expect(page.locator("#comes-to")).to_contain_text("3 cans")
    page.get_by_label("Your pack of wadding, width").fill("30 in")
    expect(page.locator("#comes-to .error-summary")).to_contain_text("Give both the width and the length")
    page.get_by_label("Its length").fill("50 in")
    expect(page.locator("#comes-to")).to_contain_text("Two packs, the pack you gave")
    wait_for_htmx(page)
    assert_accessible(page)
    page.get_by_role("button", name="Keep the figures").click()
    expect(page.get_by_role("status").first).to_contain_text("The figures are kept.")
    assert Plan.objects.get().wadding_pack_length == 50 * 25_400_000
