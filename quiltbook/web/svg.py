"""How is a drawing written down: elements, paths and the marks that tell one cloth from another without its colour?

Drawings are SVG inside the page. They carry classes and presentation attributes only, never a style, because the
pages' policy forbids it; text is escaped by the writer. One unit is a centimetre, so every picture is to scale.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, tostring

from django.utils.safestring import SafeString

from quiltbook.measures import NM_PER_CM, Length
from quiltbook.yardage.shapes import Edge

_HEX = re.compile(r"#[0-9a-fA-F]{6}\Z")
_UNPRINTABLE = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
NO_COLOUR = "#b7ae9f"


def cm(value: Length) -> str:
    """A length in nm as a number of centimetres, to a thousandth of a millimetre."""
    return f"{float(value) / NM_PER_CM:.4f}".rstrip("0").rstrip(".") or "0"


def number(value: float) -> str:
    """A number of centimetres, as short as it can be written."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def element(parent: Element, tag: str, **attributes: str) -> Element:
    """Add a child; `stroke_width` becomes stroke-width, and `class_` class."""
    return SubElement(parent, tag, {name.strip("_").replace("_", "-"): value for name, value in attributes.items()})


def words(parent: Element, tag: str, text: str, **attributes: str) -> Element:
    """Add a child with text in it."""
    child = element(parent, tag, **attributes)
    child.text = _UNPRINTABLE.sub("", text)
    return child


def drawing(key: str, box: tuple[float, float, float, float], title: str, desc: str, class_: str) -> Element:
    """An empty picture with a name and a description. `key` is unlike that of any other picture on the page."""
    svg = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": " ".join(number(side) for side in box),
            "class": class_,
            "role": "img",
            "aria-labelledby": f"{key}-title {key}-desc",
        },
    )
    words(svg, "title", title, id=f"{key}-title")
    words(svg, "desc", desc, id=f"{key}-desc")
    return svg


def written(svg: Element) -> SafeString:
    """The picture as text that stands in a page as it is: ElementTree has escaped all that was typed."""
    return SafeString(tostring(svg, encoding="unicode", short_empty_elements=True))


def path(outline: Sequence[Edge]) -> str:
    """The outline as path data: straight edges and true arcs."""
    x, y = outline[0].start
    parts = [f"M{cm(x)} {cm(y)}"]
    for edge in outline:
        x, y = edge.end
        if edge.rise:
            radius = cm(edge.radius)
            parts.append(f"A{radius} {radius} 0 {int(edge.large)} {int(edge.rise > 0)} {cm(x)} {cm(y)}")
        else:
            parts.append(f"L{cm(x)} {cm(y)}")
    return "".join((*parts, "Z"))


@dataclass(frozen=True, slots=True)
class Look:
    """How a cloth looks in a drawing: its name, its colour (#rrggbb) and, if there is one, its photo's address."""

    name: str
    colour: str = ""
    photo: str = ""


# Marks on a tile of 4 by 4: enough to tell twelve cloths apart without colour, faint enough to be cloth.
MARKS = (
    "M1 1h.01M3 3h.01",
    "M0 1H4M0 3H4",
    "M0 4 4 0M-1 1 1-1M3 5 5 3",
    "M1 0V4M3 0V4",
    "M.5 1h1M1 .5v1M2.5 3h1M3 2.5v1",
    "M0 0 4 4M-1 3 1 5M3-1 5 1",
    "M0 2q1-1.5 2 0t2 0",
    "M0 2H4M2 0V4",
    "M1 2a1 1 0 1 0 2 0a1 1 0 1 0-2 0",
    "M0 3 2 1 4 3",
    "M0 0 4 4M4 0 0 4",
    "M1 1.5q1-1.5 2 0q-1 1.5-2 0",
)


def pattern(svg: Element, name: str, look: Look, mark: int, tile: float) -> str:
    """Define a cloth as a fill, `tile` cm to the repeat, and return what to write in a fill attribute."""
    defs = svg.find("defs")
    if defs is None:
        defs = element(svg, "defs")
    side = number(tile * 5 if look.photo else tile)
    made = element(defs, "pattern", id=name, patternUnits="userSpaceOnUse", width=side, height=side)
    colour = look.colour if _HEX.match(look.colour) else NO_COLOUR
    element(made, "rect", width=side, height=side, fill=colour)
    if look.photo:
        element(made, "image", href=look.photo, width=side, height=side, preserveAspectRatio="xMidYMid slice")
    else:
        element(
            made,
            "path",
            d=MARKS[mark % len(MARKS)],
            transform=f"scale({number(tile / 4)})",
            fill="none",
            stroke=_against(colour),
            stroke_opacity="0.26",
            stroke_width="0.55",
            stroke_linecap="round",
        )
    return f"url(#{name})"


def _against(colour: str) -> str:
    """White on a dark colour, near black on a light one."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#ffffff" if 0.299 * red + 0.587 * green + 0.114 * blue < 140 else "#1d1a16"
