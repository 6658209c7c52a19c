"""Notions: what is bought, used and counted of each adds up, and a wrong change is taken back by its opposite."""

from decimal import Decimal
from typing import Any

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from quiltbook.measures import NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from stash.models import Notion, NotionChange
from stash.models.ledger import AppendOnlyError
from stash.queries.notions import history, left_of, notions, one, side_of, thread_length
from stash.services import notions as services
from stash.services.cloth import Paid
from stash.services.errors import StashError
from stash.services.notions import Came, Facts
from tests.factories import NOW, TODAY, PersonFactory

WHEN: dict[str, Any] = {"day": TODAY, "now": NOW}
METRIC, INCHES = System.METRIC, System.INCHES
ECRU = Facts(kind="thread", unit="metre", name="Ecru", colour="#efe6d0", weight="50")


@pytest.fixture
def ecru(owner: Person) -> Notion:
    """A thread she has nothing of yet."""
    return services.add(owner=owner, facts=ECRU, now=NOW)


def buy(notion: Notion, amount: str) -> NotionChange:
    return services.bought(notion=notion, amount=Decimal(amount), paid=Paid(None, "EUR"), **WHEN)


def use(notion: Notion, amount: str) -> NotionChange:
    return services.used(notion=notion, amount=Decimal(amount), **WHEN)


def count(notion: Notion, found: str) -> NotionChange:
    return services.counted(notion=notion, found=Decimal(found), **WHEN)


def test_what_was_bought_less_what_was_used_is_left(ecru: Notion) -> None:
    buy(ecru, "200")
    use(ecru, "43.125")
    assert left_of(ecru) == Decimal("156.875")


def test_a_count_records_the_difference_and_nothing_is_a_difference_too(ecru: Notion) -> None:
    buy(ecru, "200")
    assert count(ecru, "187.5").change == Decimal("-12.5")
    assert count(ecru, "187.5").change == 0
    assert left_of(ecru) == Decimal("187.5")
    told = [row.sentence for row in history(notion=ecru, system=METRIC)]
    assert told == ["Counted 188 m: as written down.", "Counted 188 m: 12 m less than written down.", "Bought 200 m."]


def test_more_than_is_written_down_cannot_be_used(ecru: Notion) -> None:
    buy(ecru, "10")
    with pytest.raises(StashError, match="count it first"):
        use(ecru, "10.001")
    assert left_of(ecru) == 10


@pytest.mark.parametrize("amount", ["0", "-1"])
def test_nothing_is_neither_bought_nor_used(ecru: Notion, amount: str) -> None:
    with pytest.raises(StashError, match="more than nothing"):
        buy(ecru, amount)
    with pytest.raises(StashError, match="more than nothing"):
        use(ecru, amount)
    with pytest.raises(StashError, match="less than nothing"):
        count(ecru, "-1")


def test_a_change_is_taken_back_once_and_can_be_done_again(ecru: Notion) -> None:
    bought = buy(ecru, "100")
    taken_back = services.reverse(change=bought, **WHEN)
    assert left_of(ecru) == 0
    with pytest.raises(StashError, match="undone already"):
        services.reverse(change=bought, **WHEN)
    services.reverse(change=taken_back, **WHEN)
    assert left_of(ecru) == 100
    rows = history(notion=ecru, system=METRIC)
    assert [(row.sentence, row.undone, row.undoable) for row in rows] == [
        ("Did again: bought 100 m.", False, True),
        ("Undid: bought 100 m.", True, False),
        ("Bought 100 m.", False, False),
    ]


def test_what_was_used_since_cannot_be_unbought(ecru: Notion) -> None:
    bought = buy(ecru, "100")
    use(ecru, "60")
    with pytest.raises(StashError, match="gone since"):
        services.reverse(change=bought, **WHEN)
    assert [row.undoable for row in history(notion=ecru, system=METRIC)] == [True, False]


def test_what_was_counted_is_the_truth_so_nothing_before_it_is_undone(ecru: Notion) -> None:
    buy(ecru, "100")
    used = use(ecru, "60")
    counted = count(ecru, "30")
    with pytest.raises(StashError, match="counted since"):
        services.reverse(change=used, **WHEN)
    services.reverse(change=counted, **WHEN)
    services.reverse(change=used, **WHEN)
    assert left_of(ecru) == 100


def test_the_first_of_it_is_written_down_with_it_or_neither_is(owner: Person) -> None:
    services.log(
        owner=owner, facts=ECRU, came=Came(Decimal(200), TODAY, Paid(Decimal("4.50"), "EUR", "Market")), now=NOW
    )
    change = NotionChange.objects.get()
    assert (change.kind, change.price, change.currency, change.bought_from) == (
        "bought",
        Decimal("4.50"),
        "EUR",
        "Market",
    )
    other = Facts(kind="thread", unit="metre", name="Grey")
    with pytest.raises(StashError):
        services.log(owner=owner, facts=other, came=Came(Decimal(-1), TODAY), now=NOW)
    assert not Notion.objects.filter(name="Grey").exists()
    services.log(owner=owner, facts=other, came=Came(Decimal(5), TODAY), now=NOW)
    assert NotionChange.objects.get(notion__name="Grey").kind == "counted"


