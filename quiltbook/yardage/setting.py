"""How are blocks set into a top: how many, with what triangles or sashing between, and how big does it finish?

Straight or on point, where `across` and `down` count the main rows. With block b, sashing w and seam s, on point: side triangles
from squares b√2 + 2s(1 + √2) cut twice, corners from b/√2 + s(2 + √2) cut once; framing the blocks changes neither.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage.patches import Patch, Refusal, Step
from quiltbook.yardage.shapes import ROOT2, SquareCut, half_square_triangle, quarter_square_triangle, work_out

MOST_ACROSS = 200
_ROOT2 = Fraction(ROOT2)


class SettingError(Refusal):
    """Blocks cannot be set so."""


@dataclass(frozen=True, slots=True)
class Setting:
    """Square blocks of finished side `block`, `across` by `down`.

    `sashing`: the finished width of the strips between blocks, 0 for none; `outer`: they also run round the outside.
    `cornerstones`: squares where sashes meet; without, whole strips run between the rows. `surplus`: added to the squares that
    setting triangles are cut from, so that the blocks float once it is trimmed.
    """

    block: Length
    across: int
    down: int
    on_point: bool = False
    sashing: Length = 0
    outer: bool = False
    cornerstones: bool = False
    surplus: Length = 0


@dataclass(frozen=True, slots=True)
class SettingResult:
    """Counts of a setting and its size. `edge_cornerstones`: those that the quilt's edge halves, on point.

    `patches`: all but the blocks, by their role: "sashing", "sashing cornerstones", "setting triangles".
    """

    setting: Setting
    blocks: int
    side_triangles: int
    corner_triangles: int
    side_squares: int
    corner_squares: int
    side_square: SquareCut | None
    corner_square: SquareCut | None
    sashes: int
    cornerstones: int
    edge_cornerstones: int
    finished: Size
    patches: tuple[Patch, ...]
    steps: tuple[Step, ...]


def check(setting: Setting) -> None:
    """Raises `SettingError` for a setting that cannot be."""
    for name in ("block", "across", "down"):
        if getattr(setting, name) <= 0:
            raise SettingError(name, "It must be more than 0.")
    if max(setting.across, setting.down) > MOST_ACROSS:
        raise SettingError("across", f"A setting has at most {MOST_ACROSS} blocks in a row.")
    if setting.sashing < 0 or setting.surplus < 0:
        raise SettingError("sashing.width" if setting.sashing < 0 else "surplus", "It must not be negative.")
    if not setting.sashing and setting.cornerstones:
        raise SettingError("cornerstones", "Cornerstones need sashing, for they lie where sashes meet.")
    if setting.on_point and setting.sashing and not (setting.outer and setting.cornerstones):
        where = "cornerstones" if setting.outer else "sashing.outer"
        raise SettingError(where, "On point, sashing goes round every block, with outer sashing and cornerstones.")


def work_out_setting(setting: Setting, *, seam_allowance: Length, round_up_to: int) -> SettingResult:
    """Counts, sizes and patches of a setting. Raises `SettingError`."""
    check(setting)
    make = _on_point if setting.on_point else _straight
    return make(setting, seam_allowance, round_up_to)


def _straight(setting: Setting, seam: Length, step: int) -> SettingResult:
    n, m, b, w = setting.across, setting.down, Fraction(setting.block), Fraction(setting.sashing)
    more = 1 if setting.outer else -1
    columns, rows = (n + more, m + more) if w else (0, 0)
    finished = Size(n * b + columns * w, m * b + rows * w)
    uprights = m * columns
    level, level_length = (n * rows, b) if setting.cornerstones else (rows, finished.width)
    stones = columns * rows if setting.cornerstones else 0
    patches = (
        _patch("sashing", "sash", Size(w, b), uprights, seam, step),
        _patch("sashing", "sash", Size(level_length, w), level, seam, step),
        _patch("sashing cornerstones", "sashing cornerstone", Size(w, w), stones, seam, step),
    )
    return SettingResult(
        setting=setting,
        blocks=n * m,
        side_triangles=0,
        corner_triangles=0,
        side_squares=0,
        corner_squares=0,
        side_square=None,
        corner_square=None,
        sashes=uprights + level,
        cornerstones=stones,
        edge_cornerstones=0,
        finished=finished,
        patches=tuple(patch for patch in patches if patch.count),
        steps=tuple(_straight_steps(setting, finished, columns, rows)),
    )


def _straight_steps(setting: Setting, finished: Size, columns: int, rows: int) -> Iterator[Step]:
    for what, length, blocks, sashes in (
        ("width of a straight setting", finished.width, setting.across, columns),
        ("length of a straight setting", finished.length, setting.down, rows),
    ):
        yield Step(
            what,
            {"block": setting.block, "sashing": setting.sashing, "finished": length},
            {"blocks": blocks, "sashes": sashes},
        )


def _on_point(setting: Setting, seam: Length, step: int) -> SettingResult:
    n, m, b, w = setting.across, setting.down, Fraction(setting.block), Fraction(setting.sashing)
    sides = 2 * (n + m - 2)
    side = work_out(
        quarter_square_triangle(float(b * _ROOT2)),
        seam_allowance=seam, round_up_to=step, shape="quarter square triangle", surplus=setting.surplus,
    )  # fmt: skip
    corner = work_out(
        half_square_triangle(float(b / _ROOT2)),
        seam_allowance=seam, round_up_to=step, shape="half square triangle", surplus=setting.surplus,
    )  # fmt: skip
    assert side.square is not None  # noqa: S101  (both are triangles)
    assert corner.square is not None  # noqa: S101
    finished = Size(n * (b + w) * _ROOT2, m * (b + w) * _ROOT2)
    stones, edge_stones = (n * (m - 1) + m * (n - 1), 2 * (n + m)) if w else (0, 0)
    triangles = [
        _triangles("setting triangles", "side triangle", side.finished.size, side.square, sides, seam),
        _triangles("setting triangles", "corner triangle", corner.finished.size, corner.square, 4, seam),
    ]
    patches = [patch for patch in triangles if patch.count]
    if w:
        half = work_out(
            quarter_square_triangle(float(w * _ROOT2)),
            seam_allowance=seam,
            round_up_to=step,
            shape="quarter square triangle",
        )
        assert half.square is not None  # noqa: S101
        patches += [
            _patch("sashing", "sash", Size(w, b), 4 * n * m, seam, step),
            _patch("sashing cornerstones", "sashing cornerstone", Size(w, w), stones, seam, step),
            _triangles("sashing cornerstones", "edge cornerstone", half.finished.size, half.square, edge_stones, seam),
        ]
    blocks = n * m + (n - 1) * (m - 1)
    return SettingResult(
        setting=setting,
        blocks=blocks,
        side_triangles=sides,
        corner_triangles=4,
        side_squares=triangles[0].to_cut,
        corner_squares=triangles[1].to_cut,
        side_square=side.square,
        corner_square=corner.square,
        sashes=4 * n * m if w else 0,
        cornerstones=stones,
        edge_cornerstones=edge_stones,
        finished=finished,
        patches=tuple(patch for patch in patches if patch.count),
        steps=(
            Step("blocks on point", {}, {"main": n * m, "between": (n - 1) * (m - 1), "blocks": blocks}),
            Step(
                "width on point",
                {"block": b, "sashing": w, "diagonal": (b + w) * _ROOT2, "finished": finished.width},
                {"blocks": n},
            ),
            Step(
                "length on point",
                {"block": b, "sashing": w, "diagonal": (b + w) * _ROOT2, "finished": finished.length},
                {"blocks": m},
            ),
            *(Step(f"side triangle: {one.what}", one.lengths, one.counts) for one in side.steps),
            *(Step(f"corner triangle: {one.what}", one.lengths, one.counts) for one in corner.steps),
        ),
    )


def _patch(role: str, part: str, finished: Size, count: int, seam: Length, step: int) -> Patch:
    both = 2 * Fraction(seam)
    cut = Size(round_up(finished.width + both, step), round_up(finished.length + both, step))
    shape = "square" if finished.width == finished.length else "rectangle"
    return Patch(
        role=role, part=part, round=None, shape=shape, finished=finished, cut=cut, count=count, seam_allowance=seam
    )


def _triangles(role: str, part: str, finished: Size, square: SquareCut, count: int, seam: Length) -> Patch:
    shape = "quarter square triangle" if square.per_square == 4 else "half square triangle"
    return Patch(
        role=role, part=part, round=None, shape=shape, finished=finished, cut=Size(square.cut, square.cut),
        count=count, seam_allowance=seam, per_cut=square.per_square,
    )  # fmt: skip
