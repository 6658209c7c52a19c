"""What do the backing, the wadding and the binding come to, and how were they worked out? The engine's answer in her own measures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from django.utils.text import slugify

from plans.models import Plan
from plans.models.plan import BackingSeams, BindingJoin
from plans.queries.says import HARD_SPACE, number, show_length, show_size
from plans.queries.worked import Worked
from quiltbook.measures import Length, Size, System, mm2, round_up, show_amount, show_area
from quiltbook.yardage.finishing import BackingOption, Binding
from quiltbook.yardage.patches import Step
from quiltbook.yardage.wadding import USUAL_PACKS, FromPacks, Pack, to_buy

OWN_PACK = "your own"
MOST_PACKS = 4  # kinds of pack shown before the rest


@dataclass(frozen=True, slots=True)
class BackingRow:
    """One way to make the backing; `joined` is how wide its panels are together. `best`: the plan's own way; `least`: none takes less."""

    words: str
    panels: int
    panel_length: Length
    joined: Length
    length: Length
    to_buy: int
    best: bool
    least: bool
    how: str


@dataclass(frozen=True, slots=True)
class PackRow:
    """So many packs of one kind that cover the wadding; `left` (mm²) is cut away."""

    key: str
    words: str
    size: Size
    packs: int
    own: bool
    left: int
    how: str


@dataclass(frozen=True, slots=True)
class RollRow:
    """A length off the roll that covers it."""

    key: str
    words: str
    to_buy: int
    how: str


@dataclass(frozen=True, slots=True)
class WaddingRows:
    """The size to cut, and how to come by it: packs, fewest first, and then the least left over."""

    size: Size
    how: str
    packs: tuple[PackRow, ...]
    more_packs: tuple[PackRow, ...]
    roll: tuple[RollRow, ...]


@dataclass(frozen=True, slots=True)
class BindingRow:
    """`words` says what is cut: strips, or squares for a bias strip. `to_buy` is `cloth` up to what a shop cuts."""

    words: str
    way: str
    perimeter: Length
    length: Length
    strips: int
    joins: int
    joined: Length
    cloth: Length
    to_buy: int
    how: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FinishingRows:
    """All that goes on the top once it is sewn, each with how it was worked out."""

    top: Size
    backing_need: Size
    backing: tuple[BackingRow, ...]
    backing_how: str
    backing_missed: str
    wadding: WaddingRows
    binding: BindingRow
    washes_first: bool


def finishing_rows(plan: Plan, work: Worked, system: System) -> FinishingRows:
    """The finishing of a plan worked out."""
    back, size = work.backing, work.top.finished
    overage = (Fraction(back.need.width) - Fraction(size.width)) / 2
    return FinishingRows(
        top=size,
        backing_need=back.need,
        backing=tuple(
            _option(option, option == back.best, option.to_buy == back.options[0].to_buy, system)
            for option in back.options
        ),
        backing_how=_beyond(size, overage, system),
        backing_missed=_missed(plan, work),
        wadding=_wadding(plan, work, system),
        binding=_binding(plan, work.binding, system),
        washes_first=plan.washes_first,
    )


def _beyond(size: Size, overage: Length, system: System) -> str:
    top, over = show_size(size, system=system), show_length(overage, system=system)
    return f"The top, {top}, and {over} beyond it on every side." if overage else f"As large as the top, {top}."


# --- backing ---------------------------------------------------------------------------------------------------------


def _missed(plan: Plan, work: Worked) -> str:
    """Why her way to run the seams is not among the ways, where it is not."""
    if plan.backing_seams in (BackingSeams.LEAST, work.backing.best.seams):
        return ""
    if plan.backing_seams == BackingSeams.DIAGONAL and plan.backing_repeat:
        return "A print whose repeat is to be matched cannot be slid along a diagonal seam."
    if plan.backing_seams == BackingSeams.DIAGONAL:
        return "A diagonal seam serves where the cloth is a little too narrow, and here it is not so."
    return "One width reaches, so there are no seams to run your way."


def _option(option: BackingOption, best: bool, least: bool, system: System) -> BackingRow:
    many = option.panels > 2
    way = {
        "none": "One width, no seam",
        "lengthwise": "seams running down the quilt" if many else "a seam running down the quilt",
        "crosswise": "seams running across the quilt" if many else "a seam running across the quilt",
        "diagonal": "One width, cut from corner to corner, slid and sewn",
    }[option.seams]
    words = f"{number(option.panels).capitalize()} widths, {way}" if option.panels > 1 else way
    return BackingRow(
        words=words,
        panels=option.panels,
        panel_length=option.panel_length,
        joined=option.joined,
        length=option.length,
        to_buy=option.to_buy,
        best=best,
        least=least,
        how=" ".join(_option_how(option, step, system) for step in option.steps),
    )


def _cloth(nm: Length, system: System) -> str:
    return show_amount(nm, system=system).replace(" ", HARD_SPACE)


def _option_how(option: BackingOption, step: Step, system: System) -> str:
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    length, buy = _cloth(option.length, system), _cloth(option.to_buy, system)
    if step.what == "slid":
        return (
            f"The cloth’s {at['cloth width']} do not reach {at['to reach']}. Cut {length} from corner to corner, slide the halves"
            f" along the cut until they do, and sew them with a seam that takes {at['lost at a seam']}; the shop cuts {buy}."
        )
    if option.panels == 1:
        return f"The cloth’s {at['cloth width']} reach the {at['to reach']} needed. That is {length} of it; the shop cuts {buy}."
    repeats = f", whole repeats of {at['repeat']}," if "repeat" in at else ""
    return (
        f"{number(option.panels).capitalize()} widths of {at['cloth width']}, less {at['lost at a seam']} at each seam,"
        f" are {at['joined']}, and {at['to reach']} are needed. Each is {at['panel length']} long{repeats}, together {length};"
        f" the shop cuts {buy}."
    ).replace(",,", ",")


