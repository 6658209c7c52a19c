"""What does each verb of the command line read, and what does it answer? One thin face on one engine function each.

A verb takes a loaded JSON object and gives one back. Whatever is wrong is a `Refusal` that names the field.
"""

from collections.abc import Callable, Iterable, Mapping

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, NM_PER_MM, NM_PER_YARD, Length, Size
from quiltbook.yardage import finishing, motifs, shapes, tops
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.patches import Patch, Step

type Json = dict[str, object]

_MOST_POINTS = 200


class _Defaults:
    """What the trade takes where the input says nothing, in inches or in metric."""

    def __init__(self, unit: str) -> None:
        inches = unit == "in"
        self.seam = NM_PER_INCH // 4 if inches else 75 * NM_PER_MM // 10
        self.step = NM_PER_INCH // 8 if inches else NM_PER_MM
        self.cloth_width = 42 * NM_PER_INCH if inches else 107 * NM_PER_CM
        self.overage = 4 * NM_PER_INCH if inches else 10 * NM_PER_CM
        self.backing_seam = NM_PER_INCH // 2 if inches else NM_PER_CM
        self.shop_step = NM_PER_YARD // 8 if inches else 10 * NM_PER_CM
        self.binding_strip = 5 * NM_PER_INCH // 2 if inches else 65 * NM_PER_MM
        self.binding_extra = 12 * NM_PER_INCH if inches else 30 * NM_PER_CM
        self.join_least = 8 * NM_PER_INCH if inches else 20 * NM_PER_CM


def _size(reader: Reader, key: str) -> Size:
    child = reader.child(key)
    return Size(child.length("width"), child.length("length"))


def _maybe_size(reader: Reader, key: str) -> Size | None:
    return _size(reader, key) if reader.has(key) else None


def _shown(size: Size, unit: str) -> Json:
    return {"width": number(size.width, unit), "length": number(size.length, unit)}


def _boxed(size: Size, unit: str) -> Json:
    return {"width": number(size.width, unit), "height": number(size.length, unit)}


def _steps(steps: Iterable[Step], unit: str) -> list[Json]:
    return [
        {
            "what": step.what,
            "lengths": {k: number(v, unit) for k, v in step.lengths.items()},
            "counts": dict(step.counts),
        }
        for step in steps
    ]


# --- shape -----------------------------------------------------------------------------------------------------------


def shape(data: Mapping[str, object]) -> Json:
    """A shape finished, cut and rough cut."""
    reader = Reader.of(data)
    defaults, unit = _Defaults(reader.unit), reader.unit
    name = reader.choice("shape", (*shapes.SHAPES, "polygon"))
    sizes = reader.child("size")
    finished = _polygon(sizes) if name == "polygon" else _named_shape(name, sizes)
    result = shapes.work_out(
        finished,
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
        round_up_to=reader.step("round_up", defaults.step),
        shape=name,
    )
    answer: Json = {
        "unit": unit,
        "shape": name,
        "finished": _boxed(finished.size, unit)
        | {"area": area(finished.area, unit), "perimeter": number(finished.perimeter, unit)},
        "cut": _boxed(result.cut.size, unit)
        | {"area": area(result.cut.area, unit), "perimeter": number(result.cut.perimeter, unit)},
        "rough_cut": _boxed(result.rough_cut, unit),
        "edges": [{"length": number(edge.length, unit), "curved": bool(edge.rise)} for edge in finished.edges],
    }
    if result.square:
        square = {"exact": number(result.square.exact, unit), "cut": number(result.square.cut, unit)}
        answer |= {"square": square, "per_square": result.square.per_square}
    return answer | {"steps": _steps(result.steps, unit)}


def _named_shape(name: str, sizes: Reader) -> shapes.Outline:
    make, keys = shapes.SHAPES[name]
    return make(*(sizes.degrees(key) if key == "angle" else float(sizes.length(key)) for key in keys))


def _polygon(sizes: Reader) -> shapes.Outline:
    return shapes.polygon([(float(x), float(y)) for x, y in sizes.points("points", most=_MOST_POINTS)])


# --- top -------------------------------------------------------------------------------------------------------------


