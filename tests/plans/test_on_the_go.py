"""The first page shows what is on the go: each quilt drawn, what is left, what can be sewn next, and the hours of this week."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plans.models.plan import State
from plans.queries.plans import cards
from plans.services import plans
from plans.services.plans import Centre
from quiltbook.measures import NM_PER_INCH, System
from quiltbook.people.models import Person
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory
from tests.plans.medallion import medallion, sit
from tests.plans.typed import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


@pytest.fixture
def signed_in(client: Client, owner: Person) -> Client:
    client.force_login(owner)
    return client


def test_a_new_quilter_is_told_what_to_do_first(signed_in: Client, owner: Person) -> None:
    page = words(signed_in.get("/"))
    assert "What will you sew?" in page
    assert reverse("plans:new") in page
    assert reverse("stash:log") in page
    FabricFactory.create(owner=owner)
    assert "log your first cloth" not in words(signed_in.get("/"))


def test_an_idea_is_not_on_the_go_until_it_is_started(signed_in: Client, owner: Person) -> None:
    plan = medallion(owner)
    assert "Nothing is on the go" in words(signed_in.get("/"))
    plans.move(plan=plan, to=State.ON_THE_GO, now=NOW)
    page = words(signed_in.get("/"))
    assert "Tideline" in page
    assert "48 × 42 in" in page
    assert "<svg" in page
    assert "to cut" in page


def test_another_persons_quilts_are_not_there(signed_in: Client) -> None:
    plans.move(plan=medallion(PersonFactory.create()), to=State.ON_THE_GO, now=NOW)
    for address in ("/", reverse("plans:plans")):
        assert "Tideline" not in words(signed_in.get(address))


def test_a_card_tells_what_is_next(owner: Person) -> None:
    plans.move(plan=medallion(owner), to=State.ON_THE_GO, now=NOW)
    [card] = cards(owner=owner, states=[State.ON_THE_GO], today=TODAY, system=System.INCHES)
    assert card.next is not None
    assert card.next.key == "cutting"


def test_the_week_begins_on_monday(owner: Person) -> None:
    wednesday = date(2026, 11, 25)
    assert wednesday == TODAY
    plan = plans.move(plan=medallion(owner), to=State.ON_THE_GO, now=NOW)
    for day, minutes in ((wednesday, 40), (wednesday - timedelta(days=2), 20), (wednesday - timedelta(days=3), 90)):
        sit(plan, "quilting", minutes, day=day)
    [card] = cards(owner=owner, states=[State.ON_THE_GO], today=TODAY, system=System.INCHES)
    assert card.minutes_this_week == 60


def test_a_quilt_that_cannot_be_worked_out_does_not_fell_the_page(signed_in: Client, owner: Person) -> None:
    plan = plans.move(plan=medallion(owner), to=State.ON_THE_GO, now=NOW)
    plan.rounds.filter(name="Garden").update(measured_width=1, measured_length=1)
    assert "Tideline" in words(signed_in.get("/"))


def test_the_list_of_plans_groups_them_by_state(signed_in: Client, owner: Person) -> None:
    assert "No quilts planned yet" in words(signed_in.get(reverse("plans:plans")))
    medallion(owner)
    given_up = plans.start(owner=owner, name="Old idea", centre=Centre(width=NM_PER_INCH, length=NM_PER_INCH), now=NOW)
    plans.move(plan=given_up, to=State.GIVEN_UP, now=NOW)
    groups = signed_in.get(reverse("plans:plans")).context["groups"]
    assert [(state, [one["card"].name for one in some]) for state, some in groups] == [
        (State.IDEA, ["Tideline"]),
        (State.GIVEN_UP, ["Old idea"]),
    ]


def test_the_list_asks_no_more_of_the_database_for_ten_ideas_than_for_one(signed_in: Client, owner: Person) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as asked:
            signed_in.get(reverse("plans:plans"))
        return len(asked)

    medallion(owner)
    one = queries()
    for _ in range(9):
        medallion(owner)
    assert queries() == one
