"""What does a quilt look like, and what lies where on a piece of cloth?

Pictures to scale, drawn from the engine's own outlines and layouts. What they say by colour they say by a mark or
a word as well, and each has a name and a description for whoever cannot see it.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, repeat
from xml.etree.ElementTree import Element

from django.utils.safestring import SafeString

from quiltbook.measures import NM_PER_CM, Size, System, show_size
from quiltbook.web.blocks_svg import tones_of
from quiltbook.web.svg import NO_COLOUR, Look, cm, drawing, element, number, path, pattern, words, written
from quiltbook.yardage.cloths import Flaw
from quiltbook.yardage.cutting import ClothLayout, Cut, Offcut, Placement
from quiltbook.yardage.drawing import Drawn
from quiltbook.yardage.layouts import Reserved


@dataclass(frozen=True, slots=True)
class Given:
    """A cloth given to a role: how it looks, and to how many of the role's patches (None: all that are left)."""

    look: Look
    count: int | None = None


def quilt_svg(
    shapes: Sequence[Drawn],
    *,
    finished: Size,
    given: Mapping[str, Sequence[Given]],
    key: str,
    title: str,
    system: System,
) -> SafeString:
    """The top, `finished` nm across and down, each patch in the cloth its role is `given`; roles without one stay bare.

    `key` is unlike that of any other picture on the page.
    """
    width, length = (float(side) / NM_PER_CM for side in (finished.width, finished.length))
    edge = max(width, length) / 100
    desc = f"{show_size(finished, system=system)} finished. " + _in_words(shapes, given)
    svg = drawing(key, (-edge, -edge, width + 2 * edge, length + 2 * edge), title, desc, "picture quilt")
    fills = _fills(svg, key, given, tile=max(width, length) / 45)
    tones = tones_of(shape.role for shape in shapes if shape.part == "patch")
    for (role, look), run in groupby(_dressed(shapes, given), key=lambda dressed: (dressed[0].role, dressed[1])):
        alike = [shape for shape, _ in run]
        group = element(svg, "g", class_="role" if look else f"role bare {_bare(alike[0], tones)}")
        words(group, "title", f"{_said(role)}: {look.name if look else 'no cloth chosen yet'}")
        outline = "".join(path(shape.outline) for shape in alike)
        fill = fills[look] if look else NO_COLOUR
        if role == "panel" and look and look.photo:
            _picture(group, alike[0], look.photo)
            fill = "none"
        element(group, "path", d=outline, fill=fill, class_="patch")
    return written(svg)


def _picture(group: Element, panel: Drawn, photo: str) -> None:
    """A printed panel is one picture, not a cloth that repeats."""
    (x, y), (right, bottom) = panel.outline[0].start, panel.outline[2].start
    element(
        group, "image", href=photo, x=cm(x), y=cm(y), width=cm(right - x), height=cm(bottom - y),
        preserveAspectRatio="xMidYMid slice",
    )  # fmt: skip


def _bare(shape: Drawn, tones: Mapping[str, int]) -> str:
    """Classes that tell one bare part from its neighbours: what it is, and whether its round is an odd one; of a block, its tone."""
    if shape.part == "patch":
        return f"of-block toned-{tones[shape.role]}"
    part = "border" if shape.part in ("side", "end") else shape.part.replace(" ", "-")
    return f"{part} odd" if (shape.round or 0) % 2 else part


def _dressed(shapes: Sequence[Drawn], given: Mapping[str, Sequence[Given]]) -> Iterator[tuple[Drawn, Look | None]]:
    """Each shape with its cloth: a role's cloths are handed out in order, each to as many patches as it is for."""
    hands = {role: _handed_out(cloths) for role, cloths in given.items()}
    for shape in shapes:
        yield shape, next(hands[shape.role], None) if shape.role in hands else None


def _handed_out(cloths: Sequence[Given]) -> Iterator[Look]:
    for one in cloths:
        yield from repeat(one.look) if one.count is None else repeat(one.look, one.count)


