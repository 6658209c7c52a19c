"""What describes a quilt top before anything is worked out: its centre, its rounds of borders, its motifs and settings?

Plain frozen values, lengths in nm, widths across the quilt and lengths down it; and the check that they make sense, which
names the field at fault.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import NM_PER_INCH, Length, Size
from quiltbook.yardage.motifs import MOST_ON_A_SIDE, RULES, SIDES, Motif, MotifError, MotifsOnRound, flower
from quiltbook.yardage.patches import Refusal

CORNERS = ("butted", "cornerstones", "mitred")
FIRST = ("sides", "ends")
APPLIED = ("before", "after")
JOINS = ("straight", "diagonal")
MOST_ROUNDS = 50


class TopError(Refusal):
    """The top cannot be sewn so; `field` says where, such as `rounds[1].width`."""


@dataclass(frozen=True, slots=True)
class Panel:
    """The centre, `width` by `length` finished.

    `measured`: what it measured, seam to seam, once it was trimmed; later rounds go by it. `printed`: the whole size of a
    printed panel, of which `printed_seam` on every edge lies outside the picture.
    """

    width: Length
    length: Length
    measured: Size | None = None
    printed: Size | None = None
    printed_seam: Length = 0


@dataclass(frozen=True, slots=True)
class Round:
    """A border of finished `width`. `first`: which pair is joined first. `cut_long`: added to strips trimmed to measure.

    `measured`: what the top measured with it on, seam to seam; later rounds go by it.
    """

    width: Length
    corners: str
    first: str = "sides"
    cut_long: Length = 0
    measured: Size | None = None
    motifs: MotifsOnRound | None = None


@dataclass(frozen=True, slots=True)
class TopPlan:
    """A whole top. `round_up`: the cutting step. `cloth_width`: usable, for strips longer than the cloth is wide.

    `mitre_extra`: added to mitred strips beyond the least that makes the mitre. `join`: "straight" takes two seam
    allowances off at each join, "diagonal" the strip's cut width; `join_loss` overrides both. `join_least`: no length in
    a joined strip is shorter.
    """

    centre: Panel
    rounds: tuple[Round, ...]
    motifs: Mapping[str, Motif]
    seam_allowance: Length
    round_up: int
    cloth_width: Length
    mitre_extra: Length = 0
    join: str = "straight"
    join_loss: Length | None = None
    join_least: int = 8 * NM_PER_INCH


def check(plan: TopPlan) -> None:
    """Raises `TopError` for the first thing in the plan that cannot be."""
    for name, least in (("seam_allowance", False), ("mitre_extra", False), ("round_up", True), ("cloth_width", True)):
        _positive(name, getattr(plan, name), more_than_zero=least)
    _one_of("join", plan.join, JOINS)
    _positive("centre.width", plan.centre.width)
    _positive("centre.length", plan.centre.length)
    _positive("centre.printed_seam", plan.centre.printed_seam, more_than_zero=False)
    _positive_size("centre.measured", plan.centre.measured)
    _positive_size("centre.printed", plan.centre.printed)
    if len(plan.rounds) > MOST_ROUNDS:
        raise TopError("rounds", f"A top has at most {MOST_ROUNDS} rounds.")
    for index, round_ in enumerate(plan.rounds):
        _check_round(f"rounds[{index}]", round_, plan.motifs)
    for name, motif in plan.motifs.items():
        try:
            flower(motif)
        except MotifError as error:
            raise TopError(f"motifs.{name}.{error.field}", error.problem) from None


def _check_round(where: str, round_: Round, motifs: Mapping[str, Motif]) -> None:
    _positive(f"{where}.width", round_.width)
    _positive(f"{where}.cut_long", round_.cut_long, more_than_zero=False)
    _one_of(f"{where}.corners", round_.corners, CORNERS)
    _one_of(f"{where}.first", round_.first, FIRST)
    _positive_size(f"{where}.measured", round_.measured)
    on = round_.motifs
    if on is None:
        return
    if on.motif not in motifs:
        raise TopError(f"{where}.motifs.name", "No motif of that name is described in the plan.")
    _one_of(f"{where}.motifs.rule", on.rule, RULES)
    _one_of(f"{where}.motifs.applied", on.applied, APPLIED)
    _positive(f"{where}.motifs.end_margin", on.end_margin, more_than_zero=False)
    for side in SIDES:
        if not 0 <= on.on(side) <= MOST_ON_A_SIDE:
            raise TopError(f"{where}.motifs.{side}", f"It must be from 0 to {MOST_ON_A_SIDE}.")


def _positive(where: str, value: Length, *, more_than_zero: bool = True) -> None:
    if value < 0 or (more_than_zero and not value):
        raise TopError(where, "It must be more than 0." if more_than_zero else "It must not be negative.")


def _positive_size(where: str, size: Size | None) -> None:
    if size is not None and min(Fraction(size.width), Fraction(size.length)) <= 0:
        raise TopError(where, "Both its width and its length must be more than 0.")


def _one_of(where: str, value: str, options: tuple[str, ...]) -> None:
    if value not in options:
        raise TopError(where, f"It must be one of: {', '.join(options)}.")
