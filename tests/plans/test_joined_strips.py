"""A strip joined of several lengths counts once, and only while every length of it stands."""

from collections import Counter

from plans.queries.needs import covered, needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table, layout, rounds, sheets, short
from plans.services.at_the_table import Kept
from plans.services.rounds import RoundSpec
from quiltbook.people.models import Person
from tests.factories import NOW, TODAY, inches
from tests.plans.quilts import INCH, border_role, cloth, framed, give, held, only_cloth


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


def test_a_strip_that_loses_a_length_to_a_smaller_offcut_is_needed_again(owner: Person) -> None:
    """Eight lengths lie on an offcut to come; on what comes only four fit, of which two are the first half of a strip."""
    kelp = cloth(owner, "Kelp", inches(30, 40))
    first, second = framed(owner, "First"), framed(owner, "Second", centre=50)
    one = held(first, border_role(first), kelp)
    give(second, border_role(second), kelp)
    [draft] = layout.lay_out_plan(plan=second, now=NOW)
    two = sheets.confirm(sheet=draft, now=NOW)
    assert sum(covered(second).held.values()) == 4

    row = only_cloth(one).offcuts.get()
    measured = {row.pk: Kept(inches(30, 10), "")}
    at_the_table.record_cut(cloth=only_cloth(one), measured=measured, day=TODAY, now=NOW)
    short.lay_short_again(owner=owner, now=NOW)
    lengths = Counter((line.label, line.whole) for line in only_cloth(two).lines.all())
    made = sum(count == 2 for count in lengths.values())
    assert made < len(lengths)  # some strip has lost one of its two lengths
    work = worked(second)
    assert isinstance(work, Worked)
    again = sum(need.count for need in needs(second, work) if need.role.key == border_role(second))
    assert again == 4 - made
