"""At the table: ticks, the cut in one movement, offcuts as measured, undoing, and miscuts."""

import pytest

from plans.models import CuttingSheet, Miscut
from plans.queries.needs import needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table
from plans.services.at_the_table import Kept
from plans.services.errors import PlanError
from quiltbook.measures import mm2
from quiltbook.people.models import Person
from stash.models import Hold, Movement, Piece
from stash.services import cloth as stash_cloth
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import LATER, border_role, cloth, framed, give, held, laid_out, only_cloth, only_offcut


@pytest.fixture
def sheet(owner: Person) -> CuttingSheet:
    plan = framed(owner)
    return held(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 18)))


def test_cutting_ends_the_piece_and_brings_its_offcut_in_one_movement(sheet: CuttingSheet) -> None:
    source, offcut = only_cloth(sheet), only_offcut(sheet)
    movement = at_the_table.record_cut(cloth=source, measured={}, day=TODAY, now=NOW)
    source.piece.refresh_from_db()
    offcut.refresh_from_db()
    assert movement.kind == Movement.Kind.CUT
    assert not source.piece.on_shelf
    assert offcut.on_shelf
    assert offcut.place == "Shelf A"
    assert movement.patches_mm2 == sum(mm2(p["width"], p["length"]) for p in source.layout["placements"])
    assert source.piece.area_mm2 == (
        offcut.area_mm2 + movement.patches_mm2 + movement.waste_mm2 + movement.difference_mm2
    )
    assert not Hold.objects.live().exists()
    sheet.refresh_from_db()
    assert sheet.state == CuttingSheet.State.CUT


def test_an_offcut_comes_with_the_size_she_measured(sheet: CuttingSheet) -> None:
    source = only_cloth(sheet)
    row = source.offcuts.get()
    kept = {row.pk: Kept(inches(41.5, 12), "Box 2")}
    movement = at_the_table.record_cut(cloth=source, measured=kept, day=TODAY, now=NOW)
    offcut = only_offcut(sheet)
    assert offcut.size == inches(41.5, 12)
    assert offcut.place == "Box 2"
    expected = mm2(row.width, row.length)
    assert movement.difference_mm2 == pytest.approx(expected - offcut.area_mm2, abs=5)


def test_an_offcut_not_kept_is_waste(sheet: CuttingSheet) -> None:
    source = only_cloth(sheet)
    row = source.offcuts.get()
    movement = at_the_table.record_cut(cloth=source, measured={row.pk: None}, day=TODAY, now=NOW)
    offcut = only_offcut(sheet)
    assert not offcut.on_shelf
    assert not offcut.expected
    assert movement.waste_mm2 >= mm2(row.width, row.length)


def test_an_offcut_cannot_be_larger_than_its_cloth(sheet: CuttingSheet) -> None:
    source = only_cloth(sheet)
    with pytest.raises(PlanError, match="cannot be larger"):
        at_the_table.record_cut(
            cloth=source, measured={source.offcuts.get().pk: Kept(inches(42, 19), "")}, day=TODAY, now=NOW
        )
    assert not Movement.objects.filter(kind=Movement.Kind.CUT).exists()
    assert Hold.objects.live().count() == 1


def test_offcuts_and_patches_together_cannot_be_larger_than_the_cloth(sheet: CuttingSheet) -> None:
    source = only_cloth(sheet)
    with pytest.raises(PlanError, match="measure it again"):
        at_the_table.record_cut(
            cloth=source, measured={source.offcuts.get().pk: Kept(inches(42, 17), "")}, day=TODAY, now=NOW
        )
    assert Hold.objects.live().count() == 1


def test_a_cloth_is_cut_once(sheet: CuttingSheet) -> None:
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    with pytest.raises(PlanError, match="already"):
        at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)


