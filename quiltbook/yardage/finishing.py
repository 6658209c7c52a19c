"""What do the backing, the wadding and the binding of a top take?

Lengths in nm. Panels and strips follow one rule: n of them, each u wide, joined with a loss at each join, reach
n·u - (n - 1)·loss; the least n that reaches far enough is taken, and only what is bought is rounded up, once.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import NM_PER_INCH, Length, Size, round_up
from quiltbook.yardage.borders import lengths_needed
from quiltbook.yardage.patches import Refusal, Step

JOINS = ("none", "straight", "diagonal", "bias square")
MOST_SQUARES = 200
ROOT2 = Fraction(math.sqrt(2))


class FinishingError(Refusal):
    """The finishing cannot be worked out; `field` says why."""


@dataclass(frozen=True, slots=True)
class BackingOption:
    """One way to make the backing. `seams`: "none", or which way they run on the quilt: "lengthwise" or "crosswise".

    `panels` of `panel_length`, cut along the cloth; together `length`, of which a shop cuts `to_buy`. `joined`: how wide
    the panels are together once sewn, at the cloth's full width. `panel`: the least each must be when all are alike, in
    whole nm.
    """

    seams: str
    panels: int
    panel_length: Length
    panel: Size
    joined: Length
    length: Length
    to_buy: int
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Backing:
    """The `need`ed size and the ways to make it; `best` takes the least cloth and, among equals, the fewest seams."""

    need: Size
    options: tuple[BackingOption, ...]
    best: BackingOption
    steps: tuple[Step, ...]


def backing(top: Size, *, overage: Length, cloth_width: Length, seam_allowance: Length, increment: int) -> Backing:
    """The backing of a finished top, `overage` beyond it on every edge, of cloth `cloth_width` wide. Raises `FinishingError`."""
    _check_top(top, overage=overage, cloth_width=cloth_width, increment=increment, seam_allowance=seam_allowance)
    need = wadding(top, overage=overage)
    loss = 2 * Fraction(seam_allowance)
    ways = (
        _panels("lengthwise", need.width, need.length, Fraction(cloth_width), loss, increment),
        _panels("crosswise", need.length, need.width, Fraction(cloth_width), loss, increment),
    )
    options = sorted((way for way in ways if way), key=lambda option: (option.length, option.panels))
    if not options:
        raise FinishingError("cloth_width", "It must be wider than two seam allowances.")
    if len(options) == 2 and options[0].seams == options[1].seams:  # both without a seam: the longer has nothing for it
        options.pop()
    steps = (Step("need", {"top width": top.width, "top length": top.length, "overage": overage}),)
    return Backing(need, tuple(options), options[0], steps)


def _panels(
    seams: str, across: Length, along: Length, width: Fraction, loss: Fraction, increment: int
) -> BackingOption | None:
    panels = lengths_needed(Fraction(across), width, loss)
    if panels is None:
        return None
    length = panels * along
    joined = panels * width - (panels - 1) * loss
    step = Step(
        "panels",
        {
            "to reach": across,
            "cloth width": width,
            "lost at a seam": loss,
            "joined": joined,
            "panel length": along,
            "length": length,
        },
        {"panels": panels},
    )
    panel = Size(math.ceil((Fraction(across) + (panels - 1) * loss) / panels), math.ceil(along))
    named = "none" if panels == 1 else seams
    return BackingOption(named, panels, along, panel, joined, length, round_up(length, increment), (step,))


def wadding(top: Size, *, overage: Length) -> Size:
    """The size to cut wadding or backing to: the top and `overage` beyond it on every edge."""
    return Size(Fraction(top.width) + 2 * Fraction(overage), Fraction(top.length) + 2 * Fraction(overage))


@dataclass(frozen=True, slots=True)
class Binding:
    """Binding for the edge of a top.

    `strips` of `strip_width` give `joined_length`, at least `length_needed`, from `cloth_length` of the cloth. For a bias
    square, `squares` of side `square` are cut, and `strips` counts the turns of the tube in all of them.
    """

    perimeter: Length
    length_needed: Length
    strips: int
    joined_length: Length
    cloth_length: Length
    join: str
    squares: int
    square: Length | None
    steps: tuple[Step, ...]


def binding(
    top: Size,
    *,
    extra: Length,
    strip_width: Length,
    cloth_width: Length,
    join: str = "diagonal",
    seam_allowance: Length = NM_PER_INCH // 4,
) -> Binding:
    """The binding of a finished top: its edge and `extra`, in strips across the cloth or from a bias square.

    `join`: "none" counts whole widths and ignores the joins, "straight" takes two seam allowances at each, "diagonal" one
    strip width; "bias square" cuts a continuous strip from a square. Raises `FinishingError`.
    """
    if join not in JOINS:
        raise FinishingError("join", f"It must be one of: {', '.join(JOINS)}.")
    _check_top(top, extra=extra, strip_width=strip_width, cloth_width=cloth_width, seam_allowance=seam_allowance)
    perimeter = 2 * (Fraction(top.width) + Fraction(top.length))
    needed, strip, across = perimeter + Fraction(extra), Fraction(strip_width), Fraction(cloth_width)
    edge = Step("length needed", {"top width": top.width, "top length": top.length, "extra": extra, "length": needed})
    if join == "bias square":
        return _bias(perimeter, needed, strip, across, Fraction(seam_allowance), edge)
    loss = {"none": Fraction(0), "straight": 2 * Fraction(seam_allowance), "diagonal": strip}[join]
    strips = lengths_needed(needed, across, loss)
    if strips is None:
        raise FinishingError("cloth_width", "It must be wider than what a join takes off.")
    joined = strips * across - (strips - 1) * loss
    figures: dict[str, Length] = {"length": needed, "cloth width": across, "lost at a join": loss, "joined": joined}
    cloth = Step("cloth", {"strip width": strip, "length": strips * strip}, {"strips": strips})
    steps = (edge, Step("strips", figures, {"strips": strips}), cloth)
    return Binding(perimeter, needed, strips, joined, strips * strip, join, 0, None, steps)


def _bias(
    perimeter: Fraction, needed: Fraction, strip: Fraction, across: Fraction, seam: Fraction, edge: Step
) -> Binding:
    """A square of side S gives n = floor((S - 2s) / (w√2)) turns of √2·(S - 2s): a tube, its two seams taken off.

    Where one square would be wider than the cloth, several alike are cut and joined on the diagonal.
    """
    for squares in range(1, MOST_SQUARES + 1):
        each = (needed + (squares - 1) * strip) / squares
        side, turns = _bias_square(each, strip, seam)
        if side <= across:
            break
    else:
        raise FinishingError("cloth_width", f"No {MOST_SQUARES} squares of it give that much bias strip.")
    inner = side - 2 * seam
    joined = squares * turns * ROOT2 * inner - (squares - 1) * strip
    rows = math.ceil(Fraction(squares, math.floor(across / side)))
    figures: dict[str, Length] = {
        "length": needed,
        "strip width": strip,
        "seam allowance": seam,
        "square": side,
        "joined": joined,
    }
    steps = (edge, Step("bias square", figures, {"squares": squares, "turns of the tube": turns}))
    return Binding(perimeter, needed, squares * turns, joined, rows * side, "bias square", squares, side, steps)


def _bias_square(length: Fraction, strip: Fraction, seam: Fraction) -> tuple[Fraction, int]:
    """The least square whose whole turns reach `length`, and how many turns they are.

    With T = S - 2s, n turns need T ≥ n·w·√2 for their width and T ≥ length / (n√2) for their length; the one grows and
    the other falls with n, so the best n lies beside where they cross.
    """
    crossing = math.sqrt(length / (2 * strip))
    turns = (max(1, math.floor(crossing)), max(1, math.ceil(crossing)))
    inner, n = min((max(n * strip * ROOT2, length / (n * ROOT2)), n) for n in turns)
    return inner + 2 * seam, n


def _check_top(top: Size, **lengths: Length) -> None:
    for name, value in (("top.width", top.width), ("top.length", top.length)):
        if value <= 0:
            raise FinishingError(name, "It must be more than 0.")
    for name, value in lengths.items():
        needed = name in ("cloth_width", "strip_width", "increment")
        if value < 0 or (needed and not value):
            raise FinishingError(name, "It must be more than 0." if needed else "It must not be negative.")
