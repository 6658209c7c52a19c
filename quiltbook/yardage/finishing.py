"""What do the backing and the wadding of a top take, and its binding?

Lengths in nm. Panels and strips follow one rule: n of them, each u wide, joined with a loss at each join, reach
n·u - (n - 1)·loss; the least n that reaches far enough is taken, and only what is bought is rounded up: once, unless asked.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import NM_PER_INCH, Length, Size, round_up
from quiltbook.yardage.borders import lengths_needed
from quiltbook.yardage.patches import Refusal, Step

JOINS = ("none", "straight", "diagonal", "bias square")
MOST_SQUARES = 200
SLIDE_LIMIT = Fraction(1, 2)  # widened by more than half, a slid length takes as much cloth as two whole ones
ROOT2 = Fraction(math.sqrt(2))


class FinishingError(Refusal):
    """The finishing cannot be worked out; `field` says why."""


@dataclass(frozen=True, slots=True)
class BackingOption:
    """One way to make the backing. `seams`: "none", or which way they run on the quilt: "lengthwise", "crosswise" or "diagonal".

    `panels` of `panel_length`, cut along the cloth; together `length`, of which a shop cuts `to_buy`. `joined`: how wide
    the panels are together once sewn, at the cloth's full width. `panel`: the least each must be when all are alike, in
    whole nm. "diagonal": the one panel is cut from corner to corner, and its halves slid along the cut and sewn again.
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


def backing(
    top: Size,
    *,
    overage: Length,
    cloth_width: Length,
    seam_allowance: Length,
    increment: int,
    repeat: Length = 0,
    round_each: bool = False,
    diagonal: bool = False,
) -> Backing:
    """The backing of a finished top, `overage` beyond it on every edge, of cloth `cloth_width` wide.

    `repeat`: the print's, along the cloth; panels that are joined are each cut to whole repeats, so that the print runs on.
    `round_each`: every panel is rounded up to the shop's step, instead of their sum. `diagonal`: offer a slid length too,
    where the print has no repeat to match. Raises `FinishingError`.
    """
    _check_top(
        top,
        overage=overage,
        cloth_width=cloth_width,
        increment=increment,
        seam_allowance=seam_allowance,
        repeat=repeat,
    )
    need = wadding(top, overage=overage)
    cloth = _BackingCloth(Fraction(cloth_width), 2 * Fraction(seam_allowance), Fraction(repeat), increment, round_each)
    ways = [cloth.panels("lengthwise", need.width, need.length), cloth.panels("crosswise", need.length, need.width)]
    if diagonal and not repeat:
        ways += [cloth.slid(need.width, need.length), cloth.slid(need.length, need.width)]
    best_of: dict[str, BackingOption] = {}  # without a seam, or slid, the longer of two ways has nothing for it
    for option in sorted(
        (way for way in ways if way), key=lambda option: (option.to_buy, option.length, option.panels)
    ):
        best_of.setdefault(option.seams, option)
    if not best_of:
        raise FinishingError("cloth_width", "It must be wider than two seam allowances.")
    options = tuple(best_of.values())
    steps = (Step("need", {"top width": top.width, "top length": top.length, "overage": overage}),)
    return Backing(need, options, options[0], steps)


