"""How does the command line's `top` read a quilt top, and write what it takes? A thin face on `tops.work_out`; `spacing` likewise."""

from collections.abc import Iterable, Mapping

from quiltbook.measures import Length
from quiltbook.yardage import motifs, tops
from quiltbook.yardage.jsonface import Reader, number
from quiltbook.yardage.wording import Defaults, Json, maybe_size, patch_shown, size_shown, steps_shown


def top(data: Mapping[str, object]) -> Json:
    """A quilt top, round by round."""
    reader = Reader.of(data)
    unit = reader.unit
    plan = _top_plan(reader)
    result = tops.work_out(plan)
    centre = result.centre
    return {
        "unit": unit,
        "finished": size_shown(result.finished, unit),
        "centre": {
            "finished": size_shown(centre.finished, unit),
            "cut": size_shown(centre.cut, unit),
            "trim": size_shown(centre.trim, unit) if centre.trim else None,
            "blank": size_shown(centre.blank, unit) if centre.blank else None,
            "steps": steps_shown(centre.steps, unit),
        },
        "rounds": [_round_shown(round_, unit) for round_ in result.rounds],
        "motifs": _motifs_shown(result, unit),
        "patches": [patch_shown(patch, unit) for patch in result.patches],
        "sewing_order": [
            {
                "what": step.what,
                "round": step.round,
                "part": step.part,
                "count": step.count,
                "size_after": size_shown(step.size_after, unit) if step.size_after else None,
            }
            for step in result.sewing_order
        ],
        "border_seam_length": number(result.border_seam_length, unit),
    }


def _top_plan(reader: Reader) -> tops.TopPlan:
    defaults = Defaults(reader.unit)
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
        measured=maybe_size(centre, "measured"),
        printed=maybe_size(centre, "printed"),
        printed_seam=centre.length("printed_seam", 0, zero=True),
    )


def _round(round_: Reader) -> tops.Round:
    on = round_.maybe_child("motifs")
    return tops.Round(
        width=round_.length("width"),
        corners=round_.text("corners", "butted"),
        first=round_.text("first", "sides"),
        cut_long=round_.length("cut_long", 0, zero=True),
        measured=maybe_size(round_, "measured"),
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
        seam_allowance=motif.length("seam_allowance", Defaults(motif.unit).seam, zero=True),
        kind=motif.text("kind", "hexagon flower"),
    )


def _round_shown(round_: tops.RoundResult, unit: str) -> Json:
    return {
        "role": round_.role,
        "finished": size_shown(round_.finished, unit),
        "planned": size_shown(round_.planned, unit),
        "pieces": [
            {
                "part": piece.part,
                "count": piece.count,
                "finished": size_shown(piece.finished, unit),
                "cut": size_shown(piece.cut, unit),
                "exact": size_shown(piece.exact, unit),
                "strips_joined": piece.strips_joined,
                "steps": steps_shown(piece.steps, unit),
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
            "size": size_shown(motifs.flower(result.plan.motifs[name]).size, unit),
            "petals": sum(motif.petals for motif in used),
            "patches": [patch_shown(patch, unit) for motif in used for patch in motif.patches],
            "piecing_seam_length": number(sum(motif.piecing_seam_length for motif in used), unit),
            "edge_length": number(sum(motif.edge_length for motif in used), unit),
        }
    return shown


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
        seam_allowance=reader.length("seam_allowance", Defaults(reader.unit).seam, zero=True),
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
        "steps": steps_shown(result.steps, unit),
    }
