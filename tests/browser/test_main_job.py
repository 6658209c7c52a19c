"""The main job, walked once from an empty account to what is left, in a real browser: cloth in, a quilt planned, a shortage met, cloth held
and cut, an offcut measured and used in a second quilt, two sittings logged."""

import re
from collections.abc import Callable

from playwright.sync_api import Locator, Page, expect

from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from tests.browser.conftest import AxeCheck


class Walk:
    """A person at her browser: what she does on each screen, in her own words for it."""

    def __init__(self, page: Page, check: AxeCheck, settled: Callable[[Page], None]) -> None:
        self.page, self.check, self.settled = page, check, settled

    def sign_up(self, name: str) -> None:
        self.page.goto("/you/sign-up/")
        self.page.get_by_label("Sign-in name").fill(name)
        self.page.get_by_label("Password", exact=True).fill("walking-foot-9")
        self.page.get_by_label("The same password again").fill("walking-foot-9")
        self.press("Make my account")
        expect(self.page.get_by_role("navigation", name="Main")).to_be_visible()

    def log(self, name: str, amount: str, **more: str) -> None:
        self.page.goto("/stash/log/")
        self.page.get_by_label("Name").fill(name)
        self.page.get_by_label("How much").fill(amount)
        for label, value in more.items():
            self.page.get_by_label(label.replace("_", " ")).first.fill(value)
        self.press("Save")
        expect(self.page.get_by_role("heading", name=name)).to_be_visible()
        self.check(self.page)

    def plan(self, name: str, **figures: str) -> None:
        """`figures` by the label of their field: Printed_width="25 in"."""
        self.page.goto("/plans/new/")
        self.page.get_by_label("Name").fill(name)
        for label, value in figures.items():
            self.page.get_by_label(label.replace("_", " ")).fill(value)
        self.page.wait_for_timeout(600)  # what is typed is answered after a pause
        self.settled(self.page)
        self.press("Plan it")
        expect(self.page.get_by_role("heading", name=name)).to_be_visible()

    def add_round(self, width: str, corners: str) -> None:
        self.settled(self.page)
        self.page.get_by_label("Width of a new round").fill(width)
        choose(self.page.get_by_label("Its corners"), corners)
        self.page.wait_for_timeout(600)  # what is typed is drawn after a pause
        self.settled(self.page)
        self.press("Add this round")
        expect(self.page.get_by_label("Width of a new round")).to_have_value("")

    def open_step(self, name: str) -> None:
        self.page.locator("nav.steps").get_by_role("link", name=name).click()
        expect(self.page.locator("nav.steps").get_by_role("link", name=name)).to_have_attribute("aria-current", "page")
        self.check(self.page)

    def allot(self, part: str, fabric: str, count: str = "") -> None:
        card = self.part(part)
        details = card.locator("details", has_text=re.compile("Give it a fabric|Add another fabric")).last
        if details.get_attribute("open") is None:
            details.locator("summary").click()
        choose(card.get_by_label("Fabric"), fabric)
        if count:
            card.get_by_label("How many patches").last.fill(count)
        card.get_by_role("button", name="Allot").click()
        expect(self.part(part).get_by_role("link", name=fabric)).to_be_visible()

    def part(self, name: str) -> Locator:
        return self.page.get_by_role("article", name=name, exact=True)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def says(self, words: str | re.Pattern[str]) -> None:
        expect(self.page.locator("main")).to_contain_text(words)


def choose(select: Locator, starts_with: str) -> None:
    """Choose the option that begins with these words."""
    option = select.locator("option").filter(has_text=re.compile(f"^{re.escape(starts_with)}")).first
    select.select_option(value=option.get_attribute("value") or "")


