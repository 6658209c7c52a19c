"""Fields of hexagons and the units of pieced borders against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Size
from quiltbook.yardage.fields import field
from quiltbook.yardage.fit import fit
from tests.published.values import Entry, entries


@pytest.mark.parametrize("entry", entries("hexfield-"), ids=repr)
def test_a_field_of_hexagons_measures_as_published(entry: Entry) -> None:
    result = field("hexagon", entry.length("side"), entry.inputs["rows"], entry.inputs["cols"])
    assert result.count == entry.expected["pieces"]
    assert entry.agrees(result.size.width, "width")
    assert entry.agrees(result.size.length, "height")


@pytest.mark.parametrize("entry", entries("border-units"), ids=repr)
def test_the_units_of_a_pieced_border_fit_as_published(entry: Entry) -> None:
    length, counted = Fraction(entry.inputs["border_length"]), "unit" in entry.inputs
    unit = Fraction(entry.inputs["unit"] if counted else entry.expected)
    result = fit(Size(length, length), unit, coping="none")
    assert result.across == (entry.expected if counted else entry.inputs["units"])
    assert result.sides == 0
