"""Thread, papers, spray and web for a quilt, on its finishing page, each with how it was reckoned."""

import math
from collections.abc import Mapping

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.queries.notions import NotionsRows
from plans.services import plans
from plans.services.plans import Centre, Pieces
from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import NM_PER_METRE, NM_PER_YARD, System
from quiltbook.people.models import Person
from tests.factories import NOW
from tests.plans.medallion import medallion
from tests.plans.typed import figures_data, soft, words

SPRAY_CAUTION = "Read the can’s own label first"


def kept(client: Client, plan: Plan, **changes: str) -> NotionsRows:
    url = reverse("plans:finishing", args=[plan.pk])
    response = client.post(url, figures_data(plan, **changes), follow=True)
    assert response.redirect_chain, response.context["form"].errors
    found: NotionsRows = response.context["notions"]
    return found


def by_name(found: NotionsRows) -> Mapping[str, tuple[str, int]]:
    return {row.name: (soft(row.thread), row.spools) for row in found.thread}


@pytest.fixture
def plan(owner: Person) -> Plan:
    """48 x 42 in, fourteen flowers among it."""
    return medallion(owner)


def test_thread_is_told_for_each_kind_of_sewing_with_spools(at_home: Client, plan: Plan) -> None:
    found = kept(at_home, plan)
    assert [row.name for row in found.thread] == [
        "Seams by machine",
        "Seams over papers",
        "Edges sewn down by hand",
        "Binding, sewn on by machine",
        "Binding, hemmed by hand",
    ]
    hem = found.thread[-1]
    assert soft(hem.line) == "5 yd"  # 180 in
    assert "8 stitches to the inch" in hem.how
    assert "About 1,440 stitches" in hem.how
    page = words(at_home.get(reverse("plans:finishing", args=[plan.pk])))
    assert "common practice" in page
    assert "is not said below yet" in page


def test_lines_of_quilting_take_thread_by_how_far_apart_they_run(at_home: Client, plan: Plan) -> None:
    """48 x 42 in quilted 2 in apart are 1008 in of line, 28 yd; crossed twice that."""
    found = kept(at_home, plan, quilting_apart="2 in", quilting_ways="2")
    [row] = [row for row in found.thread if row.name == "Quilting by hand"]
    assert soft(row.line) == "56 yd"
    assert row.needlefuls > 0
    by_machine = kept(at_home, plan, quilting_apart="2 in", quilting_ways="1", quilted_by="machine quilting")
    [row] = [row for row in by_machine.thread if row.name == "Quilting by machine"]
    assert (soft(row.line), row.needlefuls) == ("28 yd", 0)


def test_a_longer_spool_makes_fewer_of_them(at_home: Client, plan: Plan) -> None:
    small = by_name(kept(at_home, plan, spool="50 yd", quilting_apart="1 in"))
    large = by_name(kept(at_home, plan, spool="500 yd", quilting_apart="1 in"))
    assert {name: taken for name, (taken, _) in small.items()} == {name: taken for name, (taken, _) in large.items()}
    assert small["Quilting by hand"][1] > large["Quilting by hand"][1] == 1
    plan.refresh_from_db()
    assert plan.spool == 500 * NM_PER_YARD
    assert 'value="500 yd"' in words(at_home.get(reverse("plans:finishing", args=[plan.pk])))


def test_papers_are_counted_by_shape_and_size_and_sold_in_packs(at_home: Client, plan: Plan) -> None:
    flowers = plan.rounds.get(flower_side__isnull=False).flowers
    found = {row.shape: row for row in kept(at_home, plan, papers_pack="25").papers}
    assert set(found) == {"Hexagon petals", "Hexagons"}
    assert (found["Hexagons"].pieces, found["Hexagon petals"].pieces) == (flowers, 6 * flowers)
    assert found["Hexagon petals"].packs == math.ceil(6 * flowers / 25)
    again = {row.shape: row for row in kept(at_home, plan, papers_pack="25", papers_uses="3").papers}
    assert again["Hexagon petals"].papers == math.ceil(6 * flowers / 3)
    assert "used three times over" in again["Hexagon petals"].how


def test_spray_is_reckoned_only_where_a_label_was_given_and_with_a_word_of_caution(at_home: Client, plan: Plan) -> None:
    """Both faces of wadding of 54 x 48 in are 4 sq yd; cans that cover 1 1/2 sq yd each."""
    url = reverse("plans:finishing", args=[plan.pk])
    assert SPRAY_CAUTION not in words(at_home.get(url))
    found = kept(at_home, plan, adhesive_covers="1.5")
    assert found.adhesive is not None
    assert found.adhesive.containers == 3
    assert (
        soft(found.adhesive.how) == "Both faces of wadding of 54 × 48 in: 4 sq yd. One covers 1.5 sq yd by its label."
    )
    page = words(at_home.get(url))
    assert SPRAY_CAUTION in page
    assert "ventilation" in page
    assert 'value="1.5"' in page


def test_web_is_reckoned_only_if_she_asks(at_home: Client, plan: Plan) -> None:
    assert kept(at_home, plan).web is None
    found = kept(at_home, plan, web_width="17 in")
    assert found.web is not None
    assert found.web.to_buy is not None
    assert found.web.to_buy % (NM_PER_YARD // 8) == 0


def test_a_quilt_without_papers_says_nothing_of_them_and_needs_no_web(at_home: Client, owner: Person) -> None:
    plan = plans.start(owner=owner, name="Plain", centre=Centre(width=40 * IN, length=40 * IN), now=NOW)
    found = kept(at_home, plan, web_width="17 in")
    assert found.papers == ()
    assert found.web is not None
    assert found.web.to_buy is None
    assert [row.name for row in found.thread] == ["Binding, sewn on by machine", "Binding, hemmed by hand"]


def test_the_seams_of_blocks_are_in_the_thread(at_home: Client, owner: Person) -> None:
    """Sixteen nine patches of 9 in: four seams of 9 in each, and six of 36 in that join them."""
    centre = Centre(kind="blocks", pieces=Pieces(side=9 * IN, across=4, down=4, block="nine patch"))
    plan = plans.start(owner=owner, name="Patches", centre=centre, now=NOW)
    [seams] = [row for row in kept(at_home, plan).thread if row.name == "Seams by machine"]
    assert soft(seams.line) == f"{(16 * 4 * 9 + 6 * 36) // 36} yd"


def test_a_metric_book_speaks_of_metres_and_millimetres(at_home: Client, owner: Person, plan: Plan) -> None:
    owner.settings.system = System.METRIC
    owner.settings.save()
    found = kept(at_home, plan, adhesive_covers="2,5", quilting_apart="5 cm")
    assert soft(found.spool) == "100 m"
    assert "stitches of 2.1 mm" in soft(found.thread[0].how)
    assert found.adhesive is not None
    assert found.adhesive.containers == 2  # both faces are 3.34 m²
    plan.refresh_from_db()
    assert (plan.adhesive_covers, plan.spool) == (2_500_000, 100 * NM_PER_METRE)
