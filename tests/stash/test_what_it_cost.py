"""Cloth carries its share, by area, of what was paid for it; currencies stay apart, and what has no price is said."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, Piece
from stash.queries.money import Money, costs_of_pieces, of_fabric, worth
from stash.services import cloth, ledger
from stash.services.cloth import Paid
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches


def buy(fabric: Fabric, price: str | None, *sizes: tuple[float, float], currency: str = "USD") -> list[Piece]:
    paid = Paid(Decimal(price) if price is not None else None, currency)
    movement = cloth.buy(
        fabric=fabric, sizes=[inches(*size) for size in sizes], paid=paid, place="", day=TODAY, now=NOW
    )
    return list(Piece.objects.filter(lines__movement=movement).select_related("fabric").order_by("number"))


def words(sums: tuple[Money, ...]) -> list[str]:
    return [money.words for money in sums]


def test_a_fabric_costs_what_was_paid_for_it_one_sum_a_currency(owner: Person, kelp: Fabric) -> None:
    buy(kelp, "12.50", (42, 36))
    buy(kelp, "7.25", (42, 18))
    buy(kelp, "4.00", (21, 18), currency="EUR")
    buy(kelp, None, (10, 10))
    found = of_fabric(owner=owner, fabric=kelp)
    assert words(found.paid.sums) == words(found.here.sums) == ["4.00 EUR", "19.75 USD"]
    assert found.paid.unpriced_mm2 == 64516  # 10 in x 10 in, an inch being 25.4 mm exactly


def test_half_of_it_gone_is_half_of_its_price_gone(owner: Person, kelp: Fabric) -> None:
    [piece] = buy(kelp, "10.00", (42, 36))
    cloth.split(piece=piece, sizes=[inches(42, 18), inches(42, 9)], day=TODAY, now=NOW)  # a quarter is waste
    found = of_fabric(owner=owner, fabric=kelp)
    assert words(found.here.sums) == ["7.50 USD"]
    first = Piece.objects.on_shelf().order_by("number")[0]
    cloth.scrap(piece=first, day=TODAY, now=NOW)
    found = of_fabric(owner=owner, fabric=kelp)
    assert (words(found.paid.sums), words(found.here.sums)) == (["10.00 USD"], ["2.50 USD"])


def test_cloth_that_shrank_in_the_wash_keeps_its_cost(owner: Person, kelp: Fabric) -> None:
    [piece] = buy(kelp, "10.00", (42, 36))
    cloth.wash(piece=piece, measured=inches(40, 34), day=TODAY, now=NOW)
    assert words(of_fabric(owner=owner, fabric=kelp).here.sums) == ["10.00 USD"]


@pytest.mark.parametrize(("counted", "cost"), [((42, 18), "5.00 USD"), ((42, 40), "10.00 USD")])
def test_counted_smaller_it_is_worth_what_is_there_and_larger_no_more_than_was_paid(
    owner: Person, kelp: Fabric, counted: tuple[float, float], cost: str
) -> None:
    [piece] = buy(kelp, "10.00", (42, 36))
    cloth.recount(piece=piece, measured=inches(*counted), day=TODAY, now=NOW)
    assert words(of_fabric(owner=owner, fabric=kelp).here.sums) == [cost]


def test_cloth_found_in_a_count_has_no_cost_and_is_said(owner: Person, kelp: Fabric) -> None:
    cloth.find(fabric=kelp, sizes=[inches(10, 10)], place="", day=TODAY, now=NOW)
    found = of_fabric(owner=owner, fabric=kelp)
    assert (found.here.sums, found.here.priced_mm2, found.here.unpriced_mm2) == ((), 0, 64516)
    assert found.paid.unpriced_mm2 == 0  # nothing of it was bought


def test_a_gift_costs_nothing_which_is_a_price(owner: Person, kelp: Fabric) -> None:
    buy(kelp, "0", (10, 10))
    found = of_fabric(owner=owner, fabric=kelp)
    assert words(found.paid.sums) == ["0.00 USD"]
    assert found.here.unpriced_mm2 == 0


def test_a_purchase_taken_back_was_never_paid_and_done_again_it_was(owner: Person, kelp: Fabric) -> None:
    buy(kelp, "10.00", (42, 36))
    movement = Movement.objects.get()
    back = ledger.reverse(movement=movement, day=TODAY, now=NOW)
    assert of_fabric(owner=owner, fabric=kelp).paid.sums == ()
    ledger.reverse(movement=back, day=TODAY, now=NOW)
    found = of_fabric(owner=owner, fabric=kelp)
    assert words(found.paid.sums) == words(found.here.sums) == ["10.00 USD"]


def test_a_piece_moved_about_or_cut_and_put_together_again_costs_the_same(owner: Person, kelp: Fabric) -> None:
    [piece] = buy(kelp, "10.00", (42, 36))
    cloth.move(piece=piece, place="Box", day=TODAY, now=NOW)
    cut = cloth.split(piece=piece, sizes=[inches(42, 18)], day=TODAY, now=NOW)
    ledger.reverse(movement=cut, day=TODAY, now=NOW)
    assert words(of_fabric(owner=owner, fabric=kelp).here.sums) == ["10.00 USD"]


def test_the_shelf_is_summed_by_currency_the_dearest_fabric_first(owner: Person, friend: Person) -> None:
    for name, price, currency in (("A", "3.00", "USD"), ("B", "9.00", "USD"), ("C", "5.00", "EUR"), ("D", None, "USD")):
        buy(FabricFactory.create(owner=owner, name=name), price, (10, 10), currency=currency)
    buy(FabricFactory.create(owner=friend), "100.00", (10, 10))
    found = worth(owner=owner)
    assert words(found.all.sums) == ["5.00 EUR", "12.00 USD"]
    assert [row.name for row in found.rows] == ["C", "B", "A", "D"]
    assert (found.all.priced_mm2, found.all.unpriced_mm2) == (3 * 64516, 64516)


def test_amounts_are_rounded_only_when_they_are_shown() -> None:
    third = Money(Fraction(10, 3), "USD")
    assert third.words == "3.33 USD"
    assert Money(third.amount * 3, "USD").words == "10.00 USD"
    assert Money(Fraction(1, 200), "USD").words == "0.01 USD"  # half a cent goes up


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    price=st.decimals(min_value=0, max_value=1000, places=2),
    cuts=st.lists(st.tuples(st.integers(1, 41), st.sampled_from(["split", "wash", "move"])), max_size=5),
)
def test_whatever_is_cut_nothing_on_the_shelf_costs_more_than_was_paid_and_nothing_is_lost_where_nothing_is_cut_away(
    db: None, price: Decimal, cuts: list[tuple[int, str]]
) -> None:
    owner = PersonFactory.create()
    kelp = FabricFactory.create(owner=owner)
    buy(kelp, str(price), (42, 36), (21, 18))
    for n, (width, deed) in enumerate(cuts):
        piece = Piece.objects.of(owner).on_shelf().order_by("-width", "pk")[0]
        if deed == "move":
            cloth.move(piece=piece, place=f"Box {n}", day=TODAY, now=NOW)
        elif deed == "wash":
            cloth.wash(piece=piece, measured=inches(piece.width / 25_400_000 * 0.97, 17), day=TODAY, now=NOW)
        elif inches(width, 1).width < piece.width:
            part = inches(width, piece.length / 25_400_000)
            cloth.split(piece=piece, sizes=[part], keep_rest=True, day=TODAY, now=NOW)
    known = costs_of_pieces(owner=owner)
    here = sum((known[piece.pk].amount for piece in Piece.objects.of(owner).on_shelf()), Fraction())
    assert here == Fraction(price)


# --- the pages -------------------------------------------------------------------------------------------------------


def test_a_fabrics_page_says_what_it_cost_and_what_of_that_is_here(at_home: Client, kelp: Fabric) -> None:
    [piece] = buy(kelp, "10.00", (42, 36))
    cloth.split(piece=piece, sizes=[inches(42, 18)], day=TODAY, now=NOW)
    text = at_home.get(reverse("stash:fabric", args=[kelp.pk])).text.replace("\u00a0", " ")
    assert "10.00 USD" in text
    assert "5.00 USD" in text


def test_the_page_of_the_shelf_sums_it_up_and_says_what_has_no_price(at_home: Client, kelp: Fabric) -> None:
    buy(kelp, "10.00", (42, 36))
    bought(kelp, [inches(36, 36)])
    text = at_home.get(reverse("stash:worth")).text.replace("\u00a0", " ")
    assert "10.00 USD" in text
    assert "1 sq yd more has no price" in text


def test_many_fabrics_come_a_page_at_a_time_and_any_page_asked_for_is_answered(
    at_home: Client, owner: Person, kelp: Fabric, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("stash.views.worth.ROWS_A_PAGE", 2)
    for n in range(3):
        buy(FabricFactory.create(owner=owner, name=f"Cloth {n}"), f"{9 - n}.00", (10, 10))
    first = at_home.get(reverse("stash:worth"))
    assert [row.name for row in first.context["rows"]] == ["Cloth 0", "Cloth 1"]
    assert "24.00 USD" in first.text
    for page in ("2", "99", "-1", "x"):
        rows = at_home.get(reverse("stash:worth"), {"page": page}).context["rows"]
        assert [row.name for row in rows] == (["Cloth 0", "Cloth 1"] if page == "x" else ["Cloth 2"])


def test_an_empty_shelf_says_what_to_do_first(at_home: Client) -> None:
    assert "Nothing on the shelf" in at_home.get(reverse("stash:worth")).text


def test_the_page_reads_as_often_for_much_cloth_as_for_little(at_home: Client, owner: Person, kelp: Fabric) -> None:
    def queries(read: Callable[[], object]) -> int:
        with CaptureQueriesContext(connection) as seen:
            read()
        return len(seen)

    buy(kelp, "10.00", (42, 36))
    few = queries(lambda: at_home.get(reverse("stash:worth")))
    for _ in range(4):
        buy(FabricFactory.create(owner=owner), "10.00", (42, 36), (21, 18))
    assert queries(lambda: at_home.get(reverse("stash:worth"))) == few
