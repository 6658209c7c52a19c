"""How does the engine's command line read its JSON, and write its numbers?

Numbers come in exactly (no binary fractions) and go out to six decimals of the asked unit. Whatever is wrong with the
input is an `InputError` that names the field, like `rounds[1].width`, and says in a sentence what is wrong with it.
"""

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from quiltbook.measures import (
    LONGEST,
    NM_PER_CM,
    NM_PER_INCH,
    NM_PER_MM,
    Length,
    MeasureError,
    System,
    exact_length,
)
from quiltbook.yardage.patches import Refusal

UNITS = {"in": NM_PER_INCH, "cm": NM_PER_CM, "mm": NM_PER_MM}
SHORTEST = 1000  # a thousandth of a millimetre: nothing in a quilt is finer, and counts stay within reason
MOST = 100_000
_LONGEST_NUMBER = 60


class InputError(Refusal):
    """The field of the input at fault and, in a sentence, what is wrong with it."""


def load(text: str) -> dict[str, object]:
    """The JSON object in `text`, its numbers as `int` or `Decimal`, or NaN where they are none. Raises `InputError` for anything else."""
    try:
        data = json.loads(text, parse_int=_whole, parse_float=_decimal, parse_constant=_no_number)
    except RecursionError:
        raise InputError("input", "it is nested too deeply.") from None
    except ValueError as error:
        raise InputError("input", f"it is not JSON ({error}).") from None
    if not isinstance(data, dict):
        raise InputError("input", "it must be one JSON object.")
    return data


def _whole(text: str) -> int | float:
    return int(text) if len(text) <= _LONGEST_NUMBER else _no_number(text)


def _decimal(text: str) -> Decimal | float:
    _, _, exponent = text.lower().partition("e")
    if len(text) > _LONGEST_NUMBER or (exponent and abs(int(exponent)) > _LONGEST_NUMBER):
        return _no_number(text)
    return Decimal(text)


def _no_number(_: str) -> float:
    """NaN, an infinity, or a number too large or too fine to reckon with: a float, which the reader of its field refuses."""
    return math.nan


def dump(answer: Mapping[str, object]) -> str:
    """The answer as JSON text."""
    return json.dumps(answer, indent=2, allow_nan=False)


def number(nm: Length, unit: str) -> int | float:
    """A length in `unit` to six decimals, whole numbers as `int`."""
    return _six(Fraction(nm) / UNITS[unit])


def area(nm2: Length, unit: str) -> int | float:
    """An area in `unit` squared to six decimals, whole numbers as `int`."""
    return _six(Fraction(nm2) / UNITS[unit] ** 2)


def _six(value: Fraction) -> int | float:
    rounded = round(value, 6)
    return int(rounded) if rounded.denominator == 1 else float(rounded)


