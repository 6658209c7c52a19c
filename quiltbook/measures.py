"""Lengths, areas and amounts of cloth: what did the person type, and how is a length shown to her?

Inside, every length is in nanometres: exact for 1/64 in and for 0.1 mm alike. Typed text is read by the small grammar
below; pint is handed a number and a unit, never text. Every refusal is a `MeasureError` whose message is a sentence.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache

NM_PER_MM = 1_000_000
NM_PER_CM = 10 * NM_PER_MM
NM_PER_METRE = 1000 * NM_PER_MM
NM_PER_INCH = 25_400_000
NM_PER_YARD = 36 * NM_PER_INCH
NM_PER_64TH = NM_PER_INCH // 64

LONGEST_TEXT = 200
MOST_PIECES = 200
MOST_TOLD = 20  # more pieces than this are not taken for a count where it could be a size
LONGEST = 1000 * NM_PER_METRE

type Length = int | Fraction | float


class System(StrEnum):
    INCHES = "in"
    METRIC = "metric"


class MeasureError(ValueError):
    """The message is a plain sentence, fit to stand at a form field."""


@dataclass(frozen=True, slots=True)
class Size:
    """A rectangle in nm; of cloth, `width` runs across the grain and `length` along it."""

    width: Length
    length: Length


# --- units -----------------------------------------------------------------------------------------------------------

_SPELLINGS = {
    "inch": ("in", "ins", "inch", "inches", '"'),
    "foot": ("ft", "foot", "feet", "'"),
    "yard": ("yd", "yds", "yard", "yards"),
    "millimetre": ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"),
    "centimetre": ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "metre": ("m", "ms", "mtr", "mtrs", "metre", "metres", "meter", "meters"),
    "kilometre": ("km", "kms", "kilometre", "kilometres", "kilometer", "kilometers"),
}
_UNITS = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}
_OTHER_KINDS = {
    "a weight": ("g", "kg", "gram", "grams", "oz", "lb", "lbs", "stone"),
    "a time": ("s", "sec", "min", "mins", "minutes", "h", "hr", "hrs", "hour", "hours", "day", "days"),
    "an area": ("m²", "cm²", "mm²", "in²", "ft²", "yd²", "acre", "acres"),
    "a volume": ("l", "ml", "litre", "litres", "liter", "liters", "m³", "cm³"),
    "money": ("£", "$", "€", "gbp", "usd", "eur"),
    "a share": ("%", "percent"),
}
_KINDS = {word: kind for kind, words in _OTHER_KINDS.items() for word in words}


@cache
def nm_per(unit: str) -> Fraction:
    """How many nanometres one `unit` (any spelling above) holds; `MeasureError` for a unit that is no length."""
    name = _unit_named(unit)
    from pint import (
        UnitRegistry,  # here, since building its registry takes longer than a whole run of the engine
    )

    registry = UnitRegistry(non_int_type=Fraction)
    return Fraction(registry.Quantity(Fraction(1), name).to("nanometre").magnitude)


def _unit_named(word: str) -> str:
    word = word.removesuffix(".")
    if word in _UNITS:
        return _UNITS[word]
    kind = "an area" if word.startswith("sq") else _KINDS.get(word)
    if kind:
        raise MeasureError(f"“{_brief(word)}” is {kind}, not a length: use in, yd, mm, cm or m.")
    raise MeasureError(f"“{_brief(word)}” is not a unit of length: use in, yd, mm, cm or m.")


# --- reading ---------------------------------------------------------------------------------------------------------

_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6",
    "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip
_PLAIN = str.maketrans(
    {char: f" {text} " for char, text in _VULGAR.items()}
    | dict.fromkeys("⁄∕", "/")
    | dict.fromkeys("″”“„‟", '"')
    | dict.fromkeys("′’‘‛`´", "'")
    | dict.fromkeys("×✕✖", " x ")
    | dict.fromkeys("−–—‐‑‒", "-")
)
_WORDS = {
    word: Fraction(n)
    for n, word in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"], 1)
}
_WORDS |= {"a": Fraction(1), "an": Fraction(1), "half": Fraction(1, 2), "quarter": Fraction(1, 4)}

_TOKEN = re.compile(
    r"""(?P<fraction>[0-9]+\s*/\s*[0-9]+)
      | (?P<decimal>[0-9]*\.[0-9]+ | [0-9]+,[0-9]+ | [0-9]+)
      | (?P<times>x(?![^\W\d_]))
      | (?P<of>(?:(?:pieces?|cuts?|lengths?)\s+)?of\b)
      | (?P<word>(?:sq(?:uare)?\.?\s+)?[^\W\d_]+[²³]?\.? | ["'%£$€])
      | (?P<space>\s+)
      | (?P<other>.)""",
    re.VERBOSE | re.DOTALL,
)
_SEPARATOR = re.compile(r",(?![0-9])|(?<![0-9]),|[;\n]")
_FAT = re.compile(r"\bfat[\s-]+(quarter|eighth)s?\b|\bf\.?(q|e)\.?s?\b")

type _Token = tuple[str, str]
type _Term = tuple[Fraction, str | None]


def _brief(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 30 else text[:29] + "…"


def _unreadable(text: str) -> MeasureError:
    return MeasureError(
        f"“{_brief(text)}” cannot be read as a length: write it like 2 3/8 in, 1 1/2 yd, 45 cm or 1.5 m."
    )


def _plain(text: str) -> str:
    """The typed text in one alphabet: lower case, plain fractions, marks, crosses and dashes."""
    if len(text) > LONGEST_TEXT:
        raise MeasureError(f"That is too long to be a length: use at most {LONGEST_TEXT} characters.")
    plain = text.translate(_PLAIN).lower().replace("''", '"')
    plain = re.sub(r"([0-9])-([0-9]+\s*/)", r"\1 \2", plain)  # 1-1/2, as many patterns print it
    return re.sub(r"\bhalf\s+an?\b", "half", plain).strip()


def _tokens(text: str) -> list[_Token]:
    tokens = [(str(m.lastgroup), m.group()) for m in _TOKEN.finditer(text) if m.lastgroup != "space"]
    if tokens and tokens[0] == ("other", "-"):
        raise MeasureError("A length must be more than nothing.")
    if not tokens or any(kind == "other" for kind, _ in tokens):
        raise _unreadable(text)
    return tokens


def _fraction(text: str) -> Fraction:
    above, below = (int(part) for part in text.split("/"))
    if below == 0:
        raise MeasureError(f"“{_brief(text)}” has nothing below the line: a fraction needs a number there.")
    return Fraction(above, below)


def _decimal(text: str) -> Fraction:
    whole, comma, rest = text.partition(",")
    if comma and len(rest) == 3 and not whole.startswith("0"):
        raise MeasureError(
            f"“{_brief(text)}” could be a thousand or a decimal: write {_brief(whole + rest)} or {_brief(whole)}.{rest}."
        )
    return Fraction(text.replace(",", "."))


def _number(tokens: Sequence[_Token]) -> tuple[Fraction | None, int]:
    """The number at the head of `tokens` (2, 3/8, 2 3/8, 1.5, half) and how many tokens it took."""
    if not tokens:
        return None, 0
    kind, text = tokens[0]
    if kind == "fraction":
        return _fraction(text), 1
    if kind == "word" and text in _WORDS:
        return _WORDS[text], 1
    if kind != "decimal":
        return None, 0
    value = _decimal(text)
    if text.isdigit() and len(tokens) > 1 and tokens[1][0] == "fraction":
        part = _fraction(tokens[1][1])
        if part >= 1:
            raise MeasureError(
                f"“{_brief(text)} {_brief(tokens[1][1])}” is not a mixed fraction: the part after {_brief(text)} must be less than 1."
            )
        return value + part, 2
    return value, 1


def _terms(tokens: Sequence[_Token], text: str) -> list[_Term]:
    terms: list[_Term] = []
    at = 0
    while at < len(tokens):
        value, taken = _number(tokens[at:])
        if value is None:
            raise _unreadable(text)
        at += taken
        unit = None
        if at < len(tokens) and tokens[at][0] == "word" and tokens[at][1] not in _WORDS:
            unit = tokens[at][1]
            at += 1
        elif tokens[at - 1][0] == "word":  # "half" alone is half of nothing
            raise _unreadable(text)
        elif terms and _is(terms[-1][1], "metre") and re.fullmatch("[0-9]{2}", tokens[at - 1][1]):
            unit = "cm"  # "1 m 20", as it is said
        terms.append((value, unit))
    return terms


def _is(unit: str | None, *names: str) -> bool:
    """Whether the word typed for a unit means one of `names`; a word that is no unit is refused where it is read."""
    return unit is not None and _UNITS.get(unit.removesuffix(".")) in names


def _nm(terms: Sequence[_Term], text: str, unit: str) -> Fraction:
    """The sum of the terms ("1 yd 9 in"); `unit` is that of a number standing alone without one."""
    if not terms:
        raise _unreadable(text)
    if len(terms) == 1:
        value, own = terms[0]
        return _within(value * nm_per(own or unit))
    total, last = Fraction(0), None
    for value, own in terms:
        if own is None:
            raise MeasureError(f"“{_brief(text)}” has a number without a unit: say in, yd, mm, cm or m after each.")
        if last is not None and nm_per(own) >= last:
            raise MeasureError(
                f"“{_brief(text)}” cannot be read as one length: put the larger unit first, like 1 yd 9 in."
            )
        last = nm_per(own)
        total += value * last
    return _within(total)


def _within(nm: Fraction) -> Fraction:
    if nm > LONGEST:
        raise MeasureError("That is longer than a kilometre: check the number and the unit.")
    return nm


def exact_length(text: str, *, system: System, unit: str | None = None, allow_zero: bool = False) -> Fraction:
    """The length typed, in nm, not rounded; otherwise as `read_length`."""
    plain = _plain(text)
    if not plain:
        raise MeasureError("Write a length.")
    nm = _nm(_terms(_tokens(plain), text), text, unit or default_unit(system))
    if round(nm) == 0 and not (allow_zero and nm == 0):
        raise MeasureError("A length must be more than nothing.")
    return nm


def read_length(text: str, *, system: System, unit: str | None = None, allow_zero: bool = False) -> int:
    """The length typed, in whole nm. A bare number is in `unit`, else in inches or centimetres by `system`.

    Raises `MeasureError` for text that is empty, unreadable, overlong, zero, negative or beyond a kilometre.
    """
    return round(exact_length(text, system=system, unit=unit, allow_zero=allow_zero))


def read_amount(text: str, *, system: System, usable_width: int, fat_quarter: Size) -> tuple[Size, ...]:
    """The pieces of cloth typed, each a `Size` in whole nm: "1 1/2 yd", "2 FQ", "3 x 0.5 m", "18 x 22 in", or several with commas.

    A length alone is cut from the bolt, `usable_width` wide. "18 x 22 in" is width, then length. Raises `MeasureError`.
    """
    plain = _FAT.sub(lambda m: f" f{(m[1] or m[2])[0]} ", _plain(text))
    if not plain:
        raise MeasureError("Write how much cloth: like 1 1/2 yd, 0.5 m, fat quarter or 18 x 22 in.")
    reader = _PieceReader(system, usable_width, fat_quarter)
    pieces: list[Size] = []
    for part in _SEPARATOR.split(plain):
        count, size = reader.read(part)
        if count + len(pieces) > MOST_PIECES:
            raise MeasureError(f"That is more than {MOST_PIECES} pieces: write them in several goes.")
        pieces += [size] * count
    return tuple(pieces)


@dataclass(frozen=True, slots=True)
class _PieceReader:
    system: System
    usable_width: int
    fat_quarter: Size

    def read(self, text: str) -> tuple[int, Size]:
        """How many pieces, and the size of each, in one part of an amount."""
        if not text.strip():
            raise MeasureError("There is nothing between two commas.")
        groups: list[list[_Token]] = [[]]
        links: list[str] = []
        for token in _tokens(text.strip()):
            if token[0] in ("times", "of"):
                groups.append([])
                links.append(token[0])
            else:
                groups[-1].append(token)
        if "of" in links[1:] or len(groups) > 3:
            raise _unreadable(text)
        if links == ["times", "times"]:
            self._refuse_unless_the_first_counts(groups, text)
        if links[:1] == ["of"] or len(groups) == 3:
            return _whole(groups[0], text), self._thing(groups[1:], text)
        if len(groups) == 2 and self._first_counts(groups, text):
            return _whole(groups[0], text), self._thing(groups[1:], text)
        if len(groups) == 1 and groups[0][-1][1] in ("fq", "fe"):
            return _whole(groups[0][:-1], text) if len(groups[0]) > 1 else 1, self._thing([groups[0][-1:]], text)
        return 1, self._thing(groups, text)

    def _first_counts(self, groups: list[list[_Token]], text: str) -> bool:
        """Whether "3 x 1/2 yd" counts pieces (it does) rather than giving a size ("18 x 22 in" does)."""
        first, second = groups
        if second and second[-1][1] in ("fq", "fe"):
            return True
        if len(first) != 1 or not first[0][1].isdigit() or not second:
            return False
        terms = _terms(second, text)
        unit = terms[-1][1]
        if unit is None:
            return False
        if _is(terms[0][1], "yard", "metre"):
            return True
        times, across = _nm(terms, text, "in"), _decimal(first[0][1]) * nm_per(unit)
        if 0 < across < 5 * NM_PER_INCH and times >= 4 * across:
            raise MeasureError(
                f"“{_brief(text)}” could be several pieces or one narrow one: write “{_brief(first[0][1])} of …” for pieces, or give both units."
            )
        return False

    def _refuse_unless_the_first_counts(self, groups: list[list[_Token]], text: str) -> None:
        """ "2 x 18 x 22 in" and "20 x 5 in x 5 in" count first; of "45 x 55 x 3 cm" nobody could tell."""
        first, second, third = (_terms(group, text) for group in groups)
        if not (first and second and third) or second[-1][1] is not None:
            return
        if first[0][0] > min(Fraction(MOST_TOLD), second[0][0], third[0][0]):
            told = "18 x 22 in" if self.system is System.INCHES else "45 x 55 cm"
            raise MeasureError(
                f"“{_brief(text)}” could be meant in several ways: for three pieces write “3 of {told}”."
            )

    def _thing(self, groups: list[list[_Token]], text: str) -> Size:
        if groups == [[("word", "fq")]]:
            return self.fat_quarter
        if groups == [[("word", "fe")]]:
            short, long = sorted((self.fat_quarter.width, self.fat_quarter.length))
            half = round(short / 2)
            return Size(half, long) if self.fat_quarter.width == short else Size(long, half)
        terms = [_terms(group, text) for group in groups]
        if any(not term for term in terms):
            raise _unreadable(text)
        if len(terms) == 1:
            if terms[0][-1][1] is None:
                raise MeasureError(f"Add a unit to “{_brief(text)}”: yd, in, m or cm.")
            return Size(self.usable_width, self._side(terms[0], text, "in"))
        unit = terms[1][-1][1] or default_unit(self.system)
        return Size(self._side(terms[0], text, unit), self._side(terms[1], text, unit))

    def _side(self, terms: list[_Term], text: str, unit: str) -> int:
        nm = round(_nm(terms, text, unit))
        if nm == 0:
            raise MeasureError("A piece of cloth must be more than nothing.")
        return nm


def _whole(tokens: list[_Token], text: str) -> int:
    value, taken = _number(tokens)
    if value is None or taken != len(tokens) or value.denominator != 1 or value < 1:
        raise MeasureError(f"“{_brief(text)}” needs a whole number of pieces in front.")
    return int(value)


def default_unit(system: System) -> str:
    """The unit of a bare number."""
    return "in" if system is System.INCHES else "cm"


# --- showing ---------------------------------------------------------------------------------------------------------


def show_length(nm: Length, *, system: System, step: int | None = None) -> str:
    """`2 3/8 in` or `6.5 cm`: exact where a 64th of an inch or a hundredth of a mm. Else `about 8 1/2 in`, to the sixteenth that a
    ruler has, or to three decimals in centimetres.

    With `step` (nm) the nearest multiple of it is shown.
    """
    value = Fraction(nm) if step is None else Fraction(round(Fraction(nm) / step) * step)
    if system is System.METRIC:
        return f"{_decimals(value / NM_PER_CM, 3)} cm"
    parts = value / NM_PER_64TH
    if abs(parts - round(parts)) <= Fraction(1, 10**6):  # a float is never quite on the mark
        return f"{_mixed(Fraction(round(parts), 64))} in"
    ruler = 4 if abs(parts) >= 4 else 1  # 64ths
    near = round(parts / ruler) * ruler
    return f"about {_mixed(Fraction(near, 64))} in" if near else f"{_decimals(value / NM_PER_INCH, 3)} in"


def write_length(nm: int, *, system: System) -> str:
    """Text that reads back as exactly `nm`, for a form field: what was typed in centimetres stays so in an inch book."""
    if system is System.INCHES and nm % NM_PER_64TH == 0:
        return show_length(nm, system=system)
    return f"{_decimals(Fraction(nm, NM_PER_CM), 7)} cm"


def show_amount(nm: Length, *, system: System) -> str:
    """A length of cloth off the bolt, `1 1/2 yd` or `1.4 m`; `about` before it where the eighth or the centimetre is not exact."""
    unit, step = ("yd", NM_PER_YARD // 8) if system is System.INCHES else ("m", NM_PER_CM)
    value = Fraction(nm)
    if 0 < value < step:
        return show_length(nm, system=system)
    steps = round(value / step)
    text = _mixed(Fraction(steps, 8)) if unit == "yd" else _decimals(Fraction(steps, 100), 2)
    about = "" if abs(value / step - steps) <= Fraction(1, 10**6) else "about "
    return f"{about}{text} {unit}"


def show_size(size: Size, *, system: System) -> str:
    """`18 × 22 in`: width, then length; `about` before both where either is not exact."""
    width, length = (show_length(side, system=system) for side in (size.width, size.length))
    about = "about " if "about " in width + length else ""
    return about + f"{width.rsplit(' ', 1)[0]} × {length}".replace("about ", "")


def show_area(mm2: int, *, system: System) -> str:
    """Square inches or centimetres, from a tenth of a square yard or metre upwards in those, to three figures."""
    small, large, per_large = ("sq in", "sq yd", 1296) if system is System.INCHES else ("cm²", "m²", 10_000)
    value = mm2 / (Fraction(254, 10) ** 2 if system is System.INCHES else Fraction(100))
    if value * 10 >= per_large:
        shown = value / per_large
        return f"{_decimals(shown, 2 if shown < 10 else 1 if shown < 100 else 0)} {large}"
    return f"{_decimals(value, 0)} {small}"


def _mixed(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if not part:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def _decimals(value: Fraction, places: int) -> str:
    text = f"{round(value, places):.{places}f}"
    return text.rstrip("0").rstrip(".") if places else text


# --- rounding --------------------------------------------------------------------------------------------------------


def round_up(value: Length, step: int) -> int:
    """`value` up to a whole number of `step`s; up to 1e-9 of a step above a multiple counts as that multiple."""
    return math.ceil(Fraction(value) / step - Fraction(1, 10**9)) * step


def mm2(width: Length, length: Length) -> int:
    """The area of a rectangle of nm by nm, in whole mm²."""
    return round(Fraction(width) * Fraction(length) / NM_PER_MM**2)
