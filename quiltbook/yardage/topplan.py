"""What describes a quilt top before anything is worked out: its centre, its rounds of borders, its motifs and settings?

Plain frozen values, lengths in nm, widths across the quilt and lengths down it; and the check that they make sense, which
names the field at fault.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from quiltbook.measures import NM_PER_INCH, Length, Size
from quiltbook.yardage import blocks, fields, fit, setting
from quiltbook.yardage.blocks import Block
from quiltbook.yardage.motifs import MOST_ON_A_SIDE, RULES, SIDES, Motif, MotifError, MotifsOnRound, flower
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.setting import Setting

CORNERS = ("butted", "cornerstones", "mitred")
FIRST = ("sides", "ends")
APPLIED = ("before", "after")
JOINS = ("straight", "diagonal")
MOST_ROUNDS = 50
MOST_PATCHES = 200_000


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
class Blocks:
    """A centre of blocks set straight or on point; `designs` take turns, along each row and from row to row.

    On point the main rows have the first design and the blocks between them the second.
    """

    designs: tuple[Block, ...]
    setting: Setting
    measured: Size | None = None


@dataclass(frozen=True, slots=True)
class PaperField:
    """A centre pieced over papers: `rows` of `columns` hexagons or diamonds of `side`, alternate rows shifted by half.

    `turned`: what is turned over the papers. `edge`: "trimmed" to the rectangle it covers, or "applied" whole to a `background`
    of that finished size, by default the field's own. `angle`: of a diamond's tip, in degrees.
    """

    shape: str
    side: Length
    rows: int
    columns: int
    turned: Length
    edge: str = "trimmed"
    background: Size | None = None
    angle: float = 60.0
    measured: Size | None = None


@dataclass(frozen=True, slots=True)
class WholeCloth:
    """A centre of one cloth, or of as few equal panels, seamed lengthwise, as the cloth's width asks for."""

    width: Length
    length: Length
    measured: Size | None = None


@dataclass(frozen=True, slots=True)
class SewnTop:
    """A centre that is a top already sewn, of that finished size."""

    width: Length
    length: Length
    measured: Size | None = None


type Centre = Panel | Blocks | PaperField | WholeCloth | SewnTop


@dataclass(frozen=True, slots=True)
class Pieced:
    """What a pieced border is made of: units `unit` long, in which `designs` take turns, their upper edge outward.

    `coping`: the plain border inside that makes the units fit, as in `fit`; at least `least_coping` wide. `corner`: the block in
    the corners, as drawn in the upper left one; None for plain squares.
    """

    designs: tuple[Block, ...]
    unit: Length
    coping: str = "auto"
    least_coping: Length = 0
    corner: Block | None = None


@dataclass(frozen=True, slots=True)
class Round:
    """A border of finished `width`. `pieced`: what it is pieced from, with squares or blocks in the corners whatever `corners` says.
    `first`: which pair is joined first. `cut_long`: added to strips trimmed to measure.

    `measured`: what the top measured with it on, seam to seam; later rounds go by it.
    """

    width: Length
    corners: str
    first: str = "sides"
    cut_long: Length = 0
    measured: Size | None = None
    motifs: MotifsOnRound | None = None
    pieced: Pieced | None = None


@dataclass(frozen=True, slots=True)
class TopPlan:
    """A whole top. `round_up`: the cutting step. `cloth_width`: usable, for strips longer than the cloth is wide.

    `mitre_extra`: added to mitred strips beyond the least that makes the mitre. `join`: "straight" takes two seam
    allowances off at each join, "diagonal" the strip's cut width; `join_loss` overrides both. `join_least`: no length in
    a joined strip is shorter.
    """

    centre: Centre
    rounds: tuple[Round, ...]
    motifs: Mapping[str, Motif]
    seam_allowance: Length
    round_up: int
    cloth_width: Length
    mitre_extra: Length = 0
    join: str = "straight"
    join_loss: Length | None = None
    join_least: int = 8 * NM_PER_INCH
    surplus: Length = 0


def check(plan: TopPlan) -> None:
    """Raises `TopError` for the first thing in the plan that cannot be."""
    for name, least in (
        ("seam_allowance", False),
        ("mitre_extra", False),
        ("surplus", False),
        ("round_up", True),
        ("cloth_width", True),
    ):
        _positive(name, getattr(plan, name), more_than_zero=least)
    _one_of("join", plan.join, JOINS)
    _check_centre(plan.centre)
    if len(plan.rounds) > MOST_ROUNDS:
        raise TopError("rounds", f"A top has at most {MOST_ROUNDS} rounds.")
    for index, round_ in enumerate(plan.rounds):
        _check_round(f"rounds[{index}]", round_, plan.motifs)
    for name, motif in plan.motifs.items():
        try:
            flower(motif)
        except MotifError as error:
            raise TopError(f"motifs.{name}.{error.field}", error.problem) from None


def _check_centre(centre: Centre) -> None:
    _positive_size("centre.measured", centre.measured)
    if isinstance(centre, Blocks):
        try:
            setting.check(centre.setting)
        except Refusal as error:
            raise TopError(f"centre.{error.field}", error.problem) from None
        _check_designs("centre.designs", centre.designs)
        most = max(len(design.cells) for design in centre.designs)
        if 2 * most * centre.setting.across * centre.setting.down > MOST_PATCHES:
            raise TopError(
                "centre.across", f"So many blocks of so many cells may come to more than {MOST_PATCHES} patches."
            )
    elif isinstance(centre, PaperField):
        _positive("centre.seam_allowance", centre.turned, more_than_zero=False)
        _one_of("centre.edge", centre.edge, fields.EDGES)
        _positive_size("centre.background", centre.background)
    else:
        _positive("centre.width", centre.width)
        _positive("centre.length", centre.length)
        if isinstance(centre, Panel):
            _positive("centre.printed_seam", centre.printed_seam, more_than_zero=False)
            _positive_size("centre.printed", centre.printed)


def _check_designs(where: str, designs: tuple[Block, ...]) -> None:
    if not designs:
        raise TopError(where, "It needs a block.")
    for n, design in enumerate(designs):
        try:
            blocks.check(design)
        except Refusal as error:
            raise TopError(f"{where}[{n}].{error.field}", error.problem) from None


def _check_pieced(where: str, pieced: Pieced) -> None:
    _positive(f"{where}.unit", pieced.unit)
    _one_of(f"{where}.coping", pieced.coping, fit.COPINGS)
    _positive(f"{where}.least_coping", pieced.least_coping, more_than_zero=False)
    _check_designs(f"{where}.designs", pieced.designs)
    if pieced.corner:
        _check_designs(f"{where}.corner", (pieced.corner,))


def _check_round(where: str, round_: Round, motifs: Mapping[str, Motif]) -> None:
    _positive(f"{where}.width", round_.width)
    _positive(f"{where}.cut_long", round_.cut_long, more_than_zero=False)
    _one_of(f"{where}.corners", round_.corners, CORNERS)
    _one_of(f"{where}.first", round_.first, FIRST)
    _positive_size(f"{where}.measured", round_.measured)
    on = round_.motifs
    if round_.pieced:
        _check_pieced(f"{where}.pieced", round_.pieced)
        if on:
            raise TopError(f"{where}.motifs", "A pieced border carries no motifs.")
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
