"""Do tables and archives come in and go out in a real browser, with a thumb?"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from quiltbook.people.models import Person
from stash.models import Movement, Piece
from tests.browser.conftest import AxeCheck
from tests.factories import FabricFactory, PersonFactory, bought, inches
from tests.stash.typing_in import photo

TABLE = """\
Fabric,Colour,Width (in),Length,Place,Bought on,Price,Shop,Mood
Rain on glass,#48617c,42,1 1/2 yd,Blue box,2024-11-20,21.50,Market stall,calm
Rain on glass,,21,18,Blue box,,,,
Bracken,brown,42,18,,2099-01-01,,,
"""


@pytest.fixture
def ada(sign_in: Callable[[Person], None]) -> Person:
    person = PersonFactory.create(username="ada")
    sign_in(person)
    return person


def test_a_table_is_looked_at_put_right_taken_in_taken_back_and_never_doubled(
    page: Page, ada: Person, assert_accessible: AxeCheck, tmp_path: Path
) -> None:
    table = tmp_path / "cloth.csv"
    table.write_text(TABLE)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("/you/")
    page.get_by_role("link", name="Import and export").click()
    assert_accessible(page)

    # No table at all is refused at its field.
    nothing = tmp_path / "nothing.csv"
    nothing.write_text("just some words\n")
    page.get_by_label("The table").set_input_files(nothing)
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_role("alert")).to_be_focused()
    assert_accessible(page)

    page.get_by_label("The table").set_input_files(table)
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_text("2 pieces in 2 rows, 1 new fabric")).to_be_visible()
    expect(page.get_by_text("Mood")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text="Bracken")).to_contain_text("That day is still to come")
    assert_accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")

    # With a wrong row in it nothing comes in, until she says to leave it out.
    page.get_by_role("button", name="Take 2 pieces in").click()
    expect(page.get_by_role("alert")).to_contain_text("Leave out the wrong ones")
    assert not Piece.objects.exists()
    page.get_by_label("Leave out the wrong ones").check()
    page.get_by_role("button", name="Take 2 pieces in").click()
    expect(page.locator("#notices")).to_contain_text("Took in 2 pieces of 1 fabric. 1 row left out.")
    expect(page.get_by_role("link", name="Rain on glass").first).to_be_visible()

    # Taken back at once, then brought again; the second time over there is nothing new in it.
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#notices")).to_contain_text("was taken back")
    assert not Piece.objects.on_shelf().exists()
    for _ in range(2):
        page.goto("/stash/exchange/")
        page.get_by_label("The table").set_input_files(table)
        page.get_by_role("button", name="Look at it").click()
        if page.get_by_label("Leave out the wrong ones").is_visible():
            page.get_by_label("Leave out the wrong ones").check()
            page.get_by_role("button", name="Take 2 pieces in").click()
    expect(page.get_by_text("There is nothing in it that could come in")).to_be_visible()
    assert Piece.objects.on_shelf().count() == 2

    # Her shelf as a table, which is known again.
    page.goto("/stash/exchange/")
    page.get_by_label("Semicolons, and decimal commas").check()
    with page.expect_download() as going:
        page.get_by_role("button", name="Download the table").click()
    mine = tmp_path / "mine.csv"
    going.value.save_as(mine)
    page.get_by_label("The table").set_input_files(mine)
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_text("2 rows, left as they are")).to_be_visible()


def test_everything_goes_out_as_one_file_and_comes_into_an_empty_account(
    page: Page, ada: Person, sign_in: Callable[[Person], None], assert_accessible: AxeCheck, tmp_path: Path
) -> None:
    fabric = FabricFactory.create(owner=ada, name="Rain on glass")
    fabric.photo.save("rain.webp", photo("WEBP", size=(300, 200)))
    bought(fabric, [inches(42, 36), inches(21, 18)], place="Blue box")
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("/stash/exchange/")
    page.get_by_role("link", name="Everything in one file").click()
    assert_accessible(page)
    with page.expect_download() as going:
        page.get_by_role("link", name="Download everything").click()
    file = tmp_path / "everything.zip"
    going.value.save_as(file)

    # Not over what is there already.
    page.get_by_label("The archive").set_input_files(file)
    page.get_by_role("button", name="Load everything").click()
    expect(page.get_by_role("alert")).to_be_focused()
    expect(page.get_by_text("account with nothing in it, and there is something in yours")).to_be_visible()
    assert_accessible(page)

    sign_in(bea := PersonFactory.create(username="bea"))
    page.goto("/you/everything/")
    page.get_by_label("The archive").set_input_files(file)
    page.get_by_role("button", name="Load everything").click()
    expect(page.locator("#notices")).to_contain_text("Loaded 1 fabric, 1 movement and 0 plans, as they were.")
    page.get_by_role("link", name="Rain on glass").first.click()
    expect(page.get_by_text("Blue box").first).to_be_visible()
    assert page.evaluate("document.images.length") > 0
    page.wait_for_function("[...document.images].every(image => image.complete && image.naturalWidth > 0)")
    assert Movement.objects.of(bea).get().lines.count() == 2
