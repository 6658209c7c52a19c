"""Does the geometry of shapes agree with shapely's, finished and grown by the seam allowance?"""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.shapes import (
    SHAPES,
    Outline,
    ShapeError,
    circle,
    clamshell,
    diamond,
    grow,
    hexagon,
    hexagon_petal,
    polygon,
    rectangle,
    ring,
    rough_cut,
    square,
    work_out,
)
from tests.engine import outlines

NAMES = sorted(SHAPES)
side = st.floats(0.5, 20)
seam = st.floats(0.05, 0.4)


@st.composite
def shapes(draw: st.DrawFn) -> tuple[str, Outline]:
    name = draw(st.sampled_from(NAMES))
    make, keys = SHAPES[name]
    sizes: list[float] = []
    for key in keys:
        if key == "angle":
            sizes.append(draw(st.floats(20, 160)))
            if name == "kite":
                sizes[1] += sizes[0] * math.sin(math.radians(sizes[2] / 2))
        elif key == "rise":
            sizes.append(sizes[0] * draw(st.floats(0.02, math.sqrt(3))))
        else:
            sizes.append(draw(side))
    if name == "clamshell":
        sizes = [sizes[0] + 2]
    return name, make(*sizes)


def close(actual: float, expected: float, within: float = 1e-4) -> bool:
    return abs(actual - expected) <= within * max(1.0, abs(expected))


@given(shape=shapes())
def test_area_perimeter_and_box_of_a_finished_shape_agree_with_shapely(shape: tuple[str, Outline]) -> None:
    _, outline = shape
    sampled = outlines.polygon(outline.edges)
    assert sampled.is_valid
    assert close(outline.area, sampled.area)
    assert close(outline.perimeter, sampled.length)
    (left, top), (right, bottom) = outline.box
    assert all(close(a, b) for a, b in zip((left, top, right, bottom), sampled.bounds, strict=True))


@given(shape=shapes(), by=seam)
def test_a_cut_outline_is_the_finished_one_grown_on_every_edge(shape: tuple[str, Outline], by: float) -> None:
    """Shapely's mitred buffer keeps straight corners pointed; beside a curve the true point lies outside its own."""
    name, outline = shape
    cut = outlines.polygon(grow(outline, by).edges)
    finished = outlines.polygon(outline.edges)
    rounded = finished.buffer(by, quad_segs=64)
    assert cut.is_valid
    assert cut.buffer(1e-3).contains(rounded)
    if name in (
        "circle",
        "square",
        "rectangle",
        "half square triangle",
        "quarter square triangle",
        "hexagon",
        "half hexagon",
        "diamond",
        "kite",
        "wedge",
    ):
        pointed = finished.buffer(by, join_style="mitre", mitre_limit=100)
        assert close(cut.area, pointed.area, 1e-3)
        assert all(close(a, b, 1e-3) for a, b in zip(cut.bounds, pointed.bounds, strict=True))


@given(shape=shapes(), by=seam)
def test_every_edge_of_a_cut_outline_lies_one_allowance_outside_its_own(shape: tuple[str, Outline], by: float) -> None:
    _, outline = shape
    finished = outlines.polygon(outline.edges, 2000)
    for x, y in outlines.points(grow(outline, by).edges, 8):
        away = finished.exterior.distance(Point(x, y))
        assert away >= by * 0.99


@given(shape=shapes(), by=seam)
def test_a_rough_cut_holds_the_shape_with_its_tips_blunted_to_the_allowance(
    shape: tuple[str, Outline], by: float
) -> None:
    _, outline = shape
    rough = rough_cut(outline, by)
    left, top, right, bottom = outlines.polygon(outline.edges).buffer(by).bounds
    assert rough.width >= (right - left) * (1 - 1e-4)
    assert rough.length >= (bottom - top) * (1 - 1e-4)
    assert float(rough.width) <= float(outline.size.width) + 2 * by + 1e-9


@given(size=side, by=seam)
def test_a_petal_of_any_rise_keeps_its_three_straight_sides(size: float, by: float) -> None:
    for rise in (0.1, 0.5, 1, 1.5, math.sqrt(3), 2.5):
        petal = hexagon_petal(size, size * rise)
        arc, *straight = petal.edges
        assert [close(edge.length, size) for edge in straight] == [True] * 3
        assert close(arc.chord, 2 * size)
        assert close(float(petal.size.length), size * (math.sqrt(3) / 2 + rise))
        assert grow(petal, by).area > petal.area


