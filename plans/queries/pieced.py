"""What does a pieced border come to? How its units fit, what coping makes them fit and why, units of other lengths, and every patch to cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from plans.queries.centre import patch_how, patch_words
from plans.queries.piecerow import PieceRow
from plans.queries.says import HARD_SPACE, number, show_length
from plans.queries.ways import WaysRow, ways
from quiltbook.measures import Length, Size, System
from quiltbook.yardage.borders import PiecedRound, RoundResult
from quiltbook.yardage.fit import Fit
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.topplan import TopPlan

_NEAR = Fraction(1, 10**6)


@dataclass(frozen=True, slots=True)
class OtherUnit:
    """Another length of unit (whole nm) that fits with one width of coping, or none: what it comes to, in words."""

    length: int
    words: str
    told: str


@dataclass(frozen=True, slots=True)
class PiecedRow:
    """How the units of a pieced border fit: `told` in a sentence or two, `how` the coping came about. `ways`: units that can be sewn many
    at a time."""

    told: str
    how: str
    other: tuple[OtherUnit, ...]
    pieces: tuple[PieceRow, ...]
    ways: tuple[WaysRow, ...]


def pieced_row(result: RoundResult, pieced: PiecedRound, plan: TopPlan, system: System) -> PiecedRow:
    """A pieced border worked out, in her own measures."""
    return PiecedRow(
        told=_told(pieced.fit, system),
        how=" ".join(_how(result.inner, pieced.fit, system)),
        other=other_units(pieced.other, system),
        pieces=tuple(_piece(patch, result.role, plan.round_up, system) for patch in pieced.patches),
        ways=ways(pieced.units, plan.seam_allowance, system),
    )


def other_units(fits: Iterable[Fit], system: System) -> tuple[OtherUnit, ...]:
    """Units of other lengths, the nearest first."""
    return tuple(_other(fit, system) for fit in fits)


def _other(fit: Fit, system: System) -> OtherUnit:
    inside = f"a coping {coping(fit, system)}" if fit.sides else "no coping"
    told = f"{number(fit.across)} across and {number(fit.down)} down, {inside}"
    return OtherUnit(round(Fraction(fit.unit)), f"Units of {show_length(fit.unit, system=system)}", told)


def _told(fit: Fit, system: System) -> str:
    units = f"{number(fit.across).capitalize()} units across and {number(fit.down)} down, each {show_length(fit.unit, system=system)} long"
    if not fit.sides and not fit.ends:
        return f"{units}. They fit without coping."
    return f"{units}, outside a coping {coping(fit, system)}."


def coping(fit: Fit, system: System) -> str:
    """How wide the coping is, where there is any: "of 1 in all round"."""
    sides, ends = (show_length(nm, system=system) for nm in (fit.sides, fit.ends))
    if fit.even:
        return f"of {sides} all round"
    if not fit.ends:
        return f"of {sides} on the left and right only"
    if not fit.sides:
        return f"of {ends} at the top and bottom only"
    return f"of {sides} on the left and right and {ends} at the top and bottom"


def _how(inner: Size, fit: Fit, system: System) -> Iterator[str]:
    """Across and down: what is inside, the coping on both sides, and what whole number of units that makes."""
    for way, side, strip, count in (
        ("Across", inner.width, fit.sides, fit.across),
        ("Down", inner.length, fit.ends, fit.down),
    ):
        inside, unit = (show_length(nm, system=system) for nm in (side, fit.unit))
        made = _times(count, unit)
        if strip:
            twice = _times(2, show_length(strip, system=system))
            both = show_length(Fraction(side) + 2 * Fraction(strip), system=system)
            why = _why(side, fit.unit, strip, system)
            yield f"{way}, the quilt is {inside} inside; {why} With {twice} of coping it is {both}: {made}."
        else:
            yield f"{way}, the quilt is {inside} inside: {made}."


def _why(side: Length, unit: Length, strip: Length, system: System) -> str:
    """Why it takes coping there, and so much of it."""
    fits = Fraction(side) / Fraction(unit)
    if abs(fits - round(fits)) < _NEAR:
        return "the coping is as wide as it must be the other way."
    more = int(fits) + 1
    least = (more * Fraction(unit) - Fraction(side)) / 2
    few = f"{number(more - 1)} {'unit' if more == 2 else 'units'} would be too short"
    if least < Fraction(strip) * (1 - _NEAR):
        return f"{few}, and {number(more)} leave a coping of only {show_length(least, system=system)}."
    return f"{few} and {number(more)} too long."


def _times(count: int, length: str) -> str:
    return f"{count}{HARD_SPACE}×{HARD_SPACE}{length}"


def _piece(patch: Patch, border: str, step: int, system: System) -> PieceRow:
    role = patch.role.removeprefix(f"{border} ")
    words = patch_words(patch, role[:1].upper() + role[1:])
    return PieceRow(words, patch.to_cut, patch.finished, patch.cut, 1, patch_how(patch, step, system))
