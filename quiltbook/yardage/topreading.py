"""How does the command line read the description of a quilt top: its centre, rounds and motifs?

Whatever is wrong is an `InputError`, or the `TopError` of the plan it makes, that names the field.
"""

from dataclasses import replace

from quiltbook.measures import Size
from quiltbook.yardage import motifs, tops
from quiltbook.yardage.blockreading import read_design, read_designs
from quiltbook.yardage.fields import EDGES, MOST_ROWS
from quiltbook.yardage.fit import COPINGS
from quiltbook.yardage.jsonface import UNITS, InputError, Reader
from quiltbook.yardage.settingjson import read_setting
from quiltbook.yardage.topplan import Centre
from quiltbook.yardage.wording import Defaults, maybe_size

CENTRES = ("panel", "blocks", "hexagon field", "diamond field", "whole cloth", "top")


def read_top(reader: Reader, *, within: bool = False) -> tops.TopPlan:
    """The plan an object describes; `within` another top's centre, where no third may be described."""
    defaults = Defaults(reader.unit)
    described = reader.maybe_child("motifs")
    named = {name: described.child(name) for name in described.data} if described else {}
    return tops.TopPlan(
        centre=_centre(reader.child("centre"), within=within),
        rounds=tuple(_round(child) for child in reader.children("rounds", needed=False)),
        motifs={name: _motif(name, child) for name, child in named.items()},
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
        round_up=reader.step("round_up", defaults.step),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        mitre_extra=reader.length("mitre_extra", 0, zero=True),
        join=reader.text("join", "straight"),
        join_loss=reader.maybe_length("join_loss", zero=True),
        join_least=reader.whole_nm("join_least", defaults.join_least, zero=True),
        surplus=reader.length("surplus", 0, zero=True),
    )


def _centre(centre: Reader, *, within: bool) -> Centre:
    kind = centre.choice("kind", CENTRES, "panel")
    measured = maybe_size(centre, "measured")
    if kind == "blocks":
        return tops.Blocks(read_designs(centre, "designs"), read_setting(centre), measured)
    if kind.endswith("field"):
        return tops.PaperField(
            shape=kind.removesuffix(" field"),
            side=centre.length("side"),
            rows=centre.count("rows", most=MOST_ROWS),
            columns=centre.count("columns", most=MOST_ROWS),
            turned=centre.length("seam_allowance", Defaults(centre.unit).seam, zero=True),
            edge=centre.choice("edge", EDGES, "trimmed"),
            background=maybe_size(centre, "background"),
            angle=centre.degrees("angle") if centre.has("angle") else 60.0,
            measured=measured,
        )
    if kind == "top":
        size = _sewn(centre.child("top"), within=within) if centre.has("top") else None
        size = size or Size(centre.length("width"), centre.length("length"))
        return tops.SewnTop(size.width, size.length, measured)
    if kind == "whole cloth":
        return tops.WholeCloth(centre.length("width"), centre.length("length"), measured)
    return tops.Panel(
        width=centre.length("width"),
        length=centre.length("length"),
        measured=measured,
        printed=maybe_size(centre, "printed"),
        printed_seam=centre.length("printed_seam", 0, zero=True),
    )


def _sewn(top: Reader, *, within: bool) -> Size:
    """The size of the top that an object describes, in the unit it names or else that of the whole input."""
    if within:
        raise InputError(top.path, "a top within a top within a top is told by its width and length.")
    reader = replace(top, unit=top.choice("unit", UNITS, top.unit))
    try:
        return tops.work_out(read_top(reader, within=True)).finished
    except tops.TopError as error:
        raise InputError(reader.field(error.field), error.problem) from None


def _round(round_: Reader) -> tops.Round:
    on, pieced = round_.maybe_child("motifs"), round_.maybe_child("pieced")
    return tops.Round(
        width=round_.length("width"),
        corners=round_.text("corners", "butted"),
        first=round_.text("first", "sides"),
        cut_long=round_.length("cut_long", 0, zero=True),
        measured=maybe_size(round_, "measured"),
        motifs=_on_round(on) if on else None,
        pieced=_pieced(pieced) if pieced else None,
    )


def _pieced(pieced: Reader) -> tops.Pieced:
    return tops.Pieced(
        designs=read_designs(pieced, "designs"),
        unit=pieced.length("unit"),
        coping=pieced.choice("coping", COPINGS, "auto"),
        least_coping=pieced.length("least_coping", 0, zero=True),
        corner=read_design(pieced.data["corner"], pieced, "corner") if pieced.has("corner") else None,
    )


def _on_round(on: Reader) -> motifs.MotifsOnRound:
    left, right, top_, bottom = (on.count(side, 0, least=0, most=motifs.MOST_ON_A_SIDE) for side in motifs.SIDES)
    return motifs.MotifsOnRound(
        motif=on.text("name"),
        left=left,
        right=right,
        top=top_,
        bottom=bottom,
        rule=on.text("rule", "even"),
        applied=on.text("applied", "before"),
        end_margin=on.length("end_margin", 0, zero=True),
        corners=on.flag("corners", False),
    )


def _motif(name: str, motif: Reader) -> motifs.Motif:
    return motifs.Motif(
        name=name,
        side=motif.length("side"),
        petal_rise=motif.maybe_length("petal_rise"),
        seam_allowance=motif.length("seam_allowance", Defaults(motif.unit).seam, zero=True),
        kind=motif.text("kind", "hexagon flower"),
    )
