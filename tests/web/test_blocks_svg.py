"""A block's drawing tells its patches apart, is as small as it can be, and says nothing that its name beside it does not."""

import xml.etree.ElementTree as ET

import pytest

from quiltbook.web.blocks_svg import SIDE, block_svg, tones_of
from quiltbook.yardage.traditional import TRADITIONAL


@pytest.mark.parametrize("name", TRADITIONAL)
def test_every_role_of_a_block_has_a_tone_of_its_own(name: str) -> None:
    roles = {role for cell in TRADITIONAL[name].cells for role in cell.roles}
    tones = tones_of(role for cell in TRADITIONAL[name].cells for role in cell.roles)
    assert len({tones[role] for role in roles}) == len(roles)


@pytest.mark.parametrize("name", TRADITIONAL)
def test_a_block_is_drawn_silently_in_one_path_a_tone(name: str) -> None:
    svg = ET.fromstring(block_svg(TRADITIONAL[name]))  # noqa: S314  (our own drawing)
    assert svg.get("aria-hidden") == "true"
    classes = [path.get("class") for path in svg]
    assert len(set(classes)) == len(classes) > 1
    assert "style" not in block_svg(TRADITIONAL[name])


def test_a_nine_patch_has_five_squares_of_one_tone_and_four_of_the_other() -> None:
    ground, dark = ET.fromstring(block_svg(TRADITIONAL["nine patch"]))  # noqa: S314  (our own drawing)
    assert (ground.get("class"), (ground.get("d") or "").count("Z")) == ("tone-0", 4)
    assert (dark.get("class"), (dark.get("d") or "").count("Z")) == ("tone-1", 5)
    assert (dark.get("d") or "").startswith(f"M0 0L{SIDE // 3} 0L{SIDE // 3} {SIDE // 3}L0 {SIDE // 3}Z")


def test_the_same_tones_serve_blocks_in_a_quilt() -> None:
    assert tones_of(["block star", "block background", "block dark"])["block background"] == 0
    assert tones_of(["first border geese", "first border sky"]) == {"first border geese": 1}
