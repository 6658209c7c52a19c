"""What the colours of cloth are reckoned to be: palettes of photos, values, families of hue, nearness, and what goes with what."""

import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw
from sklearn.cluster import KMeans
from sklearn.datasets import load_sample_image

from quiltbook.web.swatches import swatch
from stash import colour

INDIGO, BRICK, CREAM = "#2f4b7c", "#9c2c2b", "#f4ecd8"

colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


def striped(*bands: tuple[str, int]) -> Image.Image:
    """A picture 100 dots wide, of bands so many dots high."""
    image = Image.new("RGB", (100, sum(high for _, high in bands)))
    top = 0
    for one, high in bands:
        ImageDraw.Draw(image).rectangle((0, top, 100, top + high - 1), fill=one)
        top += high
    return image


# --- palettes --------------------------------------------------------------------------------------------------------


def test_a_palette_names_each_colour_with_its_share_the_commonest_first() -> None:
    seen = colour.palette(striped((CREAM, 60), (BRICK, 10), (INDIGO, 30)))

    assert [share for _, share in seen] == [600, 300, 100]
    assert [colour.difference(one, real) for (one, _), real in zip(seen, (CREAM, INDIGO, BRICK), strict=True)] == (
        pytest.approx([0, 0, 0], abs=1.5)
    )


def test_light_and_shade_of_one_colour_are_one_colour() -> None:
    seen = colour.palette(striped((INDIGO, 50), ("#34517f", 30), (BRICK, 20)))

    assert [share for _, share in seen] == [800, 200]


def test_a_speck_is_no_colour_of_the_cloth_and_many_colours_are_cut_short() -> None:
    assert len(colour.palette(striped((INDIGO, 99), (BRICK, 1)))) == 1
    wheel = [(f"#{red}{green}{blue}", 10) for red in ("20", "e0") for green in ("20", "e0") for blue in ("20", "e0")]
    assert len(colour.palette(striped(*wheel))) == colour.MOST_COLOURS


@pytest.mark.parametrize("picture", [Image.new("L", (1, 1), 128), Image.new("RGBA", (3, 900), (200, 0, 0, 255))])
def test_the_smallest_and_oddest_pictures_have_a_palette(picture: Image.Image) -> None:
    assert [share for _, share in colour.palette(picture)] == [1000]


def off(picture: np.ndarray, centres: np.ndarray) -> float:
    """The mean difference (CIEDE2000) of a picture's dots from the nearest of some colours, both in L*a*b*."""
    return float(np.stack([colour.differences(picture, one) for one in centres]).min(axis=0).mean())


@pytest.mark.parametrize("name", ["china.jpg", "flower.jpg"])
def test_a_palette_stands_for_a_photograph_nearly_as_well_as_k_means_does(name: str) -> None:
    """scikit-learn's k-means in L*a*b*, with as many colours as our palette has, on the photographs that it ships: what is measured is how
    far a dot is from the nearest colour, on average."""
    picture = Image.fromarray(load_sample_image(name))
    picture.thumbnail((120, 120))
    dots = colour.lab("#" + bytes(dot).hex() for dot in np.asarray(picture).reshape(-1, 3))
    ours = colour.lab(one for one, _ in colour.palette(picture))
    theirs = KMeans(len(ours), n_init=3, random_state=1).fit(dots).cluster_centers_

    assert off(dots, ours) <= 1.1 * off(dots, theirs)
    one_colour = colour.lab([colour.palette(picture)[0][0]])
    assert off(dots, ours) < 0.6 * off(dots, one_colour)


@pytest.mark.parametrize("kind", ["dots", "checks", "leaves"])
def test_the_palette_of_a_woven_print_holds_what_it_was_printed_with(kind: str) -> None:
    cloth = Image.open(io.BytesIO(swatch("a", [CREAM, BRICK], kind)))

    found = [one for one, _ in colour.palette(cloth)]

    for printed in (CREAM, BRICK):
        # The weave darkens what is printed by a tenth or so.
        assert min(colour.difference(printed, one) for one in found) < 12


# --- one colour ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "said"),
    [
        ("#1f2f5c", "dark blue"),
        ("#7db7e8", "light blue"),
        ("#9c2c2b", "dark red"),
        ("#5c1a2b", "dark red"),
        ("#f2a6b8", "light pink"),
        ("#d9822b", "medium orange"),
        ("#f4e04d", "light yellow"),
        ("#3a7d34", "medium green"),
        ("#1f7a7a", "medium turquoise"),
        ("#6a3d9a", "dark purple"),
        ("#f4ecd8", "light neutral"),
        ("#777777", "medium neutral"),
        ("#000000", "dark neutral"),
        ("#ffffff", "light neutral"),
    ],
)
def test_a_colour_is_called_what_a_quilter_would_call_it(one: str, said: str) -> None:
    assert colour.said(one) == said


@given(st.integers(0, 254))
def test_a_lighter_grey_is_never_darker_in_value(grey: int) -> None:
    order = ("dark", "medium", "light")
    here, above = (order.index(colour.value_of(f"#{n:02x}{n:02x}{n:02x}")) for n in (grey, grey + 1))
    assert here <= above


