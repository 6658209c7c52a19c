"""How do the units of a pieced border fit round a top: how many on each side, and what coping border makes them fit?

With W by L inside and units u long, n·u = W + 2c across and m·u = L + 2d down; one coping c = d round the top works where W - L is a whole
number of units. Lengths in nm.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size
from quiltbook.yardage.patches import Refusal, Step

COPINGS = ("auto", "none", "even", "each way")
MOST_UNITS = 500
_NEAR = Fraction(1, 10**6)


class FitError(Refusal):
    """The units do not fit so."""


@dataclass(frozen=True, slots=True)
class Fit:
    """`across` units along the top and the bottom, `down` along each side; the coping border is `sides` wide left and right, `ends`
    at the top and bottom, 0 where none is needed.
    """

    unit: Length
    across: int
    down: int
    sides: Length
    ends: Length
    steps: tuple[Step, ...]

    @property
    def even(self) -> bool:
        return self.sides == self.ends


def fit(inner: Size, unit: Length, *, coping: str = "auto", least: Length = 0) -> Fit:
    """The units round a top of `inner` size. A coping is none at all or at least `least` wide.

    `coping`: "none", "even" (one width all round), "each way" (one for the sides, one for the ends) or "auto", the first of these
    that works. Raises `FitError` where the one asked for does not, saying which would.
    """
    if coping not in COPINGS:
        raise FitError("coping", f"It must be one of: {', '.join(COPINGS)}.")
    w, length, u = Fraction(inner.width), Fraction(inner.length), Fraction(unit)
    if u <= 0:
        raise FitError("unit", "It must be more than 0.")
    if max(w, length) / u > MOST_UNITS - 2:
        raise FitError("unit", f"It is so short that more than {MOST_UNITS} units would lie on a side.")
    least = Fraction(least)
    fits, even = _whole(w / u) and _whole(length / u), _whole((w - length) / u)
    if coping == "none" and not fits:
        raise FitError("coping", f"No whole number of units fits both ways: {_instead(even)}.")
    if coping == "even" and not even:
        raise FitError("coping", f"No one width of coping makes the units fit both ways: {_instead(even)}.")
    nothing = coping in ("none", "auto") and fits
    sides = Fraction(0) if nothing else _coping(w, u, least)
    ends = Fraction(0) if nothing else _coping(length, u, least)
    if even and coping in ("even", "auto"):  # the wider of two that differ by whole units
        sides = ends = max(sides, ends)
    return _found(w, length, u, sides, ends)


def _found(w: Fraction, length: Fraction, u: Fraction, sides: Fraction, ends: Fraction) -> Fit:
    across, down = round((w + 2 * sides) / u), round((length + 2 * ends) / u)
    figures: dict[str, Length] = {"unit": u, "width": w, "length": length, "coping sides": sides, "coping ends": ends}
    return Fit(
        u, across, down, sides, ends, (Step("pieced border", figures, {"units across": across, "units down": down}),)
    )


def _whole(value: Fraction) -> bool:
    return abs(value - round(value)) <= _NEAR


def _coping(side: Fraction, u: Fraction, least: Fraction) -> Fraction:
    """The least coping on one side that makes whole units: none, or at least `least`."""
    if _whole(side / u):
        return Fraction(0)
    units = math.ceil((side + 2 * least) / u - _NEAR)
    return (units * u - side) / 2


def _instead(even: bool) -> str:
    return f'coping "{"even" if even else "each way"}" would, or a unit of another length'


def other_units(inner: Size, unit: Length, *, least: Length = 0, most: int = 3) -> tuple[Fit, ...]:
    """Units of nearly that length for which one width of coping, or none, fits both ways: the nearest first."""
    w, length, u = Fraction(inner.width), Fraction(inner.length), Fraction(unit)
    apart = abs(w - length)
    if not apart or _whole(apart / u):
        return ()
    about = apart / u
    counts = {n for n in range(math.floor(about) - 1, math.floor(about) + 3) if n > 0}
    units = sorted(
        (apart / n for n in counts if max(w, length) * n / apart < MOST_UNITS - 2), key=lambda other: abs(other - u)
    )
    return tuple(fit(inner, other, coping="auto", least=least) for other in units[:most])
