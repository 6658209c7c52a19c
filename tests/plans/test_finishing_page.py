"""Backing, wadding and binding are worked out from the top and the plan's own figures, and say how."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.queries.finishing import FinishingRows
from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size
from quiltbook.people.models import Person
from tests.factories import PersonFactory
from tests.plans.medallion import medallion
from tests.plans.typed import figures_data, soft, words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


@pytest.fixture
def plan(client: Client, owner: Person) -> Plan:
    """48 x 42 in finished."""
    client.force_login(owner)
    return medallion(owner)


def finishing(plan: Plan) -> str:
    return reverse("plans:finishing", args=[plan.pk])


def rows(client: Client, plan: Plan) -> FinishingRows:
    found: FinishingRows = client.get(finishing(plan)).context["rows"]
    return found


def test_backing_and_wadding_reach_beyond_the_top_on_every_side(client: Client, plan: Plan) -> None:
    """48 x 42 in and 3 in all round are 54 x 48 in."""
    found = rows(client, plan)
    assert found.backing_need == Size(54 * IN, 48 * IN)
    assert found.wadding == Size(54 * IN, 48 * IN)
    assert soft(found.backing_how) == "The top, 48 × 42 in, and 3 in beyond it on every side."


def test_each_way_to_make_the_backing_is_shown_and_the_least_cloth_marked(client: Client, plan: Plan) -> None:
    """Two widths of 42 in less 1 in reach 83 in: down the quilt 2 x 48 = 96 in, across it 2 x 54 = 108 in."""
    down, across = rows(client, plan).backing
    assert (down.panels, down.length, down.best) == (2, 96 * IN, True)
    assert (across.panels, across.length, across.best) == (2, 108 * IN, False)
    assert down.to_buy == 22 * NM_PER_YARD // 8  # 96 in is 2.67 yd, up to the eighth
    assert "Two widths of 42 in, less 1 in at each seam, are 83 in, and 54 in are needed." in soft(down.how)
    page = words(client.get(finishing(plan)))
    assert "Least cloth" in page
    assert "2 3/4 yd" in page


def test_wide_backing_needs_no_seam(client: Client, plan: Plan) -> None:
    client.post(finishing(plan), figures_data(plan, backing_width="108 in"))
    [only] = rows(client, plan).backing
    assert only.words == "One width, no seam"
    assert only.length == 48 * IN


def test_binding_goes_round_the_quilt_with_some_to_spare(client: Client, plan: Plan) -> None:
    """2 (48 + 42) + 12 = 192 in; five strips of 42 in less four diagonal joins of 2 1/2 in are 200 in."""
    found = rows(client, plan)
    assert (found.perimeter, found.binding_length) == (180 * IN, 192 * IN)
    assert (found.binding_strips, found.binding_joined) == (5, 200 * IN)
    assert found.binding_cloth == 25 * IN // 2
    assert tuple(map(soft, found.binding_how)) == (
        "Round the quilt, 48 in and 42 in twice each, and 12 in more: 192 in.",
        "Five strips across cloth 42 in wide, each join on the diagonal taking 2 1/2 in: together 200 in.",
        "Five times 2 1/2 in is 12 1/2 in of cloth.",
    )


def test_other_figures_change_this_plan_alone(client: Client, plan: Plan, owner: Person) -> None:
    other = medallion(owner)
    response = client.post(finishing(plan), figures_data(plan, binding_strip="2 in", seam_allowance="3/8 in"))
    assert response.status_code == 302
    plan.refresh_from_db()
    other.refresh_from_db()
    assert (plan.binding_strip, plan.seam_allowance) == (2 * IN, 3 * IN // 8)
    assert other.binding_strip == 5 * IN // 2
    assert owner.settings.binding_strip == 5 * IN // 2


def test_figures_are_tried_while_typed_and_not_kept(client: Client, plan: Plan) -> None:
    typed = figures_data(plan, wadding_overage="5 in")
    response = client.post(reverse("plans:finishing_live", args=[plan.pk]), typed, headers={"HX-Request": "true"})
    page = words(response)
    assert "58 × 52 in" in page
    assert "As typed, not kept yet" in page
    assert "<html" not in page
    plan.refresh_from_db()
    assert plan.wadding_overage == 3 * IN


@pytest.mark.parametrize(
    ("figure", "typed", "sentence"),
    [
        ("usable_width", "1 in", "no cloth for a quilt"),
        ("backing_width", "2 cm", "no cloth for a quilt"),
        ("binding_strip", "13 in", "at most 12 in"),
        ("seam_allowance", "0", "more than nothing"),
        ("cutting_step", "", "Write a length."),
    ],
)
def test_figures_that_make_no_sense_are_refused(
    client: Client, plan: Plan, figure: str, typed: str, sentence: str
) -> None:
    response = client.post(finishing(plan), figures_data(plan, **{figure: typed}))
    assert sentence in " ".join(response.context["form"].errors[figure])


def test_a_seam_that_eats_the_cloth_is_refused_by_the_engine_at_its_field(client: Client, plan: Plan) -> None:
    response = client.post(
        finishing(plan), figures_data(plan, usable_width="4 in", seam_allowance="2 in", binding_strip="1 in")
    )
    assert response.status_code == 200
    assert "wider than what a join takes off" in " ".join(response.context["form"].errors["usable_width"])


def test_what_is_sprayed_pressed_or_slept_under_defers_to_labels_and_local_advice(client: Client, plan: Plan) -> None:
    page = words(client.get(finishing(plan)))
    assert "follow the maker's label" in page
    assert "not bedding for a baby" in page
