"""A printed panel is trimmed round its middle, on the smallest piece that holds it."""

from plans.services import layout, plans
from plans.services.plans import Centre
from quiltbook.measures import Size
from quiltbook.people.models import Person
from tests.factories import NOW, inches
from tests.plans.quilts import INCH, cloth, give, only_cloth

PRINTED = Centre(width=24 * INCH, length=18 * INCH, printed=Size(25 * INCH, 19 * INCH), printed_seam=INCH // 2)


def test_the_picture_stays_in_the_middle_and_four_cuts_trim_it(owner: Person) -> None:
    plan = plans.start(owner=owner, name="Panel", centre=PRINTED, now=NOW)
    give(plan, "panel", cloth(owner, "Heron", inches(26, 20), inches(30, 30)))
    [draft] = layout.lay_out_plan(plan=plan, now=NOW)
    found = only_cloth(draft)
    assert found.piece.size == inches(26, 20)
    [placed] = found.layout["placements"]
    left, top = placed["x"], placed["y"]
    assert (left, top) == (3 * INCH // 4, 3 * INCH // 4)
    assert (placed["width"], placed["length"]) == (49 * INCH // 2, 37 * INCH // 2)
    assert left * 2 + placed["width"] == 26 * INCH
    assert [(cut["direction"], cut["at"]) for cut in found.layout["cuts"]] == [
        ("across", top),
        ("across", top + placed["length"]),
        ("along", left),
        ("along", left + placed["width"]),
    ]
    assert found.layout["offcuts"] == []


def test_a_panel_too_small_for_the_quilt_is_short(owner: Person) -> None:
    plan = plans.start(owner=owner, name="Panel", centre=PRINTED, now=NOW)
    give(plan, "panel", cloth(owner, "Heron", inches(24, 18)))
    [draft] = layout.lay_out_plan(plan=plan, now=NOW)
    assert [row["count"] for row in draft.uncut] == [1]


def test_other_parts_may_be_cut_from_the_same_fabric_but_not_from_the_panels_piece(owner: Person) -> None:
    plan = plans.start(owner=owner, name="Panel", centre=PRINTED, now=NOW)
    heron = cloth(owner, "Heron", inches(26, 20), inches(42, 36))
    give(plan, "panel", heron)
    give(plan, "binding", heron)
    [draft] = layout.lay_out_plan(plan=plan, now=NOW)
    assert draft.uncut == []
    by_piece = {(c.piece.width, c.piece.length): {line.role for line in c.lines.all()} for c in draft.cloths.all()}
    assert by_piece == {(26 * INCH, 20 * INCH): {"panel"}, (42 * INCH, 36 * INCH): {"binding"}}
