"""A centre of any kind is chosen, typed, drawn, kept and changed on the pages; what the engine refuses is said at its field."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plans.models import Plan
from plans.models.plan import CentreKind, State
from plans.queries.sewn_tops import sewn_tops
from plans.services import plans, rounds
from plans.services.plans import CENTRE
from plans.services.plans import Centre as EngineCentre
from plans.services.rounds import RoundSpec
from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from tests.factories import NOW
from tests.plans.test_every_kind_of_top import CENTRES
from tests.plans.typed import top_data, words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH
BLOCKS = {
    "kind": "blocks",
    "block": "friendship star",
    "other_block": "nine patch",
    "block_side": "6 in",
    "blocks_across": "3",
    "blocks_down": "4",
    "setting": "on point",
}
SASHED = {
    "kind": "blocks",
    "block": "Ohio star",
    "block_side": "12",
    "blocks_across": "4",
    "blocks_down": "5",
    "setting": "straight",
    "sashing": "2",
    "sashing_outer": "on",
    "sashing_cornerstones": "on",
}
HEXAGONS = {"kind": "hexagons", "paper_side": "1", "papers_across": "8", "papers_down": "6", "edge": "trimmed"}
DIAMONDS = HEXAGONS | {
    "kind": "diamonds",
    "diamond_angle": "45",
    "edge": "applied",
    "background_width": "30",
    "background_length": "40",
}
TYPED = {
    "blocks on point": BLOCKS,
    "sashed blocks": SASHED,
    "hexagons": HEXAGONS,
    "diamonds": DIAMONDS,
    "whole cloth": {"kind": "whole cloth", "width": "60", "length": "70"},
    "a top sewn elsewhere": {"kind": "top", "width": "40", "length": "50"},
}


def quilt(owner: Person, centre: EngineCentre, *, border: int = 0, name: str = "Harbour") -> Plan:
    plan = plans.start(owner=owner, name=name, centre=centre, now=NOW)
    if border:
        rounds.add(plan=plan, spec=RoundSpec(width=border * IN), now=NOW)
    return plan


def square(owner: Person, name: str = "Harbour", border: int = 2) -> Plan:
    """20 in square in a border: 24 in with the usual one."""
    return quilt(owner, EngineCentre(width=20 * IN, length=20 * IN), border=border, name=name)


def columns(plan: Plan) -> dict[str, Any]:
    found: dict[str, Any] = Plan.objects.values(*CENTRE).get(pk=plan.pk)
    return found


def put_inside(client: Client, outer: Plan, inner: Plan, **more: str) -> Any:
    typed = top_data(outer, **{"centre-kind": "top", "centre-sewn_top": str(inner.pk), **more})
    return client.post(reverse("plans:top", args=[outer.pk]), typed)


# --- every kind ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", TYPED.values(), ids=TYPED)
def test_a_quilt_is_planned_with_any_centre_and_drawn_while_it_is_typed(at_home: Client, typed: dict[str, str]) -> None:
    live = words(at_home.post(reverse("plans:new_live"), typed, headers={"HX-Request": "true"}))
    assert "The centre finishes" in live
    assert "<svg" in live
    assert not Plan.objects.exists()
    response = at_home.post(reverse("plans:new"), typed | {"name": "Harbour"})
    plan = Plan.objects.get()
    assert response["Location"] == reverse("plans:top", args=[plan.pk])
    assert plan.centre == typed["kind"]


def test_what_was_typed_for_blocks_is_what_is_kept(at_home: Client) -> None:
    at_home.post(reverse("plans:new"), SASHED | {"name": "Harbour"})
    assert columns(Plan.objects.get()) == {
        **dict.fromkeys(CENTRE),
        "centre": "blocks",
        "printed_seam": 0,
        "piece_side": 12 * IN,
        "pieces_across": 4,
        "pieces_down": 5,
        "block": "Ohio star",
        "other_block": "",
        "on_point": False,
        "sashing": 2 * IN,
        "sashing_outer": True,
        "sashing_cornerstones": True,
        "diamond_angle": 60,
        "applied_whole": False,
    }


def test_what_was_typed_for_papers_is_what_is_kept(at_home: Client) -> None:
    at_home.post(reverse("plans:new"), DIAMONDS | {"name": "Harbour"})
    kept = columns(Plan.objects.get())
    assert (kept["piece_side"], kept["pieces_across"], kept["pieces_down"]) == (IN, 8, 6)
    assert (kept["diamond_angle"], kept["applied_whole"]) == (45, True)
    assert (kept["centre_width"], kept["centre_length"]) == (30 * IN, 40 * IN)


@pytest.mark.parametrize("centre", CENTRES)
def test_keeping_the_page_as_it_stands_changes_nothing(at_home: Client, owner: Person, centre: str) -> None:
    plan = quilt(owner, CENTRES[centre], border=2)
    before = columns(plan)
    assert at_home.post(reverse("plans:top", args=[plan.pk]), top_data(plan)).status_code == 302
    assert columns(plan) == before


@pytest.mark.parametrize("typed", TYPED.values(), ids=TYPED)
def test_another_kind_is_chosen_on_the_top_page(at_home: Client, owner: Person, typed: dict[str, str]) -> None:
    plan = square(owner)
    changed = {f"centre-{name}": value for name, value in typed.items()}
    live = at_home.post(reverse("plans:top_live", args=[plan.pk]), top_data(plan, **changed))
    assert "Not worked out yet" not in words(live)
    assert at_home.post(reverse("plans:top", args=[plan.pk]), top_data(plan, **changed)).status_code == 302
    plan.refresh_from_db()
    assert plan.centre == typed["kind"]


def test_what_was_typed_for_another_kind_stays_and_is_not_read(at_home: Client) -> None:
    typed = {**BLOCKS, "name": "Harbour", "block_side": "", "printed_width": "about so wide", "paper_side": "1 1/4 in"}
    response = at_home.post(reverse("plans:new"), typed)
    assert set(response.context["form"].errors) == {"block_side"}
    page = words(response)
    assert 'value="about so wide"' in page
    assert 'value="1 1/4 in"' in page
    assert at_home.post(reverse("plans:new"), typed | {"block_side": "6"}).status_code == 302


def test_while_little_is_said_the_page_asks_for_the_rest_and_scolds_for_nothing(at_home: Client) -> None:
    typed = {"kind": "blocks", "setting": "straight", "blocks_across": "3"}
    page = words(at_home.post(reverse("plans:new_live"), typed, headers={"HX-Request": "true"}))
    assert "as soon as you say: the block, side of a block, blocks down." in page
    assert "error" not in page


# --- what it comes to ------------------------------------------------------------------------------------------------


def test_blocks_on_point_say_their_count_triangles_and_squares(at_home: Client) -> None:
    """12 in blocks, 4 by 5 on point: 32 blocks, 14 side triangles from 4 squares of 18 1/4 in, corners from 2 of 9 3/8 in: the
    example of quiltbook/yardage/README.md."""
    typed = {**BLOCKS, "block_side": "12", "blocks_across": "4", "blocks_down": "5"}
    page = words(at_home.post(reverse("plans:new_live"), typed))
    assert "32 blocks of 12 in: 20 friendship star and 12 nine patch. 20 in the main rows and 12 between them." in page
    assert "14 side triangles from 4 squares of 18 1/4 in, cut twice corner to corner." in page
    assert "4 corner triangles from 2 squares of 9 3/8 in, cut once corner to corner." in page


def test_sashing_and_cornerstones_are_counted(at_home: Client) -> None:
    """The second example there: 49 sashes, 30 cornerstones, 58 x 72 in."""
    page = words(at_home.post(reverse("plans:new_live"), SASHED))
    assert "58 × 72 in" in page
    assert "30 cornerstones, cut 2 1/2 × 2 1/2 in." in page
    told = [
        int(part.split(" sashes")[0].rpartition(" ")[2].rpartition(">")[2])
        for part in page.split(",")
        if " sashes" in part
    ]
    assert sum(told) == 49


def test_the_top_page_lists_every_piece_of_the_blocks_and_how_units_are_sewn_many_at_a_time(
    at_home: Client, owner: Person
) -> None:
    plan = quilt(owner, CENTRES["blocks on point"])
    page = words(at_home.get(reverse("plans:top", args=[plan.pk])))
    # 12 stars of 4 half squares; two in of finished side take 7/8 in more, the trade's constant for half squares.
    assert "48 half squares of background and star, 2 in finished" in page
    assert "Two at a time: 24 squares of 2 7/8 in of each." in page
    assert "24 squares, cut once corner to corner, give 48; 48 are needed." in page
    assert "take about 7/8 in more: just under 2 7/8 in." in page
    assert "Side triangles: squares, cut twice" in page


def test_a_field_says_how_many_shapes_it_has_and_what_is_cut_away(at_home: Client) -> None:
    page = words(at_home.post(reverse("plans:new_live"), HEXAGONS))
    assert "48 hexagons, 6 rows of 8." in page
    # Half a hexagon's width, √3/2 = 0.866 in, at the sides; half its side at its points.
    assert "Cut straight, it loses about 7/8 in on the left and right and 1/2 in at the top and bottom." in page


def test_a_cloth_too_narrow_is_said_to_be_seamed(at_home: Client) -> None:
    page = words(at_home.post(reverse("plans:new_live"), TYPED["whole cloth"]))
    assert "it is seamed of two panels, side by side." in page


# --- refusals --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        (BLOCKS | {"block": ""}, "block", "Choose a block."),
        (BLOCKS | {"block": "no such block"}, "block", "none of the blocks here"),
        (BLOCKS | {"other_block": "no such block"}, "other_block", "none of the blocks here"),
        (BLOCKS | {"blocks_across": "0"}, "blocks_across", "At least 1."),
        (BLOCKS | {"blocks_down": "201"}, "blocks_down", "At most 200."),
        (BLOCKS | {"blocks_across": "200", "blocks_down": "200"}, "blocks_across", "patches"),
        (BLOCKS | {"blocks_across": "40", "blocks_down": "40"}, "blocks_across", "at most 10,000"),
        (BLOCKS | {"sashing": "1"}, "sashing_outer", "On point, sashing goes round every block"),
        (BLOCKS | {"sashing": "1", "sashing_outer": "on"}, "sashing_cornerstones", "On point, sashing goes round"),
        (SASHED | {"sashing": ""}, "sashing_cornerstones", "Cornerstones need sashing"),
        (SASHED | {"setting": "askew"}, "setting", "Choose one of these."),
        (
            HEXAGONS | {"paper_side": "1/4", "papers_across": "1", "papers_down": "1"},
            "papers_down",
            "give it more pieces",
        ),
        (HEXAGONS | {"papers_across": "200", "papers_down": "200"}, "papers_across", "at most 10,000"),
        (DIAMONDS | {"background_width": "6"}, "background_width", "larger than the background"),
        (DIAMONDS | {"background_length": ""}, "background_length", "Give both"),
        (DIAMONDS | {"diamond_angle": "50"}, "diamond_angle", "Choose one of these."),
        ({"kind": "whole cloth"}, "width", "Say how large the centre is."),
        ({"kind": "top"}, "width", "Say how large the top is"),
        ({"kind": "top", "sewn_top": "4711"}, "sewn_top", "not there any more"),
        ({"kind": "round"}, "kind", "Choose one of these."),
    ],
)
def test_what_cannot_be_is_said_at_its_field_on_both_pages(
    at_home: Client, owner: Person, typed: dict[str, str], field: str, sentence: str
) -> None:
    response = at_home.post(reverse("plans:new"), typed | {"name": "Harbour"})
    assert sentence in " ".join(response.context["form"].errors[field])
    plan = square(owner)
    on_top = top_data(plan, **{"centre-width": "", "centre-length": ""})
    on_top |= {f"centre-{name}": value for name, value in typed.items()}
    response = at_home.post(reverse("plans:top", args=[plan.pk]), on_top)
    assert sentence in " ".join(response.context["form"].centre.errors[field])
    assert Plan.objects.count() == 1


# --- the top of another quilt ----------------------------------------------------------------------------------------


def test_another_quilts_top_becomes_the_centre_with_its_size(at_home: Client, owner: Person) -> None:
    inner = square(owner)
    response = at_home.get(reverse("plans:new"))
    assert "Harbour: 24 × 24 in" in words(response)
    at_home.post(reverse("plans:new"), {"name": "Outer", "kind": "top", "sewn_top": inner.pk, "width": "3 km"})
    outer = Plan.objects.get(name="Outer")
    assert (outer.sewn_top, outer.centre_width, outer.centre_length) == (inner, 24 * IN, 24 * IN)


def test_what_she_measured_of_that_quilt_is_what_is_taken_over(at_home: Client, owner: Person) -> None:
    inner, outer = square(owner), square(owner, "Outer")
    inner.rounds.update(measured_width=23 * IN, measured_length=24 * IN)
    put_inside(at_home, outer, inner)
    outer.refresh_from_db()
    assert (outer.centre_width, outer.centre_length) == (23 * IN, 24 * IN)


def test_a_top_that_changed_since_is_told_of_and_taken_over_only_when_she_says_so(
    at_home: Client, owner: Person
) -> None:
    inner, outer = square(owner), square(owner, "Outer")
    put_inside(at_home, outer, inner)
    outer.refresh_from_db()
    assert "That top finishes" not in words(at_home.get(reverse("plans:top", args=[outer.pk])))
    rounds.add(plan=inner, spec=RoundSpec(width=IN), now=NOW)
    page = words(at_home.get(reverse("plans:top", args=[outer.pk])))
    assert "That top finishes 26 × 26 in now. Here it is kept as 24 × 24 in" in page
    put_inside(at_home, outer, inner)
    outer.refresh_from_db()
    assert outer.centre_width == 24 * IN
    put_inside(at_home, outer, inner, **{"centre-take_size": "yes"})
    outer.refresh_from_db()
    assert outer.centre_width == 26 * IN
    assert "That top finishes" not in words(at_home.get(reverse("plans:top", args=[outer.pk])))


@pytest.mark.parametrize("fate", ["given up", "deleted"])
def test_giving_that_quilt_up_or_deleting_it_leaves_the_size(at_home: Client, owner: Person, fate: str) -> None:
    inner, outer = square(owner), square(owner, "Outer")
    put_inside(at_home, outer, inner)
    if fate == "deleted":
        inner.delete()
    else:
        plans.move(plan=inner, to=State.GIVEN_UP, now=NOW)
    outer = Plan.objects.get(pk=outer.pk)
    assert at_home.post(reverse("plans:top", args=[outer.pk]), top_data(outer)).status_code == 302
    outer.refresh_from_db()
    assert (outer.centre, outer.centre_width) == (CentreKind.TOP, 24 * IN)
    assert (outer.sewn_top is None) == (fate == "deleted")


def test_another_persons_quilt_is_neither_offered_nor_taken(at_home: Client, stranger: Person) -> None:
    theirs = square(stranger, "Secret")
    assert "Secret" not in words(at_home.get(reverse("plans:new")))
    response = at_home.post(reverse("plans:new"), {"name": "Outer", "kind": "top", "sewn_top": theirs.pk})
    assert "not there any more" in " ".join(response.context["form"].errors["sewn_top"])


def test_no_quilt_lies_within_itself_however_deep(at_home: Client, owner: Person) -> None:
    first, second, third = (square(owner, name) for name in ("First", "Second", "Third"))
    put_inside(at_home, second, first)
    put_inside(at_home, third, second)
    assert set(sewn_tops(owner, first)) == set()
    assert set(sewn_tops(owner, second)) == {first}
    response = put_inside(at_home, first, third)
    assert "not there any more" in " ".join(response.context["form"].centre.errors["sewn_top"])


def test_a_quilt_that_cannot_be_worked_out_gives_no_top(at_home: Client, owner: Person) -> None:
    inner = quilt(owner, CENTRES["blocks on point"], name="Unknown")
    Plan.objects.filter(pk=inner.pk).update(block="no such block")
    assert "Unknown: no size yet" in words(at_home.get(reverse("plans:new")))
    response = at_home.post(reverse("plans:new"), {"name": "Outer", "kind": "top", "sewn_top": inner.pk})
    assert "cannot be worked out as it stands" in " ".join(response.context["form"].errors["sewn_top"])


def test_many_quilts_to_choose_from_cost_no_more_queries(at_home: Client, owner: Person) -> None:
    square(owner)
    with CaptureQueriesContext(connection) as few:
        at_home.get(reverse("plans:new"))
    for n in range(5):
        square(owner, f"Harbour {n}")
    with CaptureQueriesContext(connection) as many:
        at_home.get(reverse("plans:new"))
    assert len(many) == len(few)


def test_a_finished_size_that_is_no_whole_number_is_taken_over_to_the_nanometre(at_home: Client, owner: Person) -> None:
    """Blocks on point: 3 x 6 in x √2 = 25.4558… in."""
    inner, outer = quilt(owner, CENTRES["blocks on point"], name="Stars"), square(owner, "Outer")
    put_inside(at_home, outer, inner)
    outer.refresh_from_db()
    assert (outer.centre_width, outer.centre_length) == (round(18 * 2**0.5 * IN), round(24 * 2**0.5 * IN))
    assert "That top finishes" not in words(at_home.get(reverse("plans:top", args=[outer.pk])))
