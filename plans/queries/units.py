"""How is an amount of work shown in her own units, and how is one read from what she types?

Stored amounts are canonical: metres, square metres and counts, to three decimals. In an inch book metres are shown and read as
yards and square metres as square yards; to three decimals that comes back as the same stored amount, so nothing drifts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from plans.models import Stage
from quiltbook.measures import NM_PER_METRE, NM_PER_MM, MeasureError, System, exact_length

Unit = Stage.Unit
THOUSANDTH = Decimal("0.001")
LONGEST_TEXT = 200

# One and many of each unit, and how much of the stored unit one of them is (the international yard of 1959: 0.9144 m).
_COUNTS: Mapping[str, tuple[str, str]] = {
    Unit.PATCH: ("patch", "patches"),
    Unit.SHAPE: ("shape", "shapes"),
    Unit.FLOWER: ("flower", "flowers"),
    Unit.BLOCK: ("block", "blocks"),
    Unit.UNIT: ("unit", "units"),
    Unit.STRIP: ("strip", "strips"),
    Unit.HOUR: ("hour", "hours"),
}
_MEASURED: Mapping[tuple[str, System], tuple[str, Fraction]] = {
    (Unit.METRE, System.METRIC): ("m", Fraction(1)),
    (Unit.METRE, System.INCHES): ("yd", Fraction(9144, 10_000)),
    (Unit.SQUARE_METRE, System.METRIC): ("m²", Fraction(1)),
    (Unit.SQUARE_METRE, System.INCHES): ("sq yd", Fraction(9144, 10_000) ** 2),
}
_NUMBER = re.compile(r"[0-9\s.,/⁄½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+")
_MILLIONS = re.compile(r"[0-9]{7}")
_DURATION = re.compile(
    r"(?:(?P<hours>[0-9\s.,/½¼¾⅓⅔]+?)\s*(?:h|hrs?|hours?)(?![a-z])\.?|(?P<clock>[0-9]{1,4}):(?=[0-5][0-9]$))?"
    r"\s*(?:and\s)?\s*(?:(?P<minutes>[0-9\s.,/½¼¾⅓⅔]+?)\s*(?:m|mins?|minutes?)?\.?)?",
)


class AmountError(ValueError):
    """The message is a plain sentence, fit to stand at a form field."""


# --- units of work ---------------------------------------------------------------------------------------------------


def word(unit: str, *, system: System, amount: Decimal = Decimal(2)) -> str:
    """What `amount` of `unit` is called: "flowers", "1 flower", "yd"."""
    if unit in _COUNTS:
        return _COUNTS[unit][0 if amount == 1 else 1]
    return _MEASURED[unit, system][0]


def figure(amount: Decimal, unit: str, *, system: System, places: int = 2) -> Decimal:
    """The bare number she is shown, to `places` decimals and without trailing noughts."""
    shown = Fraction(amount) / _stored_per_shown(unit, system)
    text = f"{round(shown, places):.{places}f}"
    return Decimal(text.rstrip("0").rstrip(".") if "." in text else text)


def show(amount: Decimal, unit: str, *, system: System) -> str:
    """`12 flowers`, `6.4 m`, `7 yd`: an amount of work in her own units."""
    number = figure(amount, unit, system=system)
    return f"{number} {word(unit, system=system, amount=number)}"


def write(amount: Decimal, unit: str, *, system: System) -> str:
    """The text of a form field that reads back as exactly `amount`."""
    return str(figure(amount, unit, system=system, places=3))


def read(text: str, unit: str, *, system: System) -> Decimal:
    """The amount typed, stored unit, to three decimals; the unit may be written after it. Less than nothing means unpicked.

    Raises `AmountError`."""
    plain = text.strip()
    minus = plain[:1] in ("-", "−", "–")
    plain = plain[1:].strip() if minus else plain
    if len(plain) > LONGEST_TEXT:
        raise AmountError(f"That is too long to be a number: use at most {LONGEST_TEXT} characters.")
    if _MILLIONS.match(plain):
        raise AmountError(f"That is more than anybody can sew: write fewer {word(unit, system=system)}.")
    amount = _metres(plain, system) if unit == Unit.METRE else _count(plain, unit, system)
    stored = Decimal(round(amount * 1000)) / 1000
    return -stored if minus else stored


def _stored_per_shown(unit: str, system: System) -> Fraction:
    return Fraction(1) if unit in _COUNTS else _MEASURED[unit, system][1]


def _metres(text: str, system: System) -> Fraction:
    try:
        return exact_length(text, system=system, unit=_MEASURED[Unit.METRE, system][0], allow_zero=True) / NM_PER_METRE
    except MeasureError as wrong:
        raise AmountError(str(wrong)) from wrong


def _count(text: str, unit: str, system: System) -> Fraction:
    own = {word(unit, system=system), word(unit, system=system, amount=Decimal(1))}
    bare = next((text[: -len(w)] for w in sorted(own, key=len, reverse=True) if text.lower().endswith(w)), text)
    number = _number(bare)
    if number is None:
        what = word(unit, system=system)
        raise AmountError(f"“{_brief(text)}” cannot be read as a number of {what}: write it like 6, 1.5 or 1 1/2.")
    return number * _stored_per_shown(unit, system)


def _number(text: str) -> Fraction | None:
    """A plain number as people write it (2, 2.5, 2,5, 1/2, 1 1/2, 1½), by the grammar that reads lengths: as so many mm."""
    if not _NUMBER.fullmatch(text):
        return None
    try:
        return exact_length(text, system=System.METRIC, unit="mm", allow_zero=True) / NM_PER_MM
    except MeasureError:
        return None


def _brief(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 30 else text[:29] + "…"


# --- minutes ---------------------------------------------------------------------------------------------------------


def show_minutes(minutes: int) -> str:
    """`45 min`, `2 h`, `1 h 20 min`."""
    hours, rest = divmod(minutes, 60)
    parts = ([f"{hours} h"] if hours else []) + ([f"{rest} min"] if rest or not hours else [])
    return " ".join(parts)


def read_minutes(text: str) -> int:
    """Whole minutes from `45`, `1 h 20`, `1:20`, `1.5 h` or `90 min`: a bare number is minutes. Raises `AmountError`."""
    unreadable = AmountError(f"“{_brief(text)}” cannot be read as a time: write it like 45, 1 h 20 or 1:20.")
    match = _DURATION.fullmatch(text.strip().lower()) if len(text) <= LONGEST_TEXT else None
    if match is None or not any(match.groups()):
        raise unreadable
    hours, minutes = (
        _number(part) if part else Fraction(0) for part in (match["hours"] or match["clock"], match["minutes"])
    )
    if hours is None or minutes is None:
        raise unreadable
    if not hours and minutes.denominator != 1:
        raise AmountError(f"“{_brief(text)}” could be hours or minutes: write it like 1.5 h or 90 min.")
    return round(hours * 60 + minutes)
