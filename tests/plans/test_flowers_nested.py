"""How many shapes of its flowers a fat quarter gives, looked for when asked."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from quiltbook.measures import NM_PER_INCH
from tests.factories import PersonFactory
from tests.plans.medallion import garden, medallion
from tests.plans.typed import words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def plan() -> Plan:
    return medallion(PersonFactory.create())


def address(plan: Plan, round_id: int) -> str:
    return reverse("plans:nested", args=[plan.pk, round_id])


def test_a_fat_quarter_gives_more_shapes_with_scissors_than_in_rectangles(client: Client, plan: Plan) -> None:
    """Hexagons of 1 in side turned 3/8 in are rough cut 2 3/4 x 2 1/2 in. Of 18 x 21 in that is 8 rows of 6 at best one way,
    7 of 7 the other: 49. Nested they can never be more than the area allows: the cut hexagon's is 3√3/2 (1 + 3/8 · 2/√3)², 5.335 sq in."""
    client.force_login(plan.owner)
    assert plan.owner.settings.fat_quarter.width * plan.owner.settings.fat_quarter.length == 18 * 21 * IN * IN
    response = client.get(address(plan, garden(plan).pk), headers={"HX-Request": "true"})
    rows = {row.words: row for row in response.context["shapes"]}
    centres = rows["Flower centres"]
    assert (centres.count, centres.rectangles_per_fat_quarter) == (14, 49)
    assert 49 < centres.per_fat_quarter <= 18 * 21 / 5.335
    petals = rows["Petals"]
    assert petals.count == 84
    assert petals.per_fat_quarter > petals.rectangles_per_fat_quarter
    assert petals.length < petals.rectangles_length
    assert petals.length % plan.cutting_step == 0
    assert "<html" not in words(response)


def test_without_scripts_it_is_a_page_of_its_own(client: Client, plan: Plan) -> None:
    client.force_login(plan.owner)
    there = address(plan, garden(plan).pk)
    assert there in words(client.get(reverse("plans:top", args=[plan.pk])))
    page = words(client.get(there))
    assert "Garden: its flowers, cut with scissors" in page
    assert "a fat quarter of 18 × 21 in" in page or "a fat quarter of 21 × 18 in" in page


def test_it_is_there_for_her_flowers_only(client: Client, plan: Plan) -> None:
    plain = plan.rounds.standing()[0]
    client.force_login(plan.owner)
    assert client.get(address(plan, plain.pk)).status_code == 404
    client.force_login(PersonFactory.create())
    assert client.get(address(plan, garden(plan).pk)).status_code == 404


def test_shapes_that_no_cloth_holds_are_none_and_fell_nothing(client: Client, plan: Plan) -> None:
    plan.rounds.filter(name="Garden").update(flower_side=20 * IN, petal_rise=20 * IN)
    client.force_login(plan.owner)
    rows = client.get(address(plan, garden(plan).pk)).context["shapes"]
    assert not any(row.per_fat_quarter for row in rows)


def test_shapes_too_small_to_be_looked_for_are_not(client: Client, plan: Plan) -> None:
    plan.rounds.filter(name="Garden").update(flower_side=IN // 20, petal_rise=IN // 20)
    client.force_login(plan.owner)
    response = client.get(address(plan, garden(plan).pk))
    assert [row.per_fat_quarter for row in response.context["shapes"]] == [None, None]
    assert "–" in words(response)
