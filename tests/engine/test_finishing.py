"""Do backing, wadding and binding reach far enough, with the fewest pieces, and is the best way the one chosen?"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, box
from shapely.affinity import translate

from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Length, Size
from quiltbook.yardage.finishing import (
    FinishingError,
    backing,
    bias_from_square,
    binding,
    binding_strip,
    slid_length,
    wadding,
)

IN = NM_PER_INCH
lengths = st.integers(8, 1200).map(lambda eighths: eighths * IN // 8)
TOP = Size(60 * IN, 80 * IN)


@given(
    width=lengths,
    length=lengths,
    overage=st.integers(0, 6),
    cloth=st.integers(10, 120),
    seam=st.sampled_from([0, IN // 4, IN // 2]),
)
def test_a_backing_reaches_over_the_overage_with_the_fewest_panels(
    width: int, length: int, overage: int, cloth: int, seam: int
) -> None:
    across = cloth * IN
    result = backing(
        Size(width, length), overage=overage * IN, cloth_width=across, seam_allowance=seam, increment=NM_PER_YARD // 8
    )
    need = result.need
    assert need == Size(width + 2 * overage * IN, length + 2 * overage * IN)
    for option in result.options:
        n, total = option.panels, Fraction(option.joined)
        over, down = (need.width, need.length) if option.panel_length == need.length else (need.length, need.width)
        assert total == n * across - (n - 1) * 2 * seam
        assert total >= over
        assert n == 1 or total - across + 2 * seam < over
        assert option.length == n * down
        assert option.panel.width <= across
        assert n * Fraction(option.panel.width) - (n - 1) * 2 * seam >= over
        assert 0 <= option.to_buy - option.length < NM_PER_YARD // 8
        assert (option.seams == "none") == (n == 1)
    assert result.best == result.options[0]
    assert min(option.length for option in result.options) == result.best.length
    assert len({option.seams for option in result.options}) == len(result.options)


def test_among_backings_of_as_much_cloth_the_fewest_seams_are_best() -> None:
    """Six yards either way: three panels of 72 in lengthwise, two of 108 in crosswise."""
    result = backing(Size(108 * IN, 72 * IN), overage=0, cloth_width=40 * IN, seam_allowance=0, increment=IN)
    assert [(option.seams, option.panels, option.length) for option in result.options] == [
        ("crosswise", 2, 216 * IN),
        ("lengthwise", 3, 216 * IN),
    ]


@given(
    width=lengths, length=lengths, cloth=st.integers(10, 120), repeat=st.integers(1, 36), each=st.booleans(),
)  # fmt: skip
def test_joined_panels_of_a_print_are_the_fewest_whole_repeats(
    width: int, length: int, cloth: int, repeat: int, each: bool
) -> None:
    step = NM_PER_YARD // 8
    result = backing(
        Size(width, length), overage=0, cloth_width=cloth * IN, seam_allowance=0, increment=step, repeat=repeat * IN,
        round_each=each,
    )  # fmt: skip
    for option in result.options:
        along = length if option.seams == "lengthwise" else width
        if option.panels == 1:  # nothing has to match
            assert option.panel_length in (length, width)
        else:
            assert Fraction(option.panel_length) % (repeat * IN) == 0
            assert 0 <= option.panel_length - along < repeat * IN
        assert option.length == option.panels * option.panel_length
        assert option.to_buy % (option.panels * step if each else step) == 0
        assert 0 <= option.to_buy - option.length < (option.panels * step if each else step)
    assert result.best.to_buy == min(option.to_buy for option in result.options)


@given(
    cloth=st.integers(20, 120), wider=st.floats(0.01, 0.5), length=st.integers(10, 120), seam=st.sampled_from([0.0, 0.25, 0.5])
)  # fmt: skip
def test_a_slid_length_sewn_again_covers_what_is_needed_and_no_more(
    cloth: int, wider: float, length: int, seam: float
) -> None:
    """Cut from corner to corner, the seam taken off both halves, one moved along the cut until the edges are as far apart as asked."""
    need = Size(cloth * (1 + wider), length)
    x = float(slid_length(need, cloth_width=cloth, seam_allowance=seam))
    diagonal = (cloth**2 + x**2) ** 0.5
    along, across = (cloth / diagonal, x / diagonal), (-x / diagonal, cloth / diagonal)
    upper, lower = Polygon([(0, 0), (0, x), (cloth, x)]), Polygon([(0, 0), (cloth, 0), (cloth, x)])
    band = MultiPoint([(0, 0), (cloth, x)]).convex_hull.buffer(seam, cap_style="square") if seam else Polygon()
    slide = (need.width - cloth - 2 * seam * across[0]) / along[0]
    moved = (along[0] * slide + across[0] * 2 * seam, along[1] * slide + across[1] * 2 * seam)
    sewn = upper.difference(band).union(translate(lower.difference(band), *moved)).buffer(1e-7 * cloth)
    wanted = box(0, moved[1], need.width, x)
    assert x - moved[1] == pytest.approx(length)
    assert wanted.difference(sewn).area <= 1e-6 * wanted.area


def test_a_slid_length_is_offered_only_where_it_helps_and_nothing_has_to_match() -> None:
    def seams(width: int, repeat: int = 0, *, asked: bool = True) -> set[str]:
        found = backing(
            Size(width * IN, 90 * IN), overage=0, cloth_width=40 * IN, seam_allowance=IN // 2, increment=IN,
            repeat=repeat, diagonal=asked,
        )  # fmt: skip
        return {option.seams for option in found.options}

    assert "diagonal" in seams(50)
    assert "diagonal" not in seams(50, asked=False) | seams(50, repeat=12 * IN) | seams(38) | seams(62)


def test_cloth_hardly_wider_than_a_seam_is_not_slid() -> None:
    found = backing(Size(14, 20), overage=0, cloth_width=10, seam_allowance=4, increment=1, diagonal=True)
    assert {option.seams for option in found.options} == {"lengthwise", "crosswise"}
    with pytest.raises(FinishingError) as refused:
        slid_length(Size(14, 20), cloth_width=10, seam_allowance=4)
    assert refused.value.field == "cloth_width"


def test_the_best_backing_is_the_one_a_shop_cuts_least_for_where_it_rounds_each_panel() -> None:
    """Three panels of 11 are shorter than two of 18, but cut to the next 10 they are 60, and the two are 40."""
    for each, best in ((False, "lengthwise"), (True, "crosswise")):
        result = backing(Size(18, 11), overage=0, cloth_width=6, seam_allowance=0, increment=10, round_each=each)
        assert (result.best.seams, result.best.to_buy) == (best, 40)


def test_wadding_reaches_over_the_overage_on_every_edge() -> None:
    assert wadding(TOP, overage=3 * IN) == Size(66 * IN, 86 * IN)


@given(
    width=lengths, length=lengths, extra=st.integers(0, 24), strip=st.integers(8, 40), cloth=st.integers(20, 120),
    join=st.sampled_from(["none", "straight", "diagonal"]),
)  # fmt: skip
def test_a_binding_reaches_round_with_the_fewest_strips(
    width: int, length: int, extra: int, strip: int, cloth: int, join: str
) -> None:
    across, wide = cloth * IN, strip * IN // 8
    result = binding(
        Size(width, length), extra=extra * IN, strip_width=wide, cloth_width=across, join=join, seam_allowance=IN // 4
    )
    loss = {"none": 0, "straight": IN // 2, "diagonal": wide}[join]
    assert result.perimeter == 2 * (width + length)
    assert result.length_needed == 2 * (width + length) + extra * IN
    assert result.joined_length == result.strips * across - (result.strips - 1) * loss
    assert result.joined_length >= result.length_needed
    assert result.strips == 1 or result.joined_length - across + loss < result.length_needed
    assert result.cloth_length == result.strips * wide
    assert result.joins == result.strips - 1


@given(width=lengths, length=lengths, strip=st.integers(8, 24), cloth=st.integers(20, 60))
def test_a_bias_square_is_long_enough_and_fits_the_cloth(width: int, length: int, strip: int, cloth: int) -> None:
    across, wide, seam = cloth * IN, strip * IN // 8, IN // 4
    result = binding(
        Size(width, length), extra=0, strip_width=wide, cloth_width=across, join="bias square", seam_allowance=seam
    )
    assert result.square is not None
    assert result.square <= across
    assert float(result.joined_length) >= float(result.length_needed) * (1 - 1e-9)
    turns = result.strips // result.squares
    assert turns * wide * 2**0.5 <= float(result.square - 2 * seam) * (1 + 1e-9)
    assert result.squares * result.square**2 <= across * result.cloth_length * Fraction(1000001, 1000000)
    # a square a hundredth smaller gives too few turns, or too short ones
    smaller = float(result.square) * 0.99 - 2 * seam
    each = int(smaller / (wide * 2**0.5)) * 2**0.5 * smaller
    assert result.squares * each - (result.squares - 1) * wide < float(result.length_needed)


@given(side=st.integers(2, 60), strip=st.integers(8, 24), seam=st.sampled_from([0, IN // 4]))
def test_a_square_gives_whole_turns_and_never_what_the_area_promises(side: int, strip: int, seam: int) -> None:
    wide = strip * IN // 8
    found = bias_from_square(side * IN, strip_width=wide, seam_allowance=seam)
    inner = side * IN - 2 * seam
    assert found.turns * wide * 2**0.5 <= inner * (1 + 1e-9)
    assert (found.turns + 1) * wide * 2**0.5 > inner
    assert float(found.length) == pytest.approx(found.turns * inner * 2**0.5)
    assert float(found.length) <= float(found.by_tube) * (1 + 1e-9)
    assert found.by_tube <= found.by_area


def test_a_strip_of_a_tube_crosses_its_two_seams_at_each_turn_but_the_last() -> None:
    result = binding(TOP, extra=0, strip_width=2 * IN, cloth_width=42 * IN, join="bias square")
    assert (result.squares, result.joins) == (1, 2 * result.strips - 1)


def test_a_filled_binding_has_a_seam_as_wide_as_what_shows() -> None:
    assert binding_strip(IN // 2) == 3 * IN
    assert binding_strip(IN // 2, seam_allowance=IN // 4) == 5 * IN // 2
    assert binding_strip(IN // 2, thickness=IN // 8) == 3 * IN + IN // 4


@pytest.mark.parametrize(
    ("settings", "field"),
    [({"finished": 0}, "finished"), ({"thickness": -1}, "thickness"), ({"seam_allowance": -1}, "seam_allowance")],
)
def test_a_strip_for_a_binding_that_cannot_be_is_refused_at_its_field(settings: dict[str, int], field: str) -> None:
    with pytest.raises(FinishingError) as refused:
        binding_strip(**({"finished": IN} | settings))
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"overage": -1}, "overage"),
        ({"repeat": -1}, "repeat"),
        ({"cloth_width": 0}, "cloth_width"),
        ({"cloth_width": IN}, "cloth_width"),
        ({"increment": 0}, "increment"),
        ({"seam_allowance": -1}, "seam_allowance"),
    ],
)
def test_a_backing_that_cannot_be_is_refused_at_its_field(settings: dict[str, Length], field: str) -> None:
    usual: dict[str, Length] = {"overage": 4 * IN, "cloth_width": 42 * IN, "seam_allowance": IN // 2, "increment": IN}
    with pytest.raises(FinishingError) as refused:
        backing(TOP, **(usual | settings))  # type: ignore[arg-type]
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"extra": -1}, "extra"),
        ({"strip_width": 0}, "strip_width"),
        ({"cloth_width": 2 * IN}, "cloth_width"),
        ({"join": "knotted"}, "join"),
        ({"join": "bias square", "cloth_width": 3 * IN}, "cloth_width"),
    ],
)
def test_a_binding_that_cannot_be_is_refused_at_its_field(settings: dict[str, object], field: str) -> None:
    usual: dict[str, object] = {"extra": 12 * IN, "strip_width": 5 * IN // 2, "cloth_width": 42 * IN}
    with pytest.raises(FinishingError) as refused:
        binding(TOP, **(usual | settings))  # type: ignore[arg-type]
    assert refused.value.field == field


def test_a_top_of_no_size_has_no_finishing() -> None:
    with pytest.raises(FinishingError) as refused:
        backing(Size(0, IN), overage=0, cloth_width=IN, seam_allowance=0, increment=1)
    assert refused.value.field == "top.width"
