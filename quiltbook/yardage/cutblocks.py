"""What must be cut for so many blocks, and which of their units can be sewn many at a time?

Patches are told apart by their geometry: upright rectangles, right triangles with their legs along the block (squares cut once) or their
long side along it (squares cut twice), and everything else, which is cut with a template from an upright rectangle.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.blocks import Block, BlockPiece, Cell, pieces
from quiltbook.yardage.outline import Outline
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.shapes import rough_cut
from quiltbook.yardage.units import Units, geese, half_squares, hourglasses, strip_set

_CONSTANTS = {"half square triangle": 2 + math.sqrt(2), "quarter square triangle": 2 + 2 * math.sqrt(2)}
_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Cutting:
    """How patches are cut: `seam_allowance`, the cutting `step`, and what is added to squares of triangles."""

    seam_allowance: Length
    step: int
    surplus: Length = 0


def patches(
    made: Sequence[tuple[Sequence[BlockPiece], int]], cutting: Cutting, *, role: str, part: str, round_index: int | None
) -> tuple[Patch, ...]:
    """The patches of blocks, each with how many of it there are; `role` comes before each patch's own, "block star"."""
    counted: Counter[tuple[str, str, int, int, int, int, int]] = Counter()
    for drawn, count in made:
        for piece in drawn:
            counted[_kind(piece, cutting)] += count
    return tuple(
        Patch(
            role=f"{role} {own}",
            part=part,
            round=round_index,
            shape=shape,
            finished=Size(width, length),
            cut=Size(cut_width, cut_length),
            count=count,
            seam_allowance=cutting.seam_allowance,
            per_cut=per_cut,
        )
        for (own, shape, width, length, cut_width, cut_length, per_cut), count in counted.items()
    )


def _kind(piece: BlockPiece, cutting: Cutting) -> tuple[str, str, int, int, int, int, int]:
    """What tells a patch from others: role, shape, finished size, the rectangle to cut, and how many come from it."""
    shape, finished = told_apart(piece.outline)
    width, length = round(finished.width), round(finished.length)
    if shape in _CONSTANTS:
        side = max(float(finished.width), float(finished.length))
        exact = side + float(cutting.seam_allowance) * _CONSTANTS[shape] + float(cutting.surplus)
        cut = round_up(exact, cutting.step)
        return piece.role, shape, width, length, cut, cut, 2 if shape.startswith("half") else 4
    rough = rough_cut(piece.outline, cutting.seam_allowance)
    if shape == "square on point":  # nothing of it lies on the block's edge, so it is cut straight
        side = float(finished.width) + 2 * float(cutting.seam_allowance)
        rough = Size(side, side)
    cut_width, cut_length = (round_up(side, cutting.step) for side in (rough.width, rough.length))
    return piece.role, shape, width, length, cut_width, cut_length, 1


def told_apart(outline: Outline) -> tuple[str, Size]:
    """Which shape a patch of a block is, and its finished size: of a square on point, its sides; else its upright box."""
    box, edges = outline.size, outline.edges
    near = _NEAR * float(max(box.width, box.length))
    level = [min(abs(edge.end[0] - edge.start[0]), abs(edge.end[1] - edge.start[1])) <= near for edge in edges]
    long, *legs = sorted((edge.chord for edge in edges), reverse=True)
    if len(edges) == 3 and abs(legs[0] - legs[1]) <= near and abs(long - legs[0] * math.sqrt(2)) <= near:
        if sum(level) == 2:
            return "half square triangle", box
        if sum(level) == 1:
            return "quarter square triangle", Size(long, long / 2)
    if len(edges) == 4 and all(level):
        return ("square" if abs(float(box.width) - float(box.length)) <= near else "rectangle"), box
    turned = len(edges) == 4 and not any(level) and abs(long - legs[-1]) <= near
    if (
        turned
        and abs(float(box.width) * float(box.length) / 2 - outline.area) <= near * long
        and abs(float(box.width) - float(box.length)) <= near
    ):
        return "square on point", Size(long, long)
    return "polygon", box


# --- units -----------------------------------------------------------------------------------------------------------


