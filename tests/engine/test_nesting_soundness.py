"""Is every nested layout one that can be cut, and never longer than the rectangles round the shapes, whatever is asked?"""

import math

import numpy as np
import shapely
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from quiltbook.measures import NM_PER_INCH as INCH
from quiltbook.yardage import shapes
from quiltbook.yardage.clearances import below, beside, form, polygon_round
from quiltbook.yardage.growing import ShapeError, grow
from quiltbook.yardage.nesting import NestJob, NestShape, nest
from tests.engine.nestverifier import assert_sound
from tests.engine.outlines import polygon

TENTH = INCH // 10
OUTLINES = st.sampled_from(
    [
        lambda n: shapes.square(n),
        lambda n: shapes.rectangle(n, n * 1.7),
        lambda n: shapes.half_square_triangle(n),
        lambda n: shapes.quarter_square_triangle(2 * n),
        lambda n: shapes.hexagon(n),
        lambda n: shapes.half_hexagon(n),
        lambda n: shapes.hexagon_petal(n, n),
        lambda n: shapes.hexagon_petal(n, n * 1.7),
        lambda n: shapes.diamond(n, 60),
        lambda n: shapes.diamond(n, 45),
        lambda n: shapes.kite(2 * n, n, 50),
        lambda n: shapes.wedge(n, n / 4, 2 * n),
        lambda n: shapes.clamshell(2 * n),
        lambda n: shapes.circle(2 * n),
        # an L, a leaf, a crescent, and a hook into which things could be pushed from one side only
        lambda n: shapes.polygon([(0, 0), (n, 0), (n, n), (2 * n, n), (2 * n, 2 * n), (0, 2 * n)]),
        lambda n: shapes.polygon([(0, 0), (2 * n, 0)], [0.5 * n, 0.5 * n]),
        lambda n: shapes.polygon([(0, 0), (2 * n, 0)], [1.5 * n, -0.5 * n]),
        lambda n: shapes.polygon(
            [
                *((0, 0), (3 * n, 0), (3 * n, 3 * n), (n, 3 * n), (n, 1.8 * n), (1.5 * n, 1.8 * n)),
                *((1.5 * n, 2.4 * n), (2.4 * n, 2.4 * n), (2.4 * n, 0.6 * n), (0, 0.6 * n)),
            ]
        ),
    ]
)
SHAPES = st.builds(
    lambda make, size, seam, count, turns: NestShape("", make(float(size * TENTH)), seam * TENTH, count, turns),
    OUTLINES,
    st.integers(6, 25),
    st.sampled_from([0, 1, 2]),
    st.integers(1, 40),
    st.sampled_from(["any quarter", "half", "none"]),
)


@st.composite
def jobs(draw: st.DrawFn) -> NestJob:
    kinds = [
        NestShape(f"kind {n}", one.finished, one.seam_allowance, one.count, one.turns)
        for n, one in enumerate(draw(st.lists(SHAPES, min_size=1, max_size=3)))
    ]
    length = draw(st.none() | st.integers(20, 220))
    return NestJob(
        tuple(kinds),
        draw(st.integers(20, 440)) * TENTH,
        length and length * TENTH,
        cloths=draw(st.integers(1, 3)) if length else 1,
        spacing=draw(st.sampled_from([0, 0, TENTH // 2, TENTH])),
    )


@settings(max_examples=15)
@given(jobs())
def test_every_layout_can_be_cut_and_does_not_stand_in(job: NestJob) -> None:
    try:
        nested = nest(job)
    except ShapeError:
        reject()
    assert not nested.stood_in
    assert_sound(job, nested)
    if job.length is None and not job.spacing:
        assert nested.length <= nested.boxes.length + 1
        assert nested.length >= math.floor(nested.area_bound) or not nested.placed


@given(OUTLINES, OUTLINES, st.integers(-30, 30), st.integers(0, 3), st.integers(0, 3))
def test_forms_let_down_or_pushed_up_touch_and_do_not_overlap(
    first: object, second: object, along: int, quarter: int, other: int
) -> None:
    """A second opinion by shapely: clear at the distance found, and for shapes without hollows not clear a hair nearer."""
    a, b = (
        form(n, 0, polygon_round(make(float(INCH)).moved(0, 0, math.pi / 2 * turn)))  # type: ignore[operator]
        for n, make, turn in ((0, first, quarter), (1, second, other))
    )
    still, moving = Polygon(a.points), Polygon(b.points)
    for apart, x, y in ((below, 0.0, 1.0), (beside, 1.0, 0.0)):
        moved = along * TENTH
        far = float(apart(a, b, np.array([float(moved)]))[0])
        if far < -1e17:
            continue
        there = affinity.translate(moving, moved * y + far * x, moved * x + far * y)
        assert shapely.intersection(still, there).area < 10 * still.length
        nearer = affinity.translate(there, -TENTH * x, -TENTH * y)
        if still.equals(still.convex_hull) and moving.equals(moving.convex_hull):
            assert shapely.intersection(still, nearer).area > 0


@given(OUTLINES, st.integers(0, 3))
def test_a_form_holds_its_outline_and_hardly_more(make: object, quarter: int) -> None:
    outline = grow(make(float(INCH)), TENTH).moved(0, 0, math.pi / 2 * quarter)  # type: ignore[operator]
    drawn, true = Polygon(polygon_round(outline)), polygon(outline.edges, 2000)
    assert true.difference(drawn).area <= 10 * true.length
    assert drawn.difference(true.buffer(60_000)).area <= 10 * true.length
