"""Do small and curved shapes nest as closely as they can be known to, and what does bad input say?"""

import math
import time
from dataclasses import replace

import pytest

from quiltbook.measures import NM_PER_INCH as INCH
from quiltbook.yardage import nesting, shapes
from quiltbook.yardage.nesting import Nested, NestError, NestJob, NestShape, Set, check, nest, per_rectangle
from tests.engine.nestverifier import assert_sound

PETAL, HEXAGON = shapes.hexagon_petal(INCH, INCH), shapes.hexagon(INCH)
CLAMSHELL, CIRCLE = shapes.clamshell(3 * INCH), shapes.circle(2 * INCH)
SEAM = INCH // 4


def shape(
    outline: shapes.Outline = PETAL, count: int | None = 1, name: str = "it", turns: str = "any quarter"
) -> NestShape:
    return NestShape(name, outline, SEAM, count, turns)


def sound(job: NestJob) -> Nested:
    nested = nest(job)
    assert not nested.stood_in
    assert check(job, nested.placed) == []
    assert_sound(job, nested)
    return nested


def test_squares_lie_edge_to_edge() -> None:
    nested = sound(NestJob((NestShape("square", shapes.square(3 * INCH), 0, 42),), 18 * INCH, 21 * INCH))
    assert (len(nested.placed), nested.utilisation) == (42, 1)


def test_hexagons_stand_in_rows_that_interlock() -> None:
    nested = sound(NestJob((shape(HEXAGON, 75),), 18 * INCH))
    side = INCH + 2 / math.sqrt(3) * SEAM  # the cut hexagon's
    # eight and seven in turn, each row three quarters of a height below the other
    assert nested.length == pytest.approx(9 * 1.5 * side + 2 * side, abs=10)


def test_circles_sink_between_those_above() -> None:
    nested = sound(NestJob((NestShape("circle", shapes.circle(3 * INCH), 0, 13),), 15 * INCH))
    # five, four and four, as closely as circles drawn a twentieth of a millimetre too large can lie
    assert nested.length == pytest.approx((3 + 2 * 3 * math.sqrt(3) / 2) * INCH, abs=200_000)


def test_right_triangles_of_a_square_lie_as_squares() -> None:
    triangle = shapes.half_square_triangle(3 * INCH)
    nested = sound(NestJob((NestShape("triangle", triangle, 0, 24),), 12 * INCH))
    assert nested.length == pytest.approx(9 * INCH, abs=10)


def test_petals_and_hexagons_share_the_cloth() -> None:
    """Measured before the engine was written: rows of petals, hexagons after, took 33.76 in; spyrrow 33.61 in at 10 s."""
    nested = sound(NestJob((shape(PETAL, 216, "petal"), shape(HEXAGON, 36, "hexagon")), 42 * INCH))
    assert nested.length <= 31.6 * INCH
    assert nested.area_bound == pytest.approx(27.40 * INCH, rel=1e-3)


def test_a_short_last_row_is_shared_with_the_next_shape() -> None:
    apart = [nest(NestJob((shape(o, n, "it"),), 42 * INCH)).length for o, n in ((HEXAGON, 27), (CIRCLE, 24))]
    together = sound(NestJob((shape(HEXAGON, 27, "hexagon"), shape(CIRCLE, 24, "circle")), 42 * INCH))
    assert together.length < sum(apart) - INCH


@pytest.mark.parametrize("outline", [PETAL, HEXAGON, CLAMSHELL, CIRCLE])
def test_a_fat_quarter_gives_more_nested_than_rough_cut(outline: shapes.Outline) -> None:
    job = NestJob((shape(outline, None),), 18 * INCH, 21 * INCH)
    nested = sound(job)
    per_cloth = nested.rough[0].per_cloth
    assert per_cloth is not None
    assert len(nested.placed) > per_cloth
    assert per_rectangle(job.shapes[0], 18 * INCH, 21 * INCH) == len(nested.placed)


def test_a_loose_fat_quarter_is_filled_up_by_nudging(monkeypatch: pytest.MonkeyPatch) -> None:
    nudged = per_rectangle(shape(CLAMSHELL), 18 * INCH, 21 * INCH)
    monkeypatch.setattr(nesting, "loose", lambda *_: False)
    assert nudged > per_rectangle(shape(CLAMSHELL), 18 * INCH, 21 * INCH)


def test_a_small_loose_layout_is_shortened_by_nudging(monkeypatch: pytest.MonkeyPatch) -> None:
    job = NestJob((shape(CLAMSHELL, 20),), 12 * INCH)
    nudged = sound(job).length
    monkeypatch.setattr(nesting, "shortened", lambda _, laid, __: laid)
    assert nudged < 0.97 * sound(job).length


def test_a_one_way_print_turns_nothing_and_half_turns_keep_the_grain() -> None:
    lengths = [
        sound(NestJob((shape(PETAL, 60, "it", turns),), 42 * INCH)).length for turns in ("none", "half", "any quarter")
    ]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[0] > lengths[1]