# --- wadding ---------------------------------------------------------------------------------------------------------


def _wadding(plan: Plan, work: Worked, system: System) -> WaddingRows:
    need, top = work.wadding, work.top.finished
    own: tuple[Pack, ...] = ()
    if plan.wadding_pack_width and plan.wadding_pack_length:
        own = (Pack(OWN_PACK, Size(plan.wadding_pack_width, plan.wadding_pack_length)),)
    found = to_buy(need, increment=plan.shop_step, packs=(*own, *USUAL_PACKS), roll_width=plan.wadding_roll)
    packs = sorted((_pack(way, system) for way in found.packs), key=lambda row: not row.own)
    return WaddingRows(
        size=need,
        how=_beyond(top, (Fraction(need.width) - Fraction(top.width)) / 2, system),
        packs=tuple(packs[:MOST_PACKS]),
        more_packs=tuple(packs[MOST_PACKS:]),
        roll=tuple(_roll(option, system) for option in found.roll),
    )


def _pack(way: FromPacks, system: System) -> PackRow:
    own = way.pack.name == OWN_PACK
    name = "the pack you gave" if own else way.pack.name
    many = f"{number(way.packs)} packs" if way.packs > 1 else "one pack"
    need, size = (way.steps[0].lengths[name] for name in ("to reach", "to reach down")), way.pack.size
    reach = show_size(Size(*need), system=system)
    each = show_size(size, system=system)
    if way.packs == 1:
        how = f"{each}{', turned a quarter,' if way.turned else ''} covers {reach}."
    else:
        turned = ", each turned a quarter" if way.turned else ""
        how = (
            f"{number(way.across).capitalize()} of {each} across and {number(way.down)} down{turned}, joined edge to edge,"
            f" cover {reach}."
        )
    left = mm2(way.left, 1)
    return PackRow(
        key=slugify(f"pack {way.pack.name}"),
        words=f"{many.capitalize()}, {name}",
        size=size,
        packs=way.packs,
        own=own,
        left=left,
        how=f"{how} {show_area(left, system=system).replace(' ', HARD_SPACE)} is cut away.",
    )


def _roll(option: BackingOption, system: System) -> RollRow:
    row = _option(option, best=False, least=False, system=system)
    at = {name: show_length(nm, system=system) for name, nm in option.steps[0].lengths.items()}
    if option.panels == 1:
        how = f"The roll’s {at['cloth width']} reach the {at['to reach']} needed."
    else:
        how = (
            f"{number(option.panels).capitalize()} widths of {at['cloth width']}, joined edge to edge, are {at['joined']}, and"
            f" {at['to reach']} are needed. Each is {at['panel length']} long."
        )
    buy = _cloth(option.to_buy, system)
    return RollRow(
        key=f"roll-{option.seams}",
        words=row.words.replace("seam", "join"),
        to_buy=option.to_buy,
        how=f"{how} That is {_cloth(option.length, system)}; the shop cuts {buy}.",
    )


# --- binding ---------------------------------------------------------------------------------------------------------


def _binding(plan: Plan, bound: Binding, system: System) -> BindingRow:
    if bound.square is not None:
        squares = "A square" if bound.squares == 1 else f"{number(bound.squares).capitalize()} squares"
        side = show_length(round_up(bound.square, plan.cutting_step), system=system)
        words = f"{squares} of {side}"
    else:
        words = f"{number(bound.strips).capitalize()} strip{'' if bound.strips == 1 else 's'}"
    return BindingRow(
        words=words,
        way=BindingJoin(plan.binding_join).label,
        perimeter=bound.perimeter,
        length=bound.length_needed,
        strips=bound.strips,
        joins=bound.joins,
        joined=bound.joined_length,
        cloth=bound.cloth_length,
        to_buy=round_up(bound.cloth_length, plan.shop_step),
        how=tuple(_binding_how(step, bound.join, plan.cutting_step, system) for step in bound.steps),
    )


def _binding_how(step: Step, join: str, cutting_step: int, system: System) -> str:
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    if step.what == "length needed":
        return f"Round the quilt, {at['top width']} and {at['top length']} twice each, and {at['extra']} more: {at['length']}."
    if step.what == "bias square":
        return _bias_how(step, cutting_step, system)
    strips = step.counts.get("strips", 0)
    if step.what == "strips":
        on = "straight" if join == BindingJoin.STRAIGHT else "on the diagonal"
        lost = f", each join {on} taking {at['lost at a join']}" if strips > 1 else ""
        widths = "One strip" if strips == 1 else f"{number(strips).capitalize()} strips"
        return f"{widths} across cloth {at['cloth width']} wide{lost}: together {at['joined']}."
    return f"{number(strips).capitalize()} times {at['strip width']} is {at['length']} of cloth."


def _bias_how(step: Step, cutting_step: int, system: System) -> str:
    """The square goes up to the cutting step; what its strip comes to is told to the same step, for roots make no fractions."""
    squares, turns = step.counts["squares"], step.counts["turns of the tube"]
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    side = show_length(round_up(step.lengths["square"], cutting_step), system=system)
    joined = show_length(step.lengths["joined"], system=system, step=cutting_step)
    what = f"A square of {side}" if squares == 1 else f"Each of {number(squares)} squares of {side}"
    return (
        f"{what} is cut from corner to corner, the two triangles sewn together and the piece into a tube, with seams of"
        f" {at['seam allowance']}; cut round it {number(turns)} times, {at['strip width']} wide. Together that is {joined} of strip."
    )
