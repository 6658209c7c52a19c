"""Does the stash work in a real browser, with a thumb and without a mouse?"""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from quiltbook.people.models import Person
from stash.models import Piece
from tests.browser.conftest import AxeCheck
from tests.factories import FabricFactory, PersonFactory, bought, cm, inches

type Wait = Callable[[Page], None]


@pytest.fixture
def ada(sign_in: Callable[[Person], None]) -> Person:
    person = PersonFactory.create(username="ada")
    sign_in(person)
    return person


def shelf() -> list[tuple[str, object, str]]:
    pieces = Piece.objects.on_shelf().select_related("fabric").order_by("fabric__name", "number")
    return [(piece.fabric.name, piece.size, piece.place) for piece in pieces]


def test_cloth_is_logged_added_to_moved_washed_and_put_back(
    page: Page, ada: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck, tmp_path: Path
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("/stash/")
    assert_accessible(page)
    page.get_by_role("link", name="Log your first cloth").click()

    # The first, with what was understood said while she types, and a photo.
    expect(page.get_by_label("Name")).to_be_focused()
    page.get_by_label("Name").fill("Kelp leaf")
    page.get_by_label("How much").press_sequentially("1 1/2 yd, fat quarter")
    expect(page.locator("#understood")).to_have_text(re.compile("One piece of 42.×.54.in; one of 21.×.18.in"))
    page.get_by_label("Where it lies").fill("Blue box")
    page.get_by_label("Price in all").fill("21,50")
    page.get_by_label("From").fill("Market stall")
    picture = tmp_path / "kelp.png"
    Image.new("RGB", (300, 200), "#2c4a3e").save(picture)
    page.get_by_label("Photo").set_input_files(picture)
    assert_accessible(page)
    page.get_by_role("button", name="Save, then another").click()
    expect(page.get_by_role("status")).to_contain_text("Kelp leaf: bought")

    # The next of the same haul, metric; its amount is mistyped first, and nothing is lost.
    expect(page.get_by_label("From")).to_have_value("Market stall")
    page.get_by_label("Name").fill("Ochre check")
    page.get_by_label("How much").fill("half a metre and a bit")
    page.get_by_label("Usable width").fill("107 cm")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("alert")).to_be_focused()
    expect(page.get_by_label("Usable width")).to_have_value("107 cm")
    assert_accessible(page)
    page.get_by_label("How much").fill("0,5 m")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("heading", name="Ochre check")).to_be_visible()

    # A printed panel asks for its printed picture, other cloth does not.
    page.goto("/stash/log/")
    expect(page.get_by_label("Printed width")).to_be_hidden()
    page.get_by_label("Kind of cloth").select_option("Printed panel")
    page.get_by_label("Printed width").fill("23 1/2")
    page.get_by_label("Printed length").fill("17 1/2")
    page.get_by_label("Name").fill("Heron panel")
    page.get_by_label("How much").fill("24 in")
    page.get_by_label("I had it already").check()
    expect(page.get_by_label("Price in all")).to_be_hidden()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("23 1/2")).to_be_visible()

    # More of the first, found by the first letters of its name.
    page.goto("/stash/log/")
    page.get_by_label("Name").press_sequentially("kelp")
    page.get_by_role("link", name="More of Kelp leaf").click()
    expect(page.get_by_label("How much")).to_be_focused()
    page.get_by_label("How much").fill("1/4 yd")
    page.get_by_role("button", name="Save", exact=True).click()
    assert_accessible(page)

    # Found on the shelf, then moved, washed, and the washing taken back.
    page.get_by_role("link", name="Stash").first.click()
    page.get_by_label("Look for").press_sequentially("kelp")
    expect(page.get_by_role("link", name="Ochre check")).to_have_count(0)
    wait_for_htmx(page)
    assert page.url.endswith("?words=kelp")
    assert_accessible(page)
    page.get_by_role("link", name="Kelp leaf").click()
    page.get_by_role("link", name=re.compile("42.×.54")).click()
    page.get_by_text("Move it").first.click()
    page.get_by_label("Where it lies now").fill("Sewing table")
    assert_accessible(page)
    page.get_by_role("button", name="Move it").click()
    expect(page.get_by_role("status")).to_contain_text("from Blue box to Sewing table")
    assert ("Kelp leaf", inches(42, 54), "Sewing table") in shelf()

    page.get_by_role("link", name=re.compile("42.×.54")).click()
    page.get_by_text("Washed").first.click()
    page.get_by_label("Length, along it").first.fill("52 1/2")
    page.get_by_role("button", name="It is washed").click()
    assert ("Kelp leaf", inches(42, 52.5), "Sewing table") in shelf()
    page.get_by_role("status").get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status")).to_contain_text("undid: washed")

    assert shelf() == [
        ("Heron panel", inches(42, 24), ""),
        ("Kelp leaf", inches(42, 54), "Sewing table"),
        ("Kelp leaf", inches(21, 18), "Blue box"),
        ("Kelp leaf", inches(42, 9), ""),
        ("Ochre check", cm(107, 50), "Blue box"),
    ]