def test_spacing_is_kept_between_shapes_and_not_to_the_edge() -> None:
    squares = NestShape("square", shapes.square(3 * INCH), 0, 12)
    nested = sound(NestJob((squares,), 3 * INCH * 4 + 3 * INCH // 8, spacing=INCH // 8))
    assert nested.length == 3 * 3 * INCH + 2 * INCH // 8


def test_a_fill_comes_again_on_cloth_after_cloth() -> None:
    nested = sound(NestJob((shape(PETAL, 200, "petal"), shape(HEXAGON, 36, "hexagon")), 18 * INCH, 21 * INCH, cloths=5))
    assert nested.cloths == 4
    assert nested.left == ()


def test_what_does_not_fit_is_left() -> None:
    job = NestJob((shape(shapes.circle(40 * INCH), 3, "large"), shape(PETAL, 500, "petal")), 18 * INCH, 21 * INCH)
    nested = sound(job)
    assert {one.patch: one.count for one in nested.left} == {"large": 3, "petal": 500 - len(nested.placed)}


def test_a_shared_row_may_hold_all_of_the_next_shape() -> None:
    triangle = shapes.half_square_triangle(11 * INCH // 10)
    kinds = NestShape("many", triangle, INCH // 5, 15), NestShape("one", triangle, INCH // 5, 1)
    assert len(sound(NestJob(kinds, 146 * INCH // 10, 2 * INCH)).placed) >= 10


def test_a_cloth_for_one_of_each_is_filled() -> None:
    large = shapes.circle(4 * INCH)
    nested = sound(NestJob((shape(large, 3, "a"), shape(shapes.square(4 * INCH), 1, "b")), 9 * INCH, 5 * INCH))
    assert len(nested.placed) == 2


def test_nothing_fits_and_nothing_is_asked() -> None:
    for asked in (shape(shapes.circle(40 * INCH), 3), shape(PETAL, 0)):
        nested = sound(NestJob((asked,), 18 * INCH))
        assert (nested.cloths, nested.length, nested.utilisation) == (0, 0, 0)


def test_the_same_job_gives_the_same_layout() -> None:
    job = NestJob((shape(CLAMSHELL, 50, "shell"), shape(PETAL, 9, "petal")), 18 * INCH, 21 * INCH, cloths=2)
    assert nest(job) == nest(job)


def test_ten_thousand_shapes_are_quick() -> None:
    started = time.process_time()
    nested = nest(NestJob((shape(PETAL, 8000, "petal"), shape(HEXAGON, 2000, "hexagon")), 42 * INCH))
    assert time.process_time() - started < 10  # 2.5 s were measured
    assert len(nested.placed) == 10_000


def test_plain_rows_stand_in_for_a_layout_that_fails_its_check(monkeypatch: pytest.MonkeyPatch) -> None:
    job = NestJob((shape(PETAL, 70, "petal"), shape(HEXAGON, 30, "hexagon")), 18 * INCH, 21 * INCH, cloths=3)
    monkeypatch.setattr(nesting, "check", lambda *_: ["it overlaps."])
    nested = nest(job)
    assert nested.stood_in
    assert nested.left == ()
    assert_sound(job, nested)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"x": 400_000}, "overlap"),
        ({"y": 100}, "overlap"),
        ({"x": -3 * INCH}, "sticks out"),
        ({"y": 90 * INCH}, "sticks out"),
        ({"turn": 90}, "turned"),
        ({"cloth": 2}, "no cloth"),
        ({"id": "another"}, "not asked for"),
    ],
)
def test_the_check_sees_what_cannot_be_cut(change: dict[str, object], fault: str) -> None:
    job = NestJob((NestShape("square", shapes.square(2 * INCH), 0, 6, "half"),), 6 * INCH, 4 * INCH)
    placed = [Set("square", 1, 2 * INCH * x, 2 * INCH * y, 0) for y in range(2) for x in range(3)]
    assert check(job, placed) == []
    moved = {key: getattr(placed[0], key) + by if isinstance(by, int) else by for key, by in change.items()}
    faults = check(job, [replace(placed[0], **moved), *placed[1:]])  # type: ignore[arg-type]
    assert any(fault in one for one in faults)


def test_the_check_counts() -> None:
    job = NestJob((NestShape("square", shapes.square(2 * INCH), 0, 1),), 6 * INCH)
    assert "were asked for" in check(job, [Set("square", 1, 0, 0, 0), Set("square", 1, 3 * INCH, 0, 0)])[0]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"width": 0}, "width"),
        ({"length": -1}, "length"),
        ({"width": 10**13}, "width"),
        ({"spacing": -1}, "spacing"),
        ({"cloths": 0}, "cloths"),
        ({"shapes": ()}, "shapes"),
        ({"shapes": (shape(), shape())}, "shapes"),
        ({"shapes": (shape(count=20_001),)}, "shapes"),
        ({"shapes": (shape(count=-1),)}, "shapes[0].count"),
        ({"shapes": (shape(count=None),)}, "shapes[0].count"),
        ({"shapes": (shape(turns="any"),)}, "shapes[0].turns"),
        ({"shapes": (replace(shape(), seam_allowance=math.nan),)}, "shapes[0].seam_allowance"),
        ({"round_up_to": 0}, "round_up_to"),
    ],
)
def test_a_job_that_makes_no_sense_is_refused_by_its_field(change: dict[str, object], field: str) -> None:
    with pytest.raises(NestError) as refused:
        nest(replace(NestJob((shape(),), 42 * INCH), **change))  # type: ignore[arg-type]
    assert refused.value.field == field
