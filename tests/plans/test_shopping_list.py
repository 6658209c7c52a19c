"""The shopping list: written down, ticked, struck off, and each with a way back."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import CuttingSheet, ShoppingLine
from plans.services import shopping
from plans.services.errors import PlanError
from quiltbook.measures import NM_PER_INCH, NM_PER_YARD
from quiltbook.people.models import Person
from tests.factories import NOW, inches
from tests.plans.quilts import border_role, cloth, framed, give, held, laid_out
from tests.plans.simple_engine import lay_out


def _act(browser: Client, line: ShoppingLine, act: str) -> int:
    return browser.post(reverse("plans:shopping_line", args=[line.pk, act])).status_code


def test_something_is_written_down_with_a_length(at_home: Client) -> None:
    at_home.post(reverse("plans:shopping"), {"what": "Wadding", "length": "1 1/2"})
    line = ShoppingLine.objects.get()
    assert (line.what, line.length) == ("Wadding", NM_PER_YARD * 3 // 2)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"what": ""}, "Say what to buy"),
        ({"what": "x" * 10_000}, "at most 200"),
        ({"what": "Thread", "length": "lots"}, ""),
        ({"what": "Thread", "length": "2 km"}, ""),
        ({"what": "Thread", "length": "0"}, ""),
        ({"what": "Thread", "length": "3 kg"}, "not a length"),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field(at_home: Client, typed: dict[str, str], sentence: str) -> None:
    page = at_home.post(reverse("plans:shopping"), typed).content.decode()
    assert 'class="error"' in page
    assert sentence in page
    assert all(len(value) > 500 or value in page for value in typed.values())
    assert not ShoppingLine.objects.exists()


def test_a_line_is_ticked_and_unticked(at_home: Client, owner: Person) -> None:
    line = shopping.write_down(owner=owner, what="Thread", length=None, now=NOW)
    _act(at_home, line, "got")
    assert not ShoppingLine.objects.to_buy().exists()
    _act(at_home, line, "not-got")
    assert ShoppingLine.objects.to_buy().get() == line


def test_a_line_struck_off_can_be_put_back(at_home: Client, owner: Person) -> None:
    line = shopping.write_down(owner=owner, what="Thread", length=None, now=NOW)
    _act(at_home, line, "remove")
    assert "Thread" not in at_home.get(reverse("plans:shopping")).content.decode().split("off the list")[-1]
    _act(at_home, line, "put-back")
    assert ShoppingLine.objects.to_buy().get() == line


def test_an_act_that_is_none_is_not_found(at_home: Client, owner: Person) -> None:
    line = shopping.write_down(owner=owner, what="Thread", length=None, now=NOW)
    assert _act(at_home, line, "burn") == 404


def test_asking_again_changes_the_line_there_is(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    shopping.put_on_list(plan=plan, fabric=kelp, length=NM_PER_YARD, now=NOW)
    shopping.put_on_list(plan=plan, fabric=kelp, length=2 * NM_PER_YARD, now=NOW)
    assert ShoppingLine.objects.get().length == 2 * NM_PER_YARD


def test_a_line_is_not_put_back_beside_a_newer_one(at_home: Client, owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    old = shopping.put_on_list(plan=plan, fabric=kelp, length=NM_PER_YARD, now=NOW)
    _act(at_home, old, "remove")
    shopping.put_on_list(plan=plan, fabric=kelp, length=2 * NM_PER_YARD, now=NOW)
    answer = at_home.post(reverse("plans:shopping_line", args=[old.pk, "put-back"]), follow=True)
    assert "already" in answer.content.decode()
    assert ShoppingLine.objects.to_buy().count() == 1


def test_another_persons_line_is_not_found(client: Client, owner: Person, stranger: Person) -> None:
    line = shopping.write_down(owner=owner, what="Thread", length=None, now=NOW)
    client.force_login(stranger)
    assert _act(client, line, "got") == 404
    assert "Thread" not in client.get(reverse("plans:shopping")).content.decode()


def test_a_sheet_that_lacks_nothing_puts_nothing_on_the_list(at_home: Client, owner: Person) -> None:
    plan = framed(owner)
    kelp, _ = cloth(owner, "Kelp", inches(42, 36)), cloth(owner, "Oat", inches(42, 36))
    sheet = held(plan, border_role(plan), kelp)
    page = at_home.post(reverse("plans:to_buy", args=[plan.pk, sheet.pk]), follow=True).content.decode()
    assert "Nothing is missing on this sheet." in page
    assert not ShoppingLine.objects.exists()
    assert at_home.get(reverse("plans:would_do", args=[plan.pk, sheet.pk])).status_code == 200


def _short(owner: Person) -> CuttingSheet:
    """A draft that lacks strips of 2 1/2 in, two of 10 1/2 in and some of 14 1/2 in."""
    plan = framed(owner)
    give(plan, border_role(plan), cloth(owner, "Scrap", inches(42, 1)))
    [sheet] = laid_out(plan)
    return sheet


def test_the_length_to_buy_is_the_shortest_found_up_to_what_a_shop_cuts(owner: Person) -> None:
    sheet, eighth = _short(owner), NM_PER_YARD // 8
    assert shopping.length_to_buy(sheet=sheet) == 2 * eighth  # two strips across, 5 in
    assert shopping.length_to_buy(sheet=sheet, lay_out=lay_out) == 3 * eighth  # nothing is turned: 10 1/2 in


def test_squaring_up_and_the_fabrics_print_count_when_buying(owner: Person) -> None:
    sheet, eighth = _short(owner), NM_PER_YARD // 8
    sheet.plan.straightening = 4 * NM_PER_INCH
    assert shopping.length_to_buy(sheet=sheet) == 2 * eighth  # 5 in and 4 in
    sheet.plan.straightening += 1
    assert shopping.length_to_buy(sheet=sheet) == 3 * eighth
    sheet.plan.straightening = 0
    sheet.uncut = [{**row, "stripes": "along"} for row in sheet.uncut]
    sheet.fabric.stripes = "along"
    striped = shopping.length_to_buy(sheet=sheet)
    sheet.fabric.stripes = "across"
    assert striped != shopping.length_to_buy(sheet=sheet)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"width": 50 * NM_PER_INCH, "length": 50 * NM_PER_INCH, "join": None}, "Scrap is too narrow for these"),
        ({"count": 999_999}, "more than a shop could cut"),
    ],
)
def test_what_no_length_of_the_cloth_gives_is_said(owner: Person, change: dict[str, object], sentence: str) -> None:
    sheet = _short(owner)
    sheet.uncut = [{**sheet.uncut[0], **change}]
    with pytest.raises(PlanError, match=sentence):
        shopping.length_to_buy(sheet=sheet)
