"""Where does each figure of the top come from, and in what order is it sewn? The engine's steps as sentences in her own measures."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plans.models import Round
from plans.queries.worked import round_name
from quiltbook.measures import NM_PER_64TH, NM_PER_MM, Length, Size, System
from quiltbook.measures import show_length as plain_length
from quiltbook.measures import show_size as plain_size
from quiltbook.yardage.patches import Step
from quiltbook.yardage.tops import CentreResult, SewingStep, Top

# What the engine's parts are called, several of them.
PARTS = {
    "panel": "centre",
    "whole cloth": "panels of the centre",
    "patch": "patches",
    "patch, cut once": "squares, each cut once corner to corner into two triangles",
    "patch, cut twice": "squares, each cut twice corner to corner into four triangles",
    "field patch": "shapes to turn over papers",
    "background": "background",
    "sash": "sashing strips",
    "sashing cornerstone": "cornerstones of the sashing",
    "edge cornerstone": "half cornerstones at the edge",
    "edge cornerstone, cut once": "squares for half cornerstones, each cut once corner to corner",
    "edge cornerstone, cut twice": "squares for half cornerstones, each cut twice corner to corner",
    "side triangle": "side triangles",
    "side triangle, cut once": "squares for side triangles, each cut once corner to corner",
    "side triangle, cut twice": "squares for side triangles, each cut twice corner to corner",
    "corner triangle": "corner triangles",
    "corner triangle, cut once": "squares for corner triangles, each cut once corner to corner",
    "corner triangle, cut twice": "squares for corner triangles, each cut twice corner to corner",
    "coping side": "left and right coping strips",
    "coping end": "top and bottom coping strips",
    "side": "left and right strips",
    "end": "top and bottom strips",
    "cornerstone": "cornerstones",
    "petal": "petals",
    "petal hexagon": "petal hexagons",
    "flower centre": "flower centres",
    "backing panel": "backing panels",
    "binding strip": "binding strip",
    "bias square": "squares for a bias strip",
}
PIECED_LENGTHS = {"side": "pieced lengths on the left and right", "end": "pieced lengths at the top and bottom"}
HARD_SPACE = "\u00a0"
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def show_length(nm: Length, *, system: System, step: int | None = None) -> str:
    """A length within a sentence: its parts stay on one line."""
    return plain_length(nm, system=system, step=step).replace(" ", HARD_SPACE)


def show_size(size: Size, *, system: System) -> str:
    """A size within a sentence, likewise."""
    return plain_size(size, system=system).replace(" ", HARD_SPACE)


def number(count: int) -> str:
    """A small count in words."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def mid_sentence(place: int, row: Round) -> str:
    """What a round is called within a sentence: "the first border", or her own name for it."""
    if row.name:
        return row.name
    plain = round_name(place, row)
    return f"the {plain[:1].lower()}{plain[1:]}"


def piece_how(step: Step, system: System) -> str:
    """How the cut size of a border's piece came about."""
    at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
    if step.what == "cornerstone":
        return f"As wide as the border, {at['border width']}, and {at['seam allowance']} of seam on every side: {at['cut']}."
    corners = step.what.split()[0]
    along = f"Along {at['top']} of the quilt"
    if corners == "mitred":
        told = f"{along} and past both ends by {at['border width']}, with seams and the points of the mitres"
        told += f", and {at['mitre extra']} to spare" if step.lengths["mitre extra"] else ""
    else:
        past = (Fraction(step.lengths["finished"]) - Fraction(step.lengths["top"])) / 2
        told = along + (f" and past both ends by {show_length(past, system=system)}" if past else "")
        told += f": finished {at['finished']}; {at['seam allowance']} of seam at each end"
    told += f", and {at['cut long']} to trim" if "cut long" in at else ""
    told += f": cut {at['cut']}."
    joined = step.counts["lengths joined"]
    if joined > 1:
        told += (
            f" That is longer than the cloth’s {at['cloth width']}, so it is joined of {number(joined)} lengths;"
            f" each join takes {at['lost at a join']}."
        )
    return told


