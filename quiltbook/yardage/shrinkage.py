"""How much does cloth change in the wash, and how much must be bought so that enough of it is left?

By ISO 5077 the dimensional change is (after - before) / before, in per cent, and shrinkage is negative. A share p lost in the wash
leaves x·(1 - p) of x, so x = needed / (1 - p); each direction has its own p. Lengths in nm.
"""

from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size
from quiltbook.yardage.patches import Refusal, Step

MOST = Fraction(1, 2)


class ShrinkageError(Refusal):
    """Cloth does not behave so."""


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """The share lost across the width and along the length: 1/20 is five per cent. Negative where cloth grows."""

    width: Fraction
    length: Fraction

    def __post_init__(self) -> None:
        for name, share in (("width", self.width), ("length", self.length)):
            if not -MOST <= share <= MOST:
                raise ShrinkageError(f"shrinkage.{name}", "It must be between -50 and 50 per cent.")


@dataclass(frozen=True, slots=True)
class BeforeWashing:
    """The `size` that leaves what is needed, and how it came about."""

    size: Size
    steps: tuple[Step, ...]


def dimensional_change(before: Length, after: Length) -> Fraction:
    """Per cent, minus for shrinkage (ISO 5077). Raises `ShrinkageError`."""
    if before <= 0 or after <= 0:
        raise ShrinkageError("before" if before <= 0 else "after", "It must be more than 0.")
    return (Fraction(after) - Fraction(before)) / Fraction(before) * 100


def measured(before: Size, after: Size) -> Shrinkage:
    """The shrinkage of a swatch measured before its wash and after it."""
    width, length = (
        -dimensional_change(b, a) / 100 for b, a in ((before.width, after.width), (before.length, after.length))
    )
    return Shrinkage(width, length)


def before_washing(needed: Size, shrinkage: Shrinkage) -> BeforeWashing:
    """What to buy or cut so that `needed` is left after the wash."""
    size = Size(Fraction(needed.width) / (1 - shrinkage.width), Fraction(needed.length) / (1 - shrinkage.length))
    figures: dict[str, Length] = {
        "needed width": needed.width,
        "needed length": needed.length,
        "width": size.width,
        "length": size.length,
    }
    return BeforeWashing(size, (Step("before washing", figures),))


def after_washing(size: Size, shrinkage: Shrinkage) -> Size:
    """What is left of a piece of cloth."""
    return Size(Fraction(size.width) * (1 - shrinkage.width), Fraction(size.length) * (1 - shrinkage.length))
