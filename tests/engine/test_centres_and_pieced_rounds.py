"""Tops with other centres than a panel, and with pieced borders: do they fill their size, and is what is drawn what is cut?"""

import math
from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box, union_all

from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import Size
from quiltbook.yardage import fields
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.topplan import Centre
from quiltbook.yardage.tops import (
    Blocks,
    PaperField,
    Pieced,
    Round,
    SewnTop,
    Top,
    TopError,
    TopPlan,
    WholeCloth,
    drawn,
    work_out,
)
from quiltbook.yardage.traditional import TRADITIONAL
from tests.engine import outlines
from tests.engine.tops import plan

few = st.integers(1, 4)
eighths = st.integers(8, 100).map(lambda n: n * IN // 8)
design = st.sampled_from(list(TRADITIONAL.values()))


@st.composite
def settings(draw: st.DrawFn) -> Setting:
    on_point, sash = draw(st.booleans()), draw(st.sampled_from([0, IN, 3 * IN // 2]))
    outer = bool(sash) and (on_point or draw(st.booleans()))
    stones = bool(sash) and (on_point or draw(st.booleans()))
    return Setting(draw(eighths), draw(few), draw(few), on_point, sash, outer, stones)


@st.composite
def centres(draw: st.DrawFn) -> Centre:
    kind = draw(st.sampled_from(["blocks", "hexagon", "diamond", "whole", "sewn"]))
    if kind == "blocks":
        return Blocks(tuple(draw(st.lists(design, min_size=1, max_size=3))), draw(settings()))
    if kind in ("hexagon", "diamond"):
        rows, columns = draw(st.integers(3, 8)), draw(st.integers(2, 8))
        return PaperField(
            kind, draw(st.sampled_from([IN, 3 * IN // 2])), rows, columns, IN // 4, draw(edge), angle=draw(angle)
        )
    return (WholeCloth if kind == "whole" else SewnTop)(draw(eighths) * 5, draw(eighths))


edge = st.sampled_from(["trimmed", "applied"])
angle = st.sampled_from([45.0, 60.0, 100.0])


@st.composite
def rounds(draw: st.DrawFn) -> Round:
    width = draw(eighths)
    if draw(st.booleans()):
        return Round(width, draw(st.sampled_from(["butted", "cornerstones", "mitred"])))
    pieced = Pieced(
        tuple(draw(st.lists(design, min_size=1, max_size=2))), draw(st.integers(20, 60)) * IN // 8,
        coping=draw(st.sampled_from(["auto", "each way"])), least_coping=draw(st.sampled_from([0, IN])),
        corner=draw(st.one_of(st.none(), design)),
    )  # fmt: skip
    return Round(width, "butted", pieced=pieced)


tops = st.builds(lambda centre, around: plan(*around, centre=centre), centres(), st.lists(rounds(), max_size=2))


def background(top: Top) -> list[Polygon]:
    on_top = top.centre.patches and top.centre.patches[-1].part == "background"
    return [outlines.polygon(piece.outline) for piece in drawn(top) if not (on_top and piece.part == "field patch")]


@given(random=tops)
def test_the_patches_fill_the_top_without_a_gap_or_an_overlap(random: TopPlan) -> None:
    top = work_out(random)
    shapes = background(top)
    assert all(shape.is_valid for shape in shapes)
    width, length = float(top.finished.width), float(top.finished.length)
    assert math.isclose(sum(shape.area for shape in shapes), width * length, rel_tol=1e-8)
    whole = union_all(shapes, grid_size=1)
    assert math.isclose(whole.area, width * length, rel_tol=1e-6)
    assert [round(side) for side in whole.bounds] == pytest.approx([0, 0, width, length], abs=1)


@given(random=tops)
def test_every_patch_drawn_is_one_that_is_cut(random: TopPlan) -> None:
    top = work_out(random)
    seen = Counter((piece.role, piece.part) for piece in drawn(top) if piece.part != "sewn top")
    cut: Counter[tuple[str, str]] = Counter()
    for patch in top.patches:
        cut[patch.role, patch.part] += patch.count
    assert seen == cut


@given(random=tops)
def test_the_patches_of_a_top_have_room_for_their_seams(random: TopPlan) -> None:
    for patch in work_out(random).patches:
        assert float(patch.cut.width) >= float(patch.finished.width) + 2 * float(patch.seam_allowance) - 1
        square = patch.per_cut > 1
        assert square or float(patch.cut.length) >= float(patch.finished.length) + 2 * float(patch.seam_allowance) - 1


@given(random=tops)
def test_the_last_size_in_the_sewing_order_is_the_finished_one(random: TopPlan) -> None:
    top = work_out(random)
    sizes = [step.size_after for step in top.sewing_order if step.size_after]
    assert sizes[-1] == top.finished
    assert sizes[:1] == [top.centre.finished]


def test_a_pieced_round_has_a_coping_that_makes_its_units_fit_both_sides() -> None:
    geese = TRADITIONAL["flying geese"]
    top = work_out(plan(Round(4 * IN, "butted", pieced=Pieced((geese,), 4 * IN)), width=41, length=45))
    result = top.rounds[0]
    assert result.pieced is not None
    fitted = result.pieced.fit
    assert (fitted.across, fitted.down, float(fitted.sides) / IN, fitted.even) == (11, 12, 1.5, True)
    assert float(top.finished.width) / IN == 41 + 3 + 8
    assert [piece.part for piece in result.pieces] == ["coping side", "coping end", "cornerstone"]
    assert sum(patch.count for patch in result.pieced.patches) == 2 * (11 + 12) * 24


def test_units_that_fit_as_they_are_need_no_coping() -> None:
    top = work_out(
        plan(Round(4 * IN, "butted", pieced=Pieced((TRADITIONAL["pinwheel"],), 4 * IN)), width=40, length=48)
    )
    pieced = top.rounds[0].pieced
    assert pieced is not None
    fitted = pieced.fit
    assert (fitted.across, fitted.down, fitted.sides, fitted.ends) == (10, 12, 0, 0)


@pytest.mark.parametrize(("coping", "width", "length"), [("none", 41, 45), ("even", 40, 45)])
def test_a_coping_that_cannot_work_is_refused_and_says_what_would(coping: str, width: int, length: int) -> None:
    asked = Pieced((TRADITIONAL["pinwheel"],), 4 * IN, coping=coping)
    with pytest.raises(TopError) as refused:
        work_out(plan(Round(4 * IN, "butted", pieced=asked), width=width, length=length))
    assert refused.value.field == "rounds[0].pieced.coping"
    assert ("even" if coping == "none" else "each way") in refused.value.problem


@given(width=eighths, length=eighths, unit=st.integers(8, 40).map(lambda n: n * IN // 8))
def test_other_lengths_of_a_unit_that_are_proposed_fit_with_one_coping(width: int, length: int, unit: int) -> None:
    top = work_out(
        plan(Round(IN, "butted", pieced=Pieced((TRADITIONAL["pinwheel"],), unit)), centre=SewnTop(width, length))
    )
    pieced = top.rounds[0].pieced
    assert pieced is not None
    for other in pieced.other:
        assert other.even
        assert other.across * other.unit == width + 2 * Fraction(other.sides)
        assert other.down * other.unit == length + 2 * Fraction(other.ends)
    assert pieced.fit.sides == 0 or pieced.fit.sides >= IN // 4
    assert pieced.fit.across * pieced.fit.unit == width + 2 * Fraction(pieced.fit.sides)


def test_blocks_that_were_measured_are_drawn_as_large_as_they_are() -> None:
    centre = Blocks((TRADITIONAL["pinwheel"],), Setting(12 * IN, 2, 2), measured=Size(23 * IN, 25 * IN))
    top = work_out(plan(Round(2 * IN, "butted"), centre=centre))
    assert top.finished == Size(27 * IN, 29 * IN)
    assert max(edge.end[0] for piece in drawn(top) if piece.round is None for edge in piece.outline) == pytest.approx(
        25 * IN
    )


def test_a_whole_cloth_wider_than_the_cloth_is_made_of_equal_panels() -> None:
    top = work_out(plan(centre=WholeCloth(60 * IN, 70 * IN)))
    (patch,) = top.patches
    assert (patch.count, float(patch.cut.width) / IN, float(patch.cut.length) / IN) == (2, 30.5, 70.5)


def test_a_top_sewn_before_takes_no_cloth() -> None:
    top = work_out(plan(Round(2 * IN, "butted"), centre=SewnTop(40 * IN, 50 * IN)))
    assert {patch.role for patch in top.patches} == {"first border"}
    assert top.finished == Size(44 * IN, 54 * IN)


def test_a_trimmed_field_keeps_a_seam_allowance_inside_the_rectangle_it_covers() -> None:
    top = work_out(plan(centre=PaperField("hexagon", IN, 10, 12, IN // 4)))
    root3 = math.sqrt(3)
    assert float(top.centre.cut.width) / IN == pytest.approx(11.5 * root3)
    assert float(top.finished.width) / IN == pytest.approx(11.5 * root3 - 0.5)
    assert float(top.finished.length) / IN == pytest.approx(14)


@pytest.mark.parametrize("shape", fields.FIELDS)
@given(rows=st.integers(1, 7), columns=st.integers(1, 7))
def test_a_field_covers_the_rectangle_it_is_trimmed_to(shape: str, rows: int, columns: int) -> None:
    one = fields.field(shape, 1.0, rows, columns)
    assert one.count == rows * columns
    whole = union_all([outlines.polygon(outline.edges).buffer(1e-7) for outline in one.outlines()])
    left, top, right, bottom = whole.bounds
    assert (left, top) == pytest.approx((0, 0), abs=1e-6)
    assert (right, bottom) == pytest.approx((float(one.size.width), float(one.size.length)), abs=1e-6)
    (x0, y0), (x1, y1) = one.inside
    if x1 > x0 and y1 > y0:
        inside = box(x0, y0, x1, y1)
        assert whole.buffer(1e-6).contains(inside)


@pytest.mark.parametrize(
    ("centre", "field"),
    [
        (PaperField("diamond", IN, 1, 1, IN // 4), "centre.rows"),
        (PaperField("star", IN, 4, 4, IN // 4), "centre.shape"),
        (PaperField("hexagon", IN, 4, 4, IN // 4, "torn"), "centre.edge"),
        (PaperField("hexagon", IN, 4, 4, IN // 4, "applied", Size(IN, IN)), "centre.background"),
        (Blocks((), Setting(IN, 2, 2)), "centre.designs"),
        (Blocks((TRADITIONAL["pinwheel"],), Setting(IN, 0, 2)), "centre.across"),
        (WholeCloth(0, IN), "centre.width"),
    ],
)
def test_a_centre_that_cannot_be_is_refused_by_name(centre: Centre, field: str) -> None:
    with pytest.raises(TopError) as refused:
        work_out(plan(centre=centre))
    assert refused.value.field == field
