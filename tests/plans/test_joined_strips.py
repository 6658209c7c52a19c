"""A strip joined of several lengths counts once, and only while every length of it stands."""

from plans.queries.needs import covered, needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table, layout, rounds, sheets
from plans.services.rounds import RoundSpec
from quiltbook.people.models import Person
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import INCH, border_role, cloth, framed, give


def test_a_length_given_back_makes_the_whole_strip_needed_again(owner: Person) -> None:
    plan = framed(owner, centre=50)
    rounds.change(row=plan.rounds.get(), spec=RoundSpec(width=2 * INCH), now=NOW)
    role = border_role(plan)
    give(plan, role, cloth(owner, "Strips", *[inches(42, 2.5)] * 8))
    [draft] = layout.lay_out_plan(plan=plan, now=NOW)
    assert draft.uncut == []
    sheet = sheets.confirm(sheet=draft, now=NOW)
    work = worked(plan)
    assert isinstance(work, Worked)
    assert needs(plan, work)[0].role.key != role  # the border is covered; backing and binding are not allotted
    assert sum(count for key, count in covered(plan).held.items() if key[0] == role) == 4

    found = next(c for c in sheet.cloths.all() if c.lines.filter(whole__isnull=False).exists())
    at_the_table.record_cut(cloth=found, measured={}, day=TODAY, now=NOW)
    assert not any(key[0] == role for key in +covered(plan).cut)  # a half-cut strip is not a cut strip
    sheets.release(sheet=sheet, now=NOW)
    again = sum(need.count for need in needs(plan, work) if need.role.key == role)
    assert again == 4