def test_a_clamshell_s_foot_is_closed_by_half_a_circle_of_the_allowance() -> None:
    cut = grow(clamshell(2), 0.25)
    assert close(float(cut.size.width), 2.5)
    assert close(float(cut.size.length), 2.5)
    foot = max(cut.edges, key=lambda edge: edge.end[1] + edge.start[1])
    assert close(foot.radius, 0.25)
    assert close(foot.angle, math.pi)


@given(share=st.floats(0.01, 0.98))
def test_a_clamshell_is_cut_right_with_any_allowance_below_half_its_width(share: float) -> None:
    shell = clamshell(2)
    cut = outlines.polygon(grow(shell, share).edges)
    assert cut.is_valid
    assert cut.buffer(1e-3).contains(outlines.polygon(shell.edges).buffer(share, quad_segs=64))


def test_a_circle_grows_to_a_larger_circle() -> None:
    cut = grow(circle(2), 0.25)
    assert close(cut.area, math.pi * 1.25**2)
    assert close(cut.perimeter, 2 * math.pi * 1.25)


def test_a_diamond_s_cut_side_is_longer_by_what_its_angle_asks() -> None:
    assert close(grow(diamond(3, 60), 0.25).edges[0].length, 3 + 4 * 0.25 / math.sqrt(3))
    assert close(grow(diamond(3, 45), 0.25).edges[0].length, 3 + 2 * math.sqrt(2) * 0.25)


def test_only_the_two_triangles_are_cut_from_a_square() -> None:
    for name, (make, keys) in SHAPES.items():
        result = work_out(
            make(*[60.0 if key == "angle" else 4.0 for key in keys]), seam_allowance=0.25, round_up_to=1, shape=name
        )
        assert (result.square is not None) == (name in ("half square triangle", "quarter square triangle"))


def test_a_shape_without_an_allowance_is_cut_as_it_finishes() -> None:
    assert grow(hexagon(1), 0) == hexagon(1)


def test_a_polygon_may_be_given_either_way_round_and_have_hollow_corners() -> None:
    corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 2.0), (0.0, 4.0)]
    outline = polygon(corners)
    assert close(outline.area, 12)
    assert close(polygon(corners[::-1]).area, 12)
    pointed = outlines.polygon(outline.edges).buffer(0.25, join_style="mitre", mitre_limit=100)
    assert close(grow(outline, 0.25).area, pointed.area)


@pytest.mark.parametrize(
    "corners",
    [
        [],
        [(0, 0), (1, 1)],
        [(0, 0), (1, 1), (2, 2)],
        [(0, 0), (0, 0), (1, 0), (1, 1)],
        [(0, 0), (2, 2), (2, 0), (0, 2)],
        [(0, 0), (4, 0), (2, 0), (2, 3)],
    ],
)
def test_corners_that_make_no_polygon_are_refused(corners: list[tuple[float, float]]) -> None:
    with pytest.raises(ShapeError) as refused:
        polygon(corners)
    assert refused.value.field == "points"


@pytest.mark.parametrize(
    ("outline", "by"),
    [
        (clamshell(1), 0.5),
        (ring([(0, 0), (4, 0), (4, 4), (0, 4)], {0: -1.9}), 2.5),
        (polygon([(0, 0), (4, 0), (4, 4), (2.1, 4), (2.1, 1), (2, 1), (2, 4), (0, 4)]), 1),
    ],
)
def test_an_allowance_that_swallows_a_hollow_is_refused(outline: Outline, by: float) -> None:
    with pytest.raises(ShapeError) as refused:
        grow(outline, by)
    assert refused.value.field == "seam_allowance"


@given(corners=st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), max_size=8), by=seam)
def test_any_corners_make_a_polygon_that_can_be_cut_or_are_refused(corners: list[tuple[int, int]], by: float) -> None:
    try:
        outline = polygon([(float(x), float(y)) for x, y in corners])
    except ShapeError:
        return
    sampled: Any = outlines.polygon(outline.edges)
    assert sampled.is_valid
    assert close(outline.area, sampled.area)
    try:
        cut = outlines.polygon(grow(outline, by).edges)
    except Refusal:
        return
    assert cut.is_valid
    assert cut.buffer(1e-6).contains(sampled.buffer(by))


def test_a_square_turned_keeps_its_size() -> None:
    turned = square(2).moved(5, 5, math.radians(45))
    assert close(turned.area, 4)
    assert close(float(turned.size.width), 2 * math.sqrt(2))
    assert close(rectangle(2, 3).area, 6)
