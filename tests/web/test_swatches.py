"""Is a drawn cloth the same each time, unlike another, and does its print run on over its edges?"""

import io

import pytest
from PIL import Image, ImageChops, ImageStat

from quiltbook.web.swatches import PRINTS, swatch

COLOURS = ["#f3ead8", "#a3302f", "#4f6b58", "#e9bd5b"]


def drawn(kind: str, seed: str = "harbour", size: int = 96) -> Image.Image:
    return Image.open(io.BytesIO(swatch(seed, COLOURS, kind, size))).convert("RGB")


@pytest.mark.parametrize("kind", PRINTS)
def test_the_same_seed_gives_the_same_cloth_and_another_seed_another(kind: str) -> None:
    assert swatch("harbour", COLOURS, kind, 64) == swatch("harbour", COLOURS, kind, 64)
    assert swatch("harbour", COLOURS, kind, 64) != swatch("lighthouse", COLOURS, kind, 64)


@pytest.mark.parametrize("kind", PRINTS)
def test_a_cloth_is_a_png_of_the_size_asked_for_in_about_its_ground(kind: str) -> None:
    image = drawn(kind)
    assert image.size == (96, 96)
    brightness = sum(ImageStat.Stat(image).mean) / 3
    assert 60 < brightness < 240


@pytest.mark.parametrize("kind", [kind for kind in PRINTS if kind != "plain"])
def test_every_print_shows_on_the_ground(kind: str) -> None:
    difference = ImageChops.difference(drawn(kind), drawn("plain"))
    assert max(ImageStat.Stat(difference).stddev) > 4


@pytest.mark.parametrize("kind", ["dots", "leaves", "florals", "sprigs", "tonal"])
def test_its_edges_meet(kind: str) -> None:
    """Across the join of two copies the cloth changes no more than it does elsewhere."""
    image = drawn(kind, size=192)
    copies = Image.new("RGB", (384, 192))
    copies.paste(image, (0, 0))
    copies.paste(image, (192, 0))

    def change(at: int) -> float:
        left, right = (copies.crop((x, 0, x + 1, 192)) for x in (at - 1, at))
        return sum(ImageStat.Stat(ImageChops.difference(left, right)).mean)

    elsewhere = sorted(change(at) for at in range(20, 180))
    assert change(192) <= elsewhere[-1]
