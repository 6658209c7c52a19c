"""Backing and binding against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.finishing import (
    SLIDE_LIMIT,
    Backing,
    BackingOption,
    Binding,
    backing,
    bias_from_square,
    binding,
    binding_strip,
    slid_length,
)
from tests.published.values import NM, Entry, entries, entry

TWO_PANELS = entry("back-59x72")
FROM_A_LENGTH = entry("back-59x65")
EACH_ROUNDED = entry("back-112x88")
TOTAL_ROUNDED = entry("back-112x88-total")
ONE_PANEL = entry("back-42-cut")
BIAS_LENGTH = entry("bind-64-bias-len")
SLID = entry("back-slide-42-56")
SLIDE_AT_MOST = entry("back-slide-limit")
REPEAT = entry("repeat-round")
AREA_RULE = entry("bias-area-20")
AREA_RULE_INVERTED = entry("bias-area-250")


def _backing(entry: Entry, *, seam: Length, increment: Fraction, round_each: bool = False) -> Backing:
    top = Size(entry.length("top_w"), entry.length("top_l"))
    width = entry.length("usable_width") if "usable_width" in entry.inputs else 42 * entry.nm
    return backing(
        top,
        overage=entry.length("overage_each_side"),
        cloth_width=width,
        seam_allowance=seam,
        increment=int(increment),
        round_each=round_each,
    )


def _way(result: Backing, seams: str) -> BackingOption:
    return next(option for option in result.options if option.seams == seams)


@pytest.mark.parametrize("entry", entries("back-calc-", "back-cm-"), ids=repr)
def test_the_whole_backing_is_as_published(entry: Entry) -> None:
    metric = entry.id.startswith("back-cm")
    step = entry.length("round_up_to_m", "m") if metric else entry.length("round_up_to_yd", "yd")
    result = _backing(entry, seam=entry.length("seam_each"), increment=step)
    expected, unit = entry.expected, "cm" if metric else "in"
    assert entry.agrees(result.need.width, "need_w")
    assert entry.agrees(result.need.length, "need_l")
    assert entry.agrees(result.best.length, f"best_length_{unit}")
    assert entry.agrees(result.best.to_buy, "best_metres_up" if metric else "best_yards_up", "m" if metric else "yd")
    for way, seams in (("vertical", "lengthwise"), ("horizontal", "crosswise")):
        if expected[f"{way}_panels"] > 1:
            option = _way(result, seams)
            assert option.panels == expected[f"{way}_panels"]
            assert entry.agrees(option.length, f"{way}_length_{unit}")
        else:  # without a seam the two ways are one option, the shorter
            option = _way(result, "none")
            assert option.panels == 1
            assert Fraction(option.length) <= Fraction(expected[f"{way}_length_{unit}"]) * entry.nm


@pytest.mark.parametrize("entry", entries("back-need-"), ids=repr)
def test_the_backing_s_size_is_as_published(entry: Entry) -> None:
    result = _backing(entry, seam=NM["in"] // 2, increment=Fraction(NM["yd"], 8))
    assert entry.agrees(result.need.width, "w")
    assert entry.agrees(result.need.length, "l")


def test_two_panels_without_overage_are_as_published() -> None:
    published = TWO_PANELS
    seam = published.length("seam_total_per_join") / 2
    option = _way(_backing(published, seam=seam, increment=Fraction(NM["yd"], 8)), "lengthwise")
    assert option.panels == published.expected["panels"]
    assert published.agrees(option.joined, "joined_width")
    assert published.agrees(option.length, "length_in")
    assert published.agrees(option.to_buy, "yards", "yd")


def test_the_width_of_two_panels_from_a_given_length_is_as_published() -> None:
    published = FROM_A_LENGTH
    need = Size(59 * published.nm, published.length("fabric_yards", "yd") / 2)
    seam = published.length("seam_total_per_join") / 2
    result = backing(need, overage=0, cloth_width=published.length("usable_width"), seam_allowance=seam, increment=1)
    option = _way(result, "lengthwise")
    assert published.agrees(option.panel_length, "panel_length")
    assert published.agrees(option.joined, "joined_width")


def test_three_panels_are_as_published_whether_each_or_the_total_is_rounded() -> None:
    each, total = EACH_ROUNDED, TOTAL_ROUNDED
    step = total.length("round_total_up_to_yd", "yd")
    result = _backing(total, seam=NM["in"] // 2, increment=step)
    option = _way(result, "lengthwise")
    assert each.agrees(result.need.width, "need_w")
    assert each.agrees(result.need.length, "need_l")
    assert option.panels == each.inputs["panels"] == total.inputs["panels"]
    assert total.agrees(option.length, "length_in")
    assert total.agrees(option.to_buy, "yards", "yd")
    rounded = _way(
        _backing(each, seam=NM["in"] // 2, increment=each.length("round_each_panel_up_to_yd", "yd"), round_each=True),
        "lengthwise",
    )
    assert each.agrees(rounded.to_buy, "yards", "yd")
    assert each.agrees(Fraction(rounded.to_buy, rounded.panels), "per_panel_yd", "yd")


def test_a_backing_as_wide_as_the_cloth_takes_one_panel_as_published() -> None:
    published = ONE_PANEL
    need = Fraction(published.inputs["need_w"])
    result = backing(
        Size(need, 2 * need), overage=0, cloth_width=published.inputs["usable_width"], seam_allowance=1, increment=1
    )
    assert result.best.panels == published.expected
    assert result.best.seams == "none"


def test_a_length_slid_on_the_diagonal_is_as_published() -> None:
    need = Size(SLID.length("need_w"), SLID.length("need_l"))
    width = SLID.length("fabric_w")
    assert SLID.agrees(slid_length(need, cloth_width=width))
    result = backing(need, overage=0, cloth_width=width, seam_allowance=0, increment=1, diagonal=True)
    assert SLID.agrees(_way(result, "diagonal").length)


def test_a_length_is_slid_no_further_than_published() -> None:
    """At the published widening a slid length is as long as two, and beyond it the engine offers none."""
    limit = Fraction(SLIDE_AT_MOST.expected)
    assert limit == SLIDE_LIMIT
    need = Size(100 * (1 + limit), 100)
    assert slid_length(need, cloth_width=100) == 2 * need.length
    for wider, offered in ((0, True), (1, False)):
        top = Size(Fraction(need.width) + wider, 1000)
        result = backing(top, overage=0, cloth_width=100, seam_allowance=0, increment=1, diagonal=True)
        assert ("diagonal" in {option.seams for option in result.options}) == offered


def test_a_panel_of_a_print_is_cut_to_whole_repeats_as_published() -> None:
    top = Size(60 * REPEAT.nm, REPEAT.length("panel_length"))
    result = backing(
        top, overage=0, cloth_width=42 * REPEAT.nm, seam_allowance=0, increment=1, repeat=REPEAT.length("repeat")
    )
    assert REPEAT.agrees(_way(result, "lengthwise").panel_length)


def _binding(
    entry: Entry, *, join: str, top: Size | None = None, extra: Length | None = None, cloth_width: Length | None = None
) -> Binding:
    strip = entry.length("strip_width") if "strip_width" in entry.inputs else Fraction(entry.nm * 5, 2)
    seam = entry.length("seam_allowance") if "seam_allowance" in entry.inputs else Fraction(entry.nm, 4)
    return binding(
        top or Size(entry.length("top_w"), entry.length("top_l")),
        extra=entry.length("extra") if extra is None else extra,
        strip_width=strip,
        cloth_width=entry.length("usable_width") if cloth_width is None else cloth_width,
        join=join,
        seam_allowance=seam,
    )


@pytest.mark.parametrize("entry", entries("bind-40x50", "bind-54x60"), ids=repr)
def test_straight_binding_is_as_published(entry: Entry) -> None:
    result = _binding(entry, join="none")
    assert entry.agrees(result.perimeter, "perimeter")
    assert entry.agrees(result.length_needed, "length")
    assert result.strips == entry.expected["strips"]
    assert entry.agrees(result.cloth_length, "fabric_in")


@pytest.mark.parametrize("entry", entries("bind-extra-"), ids=repr)
def test_binding_with_each_extra_is_as_published(entry: Entry) -> None:
    top = Size(60 * entry.nm, 72 * entry.nm)  # both stand in the entry's topic
    result = _binding(entry, join="none", top=top)
    assert entry.agrees(result.length_needed, "length")
    assert result.strips == entry.expected["strips"]


def test_the_length_of_bias_binding_is_as_published() -> None:
    published = BIAS_LENGTH
    assert published.agrees(_binding(published, join="bias square", cloth_width=42 * published.nm).length_needed)


@pytest.mark.parametrize("entry", entries("join-"), ids=repr)
def test_two_strips_joined_on_the_diagonal_are_as_long_as_published(entry: Entry) -> None:
    quarter = Fraction(entry.expected) * entry.nm / 4
    result = _binding(entry, join="diagonal", top=Size(quarter, quarter), extra=0, cloth_width=entry.length("length1"))
    assert result.strips == 2
    assert entry.agrees(result.joined_length)


@pytest.mark.parametrize("entry", entries("bind-join-", "bind-cm-"), ids=repr)
def test_binding_with_diagonal_joins_is_as_published(entry: Entry) -> None:
    result = _binding(entry, join="diagonal")
    assert entry.agrees(result.length_needed, "length")
    assert result.strips == entry.expected["strips"]
    assert entry.agrees(result.joined_length, "joined_length")
    assert entry.agrees(result.cloth_length, "fabric_cm" if entry.unit == "cm" else "fabric_in")
    if "yards_up_eighth" in entry.expected:
        assert entry.agrees(round_up(result.cloth_length, NM["yd"] // 8), "yards_up_eighth", "yd")


@pytest.mark.parametrize("entry", entries("bias-tube-"), ids=repr)
def test_the_least_bias_square_for_a_length_is_the_published_one(entry: Entry) -> None:
    quarter = Fraction(entry.expected["whole_strip_length"]) * entry.nm / 4
    result = _binding(entry, join="bias square", top=Size(quarter, quarter), extra=0, cloth_width=42 * entry.nm)
    assert result.strips == entry.expected["whole_strips"]
    assert result.square is not None
    assert entry.near(Fraction(result.square) / entry.nm, entry.inputs["square"])
    assert entry.agrees(result.joined_length, "whole_strip_length")


@pytest.mark.parametrize("entry", entries("binding-width-"), ids=repr)
def test_a_binding_strip_is_as_wide_as_published(entry: Entry) -> None:
    strip = binding_strip(
        entry.length("finished"),
        thickness=entry.length("thickness_allowance") if "thickness_allowance" in entry.inputs else 0,
        seam_allowance=entry.length("seam_allowance") if "seam_allowance" in entry.inputs else None,
    )
    assert entry.agrees(strip)


def test_the_area_rule_for_bias_strip_is_as_published_and_promises_too_much() -> None:
    square, strip = AREA_RULE.length("square"), AREA_RULE.length("strip_width")
    found = bias_from_square(square, strip_width=strip, seam_allowance=NM["in"] // 4)
    assert AREA_RULE.agrees(found.by_area)
    assert found.length < found.by_tube < found.by_area


def test_the_square_for_a_length_by_the_area_rule_is_as_published() -> None:
    published = AREA_RULE_INVERTED
    strip, wanted = published.length("strip_width"), published.length("length")

    def by_area(side: Fraction) -> Fraction:
        return Fraction(bias_from_square(side, strip_width=strip, seam_allowance=0).by_area)

    exact, rounded = (Fraction(published.expected[key]) * published.nm for key in ("side_exact", "side"))
    slack = Fraction(published.tolerance) * published.nm
    assert by_area(exact - slack) < wanted < by_area(exact + slack)
    assert by_area(rounded - published.nm) < wanted <= by_area(rounded)
    assert by_area(exact) * strip / published.nm**2 == pytest.approx(published.expected["area"], abs=1e-3)


@pytest.mark.parametrize("entry", entries("bias-tube-"), ids=repr)
def test_a_square_gives_as_much_bias_strip_as_published(entry: Entry) -> None:
    found = bias_from_square(
        entry.length("square"), strip_width=entry.length("strip_width"), seam_allowance=entry.length("seam_allowance")
    )
    assert found.turns == entry.expected["whole_strips"]
    assert entry.agrees(found.length, "whole_strip_length")
    assert entry.agrees(found.by_tube, "seam_corrected")
    assert entry.agrees(found.by_area, "area_rule")
