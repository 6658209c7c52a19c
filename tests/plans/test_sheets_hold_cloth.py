"""Confirming a layout holds whole pieces, and nothing can be held twice."""

import pytest
from django.db import IntegrityError, transaction

from plans.models import CuttingSheet, SheetCloth
from plans.models.plan import State
from plans.services import at_the_table, layout, rounds, sheets
from plans.services.at_the_table import Kept
from plans.services.errors import PlanError
from plans.services.rounds import RoundSpec
from quiltbook.people.models import Person
from stash.models import Hold, Piece
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import INCH, border_role, cloth, framed, give, held, laid_out, only_cloth, only_offcut
from tests.plans.simple_engine import lay_out


def test_a_draft_holds_nothing(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    give(plan, border_role(plan), kelp)
    [draft] = laid_out(plan)
    assert draft.state == CuttingSheet.State.DRAFT
    assert not Hold.objects.exists()
    assert not Piece.objects.expected().exists()


def test_confirming_holds_the_piece_and_expects_its_offcut(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    sheet = held(plan, border_role(plan), kelp)
    hold = Hold.objects.live().get()
    assert hold.piece == only_cloth(sheet).piece
    assert hold.reason == plan.name
    assert hold.link == sheet.get_absolute_url()
    offcut = only_offcut(sheet)
    assert offcut.expected
    assert not offcut.on_shelf
    assert offcut.size.width == 42 * INCH


def test_confirming_starts_a_quilt_that_was_an_idea(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    held(plan, border_role(plan), kelp)
    plan.refresh_from_db()
    assert plan.state == State.ON_THE_GO


def test_two_plans_laid_out_on_the_same_piece_cannot_both_hold_it(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    first, second = framed(owner, "First"), framed(owner, "Second")
    for plan in (first, second):
        give(plan, border_role(plan), kelp)
    [one], [two] = laid_out(first), laid_out(second)
    sheets.confirm(sheet=one, now=NOW)
    with pytest.raises(PlanError, match=r"Kelp no\. 1 is held already for First"):
        sheets.confirm(sheet=two, now=NOW)
    two.refresh_from_db()
    assert two.state == CuttingSheet.State.DRAFT
    assert Hold.objects.live().count() == 1


def test_the_database_itself_refuses_a_second_live_hold(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    hold = Hold.objects.get(sheet_cloth__sheet=held(plan, border_role(plan), kelp))
    with pytest.raises(IntegrityError), transaction.atomic():
        Hold.objects.create(owner=owner, piece=hold.piece, reason="another", link="/", held_at=NOW)
    assert Hold.objects.filter(piece=hold.piece).count() == 1


def test_a_second_plan_may_hold_the_expected_offcut_and_waits_for_it(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    first, second = framed(owner, "First"), framed(owner, "Second")
    one = held(first, border_role(first), kelp)
    two = held(second, border_role(second), kelp)
    assert only_cloth(two).piece == only_offcut(one)
    assert only_cloth(two).waiting


def test_a_draft_is_refused_once_the_plan_wants_something_else(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    give(plan, border_role(plan), kelp)
    [draft] = laid_out(plan)
    rounds.change(row=plan.rounds.get(), spec=RoundSpec(width=3 * INCH), now=NOW)
    with pytest.raises(PlanError, match="lay it out again"):
        sheets.confirm(sheet=draft, now=NOW)
    assert not Hold.objects.exists()


def test_a_sheet_is_confirmed_once(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    sheet = held(plan, border_role(plan), kelp)
    with pytest.raises(PlanError, match="already"):
        sheets.confirm(sheet=sheet, now=NOW)


def test_nothing_is_held_where_nothing_fits(owner: Person) -> None:
    plan, scrap = framed(owner), cloth(owner, "Scrap", inches(4, 4))
    give(plan, border_role(plan), scrap)
    [draft] = laid_out(plan)
    assert sum(row["count"] for row in draft.uncut) == 4
    with pytest.raises(PlanError, match="nothing to hold"):
        sheets.confirm(sheet=draft, now=NOW)


def test_what_does_not_fit_on_the_first_fabric_goes_on_to_the_next(owner: Person) -> None:
    plan = framed(owner)
    small, large = cloth(owner, "Small", inches(6, 11)), cloth(owner, "Large", inches(42, 18))
    give(plan, border_role(plan), small)
    give(plan, border_role(plan), large)
    by_name = {sheet.fabric.name: sheet for sheet in laid_out(plan)}
    assert not any(sheet.uncut for sheet in by_name.values())
    counts = {
        name: sum(line.count for cloth in s.cloths.all() for line in cloth.lines.all()) for name, s in by_name.items()
    }
    assert counts == {"Small": 2, "Large": 2}


def test_what_went_on_to_the_next_fabric_is_not_missed_on_the_first(owner: Person) -> None:
    plan = framed(owner)
    small, large = cloth(owner, "Small", inches(3, 11)), cloth(owner, "Large", inches(42, 18))
    give(plan, border_role(plan), small)
    give(plan, border_role(plan), large)
    drafts = laid_out(plan)
    assert [sheet.fabric.name for sheet in drafts] == ["Small", "Large"]
    assert not any(sheet.uncut for sheet in drafts)


def test_a_fabric_with_a_count_gives_that_many(owner: Person) -> None:
    plan = framed(owner)
    kelp, oat = cloth(owner, "Kelp", inches(42, 18)), cloth(owner, "Oat", inches(42, 18))
    give(plan, border_role(plan), kelp, 1)
    give(plan, border_role(plan), oat)
    totals = {}
    for sheet in laid_out(plan):
        totals[sheet.fabric.name] = sum(line.count for c in sheet.cloths.all() for line in c.lines.all())
    assert totals == {"Kelp": 1, "Oat": 3}


def test_cloth_on_the_shelf_is_used_before_cloth_still_to_come(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18), inches(42, 9))
    first, second = framed(owner, "First"), framed(owner, "Second")
    held(first, border_role(first), kelp)
    give(second, border_role(second), kelp)
    [draft] = layout.lay_out_plan(plan=second, now=NOW, lay_out=lay_out)
    assert not any(c.waiting for c in SheetCloth.objects.filter(sheet=draft).select_related("piece"))


def test_a_draft_on_an_offcut_that_came_out_otherwise_is_laid_out_again_first(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 36))
    first, second = framed(owner, "First"), framed(owner, "Second")
    one = held(first, border_role(first), kelp)
    give(second, border_role(second), kelp)
    [draft] = laid_out(second)
    row = only_cloth(one).offcuts.get()
    at_the_table.record_cut(cloth=only_cloth(one), measured={row.pk: Kept(inches(42, 20), "")}, day=TODAY, now=NOW)
    with pytest.raises(PlanError, match="measures differently now"):
        sheets.confirm(sheet=draft, now=NOW)
