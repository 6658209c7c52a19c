"""Notions and scraps in a browser: thread is bought and serves a quilt, is used and undone; a piece is scrapped into a bin."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from quiltbook.people.models import Person
from stash.models import Notion, Piece, ScrapBin
from stash.queries.notions import left_of
from stash.queries.scraps import grams_in
from tests.browser.conftest import AxeCheck
from tests.factories import PersonFactory, PieceFactory
from tests.plans.medallion import medallion


@pytest.fixture
def owner(sign_in: Callable[[Person], None]) -> Person:
    owner = PersonFactory.create()
    sign_in(owner)
    return owner


@pytest.mark.parametrize("width", [360, 1280])
def test_thread_is_written_down_serves_a_quilt_is_used_and_undone(
    page: Page, owner: Person, width: int, assert_accessible: AxeCheck
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    plan = medallion(owner)
    page.goto("/stash/")
    page.get_by_role("link", name="Notions").click()
    expect(page.get_by_role("heading", name="No notions yet")).to_be_visible()
    assert_accessible(page)
    page.get_by_role("link", name="Add a thread").click()
    page.get_by_label("Name").fill("Ecru")
    page.get_by_label("Length").fill("5 x 100 yd")
    page.get_by_label("Weight").fill("50")
    page.get_by_label("Tell me when less is left").fill("600 yd")
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="Ecru")).to_be_visible()
    page.get_by_text("Count it", exact=True).click()
    assert_accessible(page)
    page.goto("/stash/notions/")
    expect(page.get_by_role("region", name="Running low")).to_contain_text("500 yd left, less than 600 yd")
    assert_accessible(page)

    page.goto(f"/plans/{plan.pk}/finishing/")
    have = page.get_by_role("region", name="What you have of it")
    have.get_by_text("Which of them serves what").click()
    have.get_by_label("Seams by machine").select_option(label="Ecru, 500 yd left")
    have.get_by_role("button", name="Keep this").click()
    expect(have).to_contain_text("You have 500\N{NO-BREAK SPACE}yd of Ecru")
    assert_accessible(page)
    seams = have.get_by_role("listitem").filter(has_text="Seams by machine")
    seams.get_by_role("button", name="Used it").click()
    expect(page.get_by_role("status").first).to_contain_text("Seams by machine: used, from Ecru.")
    ecru = Notion.objects.get()
    assert left_of(ecru) < Decimal("457.2")
    seams.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status").first).to_contain_text("not used after all")
    assert left_of(ecru) == Decimal("457.2")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_papers_ask_for_the_measures_of_their_shape_alone(page: Page, owner: Person) -> None:
    page.goto("/stash/notions/add/papers/")
    rise, across, side = (page.get_by_label(label) for label in ("Rise of the curved edge", "Width", "Side"))
    expect(side).to_be_visible()
    expect(rise).to_be_hidden()
    page.get_by_label("Shape").select_option("hexagon petal")
    expect(rise).to_be_visible()
    page.get_by_label("Shape").select_option("other")
    expect(across).to_be_visible()
    expect(side).to_be_hidden()
    page.get_by_label("Name").fill("Kites")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text("Not saved yet.")
    assert not Notion.objects.exists()


def test_a_piece_goes_into_a_scrap_bin_and_comes_back(page: Page, owner: Person, assert_accessible: AxeCheck) -> None:
    piece = PieceFactory.create(fabric__owner=owner)
    page.set_viewport_size({"width": 360, "height": 800})
    page.goto("/stash/scraps/")
    assert_accessible(page)
    page.get_by_label("Name").fill("Blues")
    page.get_by_role("button", name="Add the bin").click()
    page.get_by_text("Put in", exact=True).click()
    page.get_by_label("Weight").first.fill("9 oz")
    assert_accessible(page)
    page.get_by_role("button", name="It is in").click()
    expect(page.locator("main")).to_contain_text("reckoned by weight")
    blues = ScrapBin.objects.get()
    assert grams_in(blues) == 255
    page.goto(f"/stash/pieces/{piece.pk}/")
    page.get_by_text("Scrap it", exact=True).click()
    page.get_by_label("Into a scrap bin").select_option(label="Blues")
    page.get_by_role("button", name="It is scrapped").click()
    expect(page.get_by_role("status").first).to_contain_text("scrapped")
    assert grams_in(blues) > 255
    page.get_by_role("status").first.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status").first).to_contain_text("undid")
    assert grams_in(blues) == 255
    assert Piece.objects.get(pk=piece.pk).on_shelf
    page.goto("/stash/scraps/")
    assert_accessible(page)
