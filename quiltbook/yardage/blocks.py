"""What is a block made of: where does each of its patches lie, and in which role?

A block is a grid of cells: plain rectangles, half and quarter squares, geese, and polygons of any straight edges. Drawn in nm from the
block's top left corner; triangles are cut so that the edges that run along the block, its outer ones among them, lie on the straight grain.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from quiltbook.measures import Size
from quiltbook.yardage.outline import Outline, Point, crosses_itself, ring
from quiltbook.yardage.patches import Refusal

KINDS = ("plain", "half square", "quarter square", "goose", "polygon")
CORNERS = ("top left", "top right", "bottom right", "bottom left")
WAYS = ("up", "right", "down", "left")
MOST_CELLS = 400
MOST_GRID = 60


class BlockError(Refusal):
    """The cells make no block; `field` says which, such as `cells[2].roles`."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell, in grid steps from the block's top left.

    "plain": roles (cloth,). "half square": (the triangle whose right angle lies in the corner `towards`, the other).
    "quarter square": (top, right, bottom, left). "goose": (goose, sky), or (goose, sky on its left, sky on its right), its tip
    `towards` up, right, down or left. "polygon": (cloth,), through `points`, in grid steps from the block's top left.
    """

    kind: str
    x: float
    y: float
    width: float
    length: float
    roles: tuple[str, ...]
    towards: str = ""
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """A design `across` by `down` grid steps, which its cells fill exactly."""

    name: str
    across: int
    down: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class BlockPiece:
    """One patch of a block where it lies, finished."""

    role: str
    outline: Outline


def pieces(block: Block, size: Size) -> tuple[BlockPiece, ...]:
    """Every patch of a block finished at `size`."""
    sx, sy = float(size.width) / block.across, float(size.length) / block.down
    return tuple(
        BlockPiece(role, ring([(x * sx, y * sy) for x, y in points]))
        for cell in block.cells
        for role, points in _drawn(cell)
    )


def _drawn(cell: Cell) -> Iterator[tuple[str, list[Point]]]:
    """Role and corners, clockwise, of the patches of a cell."""
    x0, y0, x1, y1 = cell.x, cell.y, cell.x + cell.width, cell.y + cell.length
    square: list[Point] = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    if cell.kind == "plain":
        yield cell.roles[0], square
    elif cell.kind == "half square":
        n = CORNERS.index(cell.towards)
        yield cell.roles[0], [square[n], square[(n + 1) % 4], square[n - 1]]
        yield cell.roles[1], [square[(n + 2) % 4], square[n - 1], square[(n + 1) % 4]]
    elif cell.kind == "quarter square":
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        for n, role in enumerate(cell.roles):
            yield role, [square[n], square[(n + 1) % 4], middle]
    elif cell.kind == "goose":
        n = WAYS.index(cell.towards)
        a, b, c, d = (
            square[(n + k) % 4] for k in range(4)
        )  # the tip lies between a and b, as seen by a goose flying up
        tip = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        yield cell.roles[0], [tip, c, d]
        yield cell.roles[1], [a, tip, d]
        yield cell.roles[-1], [b, c, tip]
    else:
        points = list(cell.points)
        yield cell.roles[0], points if ring(points).area > 0 else points[::-1]


# --- does it make a block? -------------------------------------------------------------------------------------------

_ROLES = {"plain": (1,), "half square": (2,), "quarter square": (4,), "goose": (2, 3), "polygon": (1,)}


def check(block: Block) -> None:
    """Raises `BlockError` for the first thing about a block that cannot be."""
    if not (1 <= block.across <= MOST_GRID and 1 <= block.down <= MOST_GRID):
        raise BlockError("grid", f"A block's grid has from 1 to {MOST_GRID} steps each way.")
    if not 1 <= len(block.cells) <= MOST_CELLS:
        raise BlockError("cells", f"A block has from 1 to {MOST_CELLS} cells.")
    for n, cell in enumerate(block.cells):
        _check_cell(f"cells[{n}]", cell, block)
    _check_filled(block)


def _check_cell(where: str, cell: Cell, block: Block) -> None:
    if cell.kind not in KINDS:
        raise BlockError(f"{where}.kind", f"It must be one of: {', '.join(KINDS)}.")
    if len(cell.roles) not in _ROLES[cell.kind]:
        many = " or ".join(str(count) for count in _ROLES[cell.kind])
        raise BlockError(f"{where}.roles", f"A {cell.kind} cell has {many} of them.")
    ways = {"half square": CORNERS, "goose": WAYS}.get(cell.kind)
    if ways and cell.towards not in ways:
        raise BlockError(f"{where}.towards", f"It must be one of: {', '.join(ways)}.")
    if cell.kind == "polygon":
        if len(cell.points) < 3 or not ring(cell.points).area or crosses_itself(ring(cell.points)):
            raise BlockError(f"{where}.points", "The edges must enclose an area and not cross.")
    elif min(cell.width, cell.length) <= 0:
        raise BlockError(f"{where}.width", "A cell must be wider and longer than 0.")
    corners = cell.points or ((cell.x, cell.y), (cell.x + cell.width, cell.y + cell.length))
    if any(not (-1e-9 <= x <= block.across + 1e-9 and -1e-9 <= y <= block.down + 1e-9) for x, y in corners):
        raise BlockError(where, "It reaches beyond the block.")


def _check_filled(block: Block) -> None:
    """That the cells neither overlap nor leave a gap."""
    from shapely import Polygon, STRtree  # here, since only a check of a new block needs it and it is slow to load

    shapes = [
        Polygon([edge.start for edge in piece.outline.edges]) for piece in pieces(block, Size(block.across, block.down))
    ]
    for a, b in STRtree(shapes).query(shapes, predicate="intersects").T:
        if a < b and shapes[a].intersection(shapes[b]).area > 1e-6:
            raise BlockError("cells", "Two cells overlap.")
    if abs(sum(shape.area for shape in shapes) - block.across * block.down) > 1e-6:
        raise BlockError("cells", "The cells leave a gap in the block.")
