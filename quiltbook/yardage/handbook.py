"""What would the strip arithmetic of the handbooks use? Strips of each size across the width, each size on its own.

It is the quick answer, and the yardstick that every layout is held against. Lengths are whole nm. Formula (common practice of the
trade): patches a strip = whole times the patch goes across the width; strips = patches / patches a strip, rounded up.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size


@dataclass(frozen=True, slots=True)
class HandbookLine:
    """ "`strips` strips of `strip`: `per_strip` patches a strip, `needed` needed."

    `across` is the patch's side along the strip. A patch longer than the cloth is wide takes `lengths` of a strip each, joined. Of
    fussy cuts, strip and across are those of the print's repeat, and `begin` is what may go before the first whole motif.
    """

    patch: str
    needed: int
    strip: int
    across: int
    per_strip: int
    strips: int
    lengths: int
    begin: int = 0

    @property
    def length(self) -> int:
        """Of cloth."""
        return self.strips * self.strip + self.begin


@dataclass(frozen=True, slots=True)
class Handbook:
    """The arithmetic on cloth of one `width`: `length` of it in all. `too_wide` names the patches that do not go across it."""

    width: int
    length: int
    lines: tuple[HandbookLine, ...]
    too_wide: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Motifs:
    """How fussy cuts come from a print: `per_strip` in each strip of repeats, each repeat `across` by `strip`, and `begin` once."""

    per_strip: int
    across: int
    strip: int
    begin: int


@dataclass(frozen=True, slots=True)
class Sized:
    """One size of patch: `loss` is what each join takes where it may be made of several lengths, else None, and none is below `least`.

    `motifs`: of a fussy cut.
    """

    patch: str
    width: int
    length: int
    count: int
    turn: bool
    loss: int | None = None
    motifs: Motifs | None = None
    least: int = 0


def strip_arithmetic(width: int, patches: Sequence[Sized]) -> Handbook:
    """The strips of each size across cloth of that usable width; where a patch may turn, the way that takes less."""
    lines, too_wide = [], []
    for patch in patches:
        ways = [_line(width, patch, patch.width, patch.length)]
        if patch.motifs:
            ways = [_fussy_line(patch, patch.motifs)]
        elif patch.turn:
            ways.append(_line(width, patch, patch.length, patch.width))
        best = min((line for line in ways if line), key=lambda line: line.length, default=None)
        if best:
            lines.append(best)
        else:
            too_wide.append(patch.patch)
    return Handbook(width, sum(line.length for line in lines), tuple(lines), tuple(too_wide))


def _line(width: int, patch: Sized, across: int, strip: int) -> HandbookLine | None:
    if across <= width:
        per_strip = width // across
        return HandbookLine(patch.patch, patch.count, strip, across, per_strip, -(-patch.count // per_strip), 1)
    if patch.loss is None or patch.loss >= width or strip > across:
        return None
    # Whole widths first, and the last lengths of several patches side by side.
    lengths = -(-(across - patch.loss) // (width - patch.loss))
    last = max(across - (lengths - 1) * (width - patch.loss), patch.least)
    if last > width:
        return None
    strips = patch.count * (lengths - 1) + -(-patch.count // (width // last))
    return HandbookLine(patch.patch, patch.count, strip, across, 0, strips, lengths)


def _fussy_line(patch: Sized, motifs: Motifs) -> HandbookLine | None:
    if not motifs.per_strip:
        return None
    strips = -(-patch.count // motifs.per_strip)
    return HandbookLine(
        patch.patch, patch.count, motifs.strip, motifs.across, motifs.per_strip, strips, 1, motifs.begin
    )


@dataclass(frozen=True, slots=True)
class Yield:
    """ "`strips` strips, `across` patches a strip": what a piece of cloth gives of one size."""

    strips: int
    across: int

    @property
    def patches(self) -> int:
        return self.strips * self.across


def yield_of(cloth: Size, patch: Size, *, straightening: Length = 0) -> Yield:
    """Whole patches across times whole strips along, once `straightening` is off the length; both sizes above 0."""
    length = Fraction(cloth.length) - Fraction(straightening)
    strips = max(0, math.floor(length / Fraction(patch.length)))
    return Yield(strips, math.floor(Fraction(cloth.width) / Fraction(patch.width)))