def top(data: Mapping[str, object]) -> Json:
    """A quilt top, round by round."""
    reader = Reader.of(data)
    unit = reader.unit
    plan = _top_plan(reader)
    result = tops.work_out(plan)
    centre = result.centre
    return {
        "unit": unit,
        "finished": _shown(result.finished, unit),
        "centre": {
            "finished": _shown(centre.finished, unit),
            "cut": _shown(centre.cut, unit),
            "trim": _shown(centre.trim, unit) if centre.trim else None,
            "blank": _shown(centre.blank, unit) if centre.blank else None,
            "steps": _steps(centre.steps, unit),
        },
        "rounds": [_round_shown(round_, unit) for round_ in result.rounds],
        "motifs": _motifs_shown(result, unit),
        "patches": [_patch_shown(patch, unit) for patch in result.patches],
        "sewing_order": [
            {
                "what": step.what,
                "round": step.round,
                "part": step.part,
                "count": step.count,
                "size_after": _shown(step.size_after, unit) if step.size_after else None,
            }
            for step in result.sewing_order
        ],
        "border_seam_length": number(result.border_seam_length, unit),
    }


def _top_plan(reader: Reader) -> tops.TopPlan:
    defaults = _Defaults(reader.unit)
    described = reader.maybe_child("motifs")
    named = {name: described.child(name) for name in described.data} if described else {}
    return tops.TopPlan(
        centre=_panel(reader.child("centre")),
        rounds=tuple(_round(child) for child in reader.children("rounds", needed=False)),
        motifs={name: _motif(name, child) for name, child in named.items()},
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
        round_up=reader.step("round_up", defaults.step),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        mitre_extra=reader.length("mitre_extra", 0, zero=True),
        join=reader.text("join", "straight"),
        join_loss=reader.maybe_length("join_loss", zero=True),
        join_least=reader.whole_nm("join_least", defaults.join_least, zero=True),
    )


def _panel(centre: Reader) -> tops.Panel:
    centre.choice("kind", ("panel",), "panel")
    return tops.Panel(
        width=centre.length("width"),
        length=centre.length("length"),
        measured=_maybe_size(centre, "measured"),
        printed=_maybe_size(centre, "printed"),
        printed_seam=centre.length("printed_seam", 0, zero=True),
    )


def _round(round_: Reader) -> tops.Round:
    on = round_.maybe_child("motifs")
    return tops.Round(
        width=round_.length("width"),
        corners=round_.text("corners", "butted"),
        first=round_.text("first", "sides"),
        cut_long=round_.length("cut_long", 0, zero=True),
        measured=_maybe_size(round_, "measured"),
        motifs=_on_round(on) if on else None,
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
    )


def _motif(name: str, motif: Reader) -> motifs.Motif:
    return motifs.Motif(
        name=name,
        side=motif.length("side"),
        petal_rise=motif.maybe_length("petal_rise"),
        seam_allowance=motif.length("seam_allowance", _Defaults(motif.unit).seam, zero=True),
        kind=motif.text("kind", "hexagon flower"),
    )


def _round_shown(round_: tops.RoundResult, unit: str) -> Json:
    return {
        "role": round_.role,
        "finished": _shown(round_.finished, unit),
        "planned": _shown(round_.planned, unit),
        "pieces": [
            {
                "part": piece.part,
                "count": piece.count,
                "finished": _shown(piece.finished, unit),
                "cut": _shown(piece.cut, unit),
                "exact": _shown(piece.exact, unit),
                "strips_joined": piece.strips_joined,
                "steps": _steps(piece.steps, unit),
            }
            for piece in round_.pieces
        ],
        "motifs": [_side_shown(side, unit) for side in round_.motifs.sides] if round_.motifs else [],
        "fits": round_.motifs.fits if round_.motifs else True,
    }


def _side_shown(side: tops.SideMotifs, unit: str) -> Json:
    placed = _spacing_shown(side.spacing, unit)
    return {"side": side.side, "strip": number(side.strip, unit)} | placed | {
        "reach": number(side.reach, unit),
        "room": number(side.room, unit),
        "fits": side.fits,
    }  # fmt: skip


def _motifs_shown(result: tops.Top, unit: str) -> Json:
    """Each motif that is described: how many on all rounds together, and the patches they take."""
    shown: Json = {}
    for name in result.plan.motifs:
        used = [round_.motifs for round_ in result.rounds if round_.motifs and round_.motifs.motif.name == name]
        shown[name] = {
            "count": sum(motif.flowers for motif in used),
            "size": _shown(motifs.flower(result.plan.motifs[name]).size, unit),
            "petals": sum(motif.petals for motif in used),
            "patches": [_patch_shown(patch, unit) for motif in used for patch in motif.patches],
            "piecing_seam_length": number(sum(motif.piecing_seam_length for motif in used), unit),
            "edge_length": number(sum(motif.edge_length for motif in used), unit),
        }
    return shown


