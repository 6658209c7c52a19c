"""Backing, wadding and binding are worked out from the top and the plan's own figures, and say how."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.queries.finishing import FinishingRows
from plans.queries.worked import Worked, worked
from plans.services.plans import FINISHING
from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size, System, show_length
from quiltbook.people.models import Person
from quiltbook.yardage.finishing import bias_from_square
from tests.factories import PersonFactory
from tests.plans.medallion import medallion
from tests.plans.typed import NONSENSE, figures_data, soft, words

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


def keep(client: Client, plan: Plan, **changes: str) -> None:
    response = client.post(finishing(plan), figures_data(plan, **changes))
    assert response.status_code == 302, response.context["form"].errors
    plan.refresh_from_db()


def backing_patch(plan: Plan) -> tuple[Size, int]:
    work = worked(plan)
    assert isinstance(work, Worked)
    role = work.role("backing")
    assert role is not None
    [patch] = role.patches
    return patch.size, patch.count


def test_backing_and_wadding_reach_beyond_the_top_on_every_side(client: Client, plan: Plan) -> None:
    """48 x 42 in and 3 in all round are 54 x 48 in."""
    found = rows(client, plan)
    assert found.backing_need == Size(54 * IN, 48 * IN)
    assert found.wadding.size == Size(54 * IN, 48 * IN)
    assert soft(found.backing_how) == "The top, 48 × 42 in, and 3 in beyond it on every side."


def test_each_way_to_make_the_backing_is_shown_and_the_least_cloth_marked(client: Client, plan: Plan) -> None:
    """Two widths of 42 in less 1 in reach 83 in: down the quilt 2 x 48 = 96 in, across it 2 x 54 = 108 in."""
    slid, down, across = rows(client, plan).backing
    assert (down.panels, down.length, down.best, down.least) == (2, 96 * IN, True, False)
    assert (across.panels, across.length, across.best) == (2, 108 * IN, False)
    assert (slid.panels, slid.best, slid.least) == (1, False, True)  # least cloth, but hers to choose
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
    found = rows(client, plan).binding
    assert (found.perimeter, found.length) == (180 * IN, 192 * IN)
    assert (found.words, found.joins, found.joined) == ("Five strips", 4, 200 * IN)
    assert (found.cloth, found.to_buy) == (25 * IN // 2, 27 * IN // 2)  # up to three eighths of a yard
    assert tuple(map(soft, found.how)) == (
        "Round the quilt, 48 in and 42 in twice each, and 12 in more: 192 in.",
        "Five strips across cloth 42 in wide, each join on the diagonal taking 2 1/2 in: together 200 in.",
        "Five times 2 1/2 in is 12 1/2 in of cloth.",
    )


def test_the_binding_is_told_in_the_measure_it_is_sewn_by(client: Client, plan: Plan) -> None:
    """180 in round the quilt, as the Sewing page counts it, and 192 in to make."""
    page = soft(client.get(finishing(plan)).content.decode())
    assert "<dt>Round the quilt</dt><dd>5 yd</dd><dt>With extra</dt><dd>about 5 3/8 yd</dd>" in page


def test_a_print_s_repeat_makes_every_panel_whole_repeats_and_so_longer(client: Client, plan: Plan) -> None:
    """48 in in whole repeats of 10 in are 50 in, twice."""
    keep(client, plan, backing_repeat="10 in")
    down, across = rows(client, plan).backing
    assert (down.panel_length, down.length) == (50 * IN, 100 * IN)
    assert across.panel_length == 60 * IN
    assert "Each is 50 in long, whole repeats of 10 in, together" in soft(down.how)
    assert backing_patch(plan) == (Size(55 * IN // 2, 50 * IN), 2)  # 54 in and a seam of 1 in, halved


@pytest.mark.parametrize(
    ("seams", "size", "count"),
    [
        ("lengthwise", Size(55 * IN // 2, 48 * IN), 2),
        ("crosswise", Size(54 * IN, 49 * IN // 2), 2),
    ],
)
def test_the_backing_is_cut_the_way_she_runs_its_seams(
    client: Client, plan: Plan, seams: str, size: Size, count: int
) -> None:
    keep(client, plan, backing_seams=seams)
    assert backing_patch(plan) == (size, count)
    assert [row.best for row in rows(client, plan).backing].count(True) == 1


def test_a_slid_length_is_one_panel_as_wide_as_the_cloth(client: Client, plan: Plan) -> None:
    keep(client, plan, backing_seams="diagonal")
    [chosen] = [row for row in rows(client, plan).backing if row.best]
    size, count = backing_patch(plan)
    assert (size.width, count) == (42 * IN, 1)
    assert 0 <= size.length - chosen.length < IN // 8
    assert "slide the halves along the cut" in soft(chosen.how)


def test_why_the_seams_cannot_run_her_way_is_said(client: Client, plan: Plan) -> None:
    keep(client, plan, backing_seams="diagonal", backing_repeat="10 in")
    assert "cannot be slid" in rows(client, plan).backing_missed
    keep(client, plan, backing_seams="lengthwise", backing_width="108 in")
    assert "One width reaches" in rows(client, plan).backing_missed


def test_wadding_comes_in_packs_fewest_first_or_off_the_roll(client: Client, plan: Plan) -> None:
    """54 x 48 in: a throw of 60 x 60 in covers it with least left, two craft packs of 36 x 45 in do not."""
    found = rows(client, plan).wadding
    assert (found.packs[0].words, found.packs[0].packs) == ("One pack, throw", 1)
    assert soft(found.packs[0].how).startswith("60 × 60 in covers 54 × 48 in.")
    assert [row.packs for row in found.packs] == sorted(row.packs for row in found.packs)
    roll = found.roll[0]
    assert roll.to_buy == 11 * NM_PER_YARD // 8  # 48 in is 1.33 yd, up to the eighth
    assert soft(roll.how).startswith("The roll’s 90 in reach the 54 in needed.")


def test_her_own_pack_comes_first(client: Client, plan: Plan) -> None:
    keep(client, plan, wadding_pack_width="30 in", wadding_pack_length="50 in")
    first = rows(client, plan).wadding.packs[0]
    assert (first.own, first.packs) == (True, 2)
    assert soft(first.how).startswith("Two of 30 × 50 in across and one down, joined edge to edge, cover 54 × 48 in.")


def test_straight_joins_take_two_seam_allowances_each(client: Client, plan: Plan) -> None:
    """Five strips of 42 in less four joins of 1/2 in are 208 in."""
    keep(client, plan, binding_join="straight")
    found = rows(client, plan).binding
    assert (found.strips, found.joins, found.joined) == (5, 4, 208 * IN)
    assert "each join straight taking 1/2 in" in soft(" ".join(found.how))
    work = worked(plan)
    assert isinstance(work, Worked)
    [strip] = work.roles[-1].patches
    assert strip.join is not None
    assert strip.join.loss == IN // 2


def test_a_bias_strip_is_cut_from_a_square_that_is_enough(client: Client, plan: Plan) -> None:
    keep(client, plan, binding_join="bias square")
    found = rows(client, plan).binding
    work = worked(plan)
    assert isinstance(work, Worked)
    [square] = work.roles[-1].patches
    assert (square.part, square.count, square.size.width) == ("bias square", 1, square.size.length)
    assert soft(found.words) == f"A square of {show_length(square.size.width, system=System.INCHES)}"
    given = bias_from_square(square.size.width, strip_width=5 * IN // 2, seam_allowance=IN // 4)
    assert given.length >= 192 * IN
    assert found.joins == 2 * found.strips - 1
    assert "cut round it" in soft(" ".join(found.how))


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
        ("backing_repeat", "as it comes", "cannot be read as a length"),
        ("wadding_pack_width", "60 in", "both"),
        ("wadding_roll", "1 in", "makes no sense"),
        ("quilting_apart", "0", "more than nothing"),
        ("quilting_apart", "0.1 mm", "makes no sense"),
        ("spool", "3 kg", "not a length"),
        ("spool", "1 cm", "makes no sense"),
        ("papers_pack", "0", "At least 1"),
        ("papers_uses", "a few", "Write a whole number"),
        ("adhesive_covers", "lots", "Type a number"),
        ("adhesive_covers", "0", "more than nothing"),
        ("adhesive_covers", "1e9", "At most"),
        ("web_width", "1 mm", "makes no sense"),
    ],
)
def test_figures_that_make_no_sense_are_refused(
    client: Client, plan: Plan, figure: str, typed: str, sentence: str
) -> None:
    response = client.post(finishing(plan), figures_data(plan, **{figure: typed}))
    errors = response.context["form"].errors
    assert sentence in soft(" ".join(said for named in errors.values() for said in named))
    assert figure in errors or "wadding_pack" in figure
    assert typed in words(response)


@pytest.mark.parametrize(
    ("figure", "typed"), [("quilting_ways", "7"), ("binding_join", "glued"), ("backing_seams", "")]
)
def test_a_choice_that_is_none_is_refused(client: Client, plan: Plan, figure: str, typed: str) -> None:
    response = client.post(finishing(plan), figures_data(plan, **{figure: typed}))
    assert response.context["form"].errors[figure] == ["Choose one of these."]


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


@pytest.mark.parametrize("typed", NONSENSE.values(), ids=NONSENSE)
def test_whatever_is_typed_of_how_it_is_finished_is_answered(client: Client, plan: Plan, typed: str) -> None:
    data = figures_data(plan)
    for figure in FINISHING:
        response = client.post(reverse("plans:finishing_live", args=[plan.pk]), data | {figure: typed})
        assert response.status_code == 200
    assert client.post(finishing(plan), data | dict.fromkeys(FINISHING, typed)).status_code == 200
