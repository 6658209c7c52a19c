"""A quilt of blocks is begun in a browser: only the fields of the chosen kind show, the picture follows, what was typed stays; by keyboard too."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plans.models import Plan
from plans.models.plan import CentreKind
from plans.services import plans
from plans.services.plans import Centre
from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, PersonFactory
from tests.plans.medallion import medallion

IN = NM_PER_INCH


@pytest.fixture
def owner(sign_in: Callable[[Person], None]) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    return owner


def test_a_quilt_of_blocks_is_planned_drawn_and_changed(page: Page, owner: Person, assert_accessible: AxeCheck) -> None:
    page.goto("/plans/new/")
    page.get_by_label("Name").fill("Harbour lights")
    page.get_by_label("Printed width").fill("25 in")
    page.get_by_role("radio", name="Blocks", exact=True).check()
    expect(page.get_by_label("Printed width")).to_be_hidden()
    expect(page.locator("#comes-to")).to_contain_text("as soon as you say: the block, side of a block")
    page.get_by_role("group", name="The block").get_by_role("radio", name="Friendship star").check()
    page.get_by_label("Side of a block").fill("6 in")
    page.get_by_label("Blocks across").fill("3")
    page.get_by_label("Blocks down").fill("4")
    expect(page.locator("#comes-to")).to_contain_text("The centre finishes 18 × 24 in.")
    expect(page.locator("#drawn svg")).to_be_visible()
    page.get_by_role("radio", name="On point").check()
    expect(page.locator("#centre-told")).to_contain_text("18 blocks of 6 in, friendship star.")
    assert_accessible(page)
    page.get_by_role("radio", name="One cloth").check()
    expect(page.get_by_label("Printed width")).to_have_value("25 in")
    page.get_by_role("radio", name="Blocks", exact=True).check()
    page.get_by_role("button", name="Plan it").click()

    expect(page.locator("#centre-says")).to_contain_text("18 blocks of 6 in, friendship star.")
    expect(page.locator("#worked")).to_contain_text("Side triangles: squares, cut twice")
    centre = page.get_by_role("region", name="Centre")
    centre.get_by_text("What it is made of").click()
    centre.get_by_role("radio", name="Straight").check()
    expect(page.locator("#drawn-size")).to_have_text("18 × 24 in finished")
    page.get_by_role("button", name="Keep the top").last.click()
    expect(page.get_by_role("status").first).to_contain_text("The top is kept.")
    assert not Plan.objects.get().on_point


def test_the_top_of_another_quilt_is_taken_over_again_at_a_press(page: Page, owner: Person) -> None:
    inner = medallion(owner)
    centre = Centre(kind=CentreKind.TOP, width=40 * IN, length=40 * IN, top=inner)
    outer = plans.start(owner=owner, name="Outer", centre=centre, now=NOW)
    page.goto(f"/plans/{outer.pk}/top/")
    expect(page.get_by_text("That top finishes 48 × 42 in now.")).to_be_visible()
    expect(page.get_by_label("Finished width")).to_be_hidden()
    page.get_by_role("button", name="Take over 48 × 42 in").press("Enter")
    expect(page.locator("#drawn-size")).to_have_text("48 × 42 in finished")
    outer.refresh_from_db()
    assert (outer.centre_width, outer.centre_length) == (48 * IN, 42 * IN)


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 360)])
@pytest.mark.parametrize("kind", CentreKind.values)
def test_the_fields_of_every_kind_fit_and_can_be_used_by_everybody(
    page: Page, owner: Person, assert_accessible: AxeCheck, kind: str, scheme: str, width: int
) -> None:
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.set_viewport_size({"width": width, "height": 800})
    medallion(owner)
    page.goto("/plans/new/")
    page.locator(f"input[name=kind][value='{kind}']").check()
    for summary in page.locator("summary").all():
        if summary.is_visible():
            summary.click()
    assert_accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
