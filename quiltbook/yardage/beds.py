"""How large is the quilt for a bed, and how large are the beds?

Width = mattress + two drops; length = mattress + a drop at the foot + what the head takes (a fold over the pillow, or none).
Named mattresses differ by an inch or two centimetres; a tape measure settles it. Lengths in nm.
"""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Length, Size
from quiltbook.yardage.patches import Refusal


def _sizes(unit: int, **sizes: tuple[int, int]) -> Mapping[str, Size]:
    named = {name.replace("_", " "): Size(w * unit, length * unit) for name, (w, length) in sizes.items()}
    return MappingProxyType(named)


# Published lists of mattresses, US in inches and UK in centimetres; the cots are common practice.
MATTRESSES_US = _sizes(
    NM_PER_INCH,
    twin=(39, 75),
    twin_long=(39, 80),
    full=(54, 75),
    queen=(60, 80),
    king=(76, 80),
    california_king=(72, 84),
)
MATTRESSES_UK = _sizes(
    NM_PER_CM,
    cot=(60, 120),
    cot_bed=(70, 140),
    small_single=(75, 190),
    single=(90, 190),
    small_double=(120, 190),
    double=(135, 190),
    king=(150, 200),
    super_king=(180, 200),
)


class BedError(Refusal):
    """No quilt covers such a bed."""


def quilt_for(mattress: Size, *, drop: Length, head: Length = 0) -> Size:
    """The finished size that hangs `drop` at both sides and the foot, with `head` more at the head. Raises `BedError`."""
    for name, value in (("mattress.width", mattress.width), ("mattress.length", mattress.length)):
        if value <= 0:
            raise BedError(name, "It must be more than 0.")
    for name, value in (("drop", drop), ("head", head)):
        if value < 0:
            raise BedError(name, "It must not be negative.")
    hang = Fraction(drop)
    return Size(Fraction(mattress.width) + 2 * hang, Fraction(mattress.length) + hang + Fraction(head))