def _fills(svg: Element, key: str, given: Mapping[str, Sequence[Given]], *, tile: float) -> dict[Look, str]:
    looks = dict.fromkeys(one.look for cloths in given.values() for one in cloths)
    return {look: pattern(svg, f"{key}-cloth-{n}", look, n, tile) for n, look in enumerate(looks)}


def _in_words(shapes: Sequence[Drawn], given: Mapping[str, Sequence[Given]]) -> str:
    roles = dict.fromkeys(shape.role for shape in shapes)
    return " ".join(
        f"{_said(role)}: {', '.join(one.look.name for one in given.get(role, ())) or 'no cloth chosen yet'}."
        for role in roles
    )


def _said(role: str) -> str:
    return role[:1].upper() + role[1:]


def layout_svg(
    layout: ClothLayout,
    *,
    cloth: Size,
    look: Look,
    labels: Mapping[str, str],
    key: str,
    title: str,
    system: System,
    flaws: Sequence[Flaw] = (),
    ticks: Collection[int] = (),
) -> SafeString:
    """One piece of cloth, `cloth` nm across the grain and along it, with its patches, cuts, offcuts and flaws.

    `labels` names the patches by id, `ticks` are the numbers of the cuts that are made. The first cut that is not
    ticked is marked as the next.
    """
    width, length = (float(side) / NM_PER_CM for side in (cloth.width, cloth.length))
    # A letter is about this tall; what is long is shown smaller than what is wide, so it must not grow with length.
    unit = max(width, length / 2) / 32
    box = (-2.2 * unit, -2.2 * unit, width + 3 * unit, length + 3 * unit)
    patches = len(layout.placements) + sum(one.count for one in layout.reserved)
    desc = (
        f"{show_size(cloth, system=system)}. {patches} patches, {len(layout.cuts)} cuts, {len(layout.offcuts)} offcuts."
    )
    svg = drawing(key, box, title, desc, "picture layout")
    _hatches(svg, key, unit)
    element(svg, "rect", x="0", y="0", width=number(width), height=number(length), class_="cloth")
    fill = pattern(svg, f"{key}-cloth", look, 0, unit * 1.2)
    element(svg, "path", d=f"M0 0V{number(length)}M{number(width)} 0V{number(length)}", class_="selvedge")
    for offcut in layout.offcuts:
        _offcut(svg, offcut, f"url(#{key}-offcut)", unit, system)
    for placement in layout.placements:
        _patch(svg, placement, fill, labels.get(placement.patch, placement.patch), unit, system)
    for one in layout.reserved:
        _by_eye(svg, one, fill, labels.get(one.patch, one.patch), unit)
    for flaw in flaws:
        _flaw(svg, flaw)
    undone = min((cut.number for cut in layout.cuts if cut.number not in ticks), default=None)
    for cut in layout.cuts:
        _cut(svg, cut, "cut done" if cut.number in ticks else "cut next" if cut.number == undone else "cut", unit)
    return written(svg)


def _hatches(svg: Element, key: str, unit: float) -> None:
    defs = element(svg, "defs")
    side = number(unit)
    hatch = element(
        defs, "pattern", id=f"{key}-offcut", patternUnits="userSpaceOnUse", width=side, height=side,
        patternTransform="rotate(45)",
    )  # fmt: skip
    element(hatch, "path", d=f"M0 0V{side}", class_="hatch")


def _rectangle(parent: Element, thing: Placement | Offcut | Flaw | Reserved, fill: str, class_: str) -> None:
    element(
        parent, "rect", x=cm(thing.x), y=cm(thing.y), width=cm(thing.width), height=cm(thing.length), fill=fill,
        class_=class_,
    )  # fmt: skip


