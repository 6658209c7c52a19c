"""Do the patches of a block fill it, lie on the grain, and count as its units do?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import union_all

from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import Size
from quiltbook.yardage.blocks import CORNERS, WAYS, Block, BlockError, Cell, check, pieces
from quiltbook.yardage.cutblocks import Cutting, of_block, told_apart
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.traditional import TRADITIONAL
from quiltbook.yardage.units import Units
from tests.engine import outlines

TWELVE = Size(12 * IN, 12 * IN)
CUTTING = Cutting(IN // 4, IN // 8)


@st.composite
def random_blocks(draw: st.DrawFn) -> Block:
    """A grid of single cells of every kind, geese in pairs of steps."""
    across, down = draw(st.integers(1, 4)), draw(st.integers(1, 4))
    role = st.sampled_from(["light", "dark", "print"])
    cells: list[Cell] = []
    taken: set[tuple[int, int]] = set()
    for y in range(down):
        for x in range(across):
            if (x, y) in taken:
                continue
            kind = draw(st.sampled_from(["plain", "half square", "quarter square", "goose"]))
            if kind == "goose" and x + 1 < across and (x + 1, y) not in taken:
                taken.add((x + 1, y))
                roles = (draw(role), draw(role))
                cells.append(Cell("goose", x, y, 2, 1, roles, draw(st.sampled_from(["up", "down"]))))
            elif kind == "half square":
                roles = (draw(role), draw(role))
                cells.append(Cell("half square", x, y, 1, 1, roles, draw(st.sampled_from(CORNERS))))
            elif kind == "quarter square":
                cells.append(Cell("quarter square", x, y, 1, 1, tuple(draw(role) for _ in range(4))))
            else:
                cells.append(Cell("plain", x, y, 1, 1, (draw(role),)))
    return Block("random", across, down, tuple(cells))


@given(block=st.one_of(random_blocks(), st.sampled_from(list(TRADITIONAL.values()))), side=st.integers(1, 200))
def test_the_patches_of_a_block_fill_it_without_a_gap_or_an_overlap(block: Block, side: int) -> None:
    check(block)
    size = Size(block.across * side * IN // 8, block.down * side * IN // 8)
    shapes = [outlines.polygon(piece.outline.edges) for piece in pieces(block, size)]
    whole = float(size.width) * float(size.length)
    assert math.isclose(sum(shape.area for shape in shapes), whole, rel_tol=1e-9)
    joined = union_all(shapes, grid_size=1)
    assert math.isclose(joined.area, whole, rel_tol=1e-6)
    assert [round(side) for side in joined.bounds] == [0, 0, round(size.width), round(size.length)]


@given(block=st.one_of(random_blocks(), st.sampled_from(list(TRADITIONAL.values()))))
def test_the_outer_edges_of_a_block_are_cut_on_the_straight_grain(block: Block) -> None:
    """Legs of triangles cut once, long sides of those cut twice, sides of rectangles: never a bias edge."""
    size = Size(block.across * IN, block.down * IN)
    for piece in pieces(block, size):
        shape, _ = told_apart(piece.outline)
        longest = max(edge.chord for edge in piece.outline.edges)
        for edge in piece.outline.edges:
            for axis, far in ((0, float(size.width)), (1, float(size.length))):
                if any(abs(edge.start[axis] - line) < 1 and abs(edge.end[axis] - line) < 1 for line in (0.0, far)):
                    assert shape != "polygon"
                    assert shape != "square on point"
                    is_long = math.isclose(edge.chord, longest)
                    assert not (shape == "half square triangle" and is_long)
                    assert not (shape == "quarter square triangle" and not is_long)


@given(block=random_blocks(), count=st.integers(1, 30))
def test_the_patches_cut_are_those_of_all_the_blocks(block: Block, count: int) -> None:
    cut, _ = of_block(block, Size(block.across * 2 * IN, block.down * 2 * IN), count, CUTTING, 42 * IN)
    assert sum(patch.count for patch in cut) == count * len(pieces(block, TWELVE))
    for patch in cut:
        assert patch.to_cut * patch.per_cut >= patch.count > (patch.to_cut - 1) * patch.per_cut


@given(block=random_blocks(), count=st.integers(1, 30))
def test_units_many_at_a_time_make_enough_and_never_too_small(block: Block, count: int) -> None:
    size = Size(block.across * 2 * IN, block.down * 2 * IN)
    _, units = of_block(block, size, count, CUTTING, 42 * IN)
    for unit in units:
        assert unit.made >= unit.needed > 0
        assert unit.trim >= 0
        assert all(piece.cut >= piece.exact - 1 for piece in unit.pieces)


def test_there_are_ten_traditional_blocks_and_more_each_with_a_name_of_its_own() -> None:
    assert len(TRADITIONAL) >= 10
    assert all(name == block.name for name, block in TRADITIONAL.items())
    for block in TRADITIONAL.values():
        check(block)


def test_a_surplus_is_added_to_every_square_that_triangles_come_from() -> None:
    generous = Cutting(IN // 4, 1, IN // 4)
    for name in ("pinwheel", "Ohio star", "sawtooth star"):
        for plain, more in zip(
            *(of_block(TRADITIONAL[name], TWELVE, 2, cutting, 42 * IN) for cutting in (Cutting(IN // 4, 1), generous)),
            strict=True,
        ):
            for a, b in zip(plain, more, strict=True):
                if isinstance(a, Patch) and isinstance(b, Patch):
                    assert (b.cut.width > a.cut.width) == ("triangle" in a.shape)
                if isinstance(a, Units) and isinstance(b, Units):
                    assert all(
                        big.exact >= small.exact + IN // 4 for small, big in zip(a.pieces, b.pieces, strict=True)
                    )
                    assert b.trim == pytest.approx(a.trim + IN // 4, abs=2)


def test_a_pinwheel_is_eight_triangles_sewn_two_four_or_eight_at_a_time() -> None:
    cut, units = of_block(TRADITIONAL["pinwheel"], TWELVE, 3, CUTTING, 42 * IN)
    assert [(patch.shape, patch.count, patch.to_cut, float(patch.cut.width) / IN) for patch in cut] == [
        ("half square triangle", 12, 6, 6.875),
        ("half square triangle", 12, 6, 6.875),
    ]
    assert [(unit.way, unit.needed, unit.made, unit.pieces[0].count, unit.bias_edges) for unit in units] == [
        ("two at a time", 12, 12, 6, False),
        ("four at a time", 12, 12, 3, True),
        ("eight at a time", 12, 16, 2, False),
    ]


def test_a_nine_patch_is_sewn_from_strip_sets() -> None:
    _, units = of_block(TRADITIONAL["nine patch"], TWELVE, 20, CUTTING, 42 * IN)
    assert [(unit.roles, unit.needed, unit.made, [piece.count for piece in unit.pieces]) for unit in units] == [
        (("dark", "light", "dark"), 40, 45, [5, 5, 5]),
        (("light", "dark", "light"), 20, 27, [3, 3, 3]),
    ]


def test_a_sawtooth_star_has_four_geese_that_share_one_set_of_squares() -> None:
    _, units = of_block(TRADITIONAL["sawtooth star"], TWELVE, 1, CUTTING, 42 * IN)
    assert [(unit.kind, unit.made) for unit in units] == [("goose", 4)]
    assert [(piece.role, piece.count, piece.cut / IN) for piece in units[0].pieces] == [
        ("background", 1, 7.25),
        ("points", 4, 3.875),
    ]


def test_a_goose_flies_the_way_its_tip_points() -> None:
    tips = {"up": (1, 0), "right": (2, 1), "down": (1, 2), "left": (0, 1)}
    for way in WAYS:
        goose = pieces(Block("one", 2, 2, (Cell("goose", 0, 0, 2, 2, ("goose", "sky"), way),)), Size(2, 2))[0].outline
        assert tips[way] in [edge.start for edge in goose.edges]


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        ((), "cells"),
        ((Cell("plain", 0, 0, 1, 1, ("a",)),), "cells"),
        ((Cell("plain", 0, 0, 2, 2, ("a",)), Cell("plain", 1, 1, 1, 1, ("b",))), "cells"),
        ((Cell("plain", 0, 0, 3, 2, ("a",)),), "cells[0]"),
        ((Cell("plain", 0, 0, 0, 2, ("a",)),), "cells[0].width"),
        ((Cell("half square", 0, 0, 2, 2, ("a", "b"), "up"),), "cells[0].towards"),
        ((Cell("quarter square", 0, 0, 2, 2, ("a", "b")),), "cells[0].roles"),
        ((Cell("circle", 0, 0, 2, 2, ("a",)),), "cells[0].kind"),
        ((Cell("polygon", 0, 0, 0, 0, ("a",), points=((0, 0), (2, 2), (2, 0), (0, 2))),), "cells[0].points"),
    ],
)
def test_cells_that_make_no_block_are_refused_by_name(cells: tuple[Cell, ...], field: str) -> None:
    with pytest.raises(BlockError) as refused:
        check(Block("none", 2, 2, cells))
    assert refused.value.field == field
