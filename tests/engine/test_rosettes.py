"""Do a rosette's counts agree with hexagons that are laid out and whose shared edges are counted?"""

from collections import Counter

import pytest

from quiltbook.yardage.rosettes import RosetteError, rosette
from quiltbook.yardage.shapes import ROOT3, hexagon

SIDE = 10_000_000


def laid_out(rings: int) -> list[tuple[float, float]]:
    """The middles of the hexagons within `rings` steps of the first, in steps along two of the three directions."""
    steps = range(-rings, rings + 1)
    near = [(q, r) for q in steps for r in steps if abs(q + r) <= rings]
    return [(SIDE * ROOT3 * (q + r / 2), SIDE * 1.5 * r) for q, r in near]


@pytest.mark.parametrize("rings", range(5))
def test_a_rosette_has_the_pieces_seams_and_free_sides_of_one_laid_out(rings: int) -> None:
    pieces = [hexagon(SIDE).moved(x, y) for x, y in laid_out(rings)]
    sides = Counter(
        tuple(round((a + b) / 2 / SIDE, 6) + 0.0 for a, b in zip(edge.start, edge.end, strict=True))
        for piece in pieces
        for edge in piece.edges
    )
    found = rosette(rings, SIDE)
    assert found.pieces == len(pieces) == sum(found.in_ring)
    assert found.seams == sum(1 for shared in sides.values() if shared == 2)
    assert found.free_sides == sum(1 for shared in sides.values() if shared == 1)
    assert (found.seam_length, found.edge_length) == (found.seams * SIDE, found.free_sides * SIDE)
    boxes = [piece.box for piece in pieces]
    width = max(right for _, (right, _) in boxes) - min(left for (left, _), _ in boxes)
    height = max(bottom for _, (_, bottom) in boxes) - min(top for (_, top), _ in boxes)
    assert float(found.across_flats) == pytest.approx(width)
    assert float(found.across_points) == pytest.approx(height)


@pytest.mark.parametrize(("rings", "side", "field"), [(-1, 1, "rings"), (51, 1, "rings"), (1, 0, "side")])
def test_a_rosette_that_cannot_be_is_refused_at_its_field(rings: int, side: int, field: str) -> None:
    with pytest.raises(RosetteError) as refused:
        rosette(rings, side)
    assert refused.value.field == field
