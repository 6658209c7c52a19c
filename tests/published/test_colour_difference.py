"""Is the difference of two colours the one the formula's own authors published for it? Their 34 pairs, and a library's own reckoning."""

import json
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import assume, given
from hypothesis import strategies as st

from stash.colour import difference, differences, lab, oklch

PAIRS = json.loads((Path(__file__).parent / "colour_differences.json").read_text())["pairs"]
# The published figures are rounded to four decimals.
ROUNDED = 0.5e-4 + 1e-9
JUMP = 13

colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


@pytest.mark.parametrize("pair", [pair for n, pair in enumerate(PAIRS) if n != JUMP])
def test_a_published_pair_differs_by_the_published_figure_whichever_comes_first(pair: list[float]) -> None:
    one, other = np.array(pair[:3]), np.array(pair[3:6])

    assert differences(one[None], other)[0] == pytest.approx(pair[6], abs=ROUNDED)
    assert differences(other[None], one)[0] == pytest.approx(pair[6], abs=ROUNDED)


def test_the_pair_on_the_formulas_jump_lies_on_one_side_or_the_other() -> None:
    """Its hues are 180 degrees apart to the last bit: either branch is right, with the figure of the pair before it or the one after."""
    pair = PAIRS[JUMP]
    apart = differences(np.array([pair[:3]]), np.array(pair[3:6]))[0]

    assert min(abs(apart - PAIRS[JUMP][6]), abs(apart - PAIRS[JUMP + 1][6])) <= ROUNDED


def test_all_pairs_at_once_give_what_each_gives_alone() -> None:
    table = np.array(PAIRS)

    together = differences(table[:, :3], table[:, 3:6])

    assert together == pytest.approx([differences(row[None, :3], row[3:6])[0] for row in table])


@given(colours, colours)
def test_it_agrees_with_a_library_on_any_two_colours(one: str, other: str) -> None:
    """Within the two whites, whose published decimals differ: 0.01 of L*a*b*. Where hues lie opposite the formula jumps, so that pairs
    near that are passed over."""
    hues = [np.degrees(np.arctan2(b, a)) for _, a, b in lab([one, other])]
    assume(abs(abs(hues[0] - hues[1]) - 180) > 3)
    assert difference(one, other) == pytest.approx(Color(one).delta_e(other, method="2000"), abs=0.03)


@given(colours)
def test_colour_spaces_agree_with_a_library(one: str) -> None:
    light, chroma, _ = oklch([one])[0]
    theirs = Color(one).convert("oklch")

    assert lab([one])[0] == pytest.approx(Color(one).convert("lab-d65").coords(), abs=0.02)
    assert (light, chroma) == pytest.approx((theirs["lightness"], theirs["chroma"]), abs=1e-5)
