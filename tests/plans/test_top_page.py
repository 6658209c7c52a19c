"""The page of a top: every size after every round, drawn and worked out as typed, kept when she says so."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan, Round
from plans.models.plan import State
from plans.services import plans, rounds
from plans.services.rounds import Flowers, RoundSpec
from quiltbook.measures import NM_PER_INCH, Size
from quiltbook.people.models import Person
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory
from tests.plans.medallion import medallion
from tests.plans.quilts import give
from tests.plans.typed import soft, top_data, words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


@pytest.fixture
def plan(owner: Person) -> Plan:
    return medallion(owner)


@pytest.fixture
def signed_in(client: Client, owner: Person) -> Client:
    client.force_login(owner)
    return client


def top(plan: Plan) -> str:
    return reverse("plans:top", args=[plan.pk])


def live(plan: Plan) -> str:
    return reverse("plans:top_live", args=[plan.pk])


def field(plan: Plan, place: int, name: str) -> str:
    """The name of a field of the round at that place, from 0."""
    return f"round-{plan.rounds.standing()[place].pk}-{name}"


def test_the_size_after_every_round_is_shown(signed_in: Client, plan: Plan) -> None:
    page = words(signed_in.get(top(plan)))
    for size in ("24 × 18 in", "28 × 22 in", "42 × 36 in", "48 × 42 in"):
        assert size in page


def test_pieces_are_listed_with_what_they_are_cut_to_and_why(signed_in: Client, plan: Plan) -> None:
    """The strips of a 24 x 18 in panel in 2 in butted (ends first), 7 in with squares, 3 in mitred; 1/4 in seams."""
    rows = signed_in.get(top(plan)).context["rows"]
    inches = [
        [(piece.words, piece.count, float(piece.cut.width) / IN, float(piece.cut.length) / IN) for piece in row.pieces]
        for row in rows.rounds
    ]
    assert inches[0] == [("Top and bottom strips", 2, 24.5, 2.5), ("Left and right strips", 2, 2.5, 22.5)]
    assert inches[1] == [
        ("Left and right strips", 2, 7.5, 22.5),
        ("Top and bottom strips", 2, 28.5, 7.5),
        ("Cornerstones", 4, 7.5, 7.5),
    ]
    # L + 2b + 2s(1 + √2) + the 4 in to spare, up to 1/8 in: 36 + 6 + 1.2071 + 4 = 47.2071
    assert inches[2][0] == ("Left and right strips", 2, 3.5, 47.25)
    assert "past both ends by 2 in" in soft(rows.rounds[0].pieces[1].how)
    assert "joined of two lengths" in rows.rounds[2].pieces[0].how


def test_where_the_flowers_lie_is_told_for_sides_that_are_alike_together(signed_in: Client, plan: Plan) -> None:
    """A flower of 1 in hexagons and half-circle petals is 2(1 + √3) = 5.464 in across and 5 in down; gaps (L - nm)/(n + 1)."""
    flowers = signed_in.get(top(plan)).context["rows"].rounds[1].flowers
    assert [side.side for side in flowers.sides] == ["left and right", "top and bottom"]
    assert tuple(soft(mark.from_end) for mark in flowers.sides[0].marks) == (
        "4 1/4 in",
        "11 in",
        "17 3/4 in",
    )  # 22 in strip: gaps (22 - 15)/4 = 1.75
    assert soft(flowers.sides[0].gap) == "1 3/4 in"
    assert flowers.sides[0].most == 4
    assert not flowers.troubles


def test_each_flower_is_marked_from_the_end_the_middle_its_neighbour_and_the_raw_end(
    signed_in: Client, plan: Plan
) -> None:
    """Three of 5 in on a 22 in strip, gaps of 1 3/4 in: middles 6 3/4 in apart; the raw end lies 1/4 in beyond the seam."""
    flowers = signed_in.get(top(plan)).context["rows"].rounds[1].flowers
    first, second, last = flowers.sides[0].marks
    assert soft(first.from_centre) == "6 3/4 in above"
    assert (second.from_centre, soft(last.from_centre)) == ("the middle", "6 3/4 in below")
    assert (first.from_neighbour, soft(second.from_neighbour)) == ("", "6 3/4 in")
    assert soft(first.from_raw_edge) == "4 1/2 in"
    assert "to the left" in flowers.sides[1].marks[0].from_centre
    # A border of 7 in and flowers of 5.464 in across and 5 in down: (7 - 5.464)/2 on the sides, (7 - 5)/2 on the ends.
    assert soft(flowers.sides[0].clear) == "3/4 in along the strip, 1 3/4 in at its ends"
    assert soft(flowers.sides[1].clear).startswith("1 in along the strip")
    page = words(signed_in.get(top(plan)))
    assert "Marks on the left and right" in page
    assert "on a scrap of the same cloth first" in page


def test_flowers_keep_the_margin_she_gives_at_the_ends(signed_in: Client, plan: Plan) -> None:
    """2 in from both ends of 22 in: the first middle at 2 + 2 1/2 in, gaps (22 - 4 - 15)/2 = 1 1/2 in."""
    typed = top_data(plan, **{field(plan, 1, "rule"): "margins", field(plan, 1, "end_margin"): "2 in"})
    assert signed_in.post(top(plan), typed).status_code == 302
    assert (plan.rounds.get(name="Garden").rule, plan.rounds.get(name="Garden").end_margin) == ("margins", 2 * IN)
    side = signed_in.get(top(plan)).context["rows"].rounds[1].flowers.sides[0]
    assert (soft(side.marks[0].from_end), soft(side.gap), side.most) == ("4 1/2 in", "1 1/2 in", 3)
    typed[field(plan, 1, "end_margin")] = "5 in"
    page = words(signed_in.post(live(plan), typed))
    assert "Three on the left overlap: along 22 in at most two fit." in page


def test_one_more_in_each_corner_is_counted_and_marked(signed_in: Client, plan: Plan) -> None:
    """In the middle of 7 in corners: 3 1/2 in and a 1/4 in seam from both raw edges."""
    signed_in.post(top(plan), top_data(plan, **{field(plan, 1, "flowers_corners"): "on"}))
    row = signed_in.get(top(plan)).context["rows"].rounds[1]
    assert row.flowers.count == 18
    assert soft(row.flowers.corners) == "One in the middle of each corner: 3 3/4 in from both raw edges."
    typed = top_data(plan, **{field(plan, 1, "width"): "5 1/4 in"})
    page = words(signed_in.post(live(plan), typed))
    assert "it would run over the seams" in page
    only = {field(plan, 1, f"flowers_{side}"): "" for side in ("left", "right", "top", "bottom")}
    page = words(signed_in.post(live(plan), typed | only))
    assert "A flower is 5 7/16 in long, and a corner 5 1/4 in square" in page


def outside(plan: Plan, **counts: Any) -> Round:
    """A fourth round, 7 in wide, whose flowers stand in line with the garden's."""
    flowers = Flowers(side=IN, turn=IN // 4, petal_rise=IN, rule="aligned", **counts)
    return rounds.add(plan=plan, spec=RoundSpec(width=7 * IN, flowers=flowers), now=NOW)


def test_flowers_stand_in_line_with_those_of_the_round_inside(signed_in: Client, plan: Plan) -> None:
    """The garden's left ones lie at 4 1/4, 11 and 17 3/4 in of 22; the new strip is 42 in, so 10 in more on either side."""
    outside(plan, left=3)
    (side,) = signed_in.get(top(plan)).context["rows"].rounds[3].flowers.sides
    assert [soft(mark.from_end) for mark in side.marks] == ["14 1/4 in", "21 in", "27 3/4 in"]
    assert side.most is None


def test_flowers_in_line_with_nothing_are_refused_at_their_rule(signed_in: Client, plan: Plan) -> None:
    response = signed_in.post(top(plan), top_data(plan, **{field(plan, 1, "rule"): "aligned"}))
    assert "No inner round carries motifs" in " ".join(response.context["form"].rounds[1].errors["rule"])


def test_flowers_in_line_that_reach_past_the_end_or_overlap_are_said_so(signed_in: Client, plan: Plan) -> None:
    """Seven at a pitch of 6 3/4 in and 5 in long reach 3 · 6 3/4 + 2 1/2 = 22 3/4 in from the middle of a strip 42 in long: 1 3/4 in past its
    end. Of hexagons of 2 in side, 10 in long, neighbours overlap by 3 1/4 in."""
    row = outside(plan, left=7)
    page = words(signed_in.get(top(plan)))
    assert "In line with the flowers inside, the outermost on the left reach 1 3/4 in past the strip’s end." in page
    larger = {
        f"round-{row.pk}-flower_side": "2 in",
        f"round-{row.pk}-flowers_left": "3",
        f"round-{row.pk}-width": "12 in",
    }
    page = words(signed_in.post(live(plan), top_data(plan, **larger)))
    assert "In line with the flowers inside, those on the left overlap by" in page


def test_the_sewing_order_says_each_step_and_the_size_then(signed_in: Client, plan: Plan) -> None:
    order = [soft(step) for step in signed_in.get(top(plan)).context["rows"].order]
    assert order[0] == "Begin with the centre: it finishes 24 × 18 in."
    assert order[1] == "Join on the top and bottom strips of the first border: the quilt is then 24 × 22 in."
    assert "Piece 14 flowers for Garden." in order
    assert order.index("Sew 14 flowers onto the strips of Garden.") < order.index(
        "Join on the left and right strips of Garden: the quilt is then 42 × 22 in."
    )
    assert order[-1] == "Sew the four mitred corners of the third border: the quilt is then 48 × 42 in."


def test_flowers_applied_afterwards_come_after_the_border(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{field(plan, 1, "applied"): "after"})
    signed_in.post(top(plan), typed)
    order = [soft(step) for step in signed_in.get(top(plan)).context["rows"].order]
    joined = "Join on the top and bottom strips of Garden: the quilt is then 42 × 36 in."
    assert order.index(joined) < order.index("Sew 14 flowers onto Garden.")


def test_flowers_that_do_not_fit_are_said_so_and_how_many_would(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{field(plan, 1, "flowers_top"): "9", field(plan, 1, "width"): "5 in"})
    page = words(signed_in.post(live(plan), typed))
    assert "Nine on the top overlap: along 28 in at most five fit." in page
    assert "it would run over the seams" in page


def test_a_size_without_a_number_tells_how_many_would_fit(signed_in: Client, plan: Plan) -> None:
    """As above: along 22 in four of 5 in, along 28 in five of 5.464 in."""
    none = {field(plan, 1, f"flowers_{side}"): "" for side in ("left", "right", "top", "bottom")}
    page = words(signed_in.post(live(plan), top_data(plan, **none)))
    assert "Up to four would fit on the left and right, and five at the top and bottom." in page


def test_what_was_typed_is_kept_and_shown_again(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{
        "centre-width": "30 in", field(plan, 0, "width"): "2 1/2", field(plan, 0, "name"): "Shore",
        field(plan, 2, "measured_width"): "55", field(plan, 2, "measured_length"): "43",
    })  # fmt: skip
    response = signed_in.post(top(plan), typed)
    assert response.status_code == 302
    plan.refresh_from_db()
    first, _, last = plan.rounds.standing()
    assert (plan.centre_width, first.width, first.name) == (30 * IN, 5 * IN // 2, "Shore")
    assert last.measured == Size(55 * IN, 43 * IN)
    page = words(signed_in.get(response["Location"]))
    assert "The top is kept." in page
    assert "as measured" in page


def test_saving_what_is_shown_changes_nothing(signed_in: Client, plan: Plan) -> None:
    def rows() -> list[Any]:
        return list(Round.objects.order_by("pk").values())

    before = rows()
    assert signed_in.post(top(plan), top_data(plan)).status_code == 302
    assert rows() == before


def test_a_new_round_needs_a_width_only_when_it_is_to_be_added(signed_in: Client, plan: Plan) -> None:
    response = signed_in.post(top(plan), top_data(plan) | {"add": "yes"})
    assert response.context["form"].new.errors == {"width": ["Say how wide the new round is."]}
    response = signed_in.post(
        top(plan), top_data(plan, **{"new-width": "2 in", "new-corners": "mitred"}) | {"add": "yes"}
    )
    new = plan.rounds.standing().last()
    assert new is not None
    assert (new.width, new.corners, new.position) == (2 * IN, "mitred", 4)
    assert response["Location"] == f"{top(plan)}?open={new.pk}#round-{new.pk}"


def test_while_it_is_typed_the_quilt_is_drawn_and_nothing_is_kept(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{field(plan, 2, "width"): "5 in", "new-width": "1 in"})
    response = signed_in.post(live(plan), typed, headers={"HX-Request": "true"})
    page = words(response)
    assert "<b>54 × 48 in</b> finished" in page  # 42 + 10 + 2 by 36 + 10 + 2
    assert page.count("<svg") >= 1
    assert "<html" not in page
    assert plan.rounds.standing().last().width == 3 * IN  # type: ignore[union-attr]


def test_while_something_cannot_be_read_the_picture_stays(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{field(plan, 0, "width"): "about 2"})
    page = words(signed_in.post(live(plan), typed, headers={"HX-Request": "true"}))
    assert "cannot be read as a length" in page
    assert 'id="drawn"' not in page


def test_what_the_engine_refuses_is_said_at_its_field(signed_in: Client, plan: Plan) -> None:
    cases = {
        field(plan, 1, "petal_rise"): ("2 in", "the petals would overlap"),
        field(plan, 1, "measured_width"): ("20 in", "larger than the top inside this round"),
    }
    for name, (typed, sentence) in cases.items():
        changes = {name: typed}
        if name.endswith("measured_width"):
            changes[field(plan, 1, "measured_length")] = "20 in"
        response = signed_in.post(top(plan), top_data(plan, **changes))
        form = response.context["form"].rounds[1]
        assert sentence in " ".join(form.errors[name.partition("-")[2].partition("-")[2]])
        assert f'value="{typed}"' in words(response)


def test_a_printed_panel_too_small_for_its_seams_is_said_at_the_print(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan, **{"centre-printed_width": "24 in", "centre-printed_length": "18 in"})
    response = signed_in.post(top(plan), typed)
    assert "too small" in " ".join(response.context["form"].centre.errors["printed_width"])


def test_flowers_need_the_side_of_their_hexagon(signed_in: Client, plan: Plan) -> None:
    response = signed_in.post(top(plan), top_data(plan, **{field(plan, 0, "made"): "flowers"}))
    assert response.context["form"].rounds[0].errors == {"flower_side": ["Say how long one side of the hexagon is."]}


def test_petals_rise_as_high_as_the_side_unless_she_says_otherwise(signed_in: Client, plan: Plan) -> None:
    sides = {field(plan, 0, "made"): "flowers", field(plan, 0, "flower_side"): "3/4 in"}
    signed_in.post(top(plan), top_data(plan, **sides))
    first = plan.rounds.standing()[0]
    assert (first.petal_rise, first.flower_turn) == (3 * IN // 4, plan.turn_allowance)
    signed_in.post(top(plan), top_data(plan, **{field(plan, 0, "outer"): "hexagons"}))
    assert plan.rounds.standing()[0].petal_rise is None


def test_moving_a_round_keeps_what_else_was_typed(signed_in: Client, plan: Plan) -> None:
    outer = plan.rounds.standing()[2]
    address = reverse("plans:move_round", args=[plan.pk, outer.pk, "in"])
    response = signed_in.post(address, top_data(plan, **{field(plan, 0, "width"): "4 in"}), follow=True)
    assert [row.width // IN for row in plan.rounds.standing()] == [4, 3, 7]
    back = reverse("plans:move_round", args=[plan.pk, outer.pk, "out"])
    assert f'action="{back}"' in words(response)
    signed_in.post(back)
    assert [row.width // IN for row in plan.rounds.standing()] == [4, 7, 3]


def test_nothing_is_moved_or_lost_while_something_typed_is_wrong(signed_in: Client, plan: Plan) -> None:
    outer = plan.rounds.standing()[2]
    for name, more in (("move_round", ["in"]), ("take_out", [])):
        address = reverse(f"plans:{name}", args=[plan.pk, outer.pk, *more])
        response = signed_in.post(address, top_data(plan, **{"centre-width": "wide", field(plan, 0, "name"): "Shore"}))
        page = words(response)
        assert 'value="wide"' in page
        assert 'value="Shore"' in page
        assert [row.width // IN for row in plan.rounds.standing()] == [2, 7, 3]


def test_a_round_taken_out_can_be_put_back(signed_in: Client, plan: Plan) -> None:
    garden = plan.rounds.get(name="Garden")
    page = signed_in.post(reverse("plans:take_out", args=[plan.pk, garden.pk]), top_data(plan), follow=True)
    assert "Garden was taken out." in words(page)
    assert plan.rounds.standing().count() == 2
    back = reverse("plans:put_back", args=[plan.pk, garden.pk])
    assert f'action="{back}"' in words(page)
    signed_in.post(back)
    assert [row.name for row in plan.rounds.standing()] == ["", "Garden", ""]


def test_a_round_of_another_window_stays_as_it_is(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan)
    rounds.add(plan=plan, spec=RoundSpec(width=IN, name="Late"), now=NOW)
    assert signed_in.post(top(plan), typed).status_code == 302
    assert plan.rounds.standing().last().name == "Late"  # type: ignore[union-attr]


def test_only_what_is_on_the_page_is_answered_while_she_types(signed_in: Client, plan: Plan) -> None:
    typed = top_data(plan)
    late = rounds.add(plan=plan, spec=RoundSpec(width=IN), now=NOW)
    page = words(signed_in.post(live(plan), typed, headers={"HX-Request": "true"}))
    assert page.count("-says") == 4  # the centre and three rounds
    assert f"round-{late.pk}-says" not in page


def test_rounds_are_reached_through_their_owner_and_their_plan(client: Client, plan: Plan, owner: Person) -> None:
    row, other = plan.rounds.standing()[0], medallion(owner)
    client.force_login(PersonFactory.create())
    for name, more in (("move_round", ["in"]), ("take_out", []), ("put_back", [])):
        assert client.post(reverse(f"plans:{name}", args=[plan.pk, row.pk, *more])).status_code == 404
    client.force_login(owner)
    assert client.post(reverse("plans:take_out", args=[other.pk, row.pk])).status_code == 404
    assert client.post(reverse("plans:move_round", args=[plan.pk, row.pk, "sideways"])).status_code == 404
    assert client.get(reverse("plans:take_out", args=[plan.pk, row.pk])).status_code == 405


def test_the_quilt_is_drawn_in_the_cloth_of_each_role(signed_in: Client, plan: Plan, owner: Person) -> None:
    garden = plan.rounds.get(name="Garden")
    page = words(signed_in.get(top(plan)))
    assert "no cloth chosen yet" in page
    for part, colour in (("border", "#aa3311"), ("petals", "#11aa33")):
        give(plan, f"round-{garden.pk}-{part}", FabricFactory.create(owner=owner, name=f"My {part}", colour=colour))
    page = words(signed_in.get(top(plan)))
    assert "#aa3311" in page
    assert "#11aa33" in page
    assert "My petals" in page


def test_a_finished_quilt_shows_its_figures_and_takes_no_others(signed_in: Client, plan: Plan) -> None:
    plans.move(plan=plan, to=State.ON_THE_GO, now=NOW)
    plan = plans.move(plan=plan, to=State.FINISHED, finished_on=TODAY, now=NOW)
    page = words(signed_in.get(top(plan)))
    assert "is finished. Say that it is on the go again to change it." in page
    assert "Keep the top</button>\n        " not in page
    response = signed_in.post(top(plan), top_data(plan, **{"centre-width": "99 in"}))
    assert "is finished" in words(response)
    plan.refresh_from_db()
    assert plan.centre_width == 24 * IN


def test_a_plan_that_cannot_be_worked_out_still_opens_and_says_why(signed_in: Client, plan: Plan) -> None:
    plan.rounds.filter(name="Garden").update(measured_width=IN, measured_length=IN)
    page = signed_in.get(top(plan))
    assert page.status_code == 200
    assert "cannot be worked out as it stands: It must be larger than the top inside this round." in words(page)