@pytest.mark.parametrize(
    ("palette", "value", "main"),
    [
        ([(CREAM, 500), (INDIGO, 400), (BRICK, 100)], "medium", INDIGO),
        ([(CREAM, 800), (INDIGO, 200)], "light", CREAM),
        ([(INDIGO, 600), (CREAM, 400)], "medium", INDIGO),
        ([("#101c38", 900), (CREAM, 100)], "dark", "#101c38"),
        ([("#ffffff", 500), ("#000000", 500)], "medium", "#ffffff"),
    ],
)
def test_a_print_has_the_mean_value_of_its_colours_and_is_called_by_its_hue(
    palette: list[tuple[str, int]], value: str, main: str
) -> None:
    assert (colour.value_of_print(palette), colour.main_of(palette)) == (value, main)
    assert colour.value_of_print([(main, 1000)]) == colour.value_of(main)


def test_a_point_of_a_photo_has_the_colour_about_it() -> None:
    picture = striped((CREAM, 50), (BRICK, 50))

    assert colour.colour_at(picture, 0.5, 0.2) == CREAM
    assert colour.colour_at(picture, 1.0, 1.0) == BRICK
    assert colour.colour_at(picture, 0.0, 0.0) == CREAM
    # On the edge, one row of cream and two of brick.
    assert colour.colour_at(picture, 0.5, 0.5) == "#b96c65"


def test_side_by_side_hues_follow_each_other_the_lightest_first_and_neutrals_last() -> None:
    laid = ["#777777", "#1f2f5c", "#9c2c2b", "#7db7e8", "#3a7d34"]
    assert [laid[n] for n in colour.by_hue(laid)] == ["#9c2c2b", "#3a7d34", "#7db7e8", "#1f2f5c", "#777777"]


# --- nearness --------------------------------------------------------------------------------------------------------

CLOTHS = (
    [(INDIGO, 1000)],
    [(CREAM, 900), (INDIGO, 100)],
    [("#3a7d34", 1000)],
    [(CREAM, 500), (INDIGO, 300), (BRICK, 200)],
)


def test_a_cloth_is_as_near_as_the_nearest_of_its_colours_and_says_how_much_of_it_is_near() -> None:
    apart, shares = colour.nearest(colour.cloths(CLOTHS), INDIGO)

    assert apart.tolist()[:2] == [0, 0]
    assert apart[2] == pytest.approx(colour.difference(INDIGO, "#3a7d34"))
    assert shares.tolist() == pytest.approx([1, 0.1, 1, 0.3])


@given(
    st.lists(st.lists(st.tuples(colours, st.integers(1, 1000)), min_size=1, max_size=4), min_size=1, max_size=6),
    colours,
)
def test_all_cloths_at_once_are_as_near_as_each_asked_one_by_one(cloths: list[list[tuple[str, int]]], one: str) -> None:
    apart, _ = colour.nearest(colour.cloths(cloths), one)

    assert apart.tolist() == pytest.approx([min(colour.difference(of, one) for of, _ in cloth) for cloth in cloths])


@given(st.lists(st.tuples(colours, st.integers(20, 1000)), min_size=1, max_size=4))
def test_a_cloth_is_most_like_itself(cloth: list[tuple[str, int]]) -> None:
    assert colour.alike(colour.cloths([cloth]), cloth)[0] == pytest.approx(0, abs=1e-6)


def test_a_print_is_more_like_a_print_in_its_colours_than_like_either_colour_plain() -> None:
    apart = colour.alike(
        colour.cloths([[(CREAM, 1000)], [(BRICK, 1000)], [(CREAM, 550), (BRICK, 450)]]), [(CREAM, 600), (BRICK, 400)]
    )

    assert apart.argmin() == 2


# --- what goes together ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "relation"),
    [
        ("#7f9fd8", colour.LIGHTER),
        ("#101c38", colour.DARKER),
        ("#5a3d8a", colour.NEIGHBOUR),
        ("#a8752a", colour.OPPOSITE),
        (CREAM, colour.NEUTRALS),
        ("#777777", colour.NEUTRALS),
        (INDIGO, ""),
        ("#3a7d34", ""),
    ],
)
def test_cloth_goes_with_indigo_by_a_plain_relation_or_by_none(other: str, relation: str) -> None:
    assert colour.relations(INDIGO, [other]) == [relation]


def test_beside_a_neutral_other_neutrals_are_lighter_or_darker_and_every_colour_shows() -> None:
    assert colour.relations("#777777", ["#dddddd", "#222222", BRICK]) == [
        colour.LIGHTER,
        colour.DARKER,
        colour.OPPOSITE,
    ]
    assert colour.relations(INDIGO, []) == []


@given(colours, colours)
def test_relations_hold_both_ways(one: str, other: str) -> None:
    there, back = colour.relations(one, [other])[0], colour.relations(other, [one])[0]
    turned = {colour.LIGHTER: colour.DARKER, colour.DARKER: colour.LIGHTER}
    if {there, back} != {colour.NEUTRALS, colour.OPPOSITE}:
        assert back == turned.get(there, there)


def test_of_colours_an_eye_takes_for_one_only_one_is_suggested() -> None:
    few = colour.a_few(["#101c38", "#111d39", "#20407a"], INDIGO, 6)

    assert 2 in few
    assert len({0, 1} & set(few)) == 1
    assert len(colour.a_few([f"#{n:02x}4020" for n in range(0, 250, 10)], BRICK, 6)) == 6
