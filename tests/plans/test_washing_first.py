"""A plan whose cloth is washed before it is cut: what there is and what to buy are reckoned with what the wash takes."""

from fractions import Fraction

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import CuttingSheet, Plan
from plans.queries.buying import at_once, buying_page, length_of
from plans.queries.washing import once_washed, shrinkage_of, still_to_wash
from plans.services import layout, plans, sheets, shopping
from plans.services.errors import PlanError
from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import Size, System, round_up
from quiltbook.people.models import Person
from quiltbook.yardage.shrinkage import Shrinkage
from stash.models import Fabric, Piece
from stash.services import cloth as stash
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, inches
from tests.plans.medallion import work_of
from tests.plans.quilts import border_role, cloth, framed, give, held, only_offcut
from tests.plans.typed import soft, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(owner: Person) -> Plan:
    """Of a 10 in square in a 2 in border: two sides of 2 1/2 x 10 1/2 and two ends of 14 1/2 x 2 1/2 in. It is washed first."""
    return washes(framed(owner))


def washes(plan: Plan, first: bool = True) -> Plan:
    return plans.change_figures(plan=plan, figures={"washes_first": first}, now=NOW)


def laid_out(plan: Plan) -> CuttingSheet:
    [sheet] = layout.lay_out_plan(plan=plan, now=NOW)
    return sheet


def lose(owner: Person, across: int, along: int) -> None:
    """Three washes of cotton that lost so many per cent."""
    fabric = FabricFactory.create(owner=owner)
    for _ in range(3):
        piece = PieceFactory.create(fabric=fabric, size=inches(100, 100))
        stash.wash(piece=piece, measured=inches(100 - across, 100 - along), day=TODAY, now=NOW)


def test_a_plan_washes_nothing_unless_she_says_so(owner: Person) -> None:
    plan = framed(owner)
    assert shrinkage_of(plan) is None
    assert still_to_wash(plan, [PieceFactory.create(fabric=FabricFactory.create(owner=owner))]) == frozenset()


def test_her_own_washes_are_what_it_is_reckoned_with(owner: Person, plan: Plan) -> None:
    assert shrinkage_of(plan) == Shrinkage(Fraction(3, 100), Fraction(3, 100))
    lose(owner, 2, 6)
    assert shrinkage_of(plan) == Shrinkage(Fraction(2, 100), Fraction(6, 100))
    assert shrinkage_of(plan, Fabric.Kind.LINEN) == Shrinkage(Fraction(3, 100), Fraction(3, 100))


def test_cloth_that_is_just_enough_is_not_once_it_is_washed(owner: Person, plan: Plan) -> None:
    """14 1/2 in each way hold the ends; 3 per cent less do not."""
    kelp = cloth(owner, "Kelp", inches(14.5, 14.5))
    give(plan, border_role(plan), kelp)
    assert [(row["width"], row["length"], row["count"]) for row in laid_out(plan).uncut] == [
        (29 * IN // 2, 5 * IN // 2, 2)
    ]

    washes(plan, False)
    as_it_comes = laid_out(plan)
    assert as_it_comes.uncut == []
    assert not as_it_comes.cloths.get().to_wash


def test_what_is_laid_on_cloth_to_be_washed_lies_within_its_washed_size(owner: Person, plan: Plan) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 20))
    give(plan, border_role(plan), kelp)

    [laid] = laid_out(plan).cloths.all()

    assert (laid.to_wash, laid.laid_out_on) == (True, inches(42, 20))
    width, length = laid.layout["width"], laid.layout["length"]
    assert (width, length) == (42 * IN * 97 // 100, 20 * IN * 97 // 100)
    for p in laid.layout["placements"]:
        assert p["x"] + p["width"] <= width
        assert p["y"] + p["length"] <= length


def test_such_cloth_is_held_only_once_it_is_washed_and_measured(owner: Person, plan: Plan) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 20))
    give(plan, border_role(plan), kelp)
    draft = laid_out(plan)
    with pytest.raises(PlanError, match=r"Kelp no\. 1 is still to be washed"):
        sheets.confirm(sheet=draft, now=NOW)
    assert not Piece.objects.held().exists()

    stash.wash(piece=Piece.objects.get(), measured=inches(41, 19), day=TODAY, now=NOW)
    sheet = sheets.confirm(sheet=laid_out(plan), now=NOW)

    [held_cloth] = sheet.cloths.all()
    assert (held_cloth.to_wash, held_cloth.laid_out_on) == (False, inches(41, 19))
    assert held_cloth.piece.size == inches(41, 19)


def test_an_offcut_of_washed_cloth_is_washed_and_one_of_new_cloth_is_not(owner: Person, plan: Plan) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 20))
    other = framed(owner, "Another")
    offcut = only_offcut(held(other, border_role(other), kelp))
    assert offcut.expected
    assert still_to_wash(plan, [offcut]) == {offcut.pk}

    ochre = cloth(owner, "Ochre", inches(42, 20))
    stash.wash(piece=ochre.pieces.get(), measured=inches(41, 19), day=TODAY, now=NOW)
    third = framed(owner, "A third")
    washed = only_offcut(held(third, border_role(third), ochre))
    assert washed.expected
    assert still_to_wash(plan, [washed]) == frozenset()


