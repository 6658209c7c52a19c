"""Is the drawn top true: do its background pieces fill it exactly, and do its flowers stand where they are counted?"""

import math

import pytest
from hypothesis import given
from shapely import union_all

from quiltbook.yardage.motifs import MotifsOnRound
from quiltbook.yardage.tops import Drawn, Round, TopPlan, drawn, work_out
from tests.engine import outlines
from tests.engine.tops import IN, plan, plans

FLOWER_PARTS = ("flower centre", "petal", "petal hexagon")


def background(pieces: tuple[Drawn, ...]) -> list[Drawn]:
    return [piece for piece in pieces if piece.part not in FLOWER_PARTS]


@given(random=plans())
def test_the_background_fills_the_top_without_a_gap_or_an_overlap(random: TopPlan) -> None:
    top = work_out(random)
    shapes = [outlines.polygon(piece.outline) for piece in background(drawn(top))]
    assert all(shape.is_valid for shape in shapes)
    width, length = float(top.finished.width), float(top.finished.length)
    whole = union_all(shapes, grid_size=1)  # a nanometre
    assert math.isclose(sum(shape.area for shape in shapes), width * length, rel_tol=1e-9)
    assert math.isclose(whole.area, width * length, rel_tol=1e-7)
    assert [round(side) for side in whole.bounds] == [0, 0, round(width), round(length)]


@given(random=plans())
def test_every_piece_drawn_is_one_that_is_cut(random: TopPlan) -> None:
    top = work_out(random)
    counts: dict[tuple[str, str], int] = {}
    for piece in drawn(top):
        counts[piece.role, piece.part] = counts.get((piece.role, piece.part), 0) + 1
    assert counts == {(patch.role, patch.part): patch.count for patch in top.patches if patch.count}


@given(random=plans())
def test_a_drawn_piece_is_as_large_as_it_finishes(random: TopPlan) -> None:
    top = work_out(random)
    sizes = {(patch.role, patch.part): patch.finished for patch in top.patches}
    for piece in background(drawn(top))[1:]:
        left, upper, right, lower = outlines.polygon(piece.outline).bounds
        size = sizes[piece.role, piece.part]
        assert math.isclose(right - left, float(size.width), rel_tol=1e-9, abs_tol=1)
        assert math.isclose(lower - upper, float(size.length), rel_tol=1e-9, abs_tol=1)


@pytest.mark.parametrize("name", ["rosette", "plain"])
def test_flowers_that_fit_lie_inside_their_border_apart_and_upright(name: str) -> None:
    on = MotifsOnRound(name, left=2, right=2, top=3, bottom=3)
    top = work_out(plan(Round(2 * IN, "butted"), Round(7 * IN, "mitred", motifs=on)))
    pieces = drawn(top)
    motifs = top.rounds[1].motifs
    assert motifs is not None
    assert motifs.fits
    border = union_all([outlines.polygon(piece.outline) for piece in pieces if piece.role == "second border"]).buffer(
        1e-3 * IN
    )
    flowers = [outlines.polygon(piece.outline) for piece in pieces if piece.part in FLOWER_PARTS]
    assert len(flowers) == 70
    assert all(border.contains(flower) for flower in flowers)
    assert math.isclose(union_all(flowers, grid_size=1).area, sum(flower.area for flower in flowers), rel_tol=1e-4)
    for piece in pieces:
        if piece.part == "flower centre":
            highest = min(edge.start[1] for edge in piece.outline)
            assert sum(math.isclose(edge.start[1], highest, abs_tol=1) for edge in piece.outline) == 1


def test_flowers_stand_where_the_spacing_says() -> None:
    top = work_out(plan(Round(7 * IN, "cornerstones", motifs=MotifsOnRound("plain", left=2, top=3, right=1))))
    motifs = top.rounds[0].motifs
    assert motifs is not None
    centres = [outlines.polygon(piece.outline).centroid for piece in drawn(top) if piece.part == "flower centre"]
    expected = [
        (3.5 * IN, 7 * IN + float(motifs.sides[0].spacing.centres[0])),
        (3.5 * IN, 7 * IN + float(motifs.sides[0].spacing.centres[1])),
        (34.5 * IN, 16 * IN),
        *((7 * IN + float(centre), 3.5 * IN) for centre in motifs.sides[2].spacing.centres),
    ]
    assert [side.side for side in motifs.sides] == ["left", "right", "top"]
    for point, (x, y) in zip(centres, expected, strict=True):
        assert abs(point.x - x) < IN / 1000
        assert abs(point.y - y) < IN / 1000