@dataclass(frozen=True, slots=True)
class _BackingCloth:
    width: Fraction
    loss: Fraction
    repeat: Fraction
    increment: int
    round_each: bool

    def panels(self, seams: str, across: Length, along: Length) -> BackingOption | None:
        panels = lengths_needed(Fraction(across), self.width, self.loss)
        if panels is None:
            return None
        matched = panels > 1 and self.repeat > 0
        each = math.ceil(Fraction(along) / self.repeat) * self.repeat if matched else Fraction(along)
        joined = panels * self.width - (panels - 1) * self.loss
        figures: dict[str, Length] = {
            "to reach": across,
            "cloth width": self.width,
            "lost at a seam": self.loss,
            "joined": joined,
            "panel length": each,
            "length": panels * each,
        } | ({"repeat": self.repeat} if matched else {})
        panel = Size(math.ceil((Fraction(across) + (panels - 1) * self.loss) / panels), math.ceil(each))
        steps = (Step("panels", figures, {"panels": panels}),)
        return self._option("none" if panels == 1 else seams, panels, each, panel, joined, steps)

    def slid(self, across: Length, along: Length) -> BackingOption | None:
        if not self.width < across <= self.width * (1 + SLIDE_LIMIT) or 2 * self.width - across <= self.loss:
            return None
        length = slid_length(Size(across, along), cloth_width=self.width, seam_allowance=self.loss / 2)
        figures = {"to reach": across, "cloth width": self.width, "lost at a seam": self.loss, "length": length}
        panel = Size(math.ceil(self.width), math.ceil(length))
        return self._option("diagonal", 1, length, panel, across, (Step("slid", figures, {"panels": 1}),))

    def _option(
        self, seams: str, panels: int, each: Length, panel: Size, joined: Length, steps: tuple[Step, ...]
    ) -> BackingOption:
        to_buy = panels * round_up(each, self.increment) if self.round_each else round_up(panels * each, self.increment)
        return BackingOption(seams, panels, each, panel, joined, panels * each, to_buy, steps)


def slid_length(need: Size, *, cloth_width: Length, seam_allowance: Length = 0) -> Fraction:
    """The length x of cloth u wide that, cut from corner to corner, slid and sewn again, gives W by L.

    L·u = x·(2u - W) - 2s·√(x² + u²), solved for x; without a seam x = L·u / (2u - W). From the two triangles moved along
    their long sides by W - u across the cloth, and together by two seam allowances.
    """
    width, u, e = Fraction(need.width), Fraction(cloth_width), 2 * Fraction(seam_allowance)
    k, c = 2 * u - width, Fraction(need.length) * u
    if k <= e:
        raise FinishingError("cloth_width", "It must be more than half of what the slid length is to reach.")
    root = Fraction(math.sqrt(c**2 + u**2 * (k**2 - e**2))) if e else Fraction(0)
    return (k * c + e * root) / (k**2 - e**2)


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

    @property
    def joins(self) -> int:
        """A strip of a tube crosses two seams at every turn: that of its halves, and the one that made it a tube."""
        return 2 * self.strips - 1 if self.join == "bias square" else self.strips - 1


def binding_strip(finished: Length, *, thickness: Length = 0, seam_allowance: Length | None = None) -> Length:
    """How wide to cut a double-fold strip that shows `finished` on each face: 2(2f + s + t).

    Half the strip goes over the seam, the front, the edge of the quilt (its `thickness`) and the back. Without a
    `seam_allowance` the binding is to be filled to its edge, s = f: then it is the trade's 6f + 2t.
    """
    for name, value in (("finished", finished), ("thickness", thickness), ("seam_allowance", seam_allowance or 0)):
        if value < 0 or (name == "finished" and not value):
            raise FinishingError(name, "It must be more than 0." if name == "finished" else "It must not be negative.")
    seam = finished if seam_allowance is None else seam_allowance
    return 2 * (2 * Fraction(finished) + Fraction(seam) + Fraction(thickness))


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


@dataclass(frozen=True, slots=True)
class BiasYield:
    """What a square gives as bias strip: `length` in `turns` whole turns of the tube.

    `by_area`: the area divided by the strip's width, as handbooks print it; `by_tube`: that of the tube, its seams taken
    off. Both promise more than there is.
    """

    turns: int
    length: Length
    by_tube: Length
    by_area: Length


def bias_from_square(square: Length, *, strip_width: Length, seam_allowance: Length) -> BiasYield:
    """The bias strip in a square of that side; see `_bias` for the formulas. Raises `FinishingError`."""
    _check_top(Size(square, square), strip_width=strip_width, seam_allowance=seam_allowance)
    strip, inner = Fraction(strip_width), Fraction(square) - 2 * Fraction(seam_allowance)
    turns = max(0, math.floor(inner / (strip * ROOT2) + Fraction(1, 10**9)))
    return BiasYield(turns, turns * ROOT2 * inner, max(inner, Fraction(0)) ** 2 / strip, Fraction(square) ** 2 / strip)


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
