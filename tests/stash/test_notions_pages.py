"""Notions on their pages: added by sort, bought, used and counted in her own units, and undone."""

from collections.abc import Mapping
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from quiltbook.measures import NM_PER_INCH, System
from quiltbook.people.models import Person
from stash.models import Notion, NotionChange
from stash.queries.notions import left_of
from stash.services import notions as services
from stash.services.cloth import Paid
from stash.services.notions import Came, Facts
from tests.factories import NOW, TODAY
from tests.stash.typing_in import errors, words

pytestmark = pytest.mark.django_db

BOUGHT: Mapping[str, str] = {
    "came": "bought",
    "price": "4.50",
    "currency": "EUR",
    "bought_from": "Market stall",
    "day": "2024-11-20",
    "least": "",
    "place": "Sewing table",
    "note": "",
}
THREAD: Mapping[str, str] = {**BOUGHT, "name": "Ecru", "amount": "2 x 100 yd", "colour": "#efe6d0", "weight": "50"}
PAPERS: Mapping[str, str] = {**BOUGHT, "name": "Inch hexagons", "amount": "100", "shape": "hexagon", "side": "1 in"}
NONSENSE = ["", "lots", "-3", "1/0", "9" * 5000, "2 x", "x 3 m", "0 x 5 m", "1e9", "🧵", "3\x00", "3 kg", "1 x 2 x 3 m"]


def add(browser: Client, sort: str, said: Mapping[str, str]) -> Notion:
    response = browser.post(f"/stash/notions/add/{sort}/", said)
    assert response.status_code == 302, errors(response)
    return Notion.objects.latest("pk")


def test_thread_is_written_down_by_the_spool_and_shown_in_yards(at_home: Client) -> None:
    ecru = add(at_home, "thread", THREAD)
    assert left_of(ecru) == Decimal("182.88")
    page = words(at_home.get(f"/stash/notions/{ecru.pk}/"))
    for told in ("200 yd", "weight 50", "from Market stall", "4.50 EUR", "Sewing table"):
        assert told in page


def test_a_metric_book_speaks_of_metres(at_home: Client, owner: Person) -> None:
    owner.settings.system = System.METRIC
    owner.settings.save()
    ecru = add(at_home, "thread", {**THREAD, "amount": "1,5 m"})
    assert left_of(ecru) == Decimal("1.5")
    assert "1.5 m" in words(at_home.get("/stash/notions/"))


def test_every_sort_can_be_added(at_home: Client) -> None:
    for sort, said in {
        "thread": THREAD,
        "wadding-roll": {**BOUGHT, "name": "Roll", "amount": "2 1/2 yd", "width": "90 in"},
        "wadding-packs": {**BOUGHT, "name": "Pack", "amount": "1", "width": "60 in", "length": "60 in"},
        "papers": PAPERS,
        "templates": {**PAPERS, "shape": "diamond 60"},
        "glue": {**BOUGHT, "name": "Pen", "amount": "1,5"},
        "needles": {**BOUGHT, "name": "Sharps", "amount": "2"},
        "spray": {**BOUGHT, "name": "Can", "amount": "1"},
        "other": {**BOUGHT, "name": "Chalk", "amount": "1"},
    }.items():
        assert at_home.get(f"/stash/notions/add/{sort}/").status_code == 200
        notion = add(at_home, sort, said)
        assert at_home.get(f"/stash/notions/{notion.pk}/").status_code == 200
        assert at_home.get(f"/stash/notions/{notion.pk}/edit/").status_code == 200
    page = words(at_home.get("/stash/notions/"))
    assert page.count('class="left-of-it"') == 9
    assert "6.25 sq yd" in page  # 2 1/2 yd of 90 in
    assert at_home.get("/stash/notions/add/anything/").status_code == 404


@pytest.mark.parametrize(
    ("said", "size"),
    [
        ({"shape": "hexagon", "side": "1 in"}, (43_994_091, 50_800_000)),
        ({"shape": "hexagon petal", "side": "1 in", "rise": "1 in"}, (50_800_000, 47_397_045)),
        ({"shape": "diamond 60", "side": "1 in"}, (25_400_000, 43_994_091)),
        ({"shape": "diamond 45", "side": "1 in"}, (19_440_318, 46_933_080)),
        ({"shape": "other", "width": "2 in", "length": "3 in"}, (50_800_000, 76_200_000)),
    ],
)
def test_papers_are_said_by_their_side_and_said_so_again(
    at_home: Client, said: dict[str, str], size: tuple[int, int]
) -> None:
    """√3, (√3/2 + 1), 2 sin and 2 cos of half the angle: the boxes of the shapes of a side of an inch, in nm."""
    notion = add(at_home, "papers", {**BOUGHT, "name": "P", "amount": "10", **said})
    assert (notion.width, notion.length) == size
    form = at_home.get(f"/stash/notions/{notion.pk}/edit/").context["form"]
    assert {name: form[name].value() for name in said} == said
    data = {name: form[name].value() or "" for name in form.fields}
    at_home.post(f"/stash/notions/{notion.pk}/edit/", data)
    notion.refresh_from_db()
    assert (notion.width, notion.length) == size


def test_a_shape_without_its_measures_is_told_at_the_field(at_home: Client) -> None:
    petal = at_home.post("/stash/notions/add/papers/", {**PAPERS, "shape": "hexagon petal"})
    assert errors(petal) == {"rise": ["Write a length."]}
    other = at_home.post("/stash/notions/add/papers/", {**PAPERS, "shape": "other"})
    assert set(errors(other)) == {"width", "length"}
    assert set(errors(at_home.post("/stash/notions/add/papers/", {**PAPERS, "shape": "star"}))) == {"shape"}


