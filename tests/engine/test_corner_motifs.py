"""Motifs in the corners of a border, and how far motifs keep from the seams."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import union_all

from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.yardage.motifs import MotifsOnRound, spacing
from quiltbook.yardage.tops import Round, drawn, work_out
from tests.engine import outlines
from tests.engine.tops import plan

ROUND = st.tuples(st.sampled_from(["butted", "cornerstones", "mitred"]), st.sampled_from(["sides", "ends"]))


@given(kind=ROUND, many=st.integers(0, 3))
def test_flowers_in_the_corners_keep_clear_of_those_on_the_sides_and_of_all_seams(
    kind: tuple[str, str], many: int
) -> None:
    corners, first = kind
    on = MotifsOnRound("rosette", left=2, right=2, top=many, bottom=many, corners=True)
    top = work_out(plan(Round(8 * IN, corners, first, motifs=on)))
    motifs = top.rounds[0].motifs
    assert motifs is not None
    assert motifs.fits
    assert motifs.flowers == 4 + 4 + 2 * many
    shapes = [outlines.polygon(piece.outline) for piece in drawn(top) if piece.part in ("flower centre", "petal")]
    assert union_all(shapes, grid_size=1).area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-4)
    inner = outlines.polygon(next(piece for piece in drawn(top) if piece.part == "panel").outline)
    assert all(shape.distance(inner) > 0 for shape in shapes)
    assert sum(patch.count for patch in top.patches if patch.part == "petal") == 6 * motifs.flowers


def test_a_corner_s_motif_is_marked_from_both_raw_edges() -> None:
    on = MotifsOnRound("rosette", corners=True)
    motifs = work_out(plan(Round(8 * IN, "cornerstones", motifs=on))).rounds[0].motifs
    assert motifs is not None
    assert motifs.corners is not None
    assert motifs.corners.from_raw_edge == 4 * IN + IN // 4


def test_a_corner_too_small_for_its_motif_does_not_fit() -> None:
    motifs = (
        work_out(plan(Round(5 * IN, "cornerstones", motifs=MotifsOnRound("rosette", corners=True)))).rounds[0].motifs
    )
    assert motifs is not None
    assert not motifs.fits


def test_on_a_strip_that_runs_through_the_corners_motifs_are_marked_from_its_own_raw_end() -> None:
    on = MotifsOnRound("rosette", top=1, left=1, corners=True)
    motifs = work_out(plan(Round(8 * IN, "butted", "sides", motifs=on), width=24, length=18)).rounds[0].motifs
    assert motifs is not None
    left, top = motifs.sides
    assert float(left.spacing.from_raw_edge[0]) == 9 * IN + IN // 4
    assert float(top.spacing.from_raw_edge[0]) == (8 + 12) * IN + IN // 4


def test_spacing_tells_the_distance_to_the_neighbour_and_to_the_seam() -> None:
    placed = spacing(60 * IN, 4 * IN, count=7, rule="even")
    assert set(placed.from_neighbour) == {8 * IN}
    assert placed.to_end == 4 * IN
    assert spacing(10 * IN, 4 * IN, count=3, rule="cells").fits is False
    over = spacing(10 * IN, 4 * IN, count=3, rule="cells").to_end
    assert over is not None
    assert over < 0
