"""What she has for a quilt besides cloth: enough or short of each, put on the list, used and not used after all."""

import re
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plans.models import NotionChoice, Plan, ShoppingLine
from plans.queries.notions import notions_rows
from plans.queries.notions_short import Need, needs
from plans.services import notions as services
from plans.services.errors import PlanError
from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import NM_PER_YARD, System
from quiltbook.people.models import Person
from stash.models import Notion, NotionChange
from stash.queries.notions import left_of
from stash.services import notions as stash
from stash.services.notions import Came, Facts
from tests.factories import NOW, TODAY
from tests.plans.medallion import medallion, work_of
from tests.plans.typed import figures_data, soft, words

WHEN: dict[str, Any] = {"day": TODAY, "now": NOW}
SEAMS, PAPER_SEAMS, HEM = "thread-seams", "thread-paper-seams", "thread-binding-hem"


@pytest.fixture
def plan(owner: Person) -> Plan:
    """48 x 42 in, wadding of 54 x 48 in, fourteen flowers of a hexagon and six petals with sides of an inch."""
    return medallion(owner)


def have(owner: Person, kind: str, name: str, amount: str, **more: Any) -> Notion:
    unit = more.pop("unit", {"thread": "metre"}.get(kind, "piece"))
    facts = Facts(kind=kind, unit=unit, name=name, **more)
    return stash.log(owner=owner, facts=facts, came=Came(Decimal(amount), TODAY), now=NOW).notion


def page_of(plan: Plan) -> str:
    return reverse("plans:finishing", args=[plan.pk])


def by_key(plan: Plan, system: System = System.INCHES) -> dict[str, Need]:
    work = work_of(plan)
    rows = notions_rows(plan, work, system)
    return {need.key: need for need in needs(plan, work, rows, system=system, page=page_of(plan))}


def told(need: Need) -> tuple[str, str]:
    return need.state, soft(need.sentence)


def papers_key(plan: Plan, kind: str) -> str:
    return next(key for key in by_key(plan) if re.match(rf"papers-{kind}-[0-9]", key))


def test_with_nothing_written_down_every_need_says_so(plan: Plan) -> None:
    found = by_key(plan)
    assert {need.state for need in found.values()} == {"none"}
    assert SEAMS in found
    assert "wadding" in found
    assert len([key for key in found if key.startswith("papers-")]) == 2


def test_thread_serves_by_her_choice_alone_and_one_need_leaves_less_for_the_next(owner: Person, plan: Plan) -> None:
    rows = {row.what: row for row in notions_rows(plan, work_of(plan), System.METRIC).thread}
    metres = {key: Decimal(round(row.taken / 10**6)) / 1000 for key, row in rows.items()}
    both = metres["seams"] + metres["paper seams"]
    ecru = have(owner, "thread", "Ecru", str(both - 1))
    assert by_key(plan)[SEAMS].state == "choose"
    services.choose(plan=plan, choices={SEAMS: ecru.pk, PAPER_SEAMS: ecru.pk, HEM: None})
    found = by_key(plan, System.METRIC)
    assert found[SEAMS].state == "enough"
    assert abs(found[SEAMS].takes - metres["seams"]) <= Decimal("0.001")
    short = found[PAPER_SEAMS]
    assert short.state == "short"
    assert "go to what stands above" in short.sentence
    assert short.sentence.endswith(": 1 m short.")
    assert short.buy is not None
    assert soft(short.buy.what) == "Thread, 1 spool of 100 m: seams over papers, like Ecru"
    assert found[HEM].state == "choose"


def test_papers_and_templates_serve_by_shape_and_size(owner: Person, plan: Plan) -> None:
    """Fourteen hexagons; the box of one with sides of an inch is √3 by 2 in."""
    key = papers_key(plan, "hexagon")
    have(owner, "papers", "Too large", "500", shape="hexagon", width=round(3.4641 * IN), length=4 * IN)
    have(owner, "papers", "Metric, 25 mm", "500", shape="hexagon", width=43_301_270, length=50_000_000)
    have(owner, "papers", "Diamonds", "500", shape="diamond", width=43_994_091, length=50_800_000)
    assert by_key(plan)[key].state == "none"
    have(owner, "templates", "Inch", "10", shape="hexagon", width=43_994_091, length=50_800_000)
    short = by_key(plan)[key]
    assert told(short) == ("short", "You have 10 of Inch, 14 needed: 4 short.")
    assert short.buy is not None
    assert soft(short.buy.what) == "Papers, 1 pack: 4 hexagons, sides of 1 in"
    have(owner, "papers", "More", "14", shape="hexagon", width=43_994_100, length=50_800_000)
    assert told(by_key(plan)[key]) == ("enough", "You have 14 of More, 14 needed.")


