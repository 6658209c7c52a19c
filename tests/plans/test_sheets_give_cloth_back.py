"""Releasing gives back all that is not cut, save what others wait for."""

import pytest

from plans.models import CuttingSheet
from plans.services import at_the_table, sheets
from plans.services.errors import PlanError
from quiltbook.people.models import Person
from stash.models import Hold, Piece
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import LATER, border_role, cloth, framed, held, only_cloth, only_offcut


def test_releasing_frees_the_piece_and_forgets_its_offcuts(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    sheet = held(plan, border_role(plan), kelp)
    sheets.release(sheet=sheet, now=LATER)
    sheet.refresh_from_db()
    assert sheet.state == CuttingSheet.State.RELEASED
    assert not Hold.objects.live().exists()
    assert not Piece.objects.expected().exists()
    assert list(Piece.objects.free()) == list(kelp.pieces.on_shelf())


def test_releasing_keeps_what_was_cut(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(15, 3), inches(15, 3), inches(11, 6))
    plan = framed(owner)
    sheet = held(plan, border_role(plan), kelp)
    first, *others = sheet.cloths.all()
    at_the_table.record_cut(cloth=first, measured={}, day=TODAY, now=NOW)
    assert others
    sheets.release(sheet=sheet, now=LATER)
    sheet.refresh_from_db()
    assert sheet.state == CuttingSheet.State.CUT
    assert not Hold.objects.live().exists()


def test_cloth_whose_offcut_another_quilt_waits_for_is_still_cut_for_its_offcuts(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    first, second = framed(owner, "First"), framed(owner, "Second")
    one = held(first, border_role(first), kelp)
    two = held(second, border_role(second), kelp)
    sheets.release(sheet=one, now=LATER)
    source = only_cloth(one)
    assert source.freed
    assert source.released_at is None
    assert Hold.objects.live().filter(piece=source.piece).exists()
    patches = source.layout["placements"]
    freed = Piece.objects.expected().filter(sheet_offcut__cloth=source).exclude(pk=only_cloth(two).piece_id)
    assert sorted((p.width, p.length) for p in freed) == sorted((p["width"], p["length"]) for p in patches)


def test_when_the_last_that_waited_lets_go_the_cloth_is_free_altogether(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    first, second = framed(owner, "First"), framed(owner, "Second")
    one = held(first, border_role(first), kelp)
    two = held(second, border_role(second), kelp)
    sheets.release(sheet=one, now=LATER)
    sheets.release(sheet=two, now=LATER)
    one.refresh_from_db()
    assert one.state == CuttingSheet.State.RELEASED
    assert not Hold.objects.live().exists()
    assert not Piece.objects.expected().exists()


def test_a_freed_cloth_when_cut_gives_its_patches_to_the_shelf(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    first, second = framed(owner, "First"), framed(owner, "Second")
    one = held(first, border_role(first), kelp)
    held(second, border_role(second), kelp)
    sheets.release(sheet=one, now=LATER)
    movement = at_the_table.record_cut(cloth=only_cloth(one), measured={}, day=TODAY, now=LATER)
    assert movement.patches_mm2 == 0
    assert kelp.pieces.on_shelf().count() == 1 + len(only_cloth(one).layout["placements"])


def test_what_is_released_cannot_be_released_again(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    sheet = held(plan, border_role(plan), kelp)
    sheets.release(sheet=sheet, now=LATER)
    with pytest.raises(PlanError, match="nothing left"):
        sheets.release(sheet=sheet, now=LATER)


def test_giving_a_plan_up_releases_all_it_holds(owner: Person) -> None:
    plan, kelp = framed(owner), cloth(owner, "Kelp", inches(42, 18))
    sheet = held(plan, border_role(plan), kelp)
    offcut = only_offcut(sheet)
    sheets.release_all(plan=plan, now=LATER)
    offcut.refresh_from_db()
    assert not offcut.expected
    assert not Hold.objects.live().exists()
