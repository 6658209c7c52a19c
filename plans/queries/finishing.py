"""What do the backing, the wadding and the binding come to, and how were they worked out? The engine's answer in her own measures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plans.queries.says import HARD_SPACE, number, show_length, show_size
from plans.queries.worked import Worked
from quiltbook.measures import Length, Size, System, show_amount
from quiltbook.yardage.finishing import BackingOption
from quiltbook.yardage.patches import Step


@dataclass(frozen=True, slots=True)
class BackingRow:
    """One way to make the backing; `joined` is how wide its panels are together."""

    words: str
    panels: int
    panel_length: Length
    joined: Length
    length: Length
    to_buy: int
    best: bool
    how: str


@dataclass(frozen=True, slots=True)
class FinishingRows:
    """All that goes on the top once it is sewn, each with how it was worked out."""

    top: Size
    backing_need: Size
    backing: tuple[BackingRow, ...]
    backing_how: str
    wadding: Size
    wadding_how: str
    perimeter: Length
    binding_length: Length
    binding_strips: int
    binding_joined: Length
    binding_cloth: Length
    binding_how: tuple[str, ...]


def finishing_rows(work: Worked, system: System) -> FinishingRows:
    """The finishing of a plan worked out."""
    back, bound, size = work.backing, work.binding, work.top.finished
    wadding_overage = (Fraction(work.wadding.width) - Fraction(size.width)) / 2
    overage = (Fraction(back.need.width) - Fraction(size.width)) / 2
    return FinishingRows(
        top=size,
        backing_need=back.need,
        backing=tuple(_option(option, option == back.best, system) for option in back.options),
        backing_how=_beyond(size, overage, system),
        wadding=work.wadding,
        wadding_how=_beyond(size, wadding_overage, system),
        perimeter=bound.perimeter,
        binding_length=bound.length_needed,
        binding_strips=bound.strips,
        binding_joined=bound.joined_length,
        binding_cloth=bound.cloth_length,
        binding_how=tuple(_binding_how(step, system) for step in bound.steps),
    )


def _beyond(size: Size, overage: Length, system: System) -> str:
    top, over = show_size(size, system=system), show_length(overage, system=system)
    return f"The top, {top}, and {over} beyond it on every side." if overage else f"As large as the top, {top}."


def _option(option: BackingOption, best: bool, system: System) -> BackingRow:
    way = {
        "none": "One width, no seam",
        "lengthwise": "seams running down the quilt" if option.panels > 2 else "a seam running down the quilt",
        "crosswise": "seams running across the quilt" if option.panels > 2 else "a seam running across the quilt",
    }[option.seams]
    words = way if option.seams == "none" else f"{number(option.panels).capitalize()} widths, {way}"
    return BackingRow(
        words=words,
        panels=option.panels,
        panel_length=option.panel_length,
        joined=option.joined,
        length=option.length,
        to_buy=option.to_buy,
        best=best,
        how=" ".join(_option_how(option, step, system) for step in option.steps),
    )


def _option_how(option: BackingOption, step: Step, system: System) -> str:
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    length, buy = (show_amount(nm, system=system).replace(" ", HARD_SPACE) for nm in (option.length, option.to_buy))
    if option.panels == 1:
        return f"The cloth’s {at['cloth width']} reach the {at['to reach']} needed. That is {length} of it; the shop cuts {buy}."
    return (
        f"{number(option.panels).capitalize()} widths of {at['cloth width']}, less {at['lost at a seam']} at each seam,"
        f" are {at['joined']}, and {at['to reach']} are needed. Each is {at['panel length']} long, together {length};"
        f" the shop cuts {buy}."
    )


def _binding_how(step: Step, system: System) -> str:
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    if step.what == "length needed":
        return f"Round the quilt, {at['top width']} and {at['top length']} twice each, and {at['extra']} more: {at['length']}."
    strips = step.counts.get("strips", 0)
    if step.what == "strips":
        lost = f", each join on the diagonal taking {at['lost at a join']}" if strips > 1 else ""
        widths = "One strip" if strips == 1 else f"{number(strips).capitalize()} strips"
        return f"{widths} across cloth {at['cloth width']} wide{lost}: together {at['joined']}."
    return f"{number(strips).capitalize()} times {at['strip width']} is {at['length']} of cloth."
