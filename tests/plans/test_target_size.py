"""About how big: she says a size or a bed, sees ways to make the quilt so, takes one, and can take it back."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.models.plan import CentreKind, State
from plans.queries.target import Way, ways
from plans.queries.worked import Fault, Worked, worked
from plans.services import plans, rounds, sheets, target
from plans.services.errors import PlanError
from plans.services.plans import Centre, Pieces
from plans.services.rounds import RoundSpec
from quiltbook.measures import NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from tests.factories import NOW, PersonFactory, inches
from tests.plans.quilts import border_role, cloth, framed, give, laid_out

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH
BLOCKS = Centre(kind=CentreKind.BLOCKS, pieces=Pieces(side=6 * IN, across=3, down=4, block="nine patch"))


@pytest.fixture
def owner(client: Client) -> Person:
    owner = PersonFactory.create()
    client.force_login(owner)
    return owner


@pytest.fixture
def plan(owner: Person) -> Plan:
    """Blocks to 18 x 24 in, in a border of 2 in: 22 x 28 in."""
    plan = plans.start(owner=owner, name="Harbour lights", centre=BLOCKS, now=NOW)
    rounds.add(plan=plan, spec=RoundSpec(width=2 * IN), now=NOW)
    return plan


def found(plan: Plan, width: float, length: float) -> tuple[Way, ...]:
    ways_found = ways(plan, inches(width, length), System.INCHES)
    assert not isinstance(ways_found, Fault)
    return ways_found


def finished(plan: Plan) -> Size:
    work = worked(Plan.objects.get(pk=plan.pk))
    assert isinstance(work, Worked)
    return work.top.finished


def test_each_way_says_what_it_changes_how_far_off_it_is_and_its_cloth(plan: Plan) -> None:
    by_changes = {way.changes: way for way in found(plan, 28, 34)}
    wider = by_changes["First border 5\u00a0in wide instead of 2\u00a0in",]
    assert (wider.finished, wider.off) == (inches(28, 34), "exactly so big")
    more_blocks = by_changes["4 by 5 in the centre instead of 3 by 4",]
    assert more_blocks.finished == inches(28, 34)
    # Eight more blocks of nine squares of 2 1/2 in, and strips 6 in longer than before in pairs, 2 1/2 in wide.
    assert more_blocks.more == pytest.approx((8 * 9 * 2.5 * 2.5 + 4 * 6 * 2.5) / 42 * IN, rel=1e-6)


def test_the_nearest_way_stands_first(plan: Plan) -> None:
    off = [
        max(abs(float(way.finished.width) - 40 * IN), abs(float(way.finished.length) - 40 * IN))
        for way in found(plan, 40, 40)
    ]
    assert off == sorted(off)


def test_every_way_shown_can_be_taken_comes_out_as_it_said_and_can_be_taken_back(plan: Plan) -> None:
    before = finished(plan)
    for way in found(plan, 33, 41):
        was = target.take(plan=plan, target=inches(33, 41), key=way.key, now=NOW)
        assert finished(plan) == way.finished
        target.take_back(plan=Plan.objects.get(pk=plan.pk), before=was, now=NOW)
        assert finished(plan) == before
        plan.refresh_from_db()


def test_a_way_that_is_no_longer_there_is_refused(plan: Plan) -> None:
    key = found(plan, 40, 40)[0].key
    rounds.add(plan=plan, spec=RoundSpec(width=IN), now=NOW)
    with pytest.raises(PlanError, match="changed meanwhile"):
        target.take(plan=plan, target=inches(40, 40), key=key, now=NOW)


def test_taking_back_is_refused_once_the_rounds_are_others(plan: Plan) -> None:
    was = target.take(plan=plan, target=inches(40, 40), key=found(plan, 40, 40)[0].key, now=NOW)
    rounds.add(plan=plan, spec=RoundSpec(width=IN), now=NOW)
    with pytest.raises(PlanError, match="set their widths yourself"):
        target.take_back(plan=plan, before=was, now=NOW)


def test_patches_held_that_would_no_longer_fit_are_counted(owner: Person) -> None:
    plan = framed(owner)
    give(plan, border_role(plan), cloth(owner, "Dune", inches(42, 36)))
    [sheet] = laid_out(plan)
    sheets.confirm(sheet=sheet, now=NOW)
    assert [way.unfit for way in found(plan, 18, 18) if "First border" in way.changes[0]] == [4]


def test_the_page_shows_the_ways_and_one_click_makes_it_so_and_another_undoes_it(client: Client, plan: Plan) -> None:
    address = reverse("plans:target", args=[plan.pk])
    page = client.get(address, {"width": "28", "length": "34"})
    assert "exactly so big" in page.text
    [(way, _), *_] = page.context["ways"]
    posted = {"width": page.context["width"], "length": page.context["length"], "key": way.key}
    page = client.post(reverse("plans:target_take", args=[plan.pk]), posted, follow=True)
    assert finished(plan) == inches(28, 34)
    [message] = page.context["messages"]
    client.post(message.extra_tags)
    assert finished(plan) == inches(22, 28)


def test_a_bed_and_a_drop_stand_for_a_size(client: Client, plan: Plan) -> None:
    page = client.get(reverse("plans:target", args=[plan.pk]), {"bed": "twin", "drop": "10"})
    # A mattress of 39 x 75 in, 10 in over both sides and the foot.
    assert page.context["wanted"] == inches(59, 85)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"width": "", "length": ""}, "width"),
        ({"width": "60"}, "length"),
        ({"width": "wide", "length": "70"}, "width"),
        ({"width": "60", "length": "1e999"}, "length"),
        ({"bed": "king", "drop": "-3"}, "drop"),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field_and_stays_typed(
    client: Client, plan: Plan, typed: dict[str, str], field: str
) -> None:
    page = client.get(reverse("plans:target", args=[plan.pk]), typed)
    assert page.status_code == 200
    assert field in page.context["form"].errors
    for text in typed.values():
        assert text in page.text


def test_a_bed_that_is_none_of_those_offered_is_refused(client: Client, plan: Plan) -> None:
    page = client.get(reverse("plans:target", args=[plan.pk]), {"bed": "hammock"})
    assert page.context["form"].errors["bed"] == ["Choose one of these beds."]


def test_a_finished_quilt_is_shown_and_not_changed(client: Client, plan: Plan) -> None:
    key = found(plan, 28, 34)[0].key
    plans.move(plan=plan, to=State.GIVEN_UP, now=NOW)
    page = client.get(reverse("plans:target", args=[plan.pk]), {"width": "28", "length": "34"})
    assert "Make it so" not in page.text
    posted = {"width": 28 * IN, "length": 34 * IN, "key": key}
    client.post(reverse("plans:target_take", args=[plan.pk]), posted)
    assert finished(plan) == inches(22, 28)


def test_another_persons_quilt_is_not_there_and_a_forged_undo_neither(client: Client, plan: Plan) -> None:
    back = reverse("plans:target_back", args=[plan.pk])
    assert client.post(back, query_params={"was": "forged"}).status_code == 404
    assert client.post(reverse("plans:target_take", args=[plan.pk]), {"width": "x"}).status_code == 404
    client.force_login(PersonFactory.create())
    for name in ("target", "target_take", "target_back"):
        address = reverse(f"plans:{name}", args=[plan.pk])
        assert (client.get(address) if name == "target" else client.post(address)).status_code == 404
