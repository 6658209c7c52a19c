"""Wadding, thread, papers, spray and web go from the finishing page onto the shopping list, each once."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan, ShoppingLine
from quiltbook.measures import NM_PER_YARD
from quiltbook.people.models import Person
from tests.plans.medallion import medallion
from tests.plans.typed import figures_data, soft, words


@pytest.fixture
def plan(owner: Person) -> Plan:
    """48 x 42 in: wadding of 54 x 48 in."""
    return medallion(owner)


def put(client: Client, plan: Plan, key: str) -> int:
    return client.post(reverse("plans:finishing_put", args=[plan.pk]), {"key": key}).status_code


def on_list() -> list[tuple[str, int | None]]:
    return [(soft(line.what), line.length) for line in ShoppingLine.objects.to_buy().order_by("pk")]


def test_wadding_is_written_down_off_the_roll_or_in_packs_whichever_she_says_last(at_home: Client, plan: Plan) -> None:
    put(at_home, plan, "roll-none")
    assert on_list() == [("Wadding off a roll 90 in wide", 11 * NM_PER_YARD // 8)]
    put(at_home, plan, "pack-throw")
    assert on_list() == [("Wadding, 1 pack of 60 × 60 in", None)]


def test_thread_and_papers_are_a_line_for_each_kind(at_home: Client, plan: Plan) -> None:
    put(at_home, plan, "thread")
    assert on_list()[0] == ("Thread, 1 spool of 100 m: seams by machine", None)
    assert len(on_list()) == 5
    put(at_home, plan, "papers")
    assert on_list()[-1] == ("Papers, 1 pack: 14 hexagons with sides of 1 in", None)
    put(at_home, plan, "thread")
    assert len(on_list()) == 7


def test_spray_and_web_are_there_only_where_they_were_asked_for(at_home: Client, plan: Plan) -> None:
    assert (put(at_home, plan, "spray"), put(at_home, plan, "web")) == (404, 404)
    asked = figures_data(plan, adhesive_covers="1.5", web_width="17 in")
    at_home.post(reverse("plans:finishing", args=[plan.pk]), asked)
    put(at_home, plan, "spray")
    put(at_home, plan, "web")
    (spray, _), (web, length) = on_list()
    assert spray == "Basting spray, 3 cans"
    assert web == "Fusible web 17 in wide"
    assert length


def test_every_button_of_the_page_puts_something_down(at_home: Client, plan: Plan) -> None:
    page = words(at_home.get(reverse("plans:finishing", args=[plan.pk])))
    keys = [part.split('"')[0] for part in page.split('name="key" value="')[1:]]
    assert len(keys) == len(set(keys)) > 8
    assert {put(at_home, plan, key) for key in keys} == {302}


def test_figures_that_are_not_kept_yet_cannot_be_bought_by(at_home: Client, plan: Plan) -> None:
    typed = figures_data(plan, wadding_overage="5 in")
    page = words(at_home.post(reverse("plans:finishing_live", args=[plan.pk]), typed))
    assert 'name="key"' not in page


def test_of_a_plan_that_is_over_nothing_is_put_down(at_home: Client, plan: Plan) -> None:
    Plan.objects.filter(pk=plan.pk).update(state="given up")
    assert 'name="key"' not in words(at_home.get(reverse("plans:finishing", args=[plan.pk])))
    put(at_home, plan, "thread")
    assert on_list() == []


def test_another_persons_finishing_is_not_found(client: Client, plan: Plan, stranger: Person) -> None:
    client.force_login(stranger)
    assert put(client, plan, "thread") == 404
