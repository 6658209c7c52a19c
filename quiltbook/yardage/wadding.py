"""Which pack of wadding is large enough, or how much must be cut from the roll?

Lengths in nm. Wadding is joined edge to edge and loses nothing at a join. Packs differ by maker, up to 4 in either way: the
usual ones below are those of a published list, and a person's own take their place.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import NM_PER_INCH, Length, Size
from quiltbook.yardage.finishing import BackingOption, FinishingError, backing
from quiltbook.yardage.patches import Step

MOST_JOINED = 12


@dataclass(frozen=True, slots=True)
class Pack:
    """Wadding as it is sold by the piece."""

    name: str
    size: Size


# Sizes in common use, in inches; tests/published holds a printed list of them.
USUAL_PACKS = tuple(
    Pack(name, Size(width * NM_PER_INCH, length * NM_PER_INCH))
    for name, width, length in (
        ("craft", 36, 45),
        ("crib", 45, 60),
        ("throw", 60, 60),
        ("twin", 72, 90),
        ("full", 81, 96),
        ("queen", 90, 108),
        ("king", 120, 120),
    )
)
USUAL_ROLL = 90 * NM_PER_INCH


@dataclass(frozen=True, slots=True)
class FromPacks:
    """`across` by `down` packs alike, turned a quarter where `turned`, that cover what is needed; `left` is what is cut away."""

    pack: Pack
    turned: bool
    across: int
    down: int
    left: Length
    steps: tuple[Step, ...]

    @property
    def packs(self) -> int:
        return self.across * self.down


@dataclass(frozen=True, slots=True)
class WaddingToBuy:
    """From packs, fewest first and then the least left over; and from the roll, the least length first."""

    need: Size
    packs: tuple[FromPacks, ...]
    roll: tuple[BackingOption, ...]


def to_buy(
    need: Size, *, increment: int, packs: Sequence[Pack] = USUAL_PACKS, roll_width: Length = USUAL_ROLL
) -> WaddingToBuy:
    """What covers `need` (as `finishing.wadding` gives it): every kind of pack that can, and a length of the roll.

    Raises `FinishingError`.
    """
    roll = backing(need, overage=0, cloth_width=roll_width, seam_allowance=0, increment=increment)
    ways = [way for pack in packs if (way := _covering(need, pack))]
    return WaddingToBuy(need, tuple(sorted(ways, key=lambda way: (way.packs, way.left))), roll.options)


def _covering(need: Size, pack: Pack) -> FromPacks | None:
    """The way round that takes the fewest of one kind of pack; None where it would be a patchwork of too many."""
    if pack.size.width <= 0 or pack.size.length <= 0:
        raise FinishingError("packs", "A pack must be more than 0 either way.")
    best: tuple[int, bool, int, int] | None = None
    for turned in (False, True):
        width, length = Fraction(pack.size.width), Fraction(pack.size.length)
        if turned:
            width, length = length, width
        across, down = math.ceil(Fraction(need.width) / width), math.ceil(Fraction(need.length) / length)
        if across * down <= MOST_JOINED and (best is None or across * down < best[0]):
            best = (across * down, turned, across, down)
    if best is None:
        return None
    packs, turned, across, down = best
    left = packs * Fraction(pack.size.width) * Fraction(pack.size.length) - Fraction(need.width) * Fraction(need.length)
    figures: dict[str, Length] = {
        "to reach": need.width,
        "to reach down": need.length,
        "pack width": pack.size.width,
        "pack length": pack.size.length,
    }
    counts = {"packs": packs, "across": across, "down": down}
    return FromPacks(pack, turned, across, down, left, (Step("packs of wadding", figures, counts),))