def test_the_picker_and_the_code_of_a_colour_say_the_same(page: Page, ada: Person) -> None:
    page.goto("/stash/log/")

    page.get_by_label("Colour", exact=False).first.fill("#112233")
    expect(page.get_by_label("Colour as a code")).to_have_value("#112233")
    page.get_by_label("Colour as a code").fill("#445566")
    expect(page.get_by_label("Colour", exact=False).first).to_have_value("#445566")


def test_a_piece_is_cut_up_and_put_back_by_keyboard_alone(page: Page, ada: Person) -> None:
    bought(FabricFactory.create(owner=ada, name="Kelp"), [inches(42, 36)], place="Box")
    page.goto("/stash/")

    def tab_to(name: str) -> None:
        for _ in range(40):
            page.keyboard.press("Tab")
            said = page.evaluate(
                "document.activeElement.textContent + (document.activeElement.labels?.[0]?.textContent ?? '')"
            )
            if name in str(said).replace("\xa0", " "):
                return
        raise AssertionError(f"{name} was not reached by the keyboard")

    for name, arrived in (("Kelp", "Kelp"), ("42 × 36 in", "42")):
        tab_to(name)
        page.keyboard.press("Enter")
        expect(page.get_by_role("heading", level=1, name=arrived)).to_be_visible()
    tab_to("Cut it up")
    page.keyboard.press("Enter")
    tab_to("Cut off")
    page.keyboard.type("1/2 yd")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Kelp: cut no. 1")
    assert shelf() == [("Kelp", inches(42, 18), "Box")] * 2

    tab_to("Undo")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Kelp: undid")
    assert shelf() == [("Kelp", inches(42, 36), "Box")]


def test_it_all_works_where_no_script_runs(
    browser: Browser, live_server: LiveServer, context: BrowserContext, ada: Person
) -> None:
    """Plain pages and forms: the search by its button, a fabric logged, a piece moved, the move undone."""
    state = context.storage_state()
    plain = browser.new_context(java_script_enabled=False, base_url=live_server.url, storage_state=state)
    tab = plain.new_page()
    tab.goto("/stash/log/")
    tab.get_by_label("Name").fill("Kelp")
    tab.get_by_label("How much").fill("1 yd")
    tab.locator("[name=picked]").fill("#2c4a3e")
    tab.get_by_role("button", name="Save", exact=True).click()
    tab.get_by_role("link", name=re.compile("42.×.36")).click()
    tab.get_by_text("Move it").first.click()
    tab.get_by_label("Where it lies now").fill("Box")
    tab.get_by_role("button", name="Move it").click()
    assert shelf() == [("Kelp", inches(42, 36), "Box")]
    tab.get_by_role("status").get_by_role("button", name="Undo").click()
    assert shelf() == [("Kelp", inches(42, 36), "")]
    tab.goto("/stash/")
    tab.get_by_label("Look for").fill("zebra")
    tab.get_by_role("button", name="Look").click()
    expect(tab.get_by_text("No cloth like that")).to_be_visible()
    assert Piece.objects.get().fabric.colour == "#2c4a3e"
    plain.close()
