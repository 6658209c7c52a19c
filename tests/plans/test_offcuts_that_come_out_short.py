"""An offcut that measures smaller than expected marks the waiting sheet short, and it is laid out again, down the chain."""

from plans.models import CuttingSheet
from plans.queries.needs import needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table, sheets, short
from plans.services.at_the_table import Kept
from quiltbook.people.models import Person
from quiltbook.yardage.cutting import CuttingJob, Layout
from stash.models import Hold, Piece
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import LATER, border_role, cloth, framed, held, only_cloth, only_offcut
from tests.plans.simple_engine import lay_out


def _chain(owner: Person) -> tuple[CuttingSheet, CuttingSheet, CuttingSheet]:
    """Three quilts, each on the offcut of the one before."""
    kelp = cloth(owner, "Kelp", inches(42, 36))
    plans = [framed(owner, name) for name in ("First", "Second", "Third")]
    one, two, three = (held(plan, border_role(plan), kelp) for plan in plans)
    assert only_cloth(two).piece == only_offcut(one)
    assert only_cloth(three).piece == only_offcut(two)
    return one, two, three


def _cut_with_offcut(sheet: CuttingSheet, width: float, length: float) -> None:
    row = only_cloth(sheet).offcuts.get()
    kept = {row.pk: Kept(inches(width, length), "")}
    at_the_table.record_cut(cloth=only_cloth(sheet), measured=kept, day=TODAY, now=NOW)


def test_a_smaller_offcut_marks_the_waiting_sheet_short_at_once(owner: Person) -> None:
    one, two, three = _chain(owner)
    _cut_with_offcut(one, 42, 20)
    two.refresh_from_db()
    three.refresh_from_db()
    assert two.short
    assert not three.short


def test_an_offcut_as_large_as_expected_disturbs_nobody(owner: Person) -> None:
    one, two, _ = _chain(owner)
    size = only_offcut(one).size
    row = only_cloth(one).offcuts.get()
    at_the_table.record_cut(cloth=only_cloth(one), measured={row.pk: Kept(size, "")}, day=TODAY, now=NOW)
    two.refresh_from_db()
    assert not two.short
    assert short.lay_short_again(owner=owner, now=LATER, lay_out=lay_out) == []


def test_a_short_sheet_is_laid_out_again_on_what_came_and_its_own_offcut_shrinks(owner: Person) -> None:
    one, two, three = _chain(owner)
    _cut_with_offcut(one, 42, 20)
    changed = short.lay_short_again(owner=owner, now=LATER, lay_out=lay_out)
    assert two in changed
    again = only_cloth(two)
    assert (again.layout["width"], again.layout["length"]) == (again.piece.width, again.piece.length)
    assert sum(line.count for line in again.lines.all()) == 4
    assert only_offcut(two).length == inches(1, 20).length - max(
        p["y"] + p["length"] for p in again.layout["placements"]
    )
    three.refresh_from_db()
    assert three.short  # what it waited for shrank too


def test_patches_that_no_longer_fit_are_needed_again(owner: Person) -> None:
    one, two, _ = _chain(owner)
    _cut_with_offcut(one, 16, 3)
    short.lay_short_again(owner=owner, now=LATER, lay_out=lay_out)
    work = worked(two.plan)
    assert isinstance(work, Worked)
    again = sum(need.count for need in needs(two.plan, work) if need.role.key == border_role(two.plan))
    assert again == 4 - sum(line.count for line in only_cloth(two).lines.all())
    assert again > 0


def test_a_waiting_sheet_whose_offcut_is_thrown_away_lets_it_go(owner: Person) -> None:
    one, two, three = _chain(owner)
    row = only_cloth(one).offcuts.get()
    at_the_table.record_cut(cloth=only_cloth(one), measured={row.pk: None}, day=TODAY, now=NOW)
    short.lay_short_again(owner=owner, now=LATER, lay_out=lay_out)
    two.refresh_from_db()
    three.refresh_from_db()
    assert two.state == three.state == CuttingSheet.State.RELEASED
    assert not Hold.objects.live().exists()
    assert not Piece.objects.expected().exists()


def test_a_cloth_released_while_it_was_laid_out_again_stays_released(owner: Person) -> None:
    one, two, three = _chain(owner)
    _cut_with_offcut(one, 42, 20)

    def meanwhile(job: CuttingJob) -> Layout:
        for sheet in (three, two):  # as another window might, while the engine is at it
            if CuttingSheet.objects.filter(pk=sheet.pk, state=CuttingSheet.State.TO_CUT).exists():
                sheets.release(sheet=sheet, now=LATER)
        return lay_out(job)

    before = only_cloth(two).layout
    short.lay_short_again(owner=owner, now=LATER, lay_out=meanwhile)
    two.refresh_from_db()
    assert two.state == CuttingSheet.State.RELEASED
    assert only_cloth(two).layout == before
    assert not Hold.objects.live().exists()