def test_the_whole_main_job(page: Page, assert_accessible: AxeCheck, wait_for_htmx: Callable[[Page], None]) -> None:
    walk = Walk(page, assert_accessible, wait_for_htmx)

    # Cloth in: three fabrics, one of them measured in metric.
    walk.sign_up("ada")
    walk.check(page)
    walk.log("Kelp", "1 1/2 yd", Where_it_lies="Shelf A")
    walk.log("Rose hip", "fat quarter, 2 x 18 x 22 in")
    walk.log("Dune", "0.5 m")
    assert Fabric.objects.count() == 3
    dune = Piece.objects.get(fabric__name="Dune")
    assert (dune.length, dune.on_shelf) == (500_000_000, True)

    # A panel in three rounds: butted, cornerstones with flowers, mitred.
    walk.plan("Harbour", Printed_width="25 in", Printed_length="19 in", Printed_seam="1/2 in")
    walk.add_round("2 in", "Butted")
    walk.add_round("7 in", "Cornerstones")
    flowers_on(walk, "Second border")
    walk.add_round("3 in", "Mitred")
    walk.says("48 × 42 in")
    walk.says(re.compile("Trim\\s1/4\\sin\\soff each side of the panel"))
    walk.check(page)

    # Allot, and meet a shortage: half a metre of Dune is not enough for the wide border.
    walk.open_step("Cloth")
    walk.allot("First border", "Kelp")
    walk.allot("Second border", "Dune")
    walk.allot("Second border: cornerstones", "Kelp")
    walk.allot("Second border: petals", "Rose hip")
    walk.allot("Second border: flower centres", "Kelp")
    walk.press("Lay out")
    expect(page.get_by_role("article", name="Dune")).to_contain_text("short by")
    expect(page.get_by_role("article", name="Kelp")).to_contain_text("enough")
    walk.check(page)
    page.get_by_role("article", name="Dune").get_by_role(
        "button", name="Put what is missing on the shopping list"
    ).click()
    walk.says("is on the shopping list")

    # More of it is bought, and then there is enough.
    more = Fabric.objects.get(name="Dune")
    page.goto(f"/stash/{more.pk}/more/")
    page.get_by_label("How much").fill("1 m")
    walk.press("Save")
    page.goto("/plans/")
    page.get_by_role("link", name="Harbour").first.click()
    walk.open_step("Cloth")
    walk.says("has changed since this was laid out")
    walk.press("Lay out again")
    expect(page.get_by_role("article", name="Dune")).to_contain_text("enough")
    walk.press("Hold all of it")
    walk.says("cutting sheets confirmed")
    walk.check(page)

    # At the table: the wide border's cloth, cut by cut; its offcut measured.
    page.get_by_role("link", name="Dune").click()
    walk.check(page)
    page.get_by_role("link", name="At the table").first.click()
    walk.check(page)
    tick_every_cut(walk)
    record_with_offcut_measured(walk)
    came = Piece.objects.filter(fabric=more, on_shelf=True).exclude(number=1)
    assert came.exists()

    # A second quilt uses what was left over.
    walk.plan("Cushion", Finished_width="4 in", Finished_length="4 in")
    walk.open_step("Cloth")
    walk.allot("Centre", "Dune")
    walk.press("Lay out")
    expect(page.get_by_role("article", name="Dune")).to_contain_text("enough")
    walk.press("Hold this cloth")
    walk.says("is held for Cushion")
    held_for_cushion = Piece.objects.held().get(holds__reason="Cushion")
    assert held_for_cushion in list(came)

    # Two sittings, and what is left.
    page.goto("/plans/")
    page.get_by_role("link", name="Harbour").first.click()
    walk.open_step("Sewing")
    log_sitting(walk, "Second border: tack shapes", "45", "14")
    log_sitting(walk, "Second border: piece flowers", "1 h 20", "2")
    walk.open_step("Hours")
    walk.says(re.compile("2\\sh\\s5\\smin"))
    walk.open_step("What is left")
    walk.says(re.compile("12\\sflowers left"))
    walk.says("2 of 14 flowers")
    assert Person.objects.get().plans.count() == 2


def flowers_on(walk: Walk, name: str) -> None:
    region = walk.page.get_by_role("region", name=name)
    if region.locator("details").first.get_attribute("open") is None:
        region.locator("summary").first.click()
    region.get_by_label("Paper-pieced flowers").check()
    region.get_by_label("Side of the hexagon").fill("1 in")
    for side, count in (("Left", "3"), ("Right", "3"), ("Top", "4"), ("Bottom", "4")):
        region.get_by_role("textbox", name=side).fill(count)
    walk.page.wait_for_timeout(600)
    walk.settled(walk.page)
    walk.press("Keep the top")
    walk.says("14 flowers")


def tick_every_cut(walk: Walk) -> None:
    ticks = walk.page.locator("ol.ticks li")
    count = ticks.count()
    assert count > 0
    for number in range(count):
        ticks.nth(number).get_by_role("button").click()
        expect(ticks.nth(number)).to_have_class(re.compile("done"))
    walk.settled(walk.page)


def record_with_offcut_measured(walk: Walk) -> None:
    across = walk.page.get_by_label("Across the grain").first
    expect(across).not_to_have_value("")
    walk.page.get_by_label("Along the grain").first.fill("6 in")
    walk.press("Record it as cut")
    walk.says("is cut.")


def log_sitting(walk: Walk, stage: str, time: str, units: str) -> None:
    choose(walk.page.get_by_label("What you worked on"), stage)
    walk.page.get_by_label("Time").fill(time)
    walk.page.get_by_label("How much you did").fill(units)
    walk.press("Write it down")
    walk.settled(walk.page)
