"""A plan moves between states by one table, and only so; a page offers what the table allows and no more."""

from datetime import timedelta
from itertools import product

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.models.plan import MOVES, State
from plans.queries.plans import moves
from plans.queries.stages import sewing
from plans.queries.worked import worked
from plans.services import plans, stages
from plans.services.errors import PlanError
from plans.services.plans import Centre
from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from stash.models import Piece
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches
from tests.plans.quilts import LATER, border_role, framed, held
from tests.plans.typed import words

pytestmark = pytest.mark.django_db
CENTRE = Centre(width=24 * NM_PER_INCH, length=18 * NM_PER_INCH)
# How to come to each state from an idea.
WAYS = {
    State.IDEA: (),
    State.ON_THE_GO: (State.ON_THE_GO,),
    State.PUT_ASIDE: (State.PUT_ASIDE,),
    State.FINISHED: (State.ON_THE_GO, State.FINISHED),
    State.GIVEN_UP: (State.GIVEN_UP,),
}


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


def plan_in(owner: Person, state: State) -> Plan:
    plan = plans.start(owner=owner, name="Tideline", centre=CENTRE, now=NOW)
    for step in WAYS[state]:
        plan = plans.move(plan=plan, to=step, finished_on=TODAY, now=NOW)
    return plan


@pytest.mark.parametrize(("state", "to"), list(product(State, State)))
def test_the_table_decides_and_a_refusal_is_a_sentence(owner: Person, state: State, to: State) -> None:
    plan = plan_in(owner, state)
    if to in MOVES[state]:
        moved = plans.move(plan=plan, to=to, finished_on=TODAY, now=NOW)
        assert moved.state == to
        assert moved.finished_on == (TODAY if to == State.FINISHED else None)
    else:
        with pytest.raises(PlanError, match=r"^“Tideline” is .+\.$"):
            plans.move(plan=plan, to=to, finished_on=TODAY, now=NOW)
        plan.refresh_from_db()
        assert plan.state == state


@pytest.mark.parametrize("state", list(State))
def test_every_move_the_table_allows_has_words_of_its_own(owner: Person, state: State) -> None:
    offered = moves(plan_in(owner, state))
    assert [move.to for move in offered] == list(MOVES[state])
    assert all(move.words and move.sentence.endswith(".") for move in offered)


@pytest.mark.parametrize("state", list(State))
def test_the_page_offers_the_allowed_moves_alone(client: Client, owner: Person, state: State) -> None:
    plan = plan_in(owner, state)
    client.force_login(owner)
    page = words(client.get(reverse("plans:top", args=[plan.pk])))
    for to in State:
        address = reverse(
            "plans:finished" if to == State.FINISHED else "plans:move",
            args=[plan.pk] if to == State.FINISHED else [plan.pk, to.name.lower()],
        )
        assert (f'"{address}"' in page) == (to in MOVES[state]), to


def test_finishing_asks_for_the_day_and_keeps_it(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(owner)
    asked = client.post(reverse("plans:move", args=[plan.pk, "finished"]))
    assert asked["Location"] == reverse("plans:finished", args=[plan.pk])
    with pytest.raises(PlanError, match="which day"):
        plans.move(plan=plan, to=State.FINISHED, now=NOW)
    client.post(asked["Location"], {"finished_on": "2026-05-31"})
    plan.refresh_from_db()
    assert (plan.state, str(plan.finished_on)) == (State.FINISHED, "2026-05-31")


def test_what_is_left_to_sew_is_said_before_a_quilt_is_called_finished_and_does_not_hinder_it(
    client: Client, owner: Person
) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(owner)
    address = reverse("plans:finished", args=[plan.pk])
    page = words(client.get(address))
    assert "Not all of it is written down as done: " in page
    assert "left). It can be finished all the same." in page or "and more. It can be finished all the same." in page
    client.post(address, {"finished_on": "2026-05-31"})
    plan.refresh_from_db()
    assert plan.state == State.FINISHED


def test_a_quilt_with_nothing_left_is_finished_without_a_word(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(owner)
    work = worked(plan)
    for row in sewing(plan=plan, work=work, system=owner.settings.measures).left:
        stages.skip(plan=plan, work=work, key=row.key, now=NOW)
    assert "Not all of it" not in words(client.get(reverse("plans:finished", args=[plan.pk])))


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Say on which day"),
        ("soon", "Write a date"),
        ("2999-01-01", "still to come"),
        ("🧵", "Write a date"),
        ("9" * 10_000, "Write a date"),
    ],
)
def test_a_day_that_cannot_be_is_refused_at_its_field(client: Client, owner: Person, typed: str, sentence: str) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(owner)
    response = client.post(reverse("plans:finished", args=[plan.pk]), {"finished_on": typed})
    assert sentence in " ".join(response.context["form"].errors["finished_on"])
    plan.refresh_from_db()
    assert plan.state == State.ON_THE_GO