def test_a_cloth_still_to_come_cannot_be_cut(owner: Person, sheet: CuttingSheet) -> None:
    second = framed(owner, "Second")
    waiting = held(second, border_role(second), sheet.fabric)
    with pytest.raises(PlanError, match="still to come"):
        at_the_table.record_cut(cloth=only_cloth(waiting), measured={}, day=TODAY, now=NOW)
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    at_the_table.record_cut(cloth=only_cloth(waiting), measured={}, day=TODAY, now=NOW)
    assert only_cloth(waiting).cut_movement is not None


def test_undoing_a_cut_brings_the_cloth_back_held_and_its_offcut_expected(sheet: CuttingSheet) -> None:
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    came = only_offcut(sheet)
    at_the_table.undo_cut(cloth=only_cloth(sheet), day=TODAY, now=LATER)
    source, offcut = only_cloth(sheet), only_offcut(sheet)
    assert source.piece.on_shelf
    assert Hold.objects.live().get().piece == source.piece
    assert offcut.expected
    assert offcut != came  # the size of a piece that lay on the shelf never changes
    sheet.refresh_from_db()
    assert sheet.state == CuttingSheet.State.TO_CUT
    at_the_table.record_cut(cloth=source, measured={}, day=TODAY, now=LATER)
    assert only_offcut(sheet).on_shelf


def test_a_cut_is_not_undone_while_its_offcut_is_held(owner: Person, sheet: CuttingSheet) -> None:
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    second = framed(owner, "Second")
    held(second, border_role(second), sheet.fabric)
    with pytest.raises(PlanError, match="held for Second"):
        at_the_table.undo_cut(cloth=only_cloth(sheet), day=TODAY, now=LATER)


def test_a_cut_is_not_undone_once_its_offcut_has_moved(sheet: CuttingSheet) -> None:
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    stash_cloth.move(piece=only_offcut(sheet), place="Attic", day=TODAY, now=LATER)
    with pytest.raises(PlanError, match="moved"):
        at_the_table.undo_cut(cloth=only_cloth(sheet), day=TODAY, now=LATER)


def test_a_miscut_is_needed_again_and_laid_out_on_free_cloth_only(sheet: CuttingSheet) -> None:
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    line = only_cloth(sheet).lines.get(part="end")
    at_the_table.spoil(line=line, count=1, note="slipped", now=NOW)
    work = worked(sheet.plan)
    assert isinstance(work, Worked)
    [need] = [n for n in needs(sheet.plan, work) if n.role.key == line.role]
    assert need.count == 1
    [draft] = laid_out(sheet.plan)
    assert only_cloth(draft).piece == only_offcut(sheet)


def test_no_more_can_be_spoiled_than_there_are(sheet: CuttingSheet) -> None:
    line = only_cloth(sheet).lines.first()
    assert line is not None
    with pytest.raises(PlanError, match=f"Between 1 and {line.count}"):
        at_the_table.spoil(line=line, count=line.count + 1, note="", now=NOW)
    assert not Miscut.objects.exists()


def test_a_miscut_taken_back_counts_again(sheet: CuttingSheet) -> None:
    line = only_cloth(sheet).lines.first()
    assert line is not None
    miscut = at_the_table.spoil(line=line, count=1, note="", now=NOW)
    at_the_table.take_back_miscut(miscut=miscut, now=LATER)
    work = worked(sheet.plan)
    assert isinstance(work, Worked)
    assert line.role not in {need.role.key for need in needs(sheet.plan, work)}


def test_a_draft_cannot_be_miscut(owner: Person) -> None:
    plan = framed(owner)
    fabric = cloth(owner, "Oat", inches(42, 18))
    give(plan, border_role(plan), fabric)
    [draft] = laid_out(plan)
    line = only_cloth(draft).lines.first()
    assert line is not None
    with pytest.raises(PlanError, match="Only cloth that is being cut"):
        at_the_table.spoil(line=line, count=1, note="", now=NOW)
    assert Piece.objects.free().filter(fabric=fabric).exists()