@pytest.mark.parametrize(
    ("facts", "amount", "sentence"),
    [
        ({"unit": "pack", "width": 60 * IN, "length": 60 * IN}, "1", "You have 1 pack of W, 1 pack needed."),
        ({"unit": "pack", "width": 48 * IN, "length": 54 * IN}, "1", "You have 1 pack of W, 1 pack needed."),
        (
            {"unit": "pack", "width": 36 * IN, "length": 45 * IN},
            "1",
            "You have 1 pack of W, 4 packs needed: 3 packs short.",
        ),
        ({"unit": "metre", "width": 90 * IN}, "1.2192", "You have 1 3/8 yd of W, 1 3/8 yd needed."),
        ({"unit": "metre", "width": 90 * IN}, "1.2", "You have 1 1/4 yd of W, 1 3/8 yd needed: 3/4 in short."),
    ],
)
def test_wadding_serves_where_it_covers(
    owner: Person, plan: Plan, facts: dict[str, Any], amount: str, sentence: str
) -> None:
    """54 x 48 in: in a pack either way round, in four packs of 36 x 45, or 48 in (1.2192 m) off a roll 90 in wide."""
    have(owner, "wadding", "W", amount, **facts)
    assert told(by_key(plan)["wadding"])[1].replace("about ", "") == sentence


def test_of_wadding_that_covers_the_one_that_opens_least_is_meant_unless_she_says(owner: Person, plan: Plan) -> None:
    king = have(owner, "wadding", "King", "1", unit="pack", width=120 * IN, length=120 * IN)
    have(owner, "wadding", "Throw", "1", unit="pack", width=60 * IN, length=60 * IN)
    have(owner, "wadding", "Scrap", "1", unit="pack", width=10 * IN, length=10 * IN)
    need = by_key(plan)["wadding"]
    assert need.notion is not None
    assert (need.notion.name, [each.notion.name for each in need.candidates]) == ("Throw", ["Throw", "King"])
    services.choose(plan=plan, choices={"wadding": king.pk})
    chosen = by_key(plan)["wadding"].notion
    assert chosen is not None
    assert chosen.name == "King"


