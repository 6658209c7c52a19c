"""How much thread does a length of sewing take, by the stitch, and what does a spool hold?

A stitch of length p through thickness T takes, of all its threads, n·p + 2T: n is 2 for a lockstitch, 3 for a chainstitch or back
stitch, 1 for a running stitch; an oversewn one is a turn of a helix, √(p² + (2(b + T))²), b its bite. Lengths in nm.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from quiltbook.measures import NM_PER_INCH, NM_PER_METRE, Length, round_up
from quiltbook.yardage.patches import Refusal, Step

# Lengths of thread laid along each stitch; the formula of lockstitch and chainstitch is printed by A. K. Das, 2015.
_ALONG = MappingProxyType({"lockstitch": 2, "chainstitch": 3, "running stitch": 1, "back stitch": 3})
OVERSEWN = "oversewn stitch"
KINDS = (*_ALONG, OVERSEWN)

# Thread to the length of a seam by the stitch's number in ISO 4915: a table credited to Carr & Latham, "The Technology of
# Clothing Manufacture".
RATIOS: Mapping[int, Fraction] = MappingProxyType(
    {
        101: Fraction(4),
        301: Fraction(5, 2),
        304: Fraction(7),
        401: Fraction(11, 2),
        504: Fraction(14),
        512: Fraction(18),
        516: Fraction(20),
        602: Fraction(25),
        605: Fraction(28),
        606: Fraction(32),
    }
)
# Common practice, no single source.
USUAL_WASTE = Fraction(15)
USUAL_NEEDLEFUL = 18 * NM_PER_INCH
SPOOLS = tuple(metres * NM_PER_METRE for metres in (100, 200, 500, 1000))


class ThreadError(Refusal):
    """Thread cannot be reckoned from that."""


@dataclass(frozen=True, slots=True)
class Stitch:
    """How a line is sewn: one stitch's `length`, what lies between its two faces, and the bite of an oversewn one."""

    kind: str
    length: Length
    thickness: Length
    bite: Length = 0

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ThreadError("kind", f"It must be one of: {', '.join(KINDS)}.")
        for name, value in (("length", self.length), ("thickness", self.thickness), ("bite", self.bite)):
            if value < 0 or (name == "length" and not value):
                raise ThreadError(name, "It must be more than 0." if name == "length" else "It must not be negative.")

    @property
    def thread(self) -> Fraction:
        """What one stitch takes."""
        pitch, through = Fraction(self.length), Fraction(self.thickness)
        if self.kind == OVERSEWN:
            return Fraction(math.hypot(pitch, 2 * (Fraction(self.bite) + through)))
        return _ALONG[self.kind] * pitch + 2 * through

    @property
    def ratio(self) -> Fraction:
        """Thread to the length sewn."""
        return self.thread / Fraction(self.length)

    def times(self, line: Length) -> int:
        """How many stitches a line takes."""
        return round_up(Fraction(line) / Fraction(self.length), 1)


@dataclass(frozen=True, slots=True)
class Thread:
    """Thread for a line: `length` in it, `with_waste` for tails and starts, and the `spools` that hold so much."""

    length: Length
    with_waste: Length
    spools: int
    steps: tuple[Step, ...]


def thread(
    line: Length,
    ratios: Sequence[Length],
    *,
    waste: Length = USUAL_WASTE,
    spool: Length = SPOOLS[0],
    what: str = "line",
) -> Thread:
    """For a `line` sewn with threads that each take `ratios` times its length (a lockstitch as one ratio, or its two threads).

    `waste` in per cent; `spool`: the length on one. `what` names the line in the steps. Raises `ThreadError`.
    """
    if line < 0:
        raise ThreadError("line", "It must not be negative.")
    if any(ratio <= 0 for ratio in ratios):
        raise ThreadError("ratio", "It must be more than 0.")
    if not 0 <= waste <= 100:
        raise ThreadError("waste", "It must be from 0 to 100 per cent.")
    if spool <= 0:
        raise ThreadError("spool", "It must be more than 0.")
    ratio = sum((Fraction(each) for each in ratios), Fraction(0))
    length = Fraction(line) * ratio
    with_waste = length * (1 + Fraction(waste) / 100)
    spools = round_up(with_waste / Fraction(spool), 1)
    figures: dict[str, Length] = {
        what: line,
        "thread to the metre": ratio * NM_PER_METRE,
        "thread": length,
        "with waste": with_waste,
        "spool": spool,
    }
    return Thread(length, with_waste, spools, (Step("thread", figures, {"spools": spools}),))


def needlefuls(length: Length, working: Length = USUAL_NEEDLEFUL) -> int:
    """How many times a needle is threaded with a `working` length to use up so much."""
    if working <= 0:
        raise ThreadError("working", "It must be more than 0.")
    return round_up(Fraction(length) / Fraction(working), 1)


def tex_of_cotton_count(count: Length) -> Fraction:
    """Grams to 1000 m, from the English cotton count: tex · Ne = 590.5. Raises `ThreadError`."""
    if count <= 0:
        raise ThreadError("count", "It must be more than 0.")
    return Fraction(5905, 10) / Fraction(count)


def denier_of_tex(tex: Length) -> Fraction:
    """Grams to 9000 m: nine times those to 1000 m (ISO 1144)."""
    return 9 * Fraction(tex)


def length_on_spool(grams: Length, tex: Length) -> Fraction:
    """What a net mass of thread of that fineness is long: 1000 m · g / tex (ISO 1144). Raises `ThreadError`."""
    if grams <= 0 or tex <= 0:
        raise ThreadError("grams" if grams <= 0 else "tex", "It must be more than 0.")
    return 1000 * NM_PER_METRE * Fraction(grams) / Fraction(tex)
