"""Polygons with arcs, kites, wedges, grain and the points of templates: do they agree with shapely and with plain geometry?"""

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quiltbook.yardage import shapes
from quiltbook.yardage.growing import grow
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.shapejson import shape
from quiltbook.yardage.shapes import ShapeError, grain, kite, polygon, ring, wedge, work_out
from tests.engine import outlines

corner = st.tuples(st.integers(-9, 9), st.integers(-9, 9)).map(lambda xy: (float(xy[0]), float(xy[1])))
rise = st.sampled_from([0.0, 0.0, 0.5, -0.5, 1.5, -1.5, 3.0])


def close(actual: float, expected: float, within: float = 1e-4) -> bool:
    return abs(actual - expected) <= within * max(1.0, abs(expected))


@st.composite
def bowed(draw: st.DrawFn) -> tuple[list[tuple[float, float]], list[float]]:
    corners = draw(st.lists(corner, min_size=3, max_size=7, unique=True))
    return corners, [draw(rise) for _ in corners]


@given(drawn=bowed())
def test_a_polygon_with_arcs_agrees_with_shapely_or_is_refused_because_it_crosses(
    drawn: tuple[list[tuple[float, float]], list[float]],
) -> None:
    corners, rises = drawn
    straight = ring(corners)
    assume(abs(straight.area) > 0.1)
    asked = straight if straight.area > 0 else ring(corners[::-1])
    bows = rises if straight.area > 0 else [*rises[-2::-1], rises[-1]]
    sampled: Any = outlines.polygon(ring([edge.start for edge in asked.edges], dict(enumerate(bows))).edges)
    try:
        outline = polygon(corners, rises)
    except ShapeError:
        inner = sampled.buffer(0)
        assert not sampled.is_valid or inner.geom_type != "Polygon" or sampled.exterior.is_ccw or _touches(sampled)
        return
    assert sampled.is_valid
    assert close(outline.area, sampled.area, 1e-3)
    assert close(outline.perimeter, sampled.length, 1e-3)
    assert all(close(a, b, 1e-3) for a, b in zip((*outline.box[0], *outline.box[1]), sampled.bounds, strict=True))


def _touches(sampled: Any) -> bool:
    """Whether a hair taken off or put on changes how the outline hangs together: an edge grazes another."""
    return any(sampled.buffer(by).geom_type != "Polygon" for by in (-0.02, 0.02)) or bool(
        sampled.buffer(0.02).interiors
    )


@given(drawn=bowed(), by=st.floats(0.05, 0.4))
def test_a_polygon_with_arcs_is_cut_large_enough_or_refused(
    drawn: tuple[list[tuple[float, float]], list[float]], by: float
) -> None:
    try:
        outline = polygon(*drawn)
        cut, trimmed = (outlines.polygon(grow(outline, by, trim=trim).edges) for trim in (False, True))
    except Refusal:
        return
    finished: Any = outlines.polygon(outline.edges)
    assert cut.buffer(2e-3).contains(finished.buffer(by, quad_segs=64))
    assert trimmed.buffer(2e-3).contains(finished.buffer(by * 0.999, quad_segs=64))
    assert cut.buffer(2e-3).contains(trimmed)


@given(long=st.floats(1, 9), more=st.floats(0.1, 5), angle=st.floats(10, 170))
def test_a_kite_has_two_long_and_two_short_sides_and_the_angle_asked_for(
    long: float, more: float, angle: float
) -> None:
    short = long * math.sin(math.radians(angle) / 2) + more
    lengths = [edge.length for edge in kite(long, short, angle).edges]
    assert all(close(a, b) for a, b in zip(lengths, [long, short, short, long], strict=True))
    tip = kite(long, short, angle).edges
    first, last = tip[0].heading(tip[0].start), tip[-1].heading(tip[-1].end)
    turn = math.degrees(math.acos(max(-1, min(1, -first[0] * last[0] - first[1] * last[1]))))
    assert close(turn, angle, 1e-3)


