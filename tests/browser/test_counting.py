"""Is a box counted with a thumb, and are its labels printed as large as they should be?"""

import io
import re
from collections.abc import Callable

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from quiltbook.people.models import Person
from stash.models import Piece
from stash.queries.labels import code_of
from tests.browser.conftest import AxeCheck
from tests.factories import FabricFactory, PersonFactory, bought, inches

type Wait = Callable[[Page], None]


@pytest.fixture
def ada(sign_in: Callable[[Person], None]) -> Person:
    person = PersonFactory.create(username="ada")
    sign_in(person)
    return person


def shelf() -> list[tuple[str, object, str]]:
    pieces = Piece.objects.on_shelf().select_related("fabric").order_by("fabric__name", "pk")
    return [(piece.fabric.name, piece.size, piece.place) for piece in pieces]


def test_a_fabric_is_opened_a_piece_moved_its_box_counted_and_labels_printed(
    page: Page, ada: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck, live_server: LiveServer
) -> None:
    kelp, ochre = (FabricFactory.create(owner=ada, name=name) for name in ("Kelp leaf", "Ochre check"))
    bought(kelp, [inches(42, 36), inches(21, 18)], place="Blue box")
    bought(ochre, [inches(42, 18)], place="Red box")
    bought(ochre, [inches(20, 10)], place="Attic chest")
    page.set_viewport_size({"width": 360, "height": 740})

    # A fabric is opened and a piece of it put in another box.
    page.goto("/stash/")
    page.get_by_role("link", name="Kelp leaf").click()
    page.get_by_role("link", name=re.compile("42.×.36")).click()
    page.get_by_text("Move it").first.click()
    page.get_by_label("Where it lies now").fill("Red box")
    page.get_by_role("button", name="Move it").click()
    expect(page.get_by_role("status")).to_contain_text("from Blue box to Red box")

    # That box is counted: one is there, one is smaller, one that should lie in the attic is found besides.
    page.goto("/stash/counting/")
    assert_accessible(page)
    page.get_by_role("button", name=re.compile("Count it.*Red box")).click()
    expect(page.get_by_role("heading", name="Red box", level=1)).to_be_visible()
    assert_accessible(page)
    tick = page.locator("button.there", has_text="Kelp leaf")
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    wait_for_htmx(page)
    expect(tick).to_be_focused()
    page.get_by_text(re.compile("It is another size.*Ochre check no. 1")).click()
    page.get_by_label("Length, along it").last.fill("a hand")
    page.get_by_role("button", name="It is this size").last.click()
    expect(page.locator(".error").first).to_be_visible()
    wait_for_htmx(page)
    assert_accessible(page)
    page.get_by_label("Length, along it").last.fill("17 1/2")
    page.get_by_role("button", name="It is this size").last.click()
    expect(page.get_by_text("1 to be written down otherwise")).to_be_visible()
    page.get_by_label("Its fabric, label or place").fill("ochre attic")
    page.get_by_role("button", name="Look", exact=True).click()
    page.get_by_role("button", name=re.compile("It is here.*Ochre check no. 2")).click()
    expect(page.get_by_role("heading", name="Found here besides")).to_be_visible()
    assert_accessible(page)
    assert ("Ochre check", inches(20, 10), "Attic chest") in shelf()

    # She leaves, comes back, and is done.
    page.goto("/stash/")
    page.goto("/stash/counting/")
    page.get_by_role("link", name="Go on counting Red box").click()
    expect(page.get_by_text("2 of 2 looked at")).to_be_visible()
    page.get_by_role("button", name="The count is done").click()
    expect(page.get_by_role("heading", name="What differed")).to_be_visible()
    assert_accessible(page)
    counted = [
        ("Kelp leaf", inches(42, 36), "Red box"),
        ("Kelp leaf", inches(21, 18), "Blue box"),
        ("Ochre check", inches(20, 10), "Red box"),
        ("Ochre check", inches(42, 17.5), "Red box"),
    ]
    assert shelf() == counted

    # Taken back and done again.
    page.get_by_role("status").get_by_role("button", name="Undo").click()
    expect(page.get_by_role("button", name="The count is done")).to_be_visible()
    assert ("Ochre check", inches(42, 18), "Red box") in shelf()
    page.get_by_role("link", name="Labels for it").click()
    page.go_back()
    page.get_by_role("button", name="The count is done").click()
    expect(page.get_by_role("heading", name="What differed")).to_be_visible()
    assert [(name, size) for name, size, place in shelf() if place == "Red box"] == [
        (name, size) for name, size, place in counted if place == "Red box"
    ]

    # Labels for the box: on paper, and read by a phone.
    page.goto("/stash/counting/")
    page.get_by_role("link", name="Labels to print").click()
    page.get_by_label("Cloth that lies in").select_option("Red box")
    page.get_by_role("button", name="List these").click()
    expect(page.get_by_role("checkbox")).to_have_count(3)
    assert_accessible(page)
    page.get_by_role("button", name="Show the sheet").click()
    expect(page.get_by_role("heading", name="3 labels on 1 sheet")).to_be_visible()
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    assert_accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    assert pages_of(page) == [(210, 297)]
    page.set_viewport_size({"width": 1280, "height": 900})
    here = Piece.objects.on_shelf().filter(place="Red box")
    assert read(page) == {f"{live_server.url}/stash/p/{code_of(piece.pk)}/" for piece in here}


