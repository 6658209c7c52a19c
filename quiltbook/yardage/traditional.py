"""Which blocks come with the engine? Traditional ones, long in the public domain, as data.

Each is told on its grid with roles in plain words; the roles are what cloth is given to.
"""

from collections.abc import Mapping, Sequence

from quiltbook.yardage.blocks import Block, Cell


def _plain(role: str, x: float, y: float, width: float = 1, length: float = 1) -> Cell:
    return Cell("plain", x, y, width, length, (role,))


def _half(x: float, y: float, towards: str, roles: tuple[str, str], side: float = 1) -> Cell:
    return Cell("half square", x, y, side, side, roles, towards)


def _goose(x: float, y: float, towards: str, roles: tuple[str, str]) -> Cell:
    wide = towards in ("up", "down")
    return Cell("goose", x, y, 2 if wide else 1, 1 if wide else 2, roles, towards)


def _corners(role: str, far: float) -> list[Cell]:
    return [_plain(role, x, y) for y in (0, far) for x in (0, far)]


def _nine_patch() -> Block:
    cells = [_plain("light" if (x + y) % 2 else "dark", x, y) for y in range(3) for x in range(3)]
    return Block("nine patch", 3, 3, tuple(cells))


def _pinwheel() -> Block:
    roles = ("blades", "background")
    cells = [
        _half(0, 0, "top right", roles),
        _half(1, 0, "bottom right", roles),
        _half(1, 1, "bottom left", roles),
        _half(0, 1, "top left", roles),
    ]
    return Block("pinwheel", 2, 2, tuple(cells))


def _friendship_star() -> Block:
    roles = ("star", "background")
    cells = [
        *_corners("background", 2),
        _plain("star", 1, 1),
        _half(1, 0, "bottom left", roles),
        _half(2, 1, "top left", roles),
        _half(1, 2, "top right", roles),
        _half(0, 1, "bottom right", roles),
    ]
    return Block("friendship star", 3, 3, tuple(cells))


def _churn_dash() -> Block:
    roles = ("background", "dash")
    halves = [
        _half(0, 0, "top left", roles, 2),
        _half(4, 0, "top right", roles, 2),
        _half(4, 4, "bottom right", roles, 2),
        _half(0, 4, "bottom left", roles, 2),
    ]
    bars = [
        _plain("background", 2, 0, 2, 1),
        _plain("dash", 2, 1, 2, 1),
        _plain("dash", 2, 4, 2, 1),
        _plain("background", 2, 5, 2, 1),
        _plain("background", 0, 2, 1, 2),
        _plain("dash", 1, 2, 1, 2),
        _plain("dash", 4, 2, 1, 2),
        _plain("background", 5, 2, 1, 2),
    ]
    return Block("churn dash", 6, 6, (*halves, *bars, _plain("background", 2, 2, 2, 2)))


def _sawtooth_star() -> Block:
    roles = ("background", "points")
    cells = [
        *_corners("background", 3),
        _goose(1, 0, "down", roles),
        _goose(3, 1, "left", roles),
        _goose(1, 3, "up", roles),
        _goose(0, 1, "right", roles),
        _plain("centre", 1, 1, 2, 2),
    ]
    return Block("sawtooth star", 4, 4, tuple(cells))


def _ohio_star() -> Block:
    upright = ("background", "star", "background", "star")
    level = ("star", "background", "star", "background")
    cells = [
        *_corners("background", 2),
        _plain("star", 1, 1),
        *(Cell("quarter square", 1, y, 1, 1, upright) for y in (0, 2)),
        *(Cell("quarter square", x, 1, 1, 1, level) for x in (0, 2)),
    ]
    return Block("Ohio star", 3, 3, tuple(cells))


def _flying_geese() -> Block:
    up = [_goose(0, y, "up", ("geese", "sky")) for y in range(4)]
    down = [_goose(2, y, "down", ("geese", "sky")) for y in range(4)]
    return Block("flying geese", 4, 4, (*up, *down))


def _rail_fence() -> Block:
    rails = ("first rail", "second rail", "third rail")
    cells = []
    for x, y in ((0, 0), (3, 3)):
        cells += [_plain(rail, x, y + n, 3, 1) for n, rail in enumerate(rails)]
    for x, y in ((3, 0), (0, 3)):
        cells += [_plain(rail, x + n, y, 1, 3) for n, rail in enumerate(rails)]
    return Block("rail fence", 6, 6, tuple(cells))


def _log_cabin() -> Block:
    cells = [_plain("hearth", 3, 3)]
    for n in range(3):  # two light logs, then two dark ones, each as long as what is sewn so far
        low, wide = 2 - n, 1 + 2 * n
        cells += [
            _plain("light", low + 1, low, wide, 1),
            _plain("light", low + 1 + wide, low, 1, wide + 1),
            _plain("dark", low + 1, low + 1 + wide, wide + 1, 1),
            _plain("dark", low, low, 1, wide + 2),
        ]
    return Block("log cabin", 7, 7, tuple(cells))


def _bears_paw() -> Block:
    cells = [_plain("centre", 3, 3)]
    cells += [_plain("background", 3, y, 1, 3) for y in (0, 4)] + [_plain("background", x, 3, 3, 1) for x in (0, 4)]
    claws = ("claws", "background")
    for right in (False, True):
        for low in (False, True):
            x, y = (4 if right else 0), (4 if low else 0)
            outer_x, outer_y = (x + 2 if right else x), (y + 2 if low else y)
            pad_x, pad_y = (x if right else x + 1), (y if low else y + 1)
            towards = f"{'bottom' if low else 'top'} {'left' if right else 'right'}"
            across = f"{'top' if low else 'bottom'} {'right' if right else 'left'}"
            cells += [_plain("pads", pad_x, pad_y, 2, 2), _plain("background", outer_x, outer_y)]
            cells += [_half(pad_x + n, outer_y, _opposite(towards), claws) for n in (0, 1)]
            cells += [_half(outer_x, pad_y + n, _opposite(across), claws) for n in (0, 1)]
    return Block("bear's paw", 7, 7, tuple(cells))


def _opposite(corner: str) -> str:
    return {
        "top left": "bottom right",
        "top right": "bottom left",
        "bottom right": "top left",
        "bottom left": "top right",
    }[corner]


def _square_in_a_square() -> Block:
    middle = Cell("polygon", 0, 0, 0, 0, ("square",), points=((1, 0), (2, 1), (1, 2), (0, 1)))
    ends: Sequence[tuple[tuple[float, float], ...]] = (
        ((0, 0), (1, 0), (0, 1)),
        ((1, 0), (2, 0), (2, 1)),
        ((2, 1), (2, 2), (1, 2)),
        ((0, 1), (1, 2), (0, 2)),
    )
    corners = [Cell("polygon", 0, 0, 0, 0, ("corners",), points=points) for points in ends]
    return Block("square in a square", 2, 2, (middle, *corners))


TRADITIONAL: Mapping[str, Block] = {
    block.name: block
    for block in (
        _nine_patch(),
        _rail_fence(),
        _pinwheel(),
        _friendship_star(),
        _churn_dash(),
        _sawtooth_star(),
        _ohio_star(),
        _flying_geese(),
        _bears_paw(),
        _log_cabin(),
        _square_in_a_square(),
    )
}
