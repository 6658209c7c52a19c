"""How does the command line's `top` write what a quilt top takes? A thin face on `tops.work_out`; `spacing` likewise."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from quiltbook.measures import Length, Size
from quiltbook.yardage import motifs, target, tops
from quiltbook.yardage.borders import CornerMotifs
from quiltbook.yardage.fit import Fit
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.topreading import read_top
from quiltbook.yardage.units import Units
from quiltbook.yardage.wording import Defaults, Json, patch_shown, read_size, size_shown, steps_shown


def top(data: Mapping[str, object]) -> Json:
    """A quilt top, round by round."""
    reader = Reader.of(data)
    unit = reader.unit
    plan = read_top(reader)
    result = tops.work_out(plan)
    answer: Json = {
        "unit": unit,
        "finished": size_shown(result.finished, unit),
        "centre": _centre_shown(result.centre, unit),
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
        "rough_cloth": area(target.rough_cloth(result), unit),
        "changed": [_changed_shown(one, unit) for one in target.changed_by_measuring(result)],
    }
    if reader.has("target"):
        near = target.proposals(plan, read_size(reader, "target"))
        answer["proposals"] = [_proposal_shown(one, unit) for one in near]
    return answer


def _centre_shown(centre: tops.CentreResult, unit: str) -> Json:
    return {
        "kind": centre.kind,
        "count": centre.count,
        "finished": size_shown(centre.finished, unit),
        "planned": size_shown(centre.planned, unit),
        "difference": _difference(centre.planned, centre.finished, unit),
        "cut": size_shown(centre.cut, unit),
        "trim": size_shown(centre.trim, unit) if centre.trim else None,
        "blank": size_shown(centre.blank, unit) if centre.blank else None,
        "units": [_units_shown(one, unit) for one in centre.units],
        "steps": steps_shown(centre.steps, unit),
    }


def _difference(planned: Size, finished: Size, unit: str) -> Json:
    """What was measured beyond what was planned; negative where it came out smaller."""
    more = Size(
        Fraction(finished.width) - Fraction(planned.width), Fraction(finished.length) - Fraction(planned.length)
    )
    return size_shown(more, unit)


def _units_shown(one: Units, unit: str) -> Json:
    return {
        "kind": one.kind,
        "way": one.way,
        "roles": list(one.roles),
        "needed": one.needed,
        "made": one.made,
        "pieces": [
            {
                "role": piece.role,
                "count": piece.count,
                "exact": number(piece.exact, unit),
                "cut": number(piece.cut, unit),
            }
            for piece in one.pieces
        ],
        "trim": number(one.trim, unit),
        "bias_edges": one.bias_edges,
        "steps": steps_shown(one.steps, unit),
    }


def _fit_shown(one: Fit, unit: str) -> Json:
    return {
        "unit": number(one.unit, unit),
        "across": one.across,
        "down": one.down,
        "coping": {"sides": number(one.sides, unit), "ends": number(one.ends, unit)},
        "steps": steps_shown(one.steps, unit),
    }


def _changed_shown(one: target.Changed, unit: str) -> Json:
    sizes = {
        "planned": size_shown(one.planned, unit),
        "cut": size_shown(one.cut, unit),
        "more": size_shown(one.more, unit),
    }
    return {"round": one.round, "part": one.part} | sizes


def _proposal_shown(one: target.Proposal, unit: str) -> Json:
    centre = one.plan.centre
    counts = {"across": centre.setting.across, "down": centre.setting.down} if isinstance(centre, tops.Blocks) else None
    if isinstance(centre, tops.PaperField):
        counts = {"across": centre.columns, "down": centre.rows}
    return {
        "what": one.what,
        "finished": size_shown(one.finished, unit),
        "off": size_shown(one.off, unit),
        "borders": [number(round_.width, unit) for round_ in one.plan.rounds],
        "counts": counts,
        "cloth": area(one.cloth, unit),
        "more": area(one.more, unit),
        "steps": steps_shown(one.steps, unit),
    }


def _round_shown(round_: tops.RoundResult, unit: str) -> Json:
    return {
        "role": round_.role,
        "finished": size_shown(round_.finished, unit),
        "planned": size_shown(round_.planned, unit),
        "difference": _difference(round_.planned, round_.finished, unit),
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
        "pieced": _pieced_shown(round_.pieced, unit) if round_.pieced else None,
        "motifs": [_side_shown(side, unit) for side in round_.motifs.sides] if round_.motifs else [],
        "corner_motifs": _corners_shown(round_.motifs.corners, unit)
        if round_.motifs and round_.motifs.corners
        else None,
        "fits": round_.motifs.fits if round_.motifs else True,
    }


def _pieced_shown(pieced: tops.PiecedRound, unit: str) -> Json:
    return {
        "fit": _fit_shown(pieced.fit, unit),
        "other_units": [_fit_shown(one, unit) for one in pieced.other],
        "middle": size_shown(pieced.middle, unit),
        "units": [_units_shown(one, unit) for one in pieced.units],
    }


def _corners_shown(corners: CornerMotifs, unit: str) -> Json:
    return {
        "count": corners.count,
        "size": size_shown(corners.size, unit),
        "room": number(corners.room, unit),
        "from_raw_edge": number(corners.from_raw_edge, unit),
        "fits": corners.fits,
    }


def _side_shown(side: tops.SideMotifs, unit: str) -> Json:
    placed = _spacing_shown(side.spacing, unit)
    return {"side": side.side, "strip": number(side.strip, unit)} | placed | {
        "reach": number(side.reach, unit),
        "to_seam": number(side.to_seam, unit),
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
        "from_neighbour": row(result.from_neighbour),
        "to_end": None if result.to_end is None else number(result.to_end, unit),
        "gap": None if result.gap is None else number(result.gap, unit),
        "fits": result.fits,
        "steps": steps_shown(result.steps, unit),
    }
