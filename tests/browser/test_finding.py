"""Is a cloth found in a real browser: by a colour tapped on a panel's photo, narrowed by what is really there, and come back to?"""

import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.base import ContentFile
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from quiltbook.people.models import Person
from stash.colour import palette
from stash.forms.search import PER_PAGE
from stash.models import Fabric, Photo
from tests.browser.conftest import AxeCheck
from tests.factories import NOW, FabricFactory, PersonFactory, bought, inches

type Wait = Callable[[Page], None]

CREAM, TEAL, RUST = "#efe6d4", "#1f6f78", "#a4472a"


@pytest.fixture
def ada(sign_in: Callable[[Person], None]) -> Person:
    person = PersonFactory.create(username="ada")
    sign_in(person)
    return person


def stock(owner: Person, name: str, *sizes: tuple[float, float], **facts: Any) -> Fabric:
    fabric = FabricFactory.create(owner=owner, name=name, **facts)
    bought(fabric, [inches(*size) for size in sizes], place="Blue box")
    return fabric


def photograph(fabric: Fabric, picture: Image.Image) -> Photo:
    out = io.BytesIO()
    picture.save(out, "WEBP", lossless=True)
    photo = Photo(owner=fabric.owner, fabric=fabric, position=0, added_at=NOW, palette=palette(picture))
    photo.width = photo.right = picture.width
    photo.height = photo.bottom = picture.height
    for size in (photo.whole, photo.medium, photo.small):
        size.save("panel.webp", ContentFile(out.getvalue()), save=False)
    photo.save()
    return photo


@pytest.fixture
def stash(ada: Person) -> Person:
    """A panel with a teal corner, and cloth of several colours in several amounts."""
    picture = Image.new("RGB", (640, 480), CREAM)
    picture.paste(TEAL, (480, 0, 640, 480))
    picture.paste(RUST, (0, 400, 480, 480))
    photograph(stock(ada, "Heron panel", (42, 24), kind="panel", colour=CREAM), picture)
    stock(ada, "Teal scrap", (6, 6), colour=TEAL)
    stock(ada, "Teal leaf", (42, 36), colour="#23747b", tags=("sea",))
    stock(ada, "Rust dot", (42, 72), colour=RUST)
    return ada


def shown(page: Page) -> list[str]:
    return page.locator("#cloths .cloth h2").all_inner_texts()