@pytest.mark.parametrize("state", [State.GIVEN_UP, State.FINISHED])
def test_a_quilt_that_is_over_lets_its_cloth_go(owner: Person, state: State) -> None:
    plan = framed(owner)
    plans.move(plan=plan, to=State.ON_THE_GO, now=NOW)
    piece = bought(FabricFactory.create(owner=owner), [inches(42, 36)])[0]
    held(plan, border_role(plan), piece.fabric)
    assert Piece.objects.held().contains(piece)
    plans.move(plan=plan, to=state, finished_on=TODAY, now=LATER)
    assert Piece.objects.free().contains(piece)


def test_a_move_can_be_taken_back_where_the_table_has_the_way(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(owner)
    page = words(client.post(reverse("plans:move", args=[plan.pk, "put_aside"]), follow=True))
    back = reverse("plans:move", args=[plan.pk, "on_the_go"])
    assert "“Tideline” is put aside now." in page
    assert f'action="{back}"' in page
    client.post(back)
    plan.refresh_from_db()
    assert plan.state == State.ON_THE_GO


def test_a_move_the_table_lacks_is_refused_on_the_page(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.IDEA)
    client.force_login(owner)
    page = client.post(reverse("plans:finished", args=[plan.pk]), {"finished_on": "2026-05-31"}, follow=True)
    assert "cannot become finished from there" in words(page)
    assert client.post(reverse("plans:move", args=[plan.pk, "no_such_state"])).status_code == 404


def test_another_persons_plan_is_not_found_anywhere(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.ON_THE_GO)
    client.force_login(PersonFactory.create())
    for name in ("plan", "name", "finished", "top", "finishing"):
        assert client.get(reverse(f"plans:{name}", args=[plan.pk])).status_code == 404, name
    for name, more in (("move", ["put_aside"]), ("top_live", []), ("finishing_live", []), ("top", []), ("name", [])):
        assert client.post(reverse(f"plans:{name}", args=[plan.pk, *more])).status_code == 404, name
    plan.refresh_from_db()
    assert plan.state == State.ON_THE_GO


def test_a_name_and_a_note_can_be_changed_in_every_state(client: Client, owner: Person) -> None:
    plan = plan_in(owner, State.FINISHED)
    client.force_login(owner)
    client.post(reverse("plans:name", args=[plan.pk]), {"name": "High tide", "note": "Given to M."})
    plan.refresh_from_db()
    assert (plan.name, plan.note) == ("High tide", "Given to M.")
    refused = client.post(reverse("plans:name", args=[plan.pk]), {"name": " ", "note": "x" * 4001})
    assert refused.context["form"].errors == {
        "name": ["Give the quilt a name."],
        "note": ["Use at most 4000 characters."],
    }
    assert "High tide" in words(refused)


def test_the_plans_own_address_leads_to_what_is_left_or_to_the_top(client: Client, owner: Person) -> None:
    client.force_login(owner)
    idea, going = plan_in(owner, State.IDEA), plan_in(owner, State.ON_THE_GO)
    assert client.get(reverse("plans:plan", args=[idea.pk]))["Location"] == reverse("plans:top", args=[idea.pk])
    assert client.get(reverse("plans:plan", args=[going.pk]))["Location"] == reverse("plans:left", args=[going.pk])


def test_the_plan_touched_last_comes_first(owner: Person) -> None:
    first = plans.start(owner=owner, name="First", centre=CENTRE, now=NOW)
    plans.start(owner=owner, name="Second", centre=CENTRE, now=NOW + timedelta(minutes=1))
    plans.rename(plan=first, name="First", note="", now=NOW + timedelta(minutes=2))
    assert [plan.name for plan in Plan.objects.of(owner)] == ["First", "Second"]