def test_drafts_are_laid_out_again_once_she_says_otherwise(owner: Person, plan: Plan) -> None:
    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 20)))
    laid_out(plan)
    washes(plan)
    assert CuttingSheet.objects.drafts().count() == 1

    washes(plan, False)
    assert not CuttingSheet.objects.drafts().exists()


def test_a_panel_is_taken_as_it_measures(owner: Person, plan: Plan) -> None:
    heron = cloth(owner, "Heron", inches(20, 20))
    plan.printed_width, plan.printed_length, plan.printed_seam = 12 * IN, 12 * IN, 0
    plan.save()
    give(plan, "panel", heron)

    draft = laid_out(plan)

    assert [c.to_wash for c in draft.cloths.all()] == [False]
    assert sheets.confirm(sheet=draft, now=NOW).cloths.count() == 1


def test_so_much_is_bought_that_enough_is_left_after_the_wash(owner: Person, plan: Plan) -> None:
    """What is bought, less what the wash takes, is no shorter than what is bought of cloth that is cut as it comes."""
    lose(owner, 0, 10)
    rows = {row.key: row for row in buying_page(plan, work_of(plan)).to_buy}
    for way in ("handbook", "strips", "close"):
        dry = {key: length_of(row, framed_as_it_comes(plan), way, System.INCHES) for key, row in rows.items()}
        for key, row in rows.items():
            wet = length_of(row, plan, way, System.INCHES)
            if way == "handbook":
                assert abs(wet.length * Fraction(9, 10) - dry[key].length) < 1
                assert wet.to_buy == round_up(wet.length, plan.shop_step)
                assert any("left after the wash" in how for how in wet.how)
            assert wet.to_buy * Fraction(9, 10) >= dry[key].length
            assert not wet.missing


def framed_as_it_comes(plan: Plan) -> Plan:
    other = Plan.objects.get(pk=plan.pk)
    other.washes_first = False
    return other


def test_narrower_washed_cloth_gives_fewer_a_strip(owner: Person, plan: Plan) -> None:
    """42 in give four sides of 10 1/2 in a strip; less what three per cent take, they give three."""
    row = buying_page(plan, work_of(plan)).row(border_role(plan))
    assert row is not None
    assert soft(at_once(row, plan, System.INCHES).how[0]).startswith(
        "One strip of 2 1/2 in across the cloth, three a strip"
    )
    assert "four a strip" in soft(at_once(row, framed_as_it_comes(plan), System.INCHES).how[0])


def test_a_backing_two_full_widths_wide_takes_three_once_they_are_washed(owner: Person) -> None:
    """A top of 77 in needs 83: two widths of 42 less a seam just reach, two washed ones do not; and what is then to be cut can be."""
    plan = framed(owner, centre=69, border=4)
    assert work_of(plan).backing.best.panels == 2
    washes(plan)
    assert work_of(plan).backing.best.panels == 3
    row = buying_page(plan, work_of(plan)).row("backing")
    assert row is not None
    assert not at_once(row, plan, System.INCHES).missing


def test_what_a_draft_is_short_of_is_bought_with_the_wash_in_mind(owner: Person, plan: Plan) -> None:
    lose(owner, 0, 50)
    kelp = cloth(owner, "Kelp", inches(5, 3))
    give(plan, border_role(plan), kelp)
    draft = laid_out(plan)
    wet = shopping.length_to_buy(sheet=draft)
    Plan.objects.filter(pk=plan.pk).update(washes_first=False)
    dry = shopping.length_to_buy(sheet=CuttingSheet.objects.select_related("plan", "fabric").get(pk=draft.pk))
    assert wet > dry


def test_she_says_it_on_the_finishing_page_and_is_told_on_the_cloth_page(at_home: Client, owner: Person) -> None:
    plan = framed(owner)
    address = reverse("plans:finishing", args=[plan.pk])
    form = at_home.get(address).context["form"]
    said = {name: form[name].value() for name in form.fields if form[name].value() not in (None, False)}
    typed = {name: form.fields[name].prepare_value(value) for name, value in said.items()}
    at_home.post(address, {**typed, "washes_first": "on"})
    plan.refresh_from_db()
    assert plan.washes_first
    assert "What cloth to buy</a> has what the wash takes" in words(at_home.get(address))
    assert "checked" in str(at_home.get(address).context["form"]["washes_first"])

    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 20)))
    laid_out(plan)
    page = words(at_home.get(reverse("plans:cloth", args=[plan.pk])))
    assert ">no. 1</a> first and say there what it measures" in page
    assert "42 × 20 in, about 40 3/4 × 19 3/8 in once washed" in page
    assert "Hold this cloth" not in page
    answer = words(at_home.post(reverse("plans:confirm", args=[plan.pk, CuttingSheet.objects.get().pk]), follow=True))
    assert "still to be washed" in answer


def test_the_size_of_cloth_in_nm_is_taken_down(owner: Person, plan: Plan) -> None:
    assert once_washed(Size(99, 101), Shrinkage(Fraction(1, 100), Fraction(0))) == Size(98, 101)
