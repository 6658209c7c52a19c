"""What does the centre of a top come to? Its size, what it is made of, and every piece to cut for it with where its size comes from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from plans.queries.piecerow import PieceRow
from plans.queries.says import HARD_SPACE, number, show_length, show_size, trimming
from plans.queries.ways import WaysRow, ways
from quiltbook.measures import Length, Size, System
from quiltbook.yardage import placing
from quiltbook.yardage.borders import lengths_needed
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.tops import Blocks, CentreResult, PaperField, Top

# What a square cut corner to corner is larger by than the triangle's side along the grain, in seam allowances: see yardage.setting.
TRIANGLES = {2: ("once", "short sides", 2 + math.sqrt(2)), 4: ("twice", "long side", 2 + 2 * math.sqrt(2))}
WORDS = {
    "background": "Background",
    "sash": "Sashing",
    "sashing cornerstone": "Cornerstones",
    "edge cornerstone": "Half cornerstones",
    "side triangle": "Side triangles",
    "corner triangle": "Corner triangles",
}
NEAR = 1.0  # a nanometre


@dataclass(frozen=True, slots=True)
class CentreRow:
    """The centre: `told` says in sentences what it is made of, `how` where its finished size comes from. `trimming`: what comes off
    a printed panel. `ways`: its units that can be sewn many at a time. A top sewn before has no pieces."""

    finished: Size
    planned: Size
    measured: bool
    cut: Size | None
    trimming: tuple[str, ...]
    told: tuple[str, ...]
    how: str
    pieces: tuple[PieceRow, ...]
    ways: tuple[WaysRow, ...]


def centre_row(top: Top, system: System) -> CentreRow:
    """The centre of a top worked out, in her own measures."""
    result = top.centre
    trims = trimming(result, system)
    return CentreRow(
        finished=result.finished,
        planned=result.planned,
        measured=top.plan.centre.measured is not None,
        cut=result.cut if result.kind in ("panel", "whole cloth") and result.count == 1 and not trims else None,
        trimming=trims,
        told=(*trims, *_told(top, system)),
        how=_how(top, system),
        pieces=tuple(_piece(patch, top, trims, system) for patch in result.patches),
        ways=ways(result.units, top.plan.seam_allowance, system),
    )


# --- what it is made of ----------------------------------------------------------------------------------------------


def _told(top: Top, system: System) -> Iterator[str]:
    centre, result = top.plan.centre, top.centre
    if isinstance(centre, Blocks):
        yield from _blocks_told(centre, result, system)
    elif isinstance(centre, PaperField):
        yield f"{result.count} {centre.shape}s, {centre.rows} {'row' if centre.rows == 1 else 'rows'} of {centre.columns}."
        if result.trim:
            wide, long = (show_length(nm, system=system) for nm in (result.trim.width, result.trim.length))
            yield f"Cut straight, it loses {wide} on the left and right and {long} at the top and bottom."
        else:
            yield f"Sewn whole onto a background: the field alone is {_field_size(result, system)}."
    elif result.count > 1:
        cloth = show_length(top.plan.cloth_width, system=system)
        yield f"The cloth is {cloth} wide, so it is seamed of {number(result.count)} panels, side by side."


def _blocks_told(centre: Blocks, result: CentreResult, system: System) -> Iterator[str]:
    side = show_length(centre.setting.block, system=system)
    counts = placing.counts(centre.setting, len(centre.designs))
    each = [f"{count} {design.name}" for count, design in zip(counts, centre.designs, strict=True) if count]
    made_of = f": {' and '.join(each)}" if len(each) > 1 else f", {centre.designs[0].name}"
    if centre.setting.on_point:
        main = centre.setting.across * centre.setting.down
        where = f" {main} in the main rows and {result.count - main} between them."
    else:
        where = ""
    yield f"{result.count} {'block' if result.count == 1 else 'blocks'} of {side}{made_of}.{where}"
    around = [patch for patch in result.patches if patch.part != "patch"]
    if around:
        yield " ".join(_around(patch, system) for patch in around)


def _around(patch: Patch, system: System) -> str:
    """What lies between the blocks: "14 side triangles from 4 squares of 18 1/4 in, each cut twice corner to corner"."""
    words = WORDS[patch.part].lower()
    if patch.per_cut in TRIANGLES:
        side, often = show_length(patch.cut.width, system=system), TRIANGLES[patch.per_cut][0]
        squares = "one square" if patch.to_cut == 1 else f"{patch.to_cut} squares"
        return f"{patch.count} {words} from {squares} of {side}, cut {often} corner to corner."
    words = "sashes" if patch.part == "sash" else words
    return f"{patch.count} {words}, cut {show_size(patch.cut, system=system)}."


def _how(top: Top, system: System) -> str:
    """How the finished size came about; nothing where she gave it."""
    told = []
    for step in top.centre.steps:
        at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
        way = step.what.split(" ")[0]
        match step.what:
            case "width of a straight setting" | "length of a straight setting":
                sashes = step.counts["sashes"]
                strips = f" and {sashes} × {at['sashing']} of sashing" if sashes else ""
                told.append(f"{way.capitalize()}: {step.counts['blocks']} × {at['block']}{strips}, {at['finished']}.")
            case "width on point" | "length on point":
                sashing = " with its sashing" if step.lengths["sashing"] else ""
                told.append(
                    f"{way.capitalize()}: a block{sashing} is {at['diagonal']} from corner to corner,"
                    f" times {step.counts['blocks']}, {at['finished']}."
                )
            case "hexagon field" | "diamond field":
                told.append(f"The field is {_field_size(top.centre, system)} from tip to tip.")
                if top.centre.trim:
                    cut, seam = top.centre.cut, show_length(top.plan.seam_allowance, system=system)
                    told.append(
                        f"Cut straight it is {show_size(cut, system=system)}, of which {seam} on every side is seam."
                    )
            case _:
                pass  # triangles and pieces say how at their own row
    return " ".join(told)


def _field_size(result: CentreResult, system: System) -> str:
    lengths = result.steps[0].lengths
    return show_size(Size(lengths["width"], lengths["length"]), system=system)


# --- pieces to cut ---------------------------------------------------------------------------------------------------


def _piece(patch: Patch, top: Top, trims: tuple[str, ...], system: System) -> PieceRow:
    how, lengths = " ".join(trims) or patch_how(patch, top.plan.round_up, system), _lengths(patch, top)
    if lengths > 1:
        how += f" That is longer than the cloth is wide, so each is joined of {number(lengths)} lengths."
    return PieceRow(_piece_words(patch, top.centre, trims), patch.to_cut, patch.finished, patch.cut, lengths, how)


def _piece_words(patch: Patch, result: CentreResult, trims: tuple[str, ...]) -> str:
    if patch.part == "panel":
        return "Panel" if trims else "Centre"
    if patch.part == "whole cloth":
        return "Centre" if result.count == 1 else "Panels of the centre"
    return patch_words(patch, WORDS.get(patch.part) or _said(patch.role.removeprefix("block ")))


def patch_words(patch: Patch, words: str) -> str:
    """What a patch is called in a list, with what it is cut as: "Star: squares, cut once"."""
    if patch.per_cut in TRIANGLES:
        return f"{words}: squares, cut {TRIANGLES[patch.per_cut][0]}"
    if patch.part != "patch":
        return words
    shapes = {"rectangle": "rectangles", "polygon": "shapes with a template"}
    return f"{words}: {shapes.get(patch.shape, 'squares')}"


def patch_how(patch: Patch, step: int, system: System) -> str:
    """How the cut size of a patch came about, up to the cutting step."""
    seam, cut = show_length(patch.seam_allowance, system=system), show_size(patch.cut, system=system)
    finished = show_size(patch.finished, system=system)
    if patch.per_cut in TRIANGLES:
        return _triangle_how(patch, step, system)
    if patch.part == "field patch":
        return (
            f"The paper is {finished}; {seam} turns over it all round. Cut from a rectangle of {cut}, whose corners go."
        )
    if patch.shape == "polygon":
        return f"With a template: {finished} finished, and {seam} of seam all round. It fits a rectangle of {cut}."
    exact = Size(*(Fraction(side) + 2 * Fraction(patch.seam_allowance) for side in _sides(patch.finished)))
    excess = max(map(_excess, _sides(exact), _sides(patch.cut)))
    comes_to = _comes_to(show_size(exact, system=system), cut, excess, show_length(step, system=system))
    return f"{finished} finished, and {seam} of seam on every side: {comes_to}."


def _triangle_how(patch: Patch, step: int, system: System) -> str:
    often, sides, factor = TRIANGLES[patch.per_cut]
    side, more = float(max(_sides(patch.finished))), factor * float(patch.seam_allowance)
    at = [show_length(nm, system=system) for nm in (side, more, side + more)]
    cut = show_length(patch.cut.width, system=system)
    verb = "finish" if sides.endswith("s") else "finishes"
    comes_to = _comes_to(at[2], cut, _excess(side + more, patch.cut.width), show_length(step, system=system))
    told = f"The {sides} of a triangle {verb} {at[0]}; its seams and their points take {at[1]} more: {comes_to}."
    squares = "One square" if patch.to_cut == 1 else f"{patch.to_cut} squares"
    gives = "gives" if patch.to_cut == 1 else "give"
    return f"{told} {squares}, cut {often} corner to corner, {gives} {patch.per_cut * patch.to_cut}; {patch.count} are needed."


def _comes_to(exact: str, cut: str, excess: float, step: str) -> str:
    """A size with its seams, and what rounding up to the cutting step made of it, where it made anything."""
    if excess <= NEAR:
        return exact
    return f"just under {cut}" if exact.endswith(f"{HARD_SPACE}{cut}") else f"{exact}, up to the next {step}: {cut}"


def _excess(exact: Length, cut: Length) -> float:
    return float(cut) - float(exact)


def _sides(size: Size) -> tuple[Length, Length]:
    return size.width, size.length


def _lengths(patch: Patch, top: Top) -> int:
    if patch.join is None:
        return 1
    long, cloth = Fraction(max(_sides(patch.cut))), Fraction(top.plan.cloth_width)
    return lengths_needed(long, cloth, Fraction(patch.join.loss)) or 1


def _said(role: str) -> str:
    return role[:1].upper() + role[1:]