def test_two_sheets_of_letter_are_two_pages_with_every_label_whole(page: Page, ada: Person) -> None:
    kelp = FabricFactory.create(owner=ada, name="A print of kelp with a name that goes on and on, and then on")
    bought(kelp, [inches(42, 36)] * 30, place="The lowest drawer of the tall chest in the sewing room upstairs")
    page.goto("/stash/labels/")
    page.get_by_label("Paper").select_option("Letter")
    page.get_by_role("button", name="Show the sheet").click()

    expect(page.locator(".sheet")).to_have_count(2)
    assert pages_of(page) == [(216, 279), (216, 279)]
    page.emulate_media(media="print")
    spilt = page.evaluate(
        "[...document.querySelectorAll('.label')].filter(l => l.scrollHeight > l.clientHeight + 1 || l.scrollWidth > l.clientWidth + 1).length"
    )
    assert spilt == 0


def test_a_box_is_counted_where_no_script_runs(
    browser: Browser, live_server: LiveServer, context: BrowserContext, ada: Person
) -> None:
    bought(FabricFactory.create(owner=ada, name="Kelp"), [inches(42, 36), inches(21, 18)], place="Box")
    plain = browser.new_context(
        java_script_enabled=False, base_url=live_server.url, storage_state=context.storage_state()
    )
    tab = plain.new_page()
    tab.goto("/stash/counting/")
    tab.get_by_role("button", name=re.compile("Count it.*Box")).click()
    tab.get_by_role("button", name=re.compile("Not there.*Kelp no. 1")).click()
    tab.get_by_role("button", name="All the rest is there").click()
    tab.get_by_role("button", name="The count is done").click()
    expect(tab.get_by_role("heading", name="What differed")).to_be_visible()
    assert shelf() == [("Kelp", inches(21, 18), "Box")]
    plain.close()


def pages_of(page: Page) -> list[tuple[int, int]]:
    """The pages printed, as large as they are in whole millimetres: read out of the PDF's own page boxes."""
    text = page.pdf(prefer_css_page_size=True).decode("latin-1")
    boxes = re.findall(r"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", text)
    return [(round(float(w) / 72 * 25.4), round(float(h) / 72 * 25.4)) for w, h in boxes]


def read(page: Page) -> set[str]:
    """What a decoder finds in the picture of the first sheet."""
    picture = Image.open(io.BytesIO(page.locator(".sheet").first.screenshot()))
    return {found.text for found in zxingcpp.read_barcodes(picture)}
