"""A medallion planned in a browser: drawn as she types, kept when she says so, put right without a mouse, and whole without scripts."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from plans.models import Plan
from plans.models.plan import State
from plans.services import plans
from quiltbook.people.models import Person
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, PersonFactory
from tests.plans.medallion import medallion

type Wait = Callable[[Page], None]


@pytest.fixture
def owner(sign_in: Callable[[Person], None]) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    return owner


def open_round(page: Page, name: str) -> None:
    page.get_by_role("region", name=name).get_by_text("Its width, corners, flowers or blocks").click()


def test_a_medallion_is_planned_from_its_panel_outward(
    page: Page, owner: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    page.goto("/")
    page.get_by_role("link", name="Plan a quilt").click()
    page.get_by_label("Name").fill("Heron")
    page.get_by_label("Printed width").fill("25 in")
    page.get_by_label("Printed length").fill("19 in")
    page.get_by_label("Printed seam").fill("1/2")
    expect(page.locator("#comes-to")).to_contain_text("The centre finishes 24 × 18 in.")
    assert_accessible(page)
    page.get_by_role("button", name="Plan it").click()

    page.get_by_label("Width of a new round").fill("2 in")
    expect(page.locator("#drawn-size")).to_have_text("28 × 22 in finished")
    page.get_by_role("button", name="Add this round").click()
    expect(page.get_by_role("heading", name="First border", level=2)).to_be_visible()

    page.get_by_label("Width of a new round").fill("7 in")
    page.get_by_label("Its corners").select_option("cornerstones")
    page.get_by_role("button", name="Add this round").click()
    second = page.get_by_role("region", name="Second border")
    expect(second.get_by_label("Side of the hexagon")).to_be_hidden()
    second.get_by_label("Paper-pieced flowers").check()
    second.get_by_label("Side of the hexagon").fill("1 in")
    for side in ("Left", "Right", "Top", "Bottom"):
        second.get_by_role("textbox", name=side).fill("3")
    expect(second).to_contain_text("12 flowers. With it on: 42 × 36 in")
    expect(page.locator("#unsaved")).to_have_text("Changed, not kept yet.")
    wait_for_htmx(page)
    assert_accessible(page)
    page.get_by_role("button", name="Keep the top").last.click()
    expect(page.get_by_role("status").first).to_contain_text("The top is kept.")
    assert Plan.objects.get().rounds.standing()[1].flowers == 12
    expect(page.locator("#worked")).to_contain_text("Piece 12 flowers for the second border.")
    page.get_by_role("link", name="How many a fat quarter gives").click()
    expect(page.locator(".nested")).to_contain_text("Petals")
    page.get_by_text("Marks on the").first.click()
    assert_accessible(page)


def test_the_picture_follows_the_typing_and_waits_while_it_cannot(page: Page, owner: Person) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/top/")
    before = page.locator("#drawn svg").get_attribute("viewBox")
    open_round(page, "Third border")
    width = page.get_by_role("region", name="Third border").get_by_label("Width", exact=True)
    width.fill("about so")
    expect(page.locator("#top-errors")).to_contain_text("cannot be read as a length")
    assert page.locator("#drawn svg").get_attribute("viewBox") == before
    width.fill("5 in")
    expect(page.locator("#drawn-size")).to_have_text("52 × 46 in finished")
    expect(page.locator("#top-errors")).to_be_empty()
    assert page.locator("#drawn svg").get_attribute("viewBox") != before
    expect(width).to_have_value("5 in")
    expect(width).to_be_focused()
    assert plan.rounds.standing()[2].width == 3 * 25_400_000


def test_rounds_are_moved_and_taken_out_by_keyboard_and_come_back(page: Page, owner: Person) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/top/")
    page.get_by_role("button", name="Move Third border inward").press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("further in now")
    assert [row.width // 25_400_000 for row in plan.rounds.standing()] == [2, 3, 7]
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("further out now")
    page.get_by_role("button", name="Take Garden out").press("Space")
    expect(page.get_by_role("status").first).to_contain_text("Garden was taken out.")
    expect(page.locator("#drawn-size")).to_have_text("34 × 28 in finished")
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.locator("#drawn-size")).to_have_text("48 × 42 in finished")


def test_the_focus_stays_on_what_moves_a_round_or_goes_to_what_is_said_of_it(page: Page, owner: Person) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/top/")
    inward = page.get_by_role("button", name="Move Third border inward")
    inward.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("as round 2")
    inward = page.locator(f"#round-{plan.rounds.standing()[1].pk} [title=Inward]")
    expect(inward).to_be_focused()
    inward.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("as round 1")
    undo = page.get_by_role("button", name="Undo")
    expect(undo).to_be_focused()  # it can go no further inward
    undo.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("further out now")
    expect(undo).to_be_focused()
    page.get_by_role("button", name="Take Garden out").press("Enter")
    expect(undo).to_be_focused()
    undo.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("Garden is back.")
    expect(page.locator("#notices")).to_be_focused()


def test_return_in_a_field_keeps_the_top_and_moves_nothing(page: Page, owner: Person) -> None:
    plan = medallion(owner)
    page.goto(f"/plans/{plan.pk}/top/")
    open_round(page, "First border")
    page.get_by_role("region", name="First border").get_by_label("Width", exact=True).fill("4 in")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("The top is kept.")
    assert [row.width // 25_400_000 for row in plan.rounds.standing()] == [4, 7, 3]


def test_a_round_is_pieced_of_blocks_and_takes_units_that_fit(
    page: Page, owner: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    """42 x 36 in inside the third border: 6 in apart, so units of 6/2 in lie 14 and 12 to a side."""
    plan = medallion(owner)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"/plans/{plan.pk}/top/")
    open_round(page, "Third border")
    third = page.get_by_role("region", name="Third border")
    expect(third.get_by_role("group", name="The block")).to_be_hidden()
    third.get_by_label("Pieced of blocks").check()
    expect(third.get_by_role("group", name="Corners", exact=True)).to_be_hidden()
    third.get_by_role("group", name="The block").get_by_role("radio", name="Pinwheel").check()
    third.get_by_label("Length of a unit").fill("3 1/4 in")
    expect(third).to_contain_text("14 units across and 12 down, each 3 1/4 in long")
    third.get_by_label("Coping strips inside it").select_option("even")
    expect(third).to_contain_text("No one width of coping makes the units fit both ways")
    third.get_by_role("listitem").filter(has_text="Units of 3 in").get_by_role("button").click()
    expect(page.get_by_role("status").first).to_contain_text("The top is kept.")
    third = page.get_by_role("region", name="Third border")
    expect(third).to_contain_text("14 units across and 12 down, each 3 in long. They fit without coping.")
    expect(page.locator("#worked")).to_contain_text("Blades: squares, cut once")
    open_round(page, "Third border")
    wait_for_htmx(page)
    assert_accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    assert plan.rounds.standing()[2].unit_length == 3 * 25_400_000


def test_the_top_works_without_scripts(browser: Browser, live_server: LiveServer, owner: Person, page: Page) -> None:
    plan = medallion(owner)
    context = browser.new_context(java_script_enabled=False, base_url=live_server.url)
    context.add_cookies(
        [{"name": one["name"], "value": one["value"], "url": live_server.url} for one in page.context.cookies()]
    )
    plain = context.new_page()
    plain.goto(f"/plans/{plan.pk}/top/")
    open_round(plain, "Third border")
    third = plain.get_by_role("region", name="Third border")
    third.get_by_label("Width", exact=True).fill("wide")
    plain.get_by_role("button", name="Keep the top").last.click()
    third = plain.get_by_role("region", name="Third border")
    expect(third.get_by_label("Width", exact=True)).to_have_value("wide")
    expect(third.get_by_text("cannot be read as a length").first).to_be_visible()
    third.get_by_label("Width", exact=True).fill("4 in")
    plain.get_by_role("button", name="Move Third border inward").click()
    expect(plain.locator("#drawn-size")).to_have_text("50 × 44 in finished")
    assert [row.width // 25_400_000 for row in plan.rounds.standing()] == [2, 4, 7]
    context.close()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 360)])
def test_every_screen_of_a_plan_can_be_used_by_everybody(
    page: Page, owner: Person, assert_accessible: AxeCheck, scheme: str, width: int
) -> None:
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.set_viewport_size({"width": width, "height": 800})
    plan = medallion(owner)
    plans.move(plan=plan, to=State.ON_THE_GO, now=NOW)
    own = f"/plans/{plan.pk}"
    for path in ("/", "/plans/", "/plans/new/", f"{own}/finishing/", f"{own}/name/", f"{own}/finished/", f"{own}/top/"):
        page.goto(path)
        for summary in page.locator("summary").all():
            if summary.is_visible():
                summary.click()
        assert_accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), path


def test_the_present_step_is_in_view_on_a_narrow_phone(page: Page, owner: Person) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"/plans/{medallion(owner).pk}/finishing/")
    box = page.get_by_role("link", name="Finishing").bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 360