def test_a_kite_whose_short_sides_cannot_meet_is_refused() -> None:
    with pytest.raises(ShapeError) as refused:
        kite(4, 1, 90)
    assert refused.value.field == "short"


def test_a_wedge_may_run_to_a_point() -> None:
    assert close(wedge(4, 2, 6).area, 18)
    assert len(wedge(4, 0, 6).edges) == 3
    assert close(wedge(4, 0, 6).area, 12)


@given(angle=st.floats(20, 85), by=st.floats(0.1, 0.4))
def test_a_trimmed_tip_ends_one_allowance_beyond_the_finished_one(angle: float, by: float) -> None:
    diamond = shapes.diamond(6, angle)
    trimmed = grow(diamond, by, trim=True)
    assert len(trimmed.edges) == 6
    assert close(float(trimmed.size.length), float(diamond.size.length) + 2 * by)
    assert float(trimmed.size.width) == pytest.approx(float(grow(diamond, by).size.width))


def test_a_square_s_corners_and_a_hollow_are_never_trimmed() -> None:
    square = shapes.square(4)
    assert grow(square, 0.25, trim=True) == grow(square, 0.25)
    arrow = polygon([(0, 0), (10, 0), (10, 10), (5, 1), (0, 10)])
    assert len(grow(arrow, 0.25, trim=True).edges) == 7


def test_edges_say_how_they_lie_to_the_grain() -> None:
    assert [grain(edge) for edge in shapes.half_square_triangle(2).edges] == ["bias", "cross", "straight"]
    assert [grain(edge) for edge in shapes.quarter_square_triangle(2).edges] == ["bias", "cross", "bias"]
    assert [grain(edge) for edge in shapes.hexagon(2).edges] == ["bias", "straight", "bias"] * 2
    assert [grain(edge) for edge in shapes.circle(2).edges] == ["bias", "bias"]


@pytest.mark.parametrize(
    ("name", "sizes", "ways"),
    [
        ("square", [3.0], [("strip", 0, 1)]),
        ("half square triangle", [3.0], [("square", 1, 2), ("template", 0, 1)]),
        ("quarter square triangle", [3.0], [("square", 2, 4), ("template", 0, 1)]),
        ("hexagon", [3.0], [("strip", 0, 1), ("template", 0, 1)]),
        ("diamond", [3.0, 60.0], [("strip", 0, 1), ("template", 0, 1)]),
        ("clamshell", [3.0], [("template", 0, 1)]),
    ],
)
def test_every_shape_says_what_to_cut_it_from(name: str, sizes: list[float], ways: list[tuple[str, int, int]]) -> None:
    make, _ = shapes.SHAPES[name]
    result = work_out(make(*sizes), seam_allowance=0.25, round_up_to=1, shape=name)
    assert [(way.how, way.diagonals, way.pieces) for way in result.cut_from] == ways


def test_a_diamond_s_strip_is_as_wide_as_the_diamond_between_two_edges_and_two_allowances() -> None:
    strip = work_out(shapes.diamond(3, 60), seam_allowance=0.25, round_up_to=1, shape="diamond").cut_from[0]
    assert close(float(strip.exact.length), 3 * math.sqrt(3) / 2 + 0.5)


def test_the_verb_tells_a_polygon_with_an_arc_from_its_top_left_corner() -> None:
    size = {"points": [[5, 5], [9, 5], [9, 9], [5, 9]], "rises": [2, 0, 0, 0]}
    answer: Any = shape({"unit": "in", "shape": "polygon", "size": size, "seam_allowance": "1/4 in"})
    assert answer["finished"]["height"] == 6
    assert answer["template"]["finished"][0] == {"x": 0, "y": 2, "rise": 2}
    assert [edge["curved"] for edge in answer["edges"]] == [True, False, False, False]
    assert answer["grain"] == [{"x": 2, "y": 0}, {"x": 2, "y": 6}]


def test_as_many_rises_as_points_must_be_given() -> None:
    with pytest.raises(ShapeError) as refused:
        polygon([(0, 0), (1, 0), (1, 1)], [0, 1])
    assert refused.value.field == "rises"