def test_a_fabric_is_found_by_tapping_a_colour_on_a_panels_photo_and_narrowed_by_amount(
    page: Page, stash: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("/stash/")
    page.get_by_role("link", name="Colours", exact=True).click()
    expect(page.get_by_role("heading", name="Stash by colour")).to_be_visible()
    assert_accessible(page)
    page.get_by_role("link", name="Heron panel").first.click()
    assert_accessible(page)

    # Tapped near its right edge, where it is teal.
    panel = page.locator("img.tap")
    seen = panel.bounding_box()
    assert seen is not None
    panel.click(position={"x": seen["width"] * 0.9, "y": seen["height"] * 0.5})
    expect(page).to_have_url(re.compile(r"/stash/\?near=%231f6f78$"))
    assert shown(page) == ["Teal scrap", "Heron panel", "Teal leaf"]
    expect(page.get_by_text("in 25 % of it")).to_be_visible()
    assert_accessible(page)

    # So much of it must really be there.
    page.get_by_label("At least").fill("1/2 yd")
    expect(page.locator("#cloths .cloth")).to_have_count(2)
    wait_for_htmx(page)
    page.get_by_label("Kind").select_option("Quilting cotton")
    expect(page.locator("#cloths .cloth")).to_have_count(1)
    wait_for_htmx(page)
    expect(page).to_have_url(re.compile(r"near=%231f6f78&kind=cotton&amount=1%2F2\+yd$"))
    page.get_by_role("link", name="Teal leaf").click()
    expect(page.get_by_role("heading", name="Teal leaf", level=1)).to_be_visible()

    # The list is as it was on the way back, and each condition can be let go by itself.
    page.go_back()
    expect(page.locator("#cloths .cloth")).to_have_count(1)
    expect(page.get_by_label("At least")).to_have_value("1/2 yd")
    page.get_by_role("link", name="Do without: Kind: Quilting cotton").click()
    expect(page.locator("#cloths .cloth")).to_have_count(2)
    page.get_by_role("link", name="Clear all").click()
    expect(page).to_have_url(re.compile(r"/stash/$"))
    expect(page.locator("#cloths .cloth")).to_have_count(4)


def test_a_colour_is_picked_and_what_cannot_be_asked_is_said_in_place(
    page: Page, stash: Person, wait_for_htmx: Wait, assert_accessible: AxeCheck
) -> None:
    page.goto("/stash/")
    page.get_by_text("Narrow it down").click()
    page.get_by_label("Pick a colour").fill(RUST)
    expect(page.get_by_label("Near this colour")).to_have_value(RUST)
    expect(page.locator("#cloths .cloth h2").first).to_have_text("Rust dot")

    page.get_by_label("At least").fill("a good deal")
    expect(page.get_by_role("alert")).to_contain_text("At least:")
    assert_accessible(page)
    page.get_by_label("At least").fill("")
    wait_for_htmx(page)
    page.get_by_label("sea").check()
    # Nothing of the sea is rusty: what comes nearest is shown, and called far.
    expect(page.locator("#cloths .cloth")).to_have_count(1)
    expect(page.locator("#cloths .cloth")).to_contain_text("Teal leaf")
    expect(page.locator("#cloths .cloth")).to_contain_text("Some way off")

    # In greys its value stands in words.
    page.goto("/stash/")
    expect(page.locator(".cloth .in-greys").first).to_be_hidden()
    page.get_by_label("In greys").check()
    expect(page.locator(".cloth .in-greys").first).to_have_text("Light")
    wait_for_htmx(page)
    expect(page).to_have_url(re.compile("grey=on"))


def test_what_goes_with_a_cloth_and_its_colours_are_a_tap_away(
    page: Page, stash: Person, assert_accessible: AxeCheck
) -> None:
    page.goto(f"/stash/{Fabric.objects.get(name='Teal leaf').pk}/")
    page.get_by_role("link", name="Colours").click()
    expect(page.get_by_role("heading", name="Opposite")).to_be_visible()
    expect(page.get_by_role("link", name="Rust dot")).to_be_visible()
    assert_accessible(page)
    page.get_by_role("link", name="Find cloth like it").click()
    expect(page.get_by_role("link", name="Do without: Like Teal leaf")).to_be_visible()


def test_a_long_shelf_grows_as_she_asks_and_is_as_long_when_she_comes_back(
    page: Page, ada: Person, wait_for_htmx: Wait
) -> None:
    for n in range(PER_PAGE + 3):
        stock(ada, f"Cloth {n:02}", (6, 6))
    page.goto("/stash/?sort=name")
    expect(page.locator("#cloths .cloth")).to_have_count(PER_PAGE)
    page.get_by_role("link", name=re.compile("Show more")).click()
    expect(page.locator("#cloths .cloth")).to_have_count(PER_PAGE + 3)
    page.get_by_role("link", name="Cloth 62").click()
    expect(page.get_by_role("heading", name="Cloth 62")).to_be_visible()
    page.go_back()
    expect(page.locator("#cloths .cloth")).to_have_count(PER_PAGE + 3)


def test_without_script_the_photos_colours_are_links_and_filters_a_form(
    browser: Browser, live_server: LiveServer, stash: Person, page: Page
) -> None:
    cookies = page.context.cookies()
    plain = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    plain.add_cookies([{"name": c["name"], "value": c["value"], "url": live_server.url} for c in cookies])
    still = plain.new_page()
    still.goto(f"/stash/{Fabric.objects.get(name='Heron panel').pk}/colours/")
    still.get_by_role("link", name="Find cloth near Medium turquoise 25 % of it").click()
    expect(still.locator("#cloths .cloth")).to_have_count(3)
    still.get_by_label("At least").fill("1/2 yd")
    still.get_by_role("button", name="Look").click()
    expect(still.locator("#cloths .cloth")).to_have_count(2)
    plain.close()
