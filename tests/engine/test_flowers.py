"""Is a pieced flower made of pieces that meet along their edges, and as large as it is said to be?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import union_all
from shapely.geometry import Polygon

from quiltbook.yardage.motifs import Flower, Motif, MotifError, flower, flower_patches
from tests.engine import outlines

ROOT3 = math.sqrt(3)


def pieces(one: Flower) -> list[Polygon]:
    return [outlines.polygon(piece.edges) for piece in (one.centre, *one.outer)]


@given(side=st.floats(0.3, 4), rise=st.one_of(st.none(), st.floats(0.05, ROOT3)))
def test_the_pieces_meet_without_overlap_and_the_box_is_the_flower_s(side: float, rise: float | None) -> None:
    one = flower(Motif("flower", side, None if rise is None else side * rise, 0))
    shapes = pieces(one)
    whole = union_all(shapes, grid_size=1e-9)
    assert whole.geom_type == "Polygon"
    assert math.isclose(whole.area, sum(shape.area for shape in shapes), rel_tol=1e-6)
    left, top, right, bottom = whole.bounds
    assert math.isclose(float(one.size.width), right - left, rel_tol=1e-4)
    assert math.isclose(float(one.size.length), bottom - top, rel_tol=1e-4)


@given(side=st.floats(0.3, 4), rise=st.one_of(st.none(), st.floats(0.05, 1.7)))
def test_seams_and_the_outer_edge_are_as_long_as_they_measure(side: float, rise: float | None) -> None:
    one = flower(Motif("flower", side, None if rise is None else side * rise, 0))
    around = sum(piece.perimeter for piece in (one.centre, *one.outer))
    assert math.isclose(one.edge_length + 2 * one.seam_length, around, rel_tol=1e-9)
    if rise is None or rise < 1.6:
        whole = union_all([shape.buffer(1e-9) for shape in pieces(one)])
        assert math.isclose(whole.exterior.length, one.edge_length, rel_tol=1e-3)


@pytest.mark.parametrize(
    ("motif", "field"),
    [
        (Motif("flower", 1, 1.8, 0), "petal_rise"),
        (Motif("flower", 1, 0, 0), "petal_rise"),
        (Motif("flower", 0, None, 0), "side"),
        (Motif("flower", 1, None, -1), "side"),
        (Motif("flower", 1, None, 0, kind="star"), "kind"),
    ],
)
def test_a_motif_that_makes_no_flower_is_refused(motif: Motif, field: str) -> None:
    with pytest.raises(MotifError) as refused:
        flower(motif)
    assert refused.value.field == field


def test_no_flowers_need_no_patches() -> None:
    assert (
        flower_patches(Motif("flower", 1, None, 0), flowers=0, role="first border", round_index=0, round_up_to=1) == ()
    )