def test_a_roll_too_short_is_bought_whole(owner: Person, plan: Plan) -> None:
    have(owner, "wadding", "Roll", "0.5", unit="metre", width=90 * IN)
    line = by_key(plan)["wadding"].buy
    assert line is not None
    assert (soft(line.what), line.length) == ("Wadding off a roll 90 in wide", 11 * NM_PER_YARD // 8)


def test_used_is_written_down_for_the_plan_once_and_taken_back(owner: Person, plan: Plan) -> None:
    throw = have(owner, "wadding", "Throw", "1", unit="pack", width=60 * IN, length=60 * IN)
    need = by_key(plan)["wadding"]
    change = services.use(plan=plan, need=need, page=page_of(plan), **WHEN)
    assert (left_of(throw), change.note, change.link) == (Decimal(0), "Tideline", f"{page_of(plan)}#wadding")
    with pytest.raises(PlanError, match="already"):  # the other window still shows the need as it was
        services.use(plan=plan, need=need, page=page_of(plan), **WHEN)
    used = by_key(plan)["wadding"]
    assert (used.state, [each.words for each in used.used]) == ("used", ["1 pack of Throw"])
    back = services.take_back(change=change, **WHEN)
    assert (left_of(throw), by_key(plan)["wadding"].state) == (Decimal(1), "enough")
    services.take_back(change=back, **WHEN)
    again = by_key(plan)["wadding"]
    assert again.state == "used"
    services.take_back(change=NotionChange.objects.get(pk=again.used[0].change_id), **WHEN)
    assert by_key(plan)["wadding"].state == "enough"


def test_where_the_plan_grew_after_it_was_used_only_the_rest_is_needed(owner: Person, plan: Plan) -> None:
    have(owner, "papers", "Inch", "30", shape="hexagon", width=43_994_091, length=50_800_000)
    key = papers_key(plan, "hexagon")
    stash.used(notion=Notion.objects.get(), amount=Decimal(10), link=f"{page_of(plan)}#{key}", **WHEN)
    assert told(by_key(plan)[key]) == ("enough", "You have 20 of Inch, 4 more needed.")
    other = medallion(owner)
    assert told(by_key(other)[key]) == ("enough", "You have 20 of Inch, 14 needed.")


def test_the_page_tells_chooses_uses_and_undoes(at_home: Client, owner: Person, plan: Plan) -> None:
    ecru = have(owner, "thread", "Ecru", "500")
    page = words(at_home.get(page_of(plan)))
    assert "yd needed: say below of which thread." in page
    assert "14 needed, and you have none written down." in page
    at_home.post(reverse("plans:notions_choose", args=[plan.pk]), {SEAMS: str(ecru.pk), PAPER_SEAMS: ""})
    need = by_key(plan)[SEAMS]
    assert need.state == "enough"
    page = words(at_home.get(page_of(plan)))
    assert soft(need.sentence) in page
    used = at_home.post(reverse("plans:notion_used", args=[plan.pk, SEAMS]), follow=True)
    assert "used, from Ecru." in words(used)
    assert left_of(ecru) == 500 - need.takes
    again = at_home.post(reverse("plans:notion_used", args=[plan.pk, SEAMS]), follow=True)
    assert "used already" in words(again)
    change = NotionChange.objects.latest("pk")
    assert "Tideline" in words(at_home.get(f"/stash/notions/{ecru.pk}/"))
    undone = at_home.post(reverse("plans:notion_unused", args=[plan.pk, change.pk]), follow=True)
    assert "not used after all" in words(undone)
    assert left_of(ecru) == 500
    at_home.post(reverse("plans:notions_choose", args=[plan.pk]), {SEAMS: ""})
    assert not NotionChoice.objects.exists()


def test_what_is_missing_goes_on_the_list_once(at_home: Client, owner: Person, plan: Plan) -> None:
    ecru = have(owner, "thread", "Ecru", "1")
    services.choose(plan=plan, choices={SEAMS: ecru.pk})
    for _ in range(2):
        shown = at_home.post(reverse("plans:notion_put", args=[plan.pk, SEAMS]), follow=True)
        assert "On the shopping list: Thread, 1 spool" in words(shown)
    assert [line.role for line in ShoppingLine.objects.to_buy()] == ["thread seams-by-machine"]
    at_home.post(reverse("plans:finishing_put", args=[plan.pk]), {"key": "thread"})
    assert ShoppingLine.objects.to_buy().filter(role="thread seams-by-machine").count() == 1
    enough = at_home.post(reverse("plans:notion_put", args=[plan.pk, "wadding"]), follow=True)
    assert "Nothing of that is missing" in words(enough)


def test_spray_is_a_need_only_where_she_bastes_with_it(at_home: Client, owner: Person, plan: Plan) -> None:
    have(owner, "spray", "Can", "2")
    assert "spray" not in by_key(plan)
    at_home.post(page_of(plan), figures_data(plan, adhesive_covers="1.5"))
    plan.refresh_from_db()
    short = by_key(plan)["spray"]
    assert told(short) == ("short", "You have 2 of Can, 3 needed: 1 short.")
    assert short.buy is not None
    assert short.buy.what == "Basting spray, 1 can"


def test_what_is_put_away_does_not_serve(owner: Person, plan: Plan) -> None:
    throw = have(owner, "wadding", "Throw", "1", unit="pack", width=60 * IN, length=60 * IN)
    stash.keep(notion=throw, put_away_at=NOW)
    assert by_key(plan)["wadding"].state == "none"


def test_a_plan_that_is_over_keeps_its_choices(at_home: Client, owner: Person, plan: Plan) -> None:
    ecru = have(owner, "thread", "Ecru", "500")
    Plan.objects.filter(pk=plan.pk).update(state="given up")
    shown = at_home.post(reverse("plans:notions_choose", args=[plan.pk]), {SEAMS: str(ecru.pk)}, follow=True)
    assert "was given up" in words(shown)
    assert not NotionChoice.objects.exists()


def test_nobody_chooses_or_takes_another_persons_notions(
    client: Client, at_home: Client, plan: Plan, stranger: Person
) -> None:
    theirs = have(stranger, "thread", "Theirs", "500")
    with pytest.raises(PlanError, match="your own"):
        services.choose(plan=plan, choices={SEAMS: theirs.pk})
    refused = at_home.post(reverse("plans:notions_choose", args=[plan.pk]), {SEAMS: str(theirs.pk)}, follow=True)
    assert not NotionChoice.objects.exists()
    assert "Theirs" not in words(refused)
    change = NotionChange.objects.get()
    assert at_home.post(reverse("plans:notion_unused", args=[plan.pk, change.pk])).status_code == 404
    client.force_login(stranger)
    for name, args in (
        ("notions_choose", [plan.pk]),
        ("notion_used", [plan.pk, SEAMS]),
        ("notion_put", [plan.pk, SEAMS]),
    ):
        assert client.post(reverse(f"plans:{name}", args=args)).status_code == 404
    assert left_of(theirs) == 500


def test_the_page_reads_as_often_for_many_notions_as_for_few(at_home: Client, owner: Person, plan: Plan) -> None:
    counts = []
    for many in (2, 9):
        for n in range(many):
            have(owner, "thread", f"Thread {many} {n}", "5")
        with CaptureQueriesContext(connection) as asked:
            at_home.get(page_of(plan))
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_a_need_has_one_choice_and_says_which_it_is_for(owner: Person, plan: Plan) -> None:
    ecru = have(owner, "thread", "Ecru", "5")
    NotionChoice.objects.create(plan=plan, need=SEAMS, notion=ecru)
    NotionChoice.objects.create(plan=plan, need=HEM, notion=ecru)
    with pytest.raises(IntegrityError), transaction.atomic():
        NotionChoice.objects.create(plan=plan, need=SEAMS, notion=ecru)
    with pytest.raises(IntegrityError, match="notion_choice_says_for_what"), transaction.atomic():
        NotionChoice.objects.create(plan=plan, need="", notion=ecru)
