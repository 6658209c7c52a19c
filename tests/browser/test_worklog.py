"""A sitting logged with one thumb on a narrow phone: the stage, a few taps, write it down; then put right, taken out and back."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plans.models import Plan, Sitting
from plans.services import stages
from quiltbook.people.models import Person
from quiltbook.web import clock
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, TODAY, PersonFactory
from tests.plans.medallion import key, medallion, sit, work_of

PHONE = {"width": 360, "height": 740}
type Wait = Callable[[Page], None]


@pytest.fixture(autouse=True)
def a_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: NOW)
    monkeypatch.setattr(clock, "today", lambda time_zone: TODAY)


@pytest.fixture
def plan(page: Page, sign_in: Callable[[Person], None]) -> Plan:
    """A quilt of somebody signed in on a phone: everything cut, half its shapes basted."""
    plan = medallion(PersonFactory.create())
    stages.finish(plan=plan, work=work_of(plan), key="cutting", now=NOW)
    sit(plan, key(plan, "baste"), 90, "49", note="On the train")
    sign_in(plan.owner)
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
    return plan


def test_an_evening_is_logged_by_tapping_then_put_right_and_taken_out_and_back(
    page: Page, plan: Plan, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    page.goto(f"/plans/{plan.pk}/sewing/")
    page.get_by_role("link", name="Garden: piece flowers", exact=False).first.click()
    expect(page.get_by_label("What you worked on")).to_have_value(key(plan, "piece"))
    for tap in ("+15 min", "+15 min", "+1", "+1"):
        page.get_by_role("button", name=tap, exact=True).click()
    wait_for_htmx(page)
    expect(page.get_by_label("Time")).to_have_value("30 min")
    expect(page.get_by_label("How much you did")).to_have_value("2")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("status")).to_contain_text("Written down: 30 min, 2 flowers of Garden: piece flowers.")
    expect(page.locator(f"#{key(plan, 'piece')}")).to_contain_text("12 flowers left")
    assert_accessible(page)

    page.goto(f"/plans/{plan.pk}/hours/")
    page.get_by_role("link", name="Correct Garden: piece flowers").click()
    page.get_by_label("Time").fill("1:15")
    page.get_by_role("button", name="Put it right").click()
    expect(page.get_by_role("main")).to_contain_text("1 h 15 min, 2 flowers")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("main")).to_contain_text("30 min, 2 flowers")
    page.get_by_role("button", name="Take out Garden: piece flowers").click()
    expect(page.get_by_role("main")).not_to_contain_text("2 flowers")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("main")).to_contain_text("30 min, 2 flowers")
    assert_accessible(page)


def test_the_unit_follows_the_stage_and_what_was_typed_stays(page: Page, plan: Plan, wait_for_htmx: Wait) -> None:
    page.goto(f"/plans/{plan.pk}/sewing/")
    page.get_by_label("Time").fill("50")
    page.get_by_label("What you worked on").select_option(label="Binding")
    wait_for_htmx(page)
    expect(page.locator("#amounts")).to_contain_text("yd")
    expect(page.get_by_label("Time")).to_have_value("50")
    page.get_by_label("What you worked on").select_option(label="Cutting (finished)")
    wait_for_htmx(page)
    expect(page.locator("#amounts")).to_contain_text("counted on the cutting sheets")
    expect(page.get_by_label("How much you did")).to_have_count(0)


def test_quick_taps_all_count(page: Page, plan: Plan) -> None:
    page.goto(f"/plans/{plan.pk}/sewing/?stage={key(plan, 'piece')}")
    page.evaluate("for (let n = 0; n < 7; n++) document.querySelector('[value=\"units:1\"]').click()")
    expect(page.get_by_label("How much you did")).to_have_value("7")


def test_the_form_works_by_keyboard_alone_and_enter_writes_it_down(page: Page, plan: Plan, wait_for_htmx: Wait) -> None:
    page.goto(f"/plans/{plan.pk}/sewing/?stage={key(plan, 'piece')}")
    page.get_by_label("Time").focus()
    page.keyboard.type("45")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # +5 min
    wait_for_htmx(page)
    expect(page.get_by_role("button", name="+5 min", exact=True)).to_be_focused()
    expect(page.get_by_label("Time")).to_have_value("50 min")
    page.get_by_label("How much you did").fill("3")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("50 min, 3 flowers")
    assert Sitting.objects.filter(minutes=50, units=3).count() == 1


def test_a_count_beyond_the_size_is_asked_about_on_the_spot(
    page: Page, plan: Plan, assert_accessible: AxeCheck
) -> None:
    page.goto(f"/plans/{plan.pk}/sewing/?stage={key(plan, 'piece')}")
    page.get_by_label("How much you did").fill("20")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("main")).to_contain_text("That makes 20 flowers, and the stage has 14 flowers.")
    assert_accessible(page)
    page.get_by_label("Yes, count them").check()
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("status")).to_contain_text("20 flowers")


@pytest.mark.parametrize("path", ["sewing/", "hours/", "stages/add/"])
def test_nothing_is_wider_than_a_narrow_phone(page: Page, plan: Plan, path: str, assert_accessible: AxeCheck) -> None:
    page.goto(f"/plans/{plan.pk}/{path}")
    for details in page.locator("main details").all():
        details.evaluate("details => { details.open = true; }")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert_accessible(page)
