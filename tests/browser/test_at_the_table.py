"""Beside the mat by keyboard alone: the focus stays on the tick, and nothing is recorded as cut but by its own button."""

from collections.abc import Callable

from django.urls import reverse
from playwright.sync_api import Page, expect

from plans.services import layout, sheets
from quiltbook.people.models import Person
from stash.models import Movement
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, inches
from tests.plans.quilts import border_role, cloth, framed, give, only_cloth


def test_cuts_are_ticked_by_keyboard_and_the_cut_recorded_last(
    page: Page,
    owner: Person,
    sign_in: Callable[[Person], None],
    wait_for_htmx: Callable[[Page], None],
    assert_accessible: AxeCheck,
) -> None:
    plan = framed(owner)
    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 18)))
    [draft] = layout.lay_out_plan(plan=plan, now=NOW)
    sheet = sheets.confirm(sheet=draft, now=NOW)
    sign_in(owner)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(reverse("plans:table", args=[plan.pk, sheet.pk, only_cloth(sheet).pk]))
    assert_accessible(page)

    first = page.locator("#cut-1")
    first.focus()
    page.keyboard.press("Space")
    expect(first).to_have_attribute("aria-pressed", "true")
    wait_for_htmx(page)
    expect(first).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator("#cut-2")).to_be_focused()

    page.get_by_label("Along the grain").first.press("Enter")
    page.wait_for_timeout(300)
    assert not Movement.objects.filter(kind=Movement.Kind.CUT).exists()
    page.get_by_role("button", name="Record it as cut").press("Enter")
    expect(page.locator("main")).to_contain_text("is cut.")
    assert Movement.objects.filter(kind=Movement.Kind.CUT).count() == 1
