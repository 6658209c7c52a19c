"""What does a pieced border take: its coping, its units and its corners, and where do they lie?

Units lie with their upper edge outward, so those of the sides are turned by a quarter. The coping's sides are joined first, then its ends,
then the pieced sides, then the pieced ends with the corners on them.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from quiltbook.measures import Length, Size
from quiltbook.yardage import cutblocks
from quiltbook.yardage.blocks import Block, BlockPiece, pieces
from quiltbook.yardage.borders import BorderPiece, PiecedRound, RoundResult, border_name, cornerstones, strip
from quiltbook.yardage.cutblocks import Cutting
from quiltbook.yardage.fit import Fit, fit, other_units
from quiltbook.yardage.outline import Placed
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.topplan import Pieced, TopError, TopPlan

_QUARTER = math.pi / 2


def pieced_border(plan: TopPlan, index: int, inner: Size) -> RoundResult:
    """The pieced round `index` of a checked plan, sewn round a top of `inner` size."""
    round_ = plan.rounds[index]
    asked = round_.pieced
    assert asked is not None  # noqa: S101  (the caller looked)
    # a coping narrower than its own seam allowances cannot be sewn
    least = max(Fraction(asked.least_coping), Fraction(plan.seam_allowance))
    try:
        fitted = fit(inner, asked.unit, coping=asked.coping, least=least)
    except Refusal as error:
        raise TopError(f"rounds[{index}].pieced.{error.field}", error.problem) from None
    b, w, length = Fraction(round_.width), Fraction(inner.width), Fraction(inner.length)
    middle = Size(w + 2 * Fraction(fitted.sides), length + 2 * Fraction(fitted.ends))
    planned = Size(middle.width + 2 * b, middle.length + 2 * b)
    finished = round_.measured or planned
    if min(finished.width - middle.width, finished.length - middle.length) <= 0:
        raise TopError(f"rounds[{index}].measured", "It must be larger than the top inside this round.")
    return RoundResult(
        role=border_name(index),
        corners="pieced",
        first="sides",
        inner=inner,
        planned=planned,
        finished=finished,
        pieces=tuple(_plain_pieces(plan, inner, fitted, b, corner=asked.corner)),
        motifs=None,
        seam_length=_seam_length(inner, middle, fitted, b),
        pieced=_units(plan, index, inner, fitted, middle, asked, b, least),
    )


def _plain_pieces(
    plan: TopPlan, inner: Size, fitted: Fit, width: Fraction, *, corner: Block | None
) -> Iterator[BorderPiece]:
    w, length, sides, ends = (Fraction(nm) for nm in (inner.width, inner.length, fitted.sides, fitted.ends))
    if sides:
        yield strip(plan, "coping side", sides, length, length, corners="butted")
    if ends:
        yield strip(plan, "coping end", ends, w + 2 * sides, w, corners="butted")
    if corner is None:
        yield cornerstones(plan, width)


def _units(
    plan: TopPlan, index: int, inner: Size, fitted: Fit, middle: Size, asked: Pieced, width: Fraction, least: Length
) -> PiecedRound:
    cutting = Cutting(plan.seam_allowance, plan.round_up, plan.surplus)
    size, square = Size(fitted.unit, width), Size(width, width)
    made: list[tuple[list[BlockPiece], int]] = []
    sewn: list[tuple[Block, Size, int]] = []
    for n, design in enumerate(asked.designs):
        for count, turn in ((2 * _turns(fitted.across, n, asked), 0.0), (2 * _turns(fitted.down, n, asked), _QUARTER)):
            made.append((_turned(pieces(design, size), turn), count))
        sewn.append((design, size, 2 * _turns(fitted.across, n, asked) + 2 * _turns(fitted.down, n, asked)))
    if asked.corner:
        made += [(_turned(pieces(asked.corner, square), quarter * _QUARTER), 1) for quarter in range(4)]
        sewn.append((asked.corner, square, 4))
    found = cutblocks.patches(
        [(drawn, count) for drawn, count in made if count],
        cutting,
        role=border_name(index),
        part="patch",
        round_index=index,
    )
    return PiecedRound(
        fit=fitted,
        other=other_units(inner, fitted.unit, least=least) if not fitted.even else (),
        middle=middle,
        patches=found,
        units=cutblocks.units([one for one in sewn if one[2]], cutting, plan.cloth_width),
    )


def _turns(units: int, n: int, asked: Pieced) -> int:
    """How many of so many units in a row have the design `n`."""
    return len(range(n, units, len(asked.designs)))


def _turned(drawn: tuple[BlockPiece, ...], turn: float) -> list[BlockPiece]:
    return [replace(piece, outline=piece.outline.moved(0, 0, turn)) for piece in drawn]


def _seam_length(inner: Size, middle: Size, fitted: Fit, width: Fraction) -> Length:
    """Of the seams that join coping, pieced lengths and corners on."""
    total = 2 * (middle.length + middle.width + 2 * width) + 4 * width
    if fitted.sides:
        total += 2 * Fraction(inner.length)
    return total + (2 * middle.width if fitted.ends else 0)


def placed(result: RoundResult, asked: Pieced) -> Iterator[Placed]:
    """Every patch of the pieced border, its coping apart, the quilt's middle at the origin."""
    pieced = result.pieced
    assert pieced is not None  # noqa: S101  (the caller looked)
    w, h = float(pieced.middle.width) / 2, float(pieced.middle.length) / 2
    bx, by = (
        (float(outer) - float(inner)) / 2
        for outer, inner in (
            (result.finished.width, pieced.middle.width),
            (result.finished.length, pieced.middle.length),
        )
    )
    unit = float(pieced.fit.unit)
    for count, reach, away, across, quarter in (
        (pieced.fit.across, w, h, by, 0),
        (pieced.fit.down, h, w, bx, 1),
        (pieced.fit.across, w, h, by, 2),
        (pieced.fit.down, h, w, bx, 3),
    ):
        for n in range(count):
            design = asked.designs[n % len(asked.designs)]
            for piece in pieces(design, Size(unit, across)):
                outline = piece.outline.moved(n * unit - reach, -away - across).moved(0, 0, quarter * _QUARTER)
                yield Placed(f"{result.role} {piece.role}", "patch", outline)
    if asked.corner is None:
        return
    for quarter in range(4):
        wide, high = (bx, by) if quarter % 2 == 0 else (by, bx)
        reach, away = (w, h) if quarter % 2 == 0 else (h, w)
        for piece in pieces(asked.corner, Size(wide, high)):
            outline = piece.outline.moved(-reach - wide, -away - high).moved(0, 0, quarter * _QUARTER)
            yield Placed(f"{result.role} {piece.role}", "patch", outline)
