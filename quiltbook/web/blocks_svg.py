"""What does a block look like, small enough to choose it by? Its patches in up to four tones, told apart by marks as well as by shade.

The marks are patterns that a page defines once (templates/components/tones.html); the drawing is silent, so its name stands beside it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache
from xml.etree.ElementTree import Element

from django.utils.safestring import SafeString

from quiltbook.measures import Size
from quiltbook.web.svg import element, number, written
from quiltbook.yardage.blocks import Block, pieces
from quiltbook.yardage.outline import Outline

GROUND = ("background", "light", "sky", "corners")
TONES = 4
SIDE = 84  # in which grids of two, three, four, six and seven are whole numbers


@cache
def block_svg(block: Block) -> SafeString:
    """The block, as large as any other."""
    box = f"-1 -1 {SIDE + 2} {SIDE + 2}"
    svg = Element("svg", {"class": "block-drawn", "viewBox": box, "aria-hidden": "true", "focusable": "false"})
    tones = tones_of(role for cell in block.cells for role in cell.roles)
    drawn: dict[int, list[str]] = defaultdict(list)
    for piece in pieces(block, Size(SIDE, SIDE)):
        drawn[tones[piece.role]].append(_path(piece.outline))
    for tone in sorted(drawn):
        element(svg, "path", class_=f"tone-{tone}", d="".join(drawn[tone]))
    return written(svg)


def tones_of(roles: Iterable[str]) -> Mapping[str, int]:
    """The tone of each role of a block or of several, "star" or "block star": 0 for the ground, the others in turn."""
    others = [role for role in dict.fromkeys(roles) if not _is_ground(role)]
    return defaultdict(int, {role: 1 + n % (TONES - 1) for n, role in enumerate(others)})


def _is_ground(role: str) -> bool:
    return role.rpartition(" ")[2] in GROUND


def _path(outline: Outline) -> str:
    """A patch of straight edges as path data."""
    corners = "L".join(f"{number(x)} {number(y)}" for x, y in (edge.start for edge in outline.edges))
    return f"M{corners}Z"