def test_a_name_is_given_once_a_kind_and_another_person_may_use_it(owner: Person, ecru: Notion, friend: Person) -> None:
    with pytest.raises(StashError, match="You have Ecru already"):
        services.add(owner=owner, facts=ECRU, now=NOW)
    services.keep(notion=ecru, put_away_at=NOW)
    with pytest.raises(StashError, match="put away"):
        services.add(owner=owner, facts=ECRU, now=NOW)
    services.add(owner=friend, facts=ECRU, now=NOW)
    services.add(owner=owner, facts=Facts(kind="glue", unit="piece", name="Ecru"), now=NOW)


def test_what_it_is_measured_in_stays(ecru: Notion) -> None:
    with pytest.raises(StashError, match="another unit"):
        services.change(notion=ecru, facts=Facts(kind="thread", unit="piece", name="Ecru"))
    services.change(notion=ecru, facts=Facts(kind="thread", unit="metre", name="Ecru", least=Decimal(50)))
    assert Notion.objects.get().least == 50


def test_what_runs_low_is_told_by_what_she_said_is_little(owner: Person) -> None:
    for name, least, bought in (("A", 50, "50"), ("B", 50, "49.999"), ("C", None, "0.1"), ("D", None, None)):
        facts = Facts(kind="thread", unit="metre", name=name, least=Decimal(least) if least else None)
        each = services.add(owner=owner, facts=facts, now=NOW)
        if bought:
            buy(each, bought)
    shelf = notions(owner=owner, system=METRIC)
    assert [(row.name, row.state) for row in shelf.running_low] == [("B", "little"), ("D", "none")]


def test_wadding_is_told_as_an_area_off_the_roll_and_in_packs(owner: Person) -> None:
    """2 m of a roll 90 in wide are 4.572 m²; three packs of 60 x 60 in are 3 x 1.524² m²."""
    roll = Facts(kind="wadding", unit="metre", name="Roll", width=90 * NM_PER_INCH)
    pack = Facts(kind="wadding", unit="pack", name="Pack", width=60 * NM_PER_INCH, length=60 * NM_PER_INCH)
    found = []
    for facts, amount in ((roll, "2"), (pack, "3")):
        each = services.add(owner=owner, facts=facts, now=NOW)
        buy(each, amount)
        found.append(one(owner=owner, notion_id=each.pk, system=METRIC))
    assert [(row.left_words, row.area) for row in found] == [("2 m", 4_572_000), ("3 packs", 6_967_728)]
    assert found[0].facts == "228.6 cm wide"


def test_papers_are_told_by_their_side(owner: Person) -> None:
    facts = Facts(kind="papers", unit="piece", name="Inch", shape="hexagon", width=43_994_091, length=2 * NM_PER_INCH)
    each = services.add(owner=owner, facts=facts, now=NOW)
    assert one(owner=owner, notion_id=each.pk, system=INCHES).facts == "hexagon, sides of 1 in"
    assert side_of("diamond", Size(NM_PER_INCH, 43_994_091)) == NM_PER_INCH
    assert side_of("shape", Size(1, 1)) is None


@pytest.mark.parametrize(
    ("metres", "system", "told"),
    [
        ("91.44", INCHES, "100 yd"),
        ("0.914", INCHES, "1 yd"),
        ("4.25", METRIC, "4.2 m"),
        ("200", METRIC, "200 m"),
        ("0", METRIC, "0 m"),
    ],
)
def test_thread_is_told_in_her_own_units(metres: str, system: System, told: str) -> None:
    assert thread_length(Decimal(metres), system) == told


@pytest.mark.django_db
def test_the_database_holds_what_the_models_do(ecru: Notion) -> None:
    change = buy(ecru, "5")
    with pytest.raises(AppendOnlyError):
        change.delete()
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute("UPDATE stash_notionchange SET change = 6")
    ecru.least = Decimal(0)
    with pytest.raises(IntegrityError, match="notion_least"), transaction.atomic():
        ecru.save()


class WhateverIsDone(TestCase):
    """However she buys, uses, counts and takes back, what is left is the sum of the changes and never less than nothing."""

    @given(
        st.lists(
            st.tuples(st.sampled_from(["bought", "used", "counted", "reverse"]), st.integers(1, 400_000)), max_size=12
        )
    )
    def test_left_is_never_below_nothing_and_history_agrees(self, steps: list[tuple[str, int]]) -> None:
        ecru = services.add(owner=PersonFactory.create(), facts=ECRU, now=NOW)
        expected = Decimal(0)
        for step, thousandths in steps:
            amount = Decimal(thousandths) / 1000
            try:
                if step == "bought":
                    expected += services.bought(notion=ecru, amount=amount, paid=Paid(None, "EUR"), **WHEN).change
                elif step == "used":
                    expected += services.used(notion=ecru, amount=amount, **WHEN).change
                elif step == "counted":
                    services.counted(notion=ecru, found=amount, **WHEN)
                    expected = amount
                elif change := NotionChange.objects.filter(notion=ecru).order_by("-pk").first():
                    expected += services.reverse(change=change, **WHEN).change
            except StashError:
                assert step in {"used", "reverse"}
            assert left_of(ecru) == expected >= 0
        for row in history(notion=ecru, system=METRIC):
            change = NotionChange.objects.get(pk=row.id)
            with transaction.atomic():
                try:
                    services.reverse(change=change, **WHEN)
                    done = True
                except StashError:
                    done = False
                transaction.set_rollback(True)
            assert done == row.undoable
