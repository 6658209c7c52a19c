"""A round pieced of blocks on the page of a top: how its units fit, other lengths that would, its patches, and what measuring changes.

The figures are worked by hand from n·u = W + 2c: units u long round a top W across with a coping c wide."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan, Round
from plans.queries.top import RoundRow
from plans.services import plans, rounds
from plans.services.plans import Centre
from plans.services.rounds import PiecedUnits, RoundSpec
from quiltbook.measures import NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from tests.factories import NOW, PersonFactory
from tests.plans.typed import soft, top_data, words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


@pytest.fixture
def signed_in(client: Client, owner: Person) -> Client:
    client.force_login(owner)
    return client


def quilt(owner: Person, width: float, length: float, *specs: RoundSpec) -> Plan:
    centre = Centre(width=round(width * IN), length=round(length * IN))
    plan = plans.start(owner=owner, name="Harbour lights", centre=centre, now=NOW)
    for spec in specs:
        rounds.add(plan=plan, spec=spec, now=NOW)
    return plan


def pieced(width: int = 3 * IN, unit: int = 3 * IN, block: str = "pinwheel", **more: Any) -> RoundSpec:
    return RoundSpec(width=width, pieced=PiecedUnits(block=block, length=unit, **more))


def top(plan: Plan) -> str:
    return reverse("plans:top", args=[plan.pk])


def live(plan: Plan) -> str:
    return reverse("plans:top_live", args=[plan.pk])


def name_of(plan: Plan, field: str, place: int = 0) -> str:
    return f"round-{plan.rounds.standing()[place].pk}-{field}"


def round_row(client: Client, plan: Plan, place: int = 0) -> RoundRow:
    row = client.get(top(plan)).context["rows"].rounds[place]
    assert isinstance(row, RoundRow)
    return row


def outer(plan: Plan) -> Round:
    row = plan.rounds.standing().last()
    assert row is not None
    return row


# --- how the units fit ------------------------------------------------------------------------------------------------


def test_units_that_fit_need_no_coping(signed_in: Client, owner: Person) -> None:
    row = round_row(signed_in, quilt(owner, 24, 18, pieced()))
    assert row.pieced is not None
    assert soft(row.pieced.told) == "Eight units across and six down, each 3 in long. They fit without coping."
    assert (
        soft(row.pieced.how)
        == "Across, the quilt is 24 in inside: 8 × 3 in. Down, the quilt is 18 in inside: 6 × 3 in."
    )
    assert row.pieced.other == ()
    assert row.after == Size(30 * IN, 24 * IN)


def test_one_width_of_coping_all_round_is_found_and_explained(signed_in: Client, owner: Person) -> None:
    """25 x 19 in: 27 = 25 + 2 · 1 and 21 = 19 + 2 · 1."""
    row = round_row(signed_in, quilt(owner, 25, 19, pieced()))
    assert row.pieced is not None
    assert (
        soft(row.pieced.told) == "Nine units across and seven down, each 3 in long, outside a coping of 1 in all round."
    )
    assert "eight units would be too short and nine too long. With 2 × 1 in of coping it is 27 in: 9 × 3 in." in soft(
        row.pieced.how
    )
    copings = [(piece.words, piece.count, soft(piece.how)) for piece in row.pieces]
    assert copings[0][:2] == ("Left and right coping strips", 2)
    assert "Along 19 in of the quilt: finished 19 in" in copings[0][2]
    assert "Along 25 in of the quilt and past both ends by 1 in: finished 27 in" in copings[1][2]


def test_copings_of_two_widths_come_with_units_that_would_need_only_one(signed_in: Client, owner: Person) -> None:
    """25 x 20 in: 27 = 25 + 2 · 1 across and 21 = 20 + 2 · 1/2 down. The sides differ by 5 in, so units of 5/2 in fit with one coping,
    none here, since 25 = 10 · 5/2 and 20 = 8 · 5/2; the same for 5/1 and, 5/3 in: 15 and 12."""
    row = round_row(signed_in, quilt(owner, 25, 20, pieced()))
    assert row.pieced is not None
    assert "a coping of 1 in on the left and right and 1/2 in at the top and bottom" in soft(row.pieced.told)
    halves = next(other for other in row.pieced.other if other.length == 5 * IN // 2)
    assert soft(halves.words) == "Units of 2 1/2 in"
    assert halves.told == "ten across and eight down, no coping"
    ends = next(piece for piece in row.pieces if piece.words == "Top and bottom coping strips")
    assert "past both ends by 1 in" in soft(ends.how)  # as wide as the sides' coping, not as its own


def test_a_suggested_length_is_taken_and_kept_with_what_else_was_typed(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 25, 20, pieced(coping="each way"))
    page = words(signed_in.get(top(plan)))
    assert f'name="{name_of(plan, "other_unit")}" value="{5 * IN // 2}"' in page
    typed = top_data(plan, **{name_of(plan, "other_unit"): str(5 * IN // 2), name_of(plan, "name"): "Mills"})
    assert signed_in.post(top(plan), typed).status_code == 302
    kept = outer(plan)
    assert (kept.unit_length, kept.coping, kept.name) == (5 * IN // 2, "auto", "Mills")


def test_a_length_that_no_ruler_shows_is_kept_exactly(signed_in: Client, owner: Person) -> None:
    """25 x 18 in lie 7 in apart: units of 7/2 in or 7/3 in fit. A third of 7 in is no whole number of nm and must fit all the same."""
    plan = quilt(owner, 25, 18, pieced(unit=5 * IN // 2))
    row = round_row(signed_in, plan)
    assert row.pieced is not None
    third = next(other for other in row.pieced.other if other.length == round(7 * IN / 3))
    signed_in.post(top(plan), top_data(plan, **{name_of(plan, "other_unit"): str(third.length)}))
    for _ in range(2):  # and what the field then shows reads back as the same
        assert outer(plan).unit_length == third.length
        row = round_row(signed_in, plan)
        assert row.pieced is not None
        assert "all round" in row.pieced.told
        signed_in.post(top(plan), top_data(plan))


@pytest.mark.parametrize("nonsense", ["", "0", "-3", "wide", "9" * 40, "²", "1e9"])
def test_a_suggestion_nobody_made_changes_nothing(signed_in: Client, owner: Person, nonsense: str) -> None:
    plan = quilt(owner, 25, 20, pieced())
    assert signed_in.post(top(plan), top_data(plan, **{name_of(plan, "other_unit"): nonsense})).status_code == 302
    assert outer(plan).unit_length == 3 * IN


def test_a_coping_that_cannot_be_is_refused_at_its_field_with_units_that_could(
    signed_in: Client, owner: Person
) -> None:
    plan = quilt(owner, 25, 20, pieced())
    for coping, sentence in (("even", "No one width of coping"), ("none", "No whole number of units fits both ways")):
        for address in (top(plan), live(plan)):
            response = signed_in.post(address, top_data(plan, **{name_of(plan, "coping"): coping}))
            assert sentence in " ".join(response.context["form"].rounds[0].errors["coping"])
            assert "Units of 2 1/2 in" in words(response)


def test_units_too_short_are_refused_at_their_length(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 300, 300, pieced())
    response = signed_in.post(top(plan), top_data(plan, **{name_of(plan, "unit_length"): "1/2 in"}))
    assert "more than 500 units" in " ".join(response.context["form"].rounds[0].errors["unit_length"])


@pytest.mark.parametrize(("column", "field"), [("unit_block", "unit_block"), ("other_unit_block", "other_unit_block")])
def test_a_block_not_known_any_more_is_refused_at_its_field(
    signed_in: Client, owner: Person, column: str, field: str
) -> None:
    plan = quilt(owner, 24, 18, pieced(other="nine patch"))
    Round.objects.update(**{column: "no such block"})
    assert "That block is not known any more" in words(signed_in.get(top(plan)))
    response = signed_in.post(top(plan), top_data(plan))
    assert list(response.context["form"].rounds[0].errors) == [field]


# --- its patches ------------------------------------------------------------------------------------------------------


def test_every_patch_is_listed_with_what_it_is_cut_to_and_why(signed_in: Client, owner: Person) -> None:
    """28 pinwheels of 3 in: four half squares of 1 1/2 in each, so 112 triangles of each cloth, two from a square of 1 1/2 + 7/8 in."""
    row = round_row(signed_in, quilt(owner, 24, 18, pieced()))
    assert row.pieced is not None
    found = {piece.words: piece for piece in row.pieced.pieces}
    blades = found["Blades: squares, cut once"]
    assert (blades.count, blades.cut) == (56, Size(19 * IN // 8, 19 * IN // 8))
    assert "112 are needed" in blades.how
    stones = next(piece for piece in row.pieces if piece.words == "Cornerstones")
    assert (stones.count, stones.cut) == (4, Size(7 * IN // 2, 7 * IN // 2))
    page = words(signed_in.get(top(quilt(owner, 24, 18, pieced()))))
    assert "Many at a time, for the first border" in page
    assert "112 half squares of background and blades, 1 1/2 in finished" in page


def test_two_blocks_take_turns_and_a_third_lies_in_the_corners(signed_in: Client, owner: Person) -> None:
    """28 units: 8 across twice and 6 down twice, half of them of each block; nine patches have five dark squares."""
    spec = pieced(other="nine patch", corner="pinwheel")
    row = round_row(signed_in, quilt(owner, 24, 18, spec))
    assert row.pieced is not None
    assert row.kind == "pieced of pinwheel and nine patch"
    found = {piece.words: piece.count for piece in row.pieced.pieces}
    assert found["Dark: squares"] == 14 * 5
    assert found["Blades: squares, cut once"] == (14 + 4) * 4 // 2
    assert row.pieces == ()  # no coping, and no plain squares


# --- typed, kept, added -----------------------------------------------------------------------------------------------


def test_a_plain_round_is_made_a_pieced_one_and_back(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 24, 18, RoundSpec(width=3 * IN))
    signed_in.post(top(plan), top_data(plan, **{name_of(plan, "made"): "pieced"}))
    kept = outer(plan)
    assert (kept.unit_block, kept.unit_length) == ("flying geese", 3 * IN)  # as long as the round is wide
    signed_in.post(
        top(plan),
        top_data(
            plan,
            **{
                name_of(plan, "unit_block"): "rail fence",
                name_of(plan, "unit_length"): "2 in",
                name_of(plan, "corner_block"): "pinwheel",
                name_of(plan, "coping"): "each way",
                name_of(plan, "least_coping"): "3/4 in",
            },
        ),
    )
    kept = outer(plan)
    assert (kept.unit_block, kept.unit_length, kept.corner_block) == ("rail fence", 2 * IN, "pinwheel")
    assert (kept.coping, kept.least_coping) == ("each way", 3 * IN // 4)
    signed_in.post(top(plan), top_data(plan, **{name_of(plan, "made"): "plain"}))
    kept = outer(plan)
    assert (kept.unit_block, kept.unit_length, kept.corner_block) == ("", None, "")


def test_saving_what_is_shown_changes_nothing(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 25, 20, pieced(width=2 * IN, other="nine patch", corner="rail fence", coping="each way"))
    before = list(Round.objects.values())
    assert signed_in.post(top(plan), top_data(plan)).status_code == 302
    assert list(Round.objects.values()) == before


def test_flowers_typed_for_a_round_that_is_pieced_now_are_shown_again_and_not_read(
    signed_in: Client, owner: Person
) -> None:
    plan = quilt(owner, 24, 18, RoundSpec(width=3 * IN))
    typed = top_data(
        plan,
        **{
            name_of(plan, "made"): "pieced",
            name_of(plan, "flower_side"): "about an inch",
            name_of(plan, "width"): "wide",
        },
    )
    response = signed_in.post(top(plan), typed)
    assert list(response.context["form"].rounds[0].errors) == ["width"]
    assert 'value="about an inch"' in words(response)


def test_a_pieced_round_is_added_in_one_go(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 24, 18)
    typed = top_data(plan, **{"new-width": "3 in", "new-block": "rail fence", "add": "yes"})
    assert "30 × 24 in" in words(signed_in.post(live(plan), typed))
    assert signed_in.post(top(plan), typed).status_code == 302
    new = outer(plan)
    assert (new.unit_block, new.unit_length, new.width) == ("rail fence", 3 * IN, 3 * IN)
    response = signed_in.post(top(plan), top_data(plan, **{"new-width": "1/64 in", "new-block": "pinwheel"}))
    assert "more than 500 units" in " ".join(response.context["form"].new.errors["block"])


# --- what measuring changes -------------------------------------------------------------------------------------------


def test_a_centre_that_measured_small_says_what_is_too_long_already(signed_in: Client, owner: Person) -> None:
    """20 1/2 in planned: sides as long, cut 21 in; measured 20 3/8 in they are cut 20 7/8 in, 1/8 in less."""
    plan = quilt(owner, 20.5, 20.5, RoundSpec(width=2 * IN))
    Plan.objects.update(measured_width=163 * IN // 8, measured_length=163 * IN // 8)
    row = round_row(signed_in, plan)
    assert [soft(sentence) for sentence in row.remeasured] == [
        "Left and right strips: planned 21 in, now 20 7/8 in. What is already cut is 1/8 in too long: trim it.",
        "Top and bottom strips: planned 25 in, now 24 7/8 in. What is already cut is 1/8 in too long: trim it.",
    ]
    assert "1/8 in too long: trim it" in words(signed_in.get(top(plan)))


def test_a_round_that_measured_large_says_what_is_too_short_in_the_next(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 20, 20, RoundSpec(width=2 * IN, measured=Size(97 * IN // 4, 24 * IN)), RoundSpec(width=2 * IN))
    assert round_row(signed_in, plan, 0).remeasured == ()
    sentences = [soft(sentence) for sentence in round_row(signed_in, plan, 1).remeasured]
    assert len(sentences) == 1
    assert "Top and bottom strips: planned 28 1/2 in, now 28 3/4 in." in sentences[0]
    assert "What is already cut is 1/4 in too short: ease it in, or cut it again." in sentences[0]


def test_what_is_far_too_short_is_not_to_be_eased(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 20, 20, RoundSpec(width=2 * IN))
    Plan.objects.update(measured_width=20 * IN, measured_length=85 * IN // 4)
    (sentence,) = map(soft, round_row(signed_in, plan).remeasured)
    assert sentence.endswith("What is already cut is 1 1/4 in too short: cut it again.")


def test_a_top_as_planned_has_nothing_to_say_of_measuring(signed_in: Client, owner: Person) -> None:
    plan = quilt(owner, 20, 20, RoundSpec(width=2 * IN), pieced(unit=2 * IN))
    assert round_row(signed_in, plan, 0).remeasured == round_row(signed_in, plan, 1).remeasured == ()


def test_units_that_no_longer_fit_a_measured_quilt_are_said_at_once(signed_in: Client, owner: Person) -> None:
    """24 in take eight units of 3 in; 23 3/4 in only with 2 · 1 5/8 in of coping, and then nine."""
    plan = quilt(owner, 24, 24, pieced())
    Plan.objects.update(measured_width=95 * IN // 4, measured_length=95 * IN // 4)
    (sentence,) = map(soft, round_row(signed_in, plan).remeasured)
    assert "as planned there are eight units across and eight down without coping" in sentence
    assert "as measured, nine units across and nine down with a coping of 1 5/8 in all round" in sentence
    assert "ease the quilt inside to its planned size, 24 × 24 in" in sentence


# --- another ruler ----------------------------------------------------------------------------------------------------


def test_it_all_reads_in_centimetres(client: Client) -> None:
    """60 x 48 cm in units of 7 cm: 63 = 60 + 2 · 1.5 across and 49 = 48 + 2 · 0.5 down, but a coping of 0.5 cm is narrower than two
    seams of 0.75 cm, so 56 = 48 + 2 · 4."""
    owner = PersonFactory.create(system=System.METRIC)
    cm = 10_000_000
    plan = plans.start(owner=owner, name="Dune", centre=Centre(width=60 * cm, length=48 * cm), now=NOW)
    rounds.add(plan=plan, spec=pieced(width=7 * cm, unit=7 * cm), now=NOW)
    client.force_login(owner)
    row = round_row(client, plan)
    assert row.pieced is not None
    assert "a coping of 1.5 cm on the left and right and 4 cm at the top and bottom" in soft(row.pieced.told)
    assert "six units would be too short, and seven leave a coping of only 0.5 cm." in soft(row.pieced.how)