@pytest.mark.parametrize("typed", NONSENSE)
@pytest.mark.parametrize(("sort", "said"), [("thread", THREAD), ("papers", PAPERS)])
def test_any_typing_is_answered_with_a_sentence_and_kept(
    at_home: Client, sort: str, said: Mapping[str, str], typed: str
) -> None:
    response = at_home.post(f"/stash/notions/add/{sort}/", {**said, "amount": typed})
    assert list(errors(response)) == ["amount"]
    assert 'value="Market stall"' in words(response)
    assert not Notion.objects.exists()


def test_papers_are_counted_whole(at_home: Client) -> None:
    response = at_home.post("/stash/notions/add/papers/", {**PAPERS, "amount": "2.5"})
    assert errors(response) == {"amount": ["They are counted one by one: write a whole number."]}


def test_what_she_had_already_has_no_price(at_home: Client) -> None:
    add(at_home, "thread", {**THREAD, "came": "there", "price": "what?", "currency": ""})
    change = NotionChange.objects.get()
    assert (change.kind, change.price, change.bought_from) == ("counted", None, "")


def test_used_bought_and_counted_on_its_page_and_undone(at_home: Client) -> None:
    ecru = add(at_home, "thread", THREAD)
    here = f"/stash/notions/{ecru.pk}/"
    used = words(at_home.post(f"{here}used/", {"amount": "50 yd", "day": "2024-11-21", "note": "Cushion"}, follow=True))
    assert "Ecru: used 50 yd." in used
    assert "Cushion" in used
    assert left_of(ecru) == Decimal("137.16")
    undone = words(at_home.post(f"/stash/notions/changes/{NotionChange.objects.latest('pk').pk}/undo/", follow=True))
    assert "Ecru, undone: used 50 yd." in undone
    assert left_of(ecru) == Decimal("182.88")
    more = {"amount": "100 yd", "day": "2024-11-22", "price": "3", "currency": "EUR", "bought_from": "", "note": ""}
    at_home.post(f"{here}bought/", more)
    assert left_of(ecru) == Decimal("274.32")
    counted = words(at_home.post(f"{here}counted/", {"amount": "0", "day": "2024-11-23", "note": ""}, follow=True))
    assert "none left" in counted
    assert left_of(ecru) == 0


def test_a_wrong_change_is_told_at_its_field_with_nothing_lost(at_home: Client) -> None:
    ecru = add(at_home, "thread", THREAD)
    response = at_home.post(
        f"/stash/notions/{ecru.pk}/used/", {"amount": "300 yd", "day": "2024-11-21", "note": "For the sea"}
    )
    [act] = [each for each in response.context["acts"] if each["tried"]]
    assert "count it first" in act["form"].errors["amount"][0]
    assert "For the sea" in words(response)
    assert at_home.post(f"/stash/notions/{ecru.pk}/sing/").status_code == 404


def test_little_is_said_on_the_list(at_home: Client) -> None:
    add(at_home, "thread", {**THREAD, "least": "250 yd"})
    page = words(at_home.get("/stash/notions/"))
    assert "Running low" in page
    assert "200 yd left, less than 250 yd" in page


def test_put_away_it_stands_apart_and_comes_out_again(at_home: Client) -> None:
    ecru = add(at_home, "thread", {**THREAD, "least": "250 yd"})
    page = words(at_home.post(f"/stash/notions/{ecru.pk}/keep/away/", follow=True))
    assert "Put away (1)" in page
    assert "Running low" not in page
    assert at_home.get(f"/stash/notions/{ecru.pk}/").context["acts"] == []
    at_home.post(f"/stash/notions/{ecru.pk}/keep/out/")
    assert "Running low" in words(at_home.get("/stash/notions/"))


def test_an_empty_list_says_what_to_do_first(at_home: Client) -> None:
    page = words(at_home.get("/stash/notions/"))
    assert "No notions yet" in page
    assert "Add a thread" in page


def test_an_american_reads_of_batting(at_home: Client, owner: Person) -> None:
    owner.settings.words = "us"
    owner.settings.save()
    assert "Batting off the roll" in words(at_home.get("/stash/notions/"))
    assert "Wadding" not in words(at_home.get("/stash/notions/add/wadding-roll/"))


def test_another_persons_notion_is_not_there(client: Client, owner: Person, stranger: Person) -> None:
    facts = Facts(kind="wadding", unit="metre", name="Roll", width=90 * NM_PER_INCH)
    change = services.log(owner=owner, facts=facts, came=Came(Decimal(3), TODAY, Paid(None, "EUR")), now=NOW)
    client.force_login(stranger)
    here = f"/stash/notions/{change.notion_id}/"
    assert [client.get(here).status_code, client.get(f"{here}edit/").status_code] == [404, 404]
    for act in ("used", "bought", "counted", "keep/away", "edit"):
        assert client.post(f"{here}{act}/", {"amount": "1"}).status_code == 404
    assert client.post(f"/stash/notions/changes/{change.pk}/undo/").status_code == 404
    assert "Roll" not in words(client.get("/stash/notions/"))
    assert left_of(change.notion) == 3


def test_the_list_reads_as_often_for_many_notions_as_for_few(at_home: Client, owner: Person) -> None:
    counts = []
    for many in (2, 9):
        for n in range(many):
            facts = Facts(kind="thread", unit="metre", name=f"Thread {many} {n}")
            services.log(owner=owner, facts=facts, came=Came(Decimal(n + 1), TODAY), now=NOW)
        with CaptureQueriesContext(connection) as asked:
            at_home.get("/stash/notions/")
        counts.append(len(asked))
    assert counts[0] == counts[1]
