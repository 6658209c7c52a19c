"""Where does everything of a setting lie: blocks, setting triangles, sashes and cornerstones?

In nm from the setting's top left corner, y down. On point, blocks stand on the corners of a lattice of half diagonals.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.measures import Size
from quiltbook.yardage.blocks import Block, pieces
from quiltbook.yardage.outline import Outline, Placed, Point, ring
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.shapes import ROOT2

_EIGHTH = math.pi / 4


@dataclass(frozen=True, slots=True)
class Spot:
    """The middle of one block. `design`: which of the designs that take turns is there, before counting round."""

    x: float
    y: float
    design: int


def spots(setting: Setting) -> Iterator[Spot]:
    """Every block of a setting, row by row. On point, the main rows have the first design, the blocks between the second."""
    n, m, pitch = setting.across, setting.down, float(setting.block) + float(setting.sashing)
    if not setting.on_point:
        first = float(setting.block) / 2 + (float(setting.sashing) if setting.outer else 0.0)
        for row in range(m):
            for column in range(n):
                yield Spot(first + column * pitch, first + row * pitch, row + column)
        return
    half = pitch * ROOT2 / 2
    for row in range(1, 2 * m):
        between = row % 2 == 0
        for column in range(2 if between else 1, 2 * n, 2):
            yield Spot(column * half, row * half, 1 if between else 0)


def counts(setting: Setting, designs: int) -> list[int]:
    """How many blocks of each of so many designs there are."""
    found = [0] * designs
    for spot in spots(setting):
        found[spot.design % designs] += 1
    return found


def placed(setting: Setting, designs: Sequence[Block]) -> Iterator[Placed]:
    """Every patch of a setting, where it lies."""
    side = float(setting.block)
    drawn = [pieces(design, Size(side, side)) for design in designs]
    turn = _EIGHTH if setting.on_point else 0.0
    for spot in spots(setting):
        for piece in drawn[spot.design % len(designs)]:
            outline = piece.outline.moved(-side / 2, -side / 2).moved(spot.x, spot.y, turn)
            yield Placed(f"block {piece.role}", "patch", outline)
    yield from _between(setting) if not setting.on_point else _round_about(setting)


def _box(x: float, y: float, width: float, length: float) -> Outline:
    return ring([(x, y), (x + width, y), (x + width, y + length), (x, y + length)])


def _between(setting: Setting) -> Iterator[Placed]:
    """The sashing of a straight setting."""
    b, w, n, m = float(setting.block), float(setting.sashing), setting.across, setting.down
    if not w:
        return
    first = 0.0 if setting.outer else b
    more = 1 if setting.outer else -1
    rows = [first + k * (b + w) for k in range(m + more)]
    columns = [first + k * (b + w) for k in range(n + more)]
    begin = w if setting.outer else 0.0
    for x in columns:
        for row in range(m):
            yield Placed("sashing", "sash", _box(x, begin + row * (b + w), w, b))
    for y in rows:
        if setting.cornerstones:
            for column in range(n):
                yield Placed("sashing", "sash", _box(begin + column * (b + w), y, b, w))
            for x in columns:
                yield Placed("sashing cornerstones", "sashing cornerstone", _box(x, y, w, w))
        else:
            yield Placed("sashing", "sash", _box(0, y, n * b + len(columns) * w, w))


def _round_about(setting: Setting) -> Iterator[Placed]:
    """Triangles, and sashing where there is any, of blocks on point."""
    b, w, n, m = float(setting.block), float(setting.sashing), setting.across, setting.down
    half, k = (b + w) * ROOT2 / 2, b * ROOT2 / 2
    width, length = 2 * n * half, 2 * m * half
    for x in range(2, 2 * n, 2):
        for points in _edge_pair(x * half, k, length, across=True):
            yield Placed("setting triangles", "side triangle", ring(points))
    for y in range(2, 2 * m, 2):
        for points in _edge_pair(y * half, k, width, across=False):
            yield Placed("setting triangles", "side triangle", ring(points))
    for points in (
        [(0, 0), (k, 0), (0, k)],
        [(width, 0), (width, k), (width - k, 0)],
        [(width, length), (width - k, length), (width, length - k)],
        [(0, length), (0, length - k), (k, length)],
    ):
        yield Placed("setting triangles", "corner triangle", ring(points))
    if w:
        yield from _frames(setting, half)


def _edge_pair(at: float, reach: float, far: float, *, across: bool) -> tuple[list[Point], list[Point]]:
    """The triangle with its long side on the top edge (or the left one), `reach` to both sides of `at`, and the one opposite."""
    if across:
        return (
            [(at - reach, 0), (at + reach, 0), (at, reach)],
            [(at + reach, far), (at - reach, far), (at, far - reach)],
        )
    return [(0, at + reach), (0, at - reach), (reach, at)], [(far, at - reach), (far, at + reach), (far - reach, at)]


def _frames(setting: Setting, half: float) -> Iterator[Placed]:
    """The sashes round every main block, and the cornerstones at the corners of all blocks, those on the edge halved."""
    b, w, n, m = float(setting.block), float(setting.sashing), setting.across, setting.down
    out, cut = (b + w) / 2, w * ROOT2 / 2
    for spot in spots(setting):
        if spot.design == 0:
            for quarter in range(4):
                sash = _box(-b / 2, -out - w / 2, b, w)
                yield Placed("sashing", "sash", sash.moved(spot.x, spot.y, _EIGHTH + quarter * math.pi / 2))
    stone = _box(-w / 2, -w / 2, w, w)
    for row in range(2 * m + 1):
        for column in range(1 - row % 2, 2 * n + 1, 2):
            if 0 < row < 2 * m and 0 < column < 2 * n:
                outline = stone.moved(column * half, row * half, _EIGHTH)
                yield Placed("sashing cornerstones", "sashing cornerstone", outline)
    edges = [points for x in range(1, 2 * n, 2) for points in _edge_pair(x * half, cut, 2 * m * half, across=True)]
    edges += [points for y in range(1, 2 * m, 2) for points in _edge_pair(y * half, cut, 2 * n * half, across=False)]
    for points in edges:
        yield Placed("sashing cornerstones", "edge cornerstone", ring(points))
