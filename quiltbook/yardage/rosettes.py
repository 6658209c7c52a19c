"""What does a rosette of hexagons take, with so many rings round its middle one?

With k rings of hexagons of side a: 1 + 3k(k + 1) pieces, 9k² + 3k seams, 6(2k + 1) free sides, (2k + 1)·√3·a across the flats and
(3k + 2)·a across the points; proved by counting shared edges. Lengths in nm.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length
from quiltbook.yardage.patches import Refusal, Step

MOST_RINGS = 50
_ROOT3 = Fraction(math.sqrt(3))


class RosetteError(Refusal):
    """There is no such rosette."""


@dataclass(frozen=True, slots=True)
class Rosette:
    """`in_ring`: how many hexagons each ring takes, from the middle outward. `seams` and `free_sides` are one side long each."""

    in_ring: tuple[int, ...]
    seams: int
    free_sides: int
    seam_length: Length
    edge_length: Length
    across_flats: Length
    across_points: Length
    steps: tuple[Step, ...]

    @property
    def pieces(self) -> int:
        return sum(self.in_ring)


def rosette(rings: int, side: Length) -> Rosette:
    """A rosette of `rings` rings of hexagons of `side` round a middle one. Raises `RosetteError`."""
    if not 0 <= rings <= MOST_RINGS:
        raise RosetteError("rings", f"It must be from 0 to {MOST_RINGS}.")
    if side <= 0:
        raise RosetteError("side", "It must be more than 0.")
    a, seams, free = Fraction(side), 9 * rings**2 + 3 * rings, 6 * (2 * rings + 1)
    in_ring = (1, *(6 * ring for ring in range(1, rings + 1)))
    counts = {"rings": rings, "hexagons": sum(in_ring), "seams": seams, "free sides": free}
    return Rosette(
        in_ring=in_ring,
        seams=seams,
        free_sides=free,
        seam_length=seams * a,
        edge_length=free * a,
        across_flats=(2 * rings + 1) * _ROOT3 * a,
        across_points=(3 * rings + 2) * a,
        steps=(Step("rosette", {"side": a, "seams": seams * a, "edge": free * a}, counts),),
    )
