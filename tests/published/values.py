"""The published figures, by topic, and how an engine's answer in nm is held against one of them."""

import json
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, NM_PER_METRE, NM_PER_MM, NM_PER_YARD, Length

NM = {"in": NM_PER_INCH, "cm": NM_PER_CM, "mm": NM_PER_MM, "m": NM_PER_METRE, "yd": NM_PER_YARD}
USED: set[str] = set()


@dataclass(frozen=True)
class Entry:
    id: str
    topic: str
    inputs: dict[str, Any]
    expected: Any
    unit: str
    tolerance: Decimal | int
    source: str
    kind: str

    def __repr__(self) -> str:
        return self.id

    @property
    def nm(self) -> int:
        """The first unit named: "in/yd" is inches, "sq in" too."""
        return NM[self.unit.removeprefix("sq ").split("/")[0]]

    def length(self, key: str, unit: str | None = None) -> Fraction:
        """An input in nm."""
        return Fraction(self.inputs[key]) * (NM[unit] if unit else self.nm)

    def agrees(self, actual: Length, key: str | None = None, unit: str | None = None) -> bool:
        """Whether a length in nm is the one expected, within the entry's tolerance."""
        expected = self.expected if key is None else self.expected[key]
        return self.near(Fraction(actual) / (NM[unit] if unit else self.nm), expected)

    def near(self, actual: Length, expected: Decimal | int) -> bool:
        return abs(Fraction(actual) - Fraction(expected)) <= Fraction(self.tolerance)


@cache
def every() -> tuple[Entry, ...]:
    texts = [file.read_text(encoding="utf-8") for file in sorted(Path(__file__).parent.glob("values*.json"))]
    return tuple(Entry(**item) for text in texts for item in json.loads(text, parse_float=Decimal))


def entries(*prefixes: str) -> list[Entry]:
    """The entries whose id starts so, for `parametrize`; they count as used."""
    found = [entry for entry in every() if entry.id.startswith(prefixes)]
    assert found, prefixes
    USED.update(entry.id for entry in found)
    return found


def entry(key: str) -> Entry:
    """The one entry of that id; call it where the module is imported."""
    USED.add(key)
    return next(found for found in every() if found.id == key)