def _patch_shown(patch: Patch, unit: str) -> Json:
    return {
        "role": patch.role,
        "part": patch.part,
        "round": patch.round,
        "shape": patch.shape,
        "count": patch.count,
        "finished": _shown(patch.finished, unit),
        "cut": _shown(patch.cut, unit),
        "turn": patch.turn,
        "alike": patch.alike,
        "seam_allowance": number(patch.seam_allowance, unit),
        "join": {"loss": number(patch.join.loss, unit), "least": number(patch.join.least, unit)}
        if patch.join
        else None,
    }


# --- spacing, backing, binding ---------------------------------------------------------------------------------------


def spacing(data: Mapping[str, object]) -> Json:
    """Where motifs sit along a strip."""
    reader = Reader.of(data)
    result = motifs.spacing(
        reader.length("length"),
        reader.length("motif"),
        count=reader.count("count", most=motifs.MOST_MOTIFS) if reader.has("count") else None,
        rule=reader.text("rule", "even"),
        end_margin=reader.length("end_margin", 0, zero=True),
        least_gap=reader.length("least_gap", 0, zero=True),
        align_to=reader.lengths("align_to", signed=True),
        align_shift=reader.length("align_shift", 0, signed=True),
        seam_allowance=reader.length("seam_allowance", _Defaults(reader.unit).seam, zero=True),
    )
    return {"unit": reader.unit} | _spacing_shown(result, reader.unit)


def _spacing_shown(result: motifs.Spacing, unit: str) -> Json:
    def row(values: Iterable[Length]) -> list[int | float]:
        return [number(value, unit) for value in values]

    return {
        "count": result.count,
        "centres": row(result.centres),
        "from_centre": row(result.from_centre),
        "from_raw_edge": row(result.from_raw_edge),
        "gap": None if result.gap is None else number(result.gap, unit),
        "fits": result.fits,
        "steps": _steps(result.steps, unit),
    }


def backing(data: Mapping[str, object]) -> Json:
    """The ways to piece a backing, best first."""
    reader = Reader.of(data)
    defaults, unit = _Defaults(reader.unit), reader.unit
    result = finishing.backing(
        _size(reader, "top"),
        overage=reader.length("overage", defaults.overage, zero=True),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        seam_allowance=reader.length("seam_allowance", defaults.backing_seam, zero=True),
        increment=reader.step("increment", defaults.shop_step),
    )
    return {
        "unit": unit,
        "need": _shown(result.need, unit),
        "options": [
            {
                "seams": option.seams,
                "panels": option.panels,
                "panel_length": number(option.panel_length, unit),
                "panel": _shown(option.panel, unit),
                "joined": number(option.joined, unit),
                "length": number(option.length, unit),
                "to_buy": number(option.to_buy, unit),
                "steps": _steps(option.steps, unit),
            }
            for option in result.options
        ],
        "best": result.best.seams,
        "steps": _steps(result.steps, unit),
    }


def binding(data: Mapping[str, object]) -> Json:
    """The strips for a binding."""
    reader = Reader.of(data)
    defaults, unit = _Defaults(reader.unit), reader.unit
    result = finishing.binding(
        _size(reader, "top"),
        extra=reader.length("extra", defaults.binding_extra, zero=True),
        strip_width=reader.length("strip_width", defaults.binding_strip),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        join=reader.text("join", "diagonal"),
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
    )
    return {
        "unit": unit,
        "join": result.join,
        "perimeter": number(result.perimeter, unit),
        "length_needed": number(result.length_needed, unit),
        "strips": result.strips,
        "joined_length": number(result.joined_length, unit),
        "cloth_length": number(result.cloth_length, unit),
        "squares": result.squares,
        "square": None if result.square is None else number(result.square, unit),
        "steps": _steps(result.steps, unit),
    }


VERBS: Mapping[str, Callable[[Mapping[str, object]], Json]] = {
    "shape": shape,
    "top": top,
    "spacing": spacing,
    "backing": backing,
    "binding": binding,
}
