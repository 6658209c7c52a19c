"""How does the command line read a block: by the name of a traditional one, or cell by cell?

A design is a name, or an object: `design`, a name, with `roles` to call its roles otherwise; or `grid` and `cells` of one's own.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from quiltbook.yardage.blocks import CORNERS, KINDS, MOST_CELLS, MOST_GRID, WAYS, Block, Cell
from quiltbook.yardage.jsonface import InputError, Reader
from quiltbook.yardage.outline import Point
from quiltbook.yardage.traditional import TRADITIONAL

_MOST_DESIGNS = 20
_MOST_POINTS = 40


def read_designs(reader: Reader, key: str) -> tuple[Block, ...]:
    """A list of designs under `key`, of at least one."""
    values = reader.data.get(key)
    if not isinstance(values, list) or not 1 <= len(values) <= _MOST_DESIGNS:
        raise reader.error(key, f"it must be a list of 1 to {_MOST_DESIGNS} designs.")
    return tuple(read_design(value, reader, f"{key}[{n}]") for n, value in enumerate(values))


def read_design(value: object, reader: Reader, key: str) -> Block:
    """One design: the `value` found under `key`."""
    if isinstance(value, str):
        return _traditional(value, reader, key)
    if not isinstance(value, dict):
        raise reader.error(key, "it must be the name of a block or an object.")
    described = Reader(value, reader.unit, reader.field(key))
    if described.has("design"):
        block = _traditional(described.text("design"), described, "design")
        return _renamed(block, _roles(described)) if described.has("roles") else block
    grid = described.data.get("grid")
    if not isinstance(grid, list) or len(grid) != 2:
        raise described.error("grid", "it must be a list of two whole numbers, the steps across and down.")
    across, down = (_step(described, "grid", value) for value in grid)
    if across != int(across) or down != int(down):
        raise described.error("grid", "it must be a list of two whole numbers, the steps across and down.")
    cells = described.children("cells")
    if len(cells) > MOST_CELLS:
        raise described.error("cells", f"a block has at most {MOST_CELLS} cells.")
    return Block(described.text("name", "own block"), int(across), int(down), tuple(_cell(cell) for cell in cells))


def _traditional(name: str, reader: Reader, key: str) -> Block:
    if name not in TRADITIONAL:
        raise reader.error(key, f"it must be one of: {', '.join(TRADITIONAL)}.")
    return TRADITIONAL[name]


def _roles(reader: Reader) -> Mapping[str, str]:
    named = reader.child("roles")
    return {role: named.text(role) for role in named.data}


def _renamed(block: Block, roles: Mapping[str, str]) -> Block:
    cells = (replace(cell, roles=tuple(roles.get(role, role) for role in cell.roles)) for cell in block.cells)
    return replace(block, cells=tuple(cells))


def _cell(cell: Reader) -> Cell:
    kind = cell.choice("kind", KINDS, "plain")
    x, y, width, length = (
        _step(cell, key, cell.data.get(key, default))
        for key, default in (("x", 0), ("y", 0), ("width", 1), ("length", 1))
    )
    ways = {"half square": CORNERS, "goose": WAYS}.get(kind)
    return Cell(
        kind=kind,
        x=x,
        y=y,
        width=width,
        length=length,
        roles=_texts(cell, "roles"),
        towards=cell.choice("towards", ways) if ways else "",
        points=_points(cell) if kind == "polygon" else (),
    )


def _texts(cell: Reader, key: str) -> tuple[str, ...]:
    values = cell.data.get(key)
    if not isinstance(values, list) or not all(isinstance(value, str) and 0 < len(value) <= 200 for value in values):
        raise cell.error(key, "it must be a list of names.")
    return tuple(values)


def _points(cell: Reader) -> tuple[Point, ...]:
    values = cell.data.get("points")
    if not isinstance(values, list) or len(values) > _MOST_POINTS:
        raise cell.error("points", f"it must be a list of at most {_MOST_POINTS} points.")
    found = []
    for n, pair in enumerate(values):
        if not isinstance(pair, list) or len(pair) != 2:
            raise cell.error(f"points[{n}]", "a point must be a list of two numbers of grid steps.")
        found.append((_step(cell, f"points[{n}]", pair[0]), _step(cell, f"points[{n}]", pair[1])))
    return tuple(found)


def _step(reader: Reader, key: str, value: object) -> float:
    """A number of grid steps."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal) or not 0 <= value <= MOST_GRID:
        raise InputError(reader.field(key), f"it must be a number of grid steps from 0 to {MOST_GRID}.")
    return float(value)