@dataclass(frozen=True, slots=True)
class Reader:
    """One JSON object of the input, at `path` ("" for the whole), whose plain numbers are in `unit`."""

    data: Mapping[str, object]
    unit: str
    path: str = ""

    @classmethod
    def of(cls, data: Mapping[str, object]) -> "Reader":
        """The reader of a whole input, its `unit` read and checked."""
        unit = cls(data, "in").choice("unit", UNITS)
        return cls(data, unit)

    @property
    def system(self) -> System:
        return System.INCHES if self.unit == "in" else System.METRIC

    def field(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def error(self, key: str, problem: str) -> InputError:
        return InputError(self.field(key), problem)

    def has(self, key: str) -> bool:
        """Whether the key is there and not null."""
        return self.data.get(key) is not None

    def _value(self, key: str) -> object:
        value = self.data.get(key)
        if value is None:
            raise self.error(key, "it is missing.")
        return value

    def length(self, key: str, default: Length | None = None, *, zero: bool = False, signed: bool = False) -> Fraction:
        """A length in nm: a number of `unit`, or text with its own unit. Without a `default` (nm) it must be there."""
        if default is not None and not self.has(key):
            return Fraction(default)
        return self._length(self._value(key), key, zero=zero, signed=signed)

    def maybe_length(self, key: str, *, zero: bool = False) -> Fraction | None:
        """A length as above, or None where it is missing or null."""
        return self._length(self.data[key], key, zero=zero) if self.has(key) else None

    def lengths(self, key: str, *, zero: bool = False, signed: bool = False) -> tuple[Fraction, ...]:
        """A list of lengths; empty where it is missing."""
        return tuple(
            self._length(value, f"{key}[{n}]", zero=zero, signed=signed)
            for n, value in enumerate(self._list(key, needed=False))
        )

    def whole_nm(self, key: str, default: int | None = None, *, zero: bool = False) -> int:
        """A length as above in whole nm."""
        return round(self.length(key, default, zero=zero))

    def step(self, key: str, default: int) -> int:
        """A step to round up to, in whole nm; 0 asks for no rounding, which is to the nm."""
        return max(1, self.whole_nm(key, default, zero=True))

    def degrees(self, key: str) -> float:
        """An angle of a shape's tip, from 1 to 179 degrees."""
        value = self._value(key)
        if isinstance(value, bool) or not isinstance(value, int | Decimal) or not 1 <= value <= 179:
            raise self.error(key, "it must be an angle from 1 to 179 degrees.")
        return float(value)

    def per_cent(self, key: str, default: int | None = None, *, least: int = 0, most: int = 100) -> Fraction:
        """A number of per cent from `least` to `most`."""
        value = default if default is not None and not self.has(key) else self._value(key)
        if isinstance(value, bool) or not isinstance(value, int | Decimal) or not least <= value <= most:
            raise self.error(key, f"it must be a number of per cent from {least} to {most}.")
        return Fraction(value)

    def points(self, key: str, *, most: int) -> list[tuple[Fraction, ...]]:
        """A list of [x, y] pairs of lengths."""
        pairs = self._list(key, needed=True)
        if len(pairs) > most:
            raise self.error(key, f"it must have at most {most} points.")
        points = []
        for n, pair in enumerate(pairs):
            where = f"{key}[{n}]"
            if not isinstance(pair, list) or len(pair) != 2:
                raise self.error(where, "a point must be a list of two lengths.")
            points.append(tuple(self._length(value, where, zero=True, signed=True) for value in pair))
        return points

    def _length(self, value: object, key: str, *, zero: bool, signed: bool = False) -> Fraction:
        if isinstance(value, str):
            nm = self._text_length(value, key, zero=zero, signed=signed)
        elif isinstance(value, int | Decimal) and not isinstance(value, bool):
            nm = Fraction(value) * UNITS[self.unit]
        elif isinstance(value, float):
            raise self.error(key, "it is too large, too fine, or not a number.")
        else:
            raise self.error(key, 'a length must be a number or text like "2 1/2 in".')
        if nm < 0 and not signed:
            raise self.error(key, "it must not be negative.")
        if nm == 0 and not (zero or signed):
            raise self.error(key, "it must be more than 0.")
        if abs(nm) > LONGEST:
            raise self.error(key, "it is longer than a kilometre.")
        if 0 < abs(nm) < SHORTEST:
            raise self.error(key, "it is less than a thousandth of a millimetre.")
        return nm

    def _text_length(self, text: str, key: str, *, zero: bool, signed: bool) -> Fraction:
        minus = signed and text.lstrip().startswith("-")
        try:
            nm = exact_length(
                text.lstrip()[1:] if minus else text,
                system=self.system,
                unit=self.unit,
                allow_zero=zero or signed,
            )
        except MeasureError as error:
            raise self.error(key, str(error)) from None
        return -nm if minus else nm

    def count(self, key: str, default: int | None = None, *, least: int = 1, most: int = MOST) -> int:
        """A whole number from `least` to `most`."""
        value = default if default is not None and not self.has(key) else self._value(key)
        if isinstance(value, Decimal) and value == value.to_integral_value():
            value = int(value)
        if not isinstance(value, int) or isinstance(value, bool):
            raise self.error(key, "it must be a whole number.")
        if not least <= value <= most:
            raise self.error(key, f"it must be from {least} to {most}.")
        return value

    def flag(self, key: str, default: bool) -> bool:
        value = self.data.get(key, default)
        if not isinstance(value, bool):
            raise self.error(key, "it must be true or false.")
        return value

    def text(self, key: str, default: str | None = None) -> str:
        value = default if default is not None and not self.has(key) else self._value(key)
        if not isinstance(value, str) or not value.strip() or len(value) > 200:
            raise self.error(key, "it must be text of 1 to 200 characters.")
        return value

    def choice(self, key: str, choices: Iterable[str], default: str | None = None) -> str:
        options = tuple(choices)
        value = default if default is not None and not self.has(key) else self._value(key)
        if not isinstance(value, str) or value not in options:
            raise self.error(key, f"it must be one of: {', '.join(options)}.")
        return value

    def child(self, key: str) -> "Reader":
        """The object under `key`."""
        return self._reader(self._value(key), key)

    def maybe_child(self, key: str) -> "Reader | None":
        return self.child(key) if self.has(key) else None

    def children(self, key: str, *, needed: bool = True) -> tuple["Reader", ...]:
        """The objects of the list under `key`."""
        return tuple(self._reader(value, f"{key}[{n}]") for n, value in enumerate(self._list(key, needed=needed)))

    def _list(self, key: str, *, needed: bool) -> list[object]:
        if not needed and not self.has(key):
            return []
        value = self._value(key)
        if not isinstance(value, list):
            raise self.error(key, "it must be a list.")
        return value

    def _reader(self, value: object, key: str) -> "Reader":
        if not isinstance(value, dict):
            raise self.error(key, "it must be an object.")
        return Reader(value, self.unit, self.field(key))
