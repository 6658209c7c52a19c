"""Do the packs of wadding cover the quilt, with none to spare, and does the roll reach?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH, Size
from quiltbook.yardage.finishing import FinishingError
from quiltbook.yardage.wadding import MOST_JOINED, Pack, to_buy

IN = NM_PER_INCH
sides = st.integers(8, 130).map(lambda inches: inches * IN)


@given(width=sides, length=sides, pack=st.tuples(sides, sides), roll=sides)
def test_packs_cover_what_is_needed_and_a_row_fewer_does_not(
    width: int, length: int, pack: tuple[int, int], roll: int
) -> None:
    result = to_buy(Size(width, length), increment=IN, packs=[Pack("mine", Size(*pack))], roll_width=roll)
    for way in result.packs:
        across, down = pack[::-1] if way.turned else pack
        assert (way.across - 1) * across < width <= way.across * across
        assert (way.down - 1) * down < length <= way.down * down
        assert way.packs <= MOST_JOINED
        assert way.left == way.packs * pack[0] * pack[1] - width * length
    for option in result.roll:  # nothing is lost where wadding is joined
        assert option.joined == option.panels * roll


def test_one_pack_turned_is_better_than_two_that_are_not() -> None:
    result = to_buy(Size(50 * IN, 80 * IN), increment=IN, packs=[Pack("long", Size(90 * IN, 60 * IN))])
    assert (result.packs[0].turned, result.packs[0].packs) == (True, 1)


def test_a_single_pack_comes_before_several_that_waste_less() -> None:
    small, large = Pack("small", Size(30 * IN, 40 * IN)), Pack("large", Size(100 * IN, 100 * IN))
    result = to_buy(Size(60 * IN, 40 * IN), increment=IN, packs=[small, large])
    assert [(way.pack.name, way.packs) for way in result.packs] == [("large", 1), ("small", 2)]


def test_a_quilt_no_sensible_number_of_packs_covers_still_has_its_roll() -> None:
    result = to_buy(Size(90 * IN, 90 * IN), increment=IN, packs=[Pack("scrap", Size(9 * IN, 9 * IN))])
    assert result.packs == ()
    assert result.roll[0].length == 90 * IN


def test_a_pack_of_no_size_is_refused() -> None:
    with pytest.raises(FinishingError) as refused:
        to_buy(Size(IN, IN), increment=IN, packs=[Pack("none", Size(0, IN))])
    assert refused.value.field == "packs"