def units(made: Sequence[tuple[Block, Size, int]], cutting: Cutting, cloth_width: Length) -> tuple[Units, ...]:
    """The ways to sew the units of so many blocks, each of a size, many at a time."""
    counted: Counter[tuple[str, tuple[str, ...], tuple[int, ...]]] = Counter()
    for block, size, count in made:
        for unit in (*_triangle_units(block, size), *_runs(block, size)):
            counted[unit] += count
    return tuple(one for unit, needed in counted.items() for one in _ways(*unit, needed, cutting, cloth_width))


def _ways(
    kind: str, roles: tuple[str, ...], sizes: tuple[int, ...], needed: int, cutting: Cutting, cloth_width: Length
) -> Iterator[Units]:
    seam, step, surplus = cutting.seam_allowance, cutting.step, cutting.surplus
    if kind == "half square":
        yield from half_squares((roles[0], roles[1]), sizes[0], needed, seam, step, surplus)
    elif kind == "quarter square":
        yield hourglasses((roles[0], roles[1]), sizes[0], needed, seam, step, surplus)
    elif kind == "goose":
        yield geese((roles[0], roles[1]), sizes[0], sizes[1], needed, seam, step, surplus)
    else:
        found = strip_set(roles, sizes[1:], sizes[0], needed, seam, cloth_width, step)
        if found:
            yield found


def _triangle_units(block: Block, size: Size) -> Iterator[tuple[str, tuple[str, ...], tuple[int, ...]]]:
    sx, sy = float(size.width) / block.across, float(size.length) / block.down
    for cell in block.cells:
        w, h = round(cell.width * sx), round(cell.length * sy)
        roles = cell.roles
        if cell.kind == "half square" and abs(w - h) <= 1 and roles[0] != roles[1]:
            yield "half square", tuple(sorted(roles)), (w,)
        elif cell.kind == "quarter square" and abs(w - h) <= 1 and roles[:2] == roles[2:] and roles[0] != roles[1]:
            yield "quarter square", tuple(sorted(roles[:2])), (w,)
        elif cell.kind == "goose" and abs(max(w, h) - 2 * min(w, h)) <= 2 and len(set(roles[1:])) == 1:
            yield "goose", roles[:2], (max(w, h), min(w, h))


def _runs(block: Block, size: Size) -> Iterator[tuple[str, tuple[str, ...], tuple[int, ...]]]:
    """Plain cells in a row, side by side or one above another, that make a segment of a strip set: the longest first."""
    sx, sy = float(size.width) / block.across, float(size.length) / block.down
    left = [cell for cell in block.cells if cell.kind == "plain"]
    while True:
        found = [run for cell in left for upright in (False, True) for run in [_run(cell, left, upright=upright)]]
        cells, upright = max(found, key=lambda run: len(run[0]), default=([], False))
        if len(cells) < 2:
            return
        left = [cell for cell in left if cell not in cells]
        widths = [round(cell.length * sy if upright else cell.width * sx) for cell in cells]
        segment = round(cells[0].width * sx if upright else cells[0].length * sy)
        roles = tuple(cell.roles[0] for cell in cells)
        if roles[::-1] < roles:  # the same set, turned round
            roles, widths = roles[::-1], widths[::-1]
        if len(set(roles)) > 1:
            yield "strip set", roles, (segment, *widths)


def _run(first: Cell, cells: Sequence[Cell], *, upright: bool) -> tuple[list[Cell], bool]:
    """The cells that follow `first` without a gap, as wide as it is."""
    run = [first]
    while True:
        last = run[-1]
        x, y = (last.x, last.y + last.length) if upright else (last.x + last.width, last.y)
        for cell in cells:
            alike = cell.width == last.width if upright else cell.length == last.length
            if alike and (cell.x, cell.y) == (x, y):
                run.append(cell)
                break
        else:
            return run, upright


def of_block(
    block: Block, size: Size, count: int, cutting: Cutting, cloth_width: Length
) -> tuple[tuple[Patch, ...], tuple[Units, ...]]:
    """Patches and units of `count` blocks alike."""
    cut = patches([(pieces(block, size), count)], cutting, role="block", part="patch", round_index=None)
    return cut, units([(block, size, count)], cutting, cloth_width)