def _offcut(svg: Element, offcut: Offcut, fill: str, unit: float, system: System) -> None:
    group = element(svg, "g", class_="offcut")
    size = show_size(Size(offcut.width, offcut.length), system=system)
    words(group, "title", f"Offcut, {size}")
    _rectangle(group, offcut, fill, "offcut-shape")
    _label(group, offcut, (size,), unit)


def _patch(svg: Element, placement: Placement, fill: str, label: str, unit: float, system: System) -> None:
    group = element(svg, "g", class_="placed")
    size = show_size(Size(placement.width, placement.length), system=system)
    words(group, "title", f"{label}, {size}")
    _rectangle(group, placement, fill, "patch")
    _label(group, placement, (label, size), unit)


def _by_eye(svg: Element, reserved: Reserved, fill: str, label: str, unit: float) -> None:
    """A rectangle of whole repeats: where in it each patch lies is seen on the cloth."""
    group = element(svg, "g", class_="placed by-eye")
    words(group, "title", f"{label}: {reserved.count} to cut by eye within this")
    _rectangle(group, reserved, fill, "patch")
    _label(group, reserved, (f"{label}: {reserved.count} by eye", f"{reserved.count} {label}"), unit)


def _label(group: Element, thing: Placement | Offcut | Reserved, lines: Sequence[str], unit: float) -> None:
    """Write as many of the lines as fit, upright or, in a tall narrow shape, turned; none where none can be read."""
    across, along = float(thing.width) / NM_PER_CM, float(thing.length) / NM_PER_CM
    turned = along > 1.6 * across
    room, height = (along, across) if turned else (across, along)
    tall = unit * 1.15
    ways = (tuple(lines), (" ".join(lines),), tuple(lines[:1]), tuple(lines[1:2]))
    fitting = next((way for way in ways if way and _fits(way, room, height, tall)), None)
    if fitting is None:
        return
    x, y = (float(thing.x) / NM_PER_CM + across / 2, float(thing.y) / NM_PER_CM + along / 2)
    text = element(group, "text", class_="label", font_size=number(tall), text_anchor="middle")
    if turned:
        text.set("transform", f"rotate(-90 {number(x)} {number(y)})")
    for n, line in enumerate(fitting):
        at = y + tall * (1.15 * (n - (len(fitting) - 1) / 2) + 0.35)
        words(text, "tspan", line, x=number(x), y=number(at))


def _fits(lines: Sequence[str], room: float, height: float, tall: float) -> bool:
    """Whether lines of that height leave a little clear on every side."""
    return len(lines) * 1.3 * tall <= height and all(0.62 * tall * len(line) <= room * 0.94 for line in lines)


def _flaw(svg: Element, flaw: Flaw) -> None:
    group = element(svg, "g", class_="flaw")
    words(group, "title", "A flaw: nothing is cut from here")
    _rectangle(group, flaw, "none", "flaw-shape")
    x, y, right, bottom = flaw.x, flaw.y, flaw.x + flaw.width, flaw.y + flaw.length
    element(group, "path", d=f"M{cm(x)} {cm(y)}L{cm(right)} {cm(bottom)}M{cm(right)} {cm(y)}L{cm(x)} {cm(bottom)}")


def _cut(svg: Element, cut: Cut, class_: str, unit: float) -> None:
    """A line with its number where the ruler is laid: left of a cut across, above a cut along."""
    group = element(svg, "g", class_=class_)
    across = cut.direction == "across"
    at, start, end = (float(value) / NM_PER_CM for value in (cut.at, cut.start, cut.end))
    line = (start, at, end, at) if across else (at, start, at, end)
    element(group, "line", **dict(zip(("x1", "y1", "x2", "y2"), map(number, line), strict=True)))
    x, y = (start - unit if start == 0 else start, at) if across else (at, start - unit if start == 0 else start)
    element(group, "circle", cx=number(x), cy=number(y), r=number(unit * 0.85))
    words(
        group, "text", str(cut.number), x=number(x), y=number(y + unit * 0.36), font_size=number(unit),
        text_anchor="middle",
    )  # fmt: skip