def trimming(centre: CentreResult, system: System) -> tuple[str, ...]:
    """What comes off a printed panel, and what of its edge would show; nothing for another centre."""
    if centre.trim is None or centre.kind != "panel":
        return ()
    told = [f"{_trim(centre.trim, system)} It is then {show_size(centre.cut, system=system)} with its seams."]
    blank = centre.blank
    if blank is not None and (blank.width > 0 or blank.length > 0):
        wide, long = (show_length(nm, system=system) for nm in (blank.width, blank.length))
        told.append(
            f"Of the edge beyond the print, {wide} on the left and right and {long} at the top and bottom would show"
            " inside the seam: a smaller finished size hides it."
        )
    return tuple(told)


def _trim(trim: Size, system: System) -> str:
    wide, long = (show_length(nm, system=system) for nm in (trim.width, trim.length))
    if not trim.width and not trim.length:
        return "The panel needs no trimming."
    if trim.width == trim.length:
        return f"Trim {wide} off each side of the panel."
    return f"Trim the panel: {wide} off the left and right, {long} off the top and bottom."


def sewing_order(top: Top, rows: Sequence[Round], system: System) -> tuple[str, ...]:
    """Every step of sewing the top together, in order, with the size it then has."""
    return tuple(_sewing(step, top, rows, system) for step in top.sewing_order)


def _sewing(step: SewingStep, top: Top, rows: Sequence[Round], system: System) -> str:
    after = "" if step.size_after is None else show_size(step.size_after, system=system)
    if step.round is None:
        return _centre_sewing(step, after)
    border = mid_sentence(step.round, rows[step.round])
    strips = PARTS.get(step.part, "")
    match step.what:
        case "join lengths":
            return f"Sew lengths together into {number(step.count)} {strips} for {border}."
        case "piece" if step.part == "unit":
            return f"Piece {number(step.count)} units for {border} and sew them into four lengths."
        case "piece":
            return f"Piece {_flowers(step.count)} for {border}."
        case "apply":
            motifs = top.rounds[step.round].motifs
            onto = "the strips of " if motifs and motifs.applied == "before" else ""
            return f"Sew {_flowers(step.count)} onto {onto}{border}."
        case "trim":
            return f"Trim the {strips} of {border} to what the quilt measures through its middle."
        case "mitre":
            return f"Sew the four mitred corners of {border}: the quilt is then {after}."
        case _ if step.part == "cornerstone":
            result = top.rounds[step.round]
            if result.pieced:
                return f"Sew a corner to each end of the top and bottom lengths of {border}."
            second = PARTS[result.pieces[1].part]
            return f"Sew a cornerstone to each end of the {second} of {border}."
        case _:
            then = f": the quilt is then {after}" if after else ", leaving the corners open"
            if top.rounds[step.round].pieced and step.part in ("side", "end"):
                return f"Join on the {PIECED_LENGTHS[step.part]} of {border}{then}."
            return f"Join on the {strips} of {border}{then}."


def _centre_sewing(step: SewingStep, after: str) -> str:
    match step.what, step.part:
        case "piece", "block":
            return f"Piece {number(step.count)} {'block' if step.count == 1 else 'blocks'}."
        case "piece", _:
            return f"Turn {number(step.count)} shapes over papers and sew them together."
        case "join", _:
            return f"Join the blocks, with all that lies between them: the centre finishes {after}."
        case "join lengths", _:
            return f"Sew the {number(step.count)} panels of the centre together."
        case "trim", "field":
            return f"Take the papers out, press, and cut the edges straight: the centre finishes {after}."
        case "apply", _:
            return f"Take the papers out, press, and sew the field onto its background: the centre finishes {after}."
        case "trim", _:
            return f"Trim the panel: it finishes {after}."
        case "begin with", "sewn top":
            return f"Begin with the top that is sewn already: it finishes {after}."
        case _:
            return f"Begin with the centre: it finishes {after}."


def _flowers(count: int) -> str:
    return f"{number(count)} flower" if count == 1 else f"{number(count)} flowers"


def marked(nm: Length, system: System) -> str:
    """A length that is only marked on cloth: to the nearest sixteenth of an inch or millimetre."""
    return show_length(nm, system=system, step=4 * NM_PER_64TH if system is System.INCHES else NM_PER_MM)
