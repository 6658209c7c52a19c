"""What does a plan come to? The plan's rows handed to the engine, and its answer as sizes, roles and finishing.

A role is what cloth is allotted to: its key names a round by its row ("round-7-petals"), so renaming and reordering rounds keep it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from django.utils.text import slugify

from plans.models import Plan, Round
from plans.models.plan import BindingJoin, CentreKind
from plans.queries.pieces import engine_centre, pieced_units
from plans.queries.washing import width_to_cut
from quiltbook.measures import Size, round_up
from quiltbook.yardage.finishing import Backing, Binding, backing, binding, wadding
from quiltbook.yardage.motifs import Motif, MotifsOnRound
from quiltbook.yardage.patches import Join, Patch, Refusal
from quiltbook.yardage.tops import Round as EngineRound
from quiltbook.yardage.tops import Top, TopPlan, border_name, work_out

ROLE_OF_PART = {
    "panel": "panel",
    "whole cloth": "whole cloth",
    "field patch": "field",
    "background": "background",
    "sash": "sashing",
    "sashing cornerstone": "sashing cornerstones",
    "edge cornerstone": "sashing cornerstones",
    "side triangle": "setting triangles",
    "corner triangle": "setting triangles",
    "side": "border",
    "end": "border",
    "cornerstone": "cornerstones",
    "coping side": "coping",
    "coping end": "coping",
    "petal": "petals",
    "petal hexagon": "petals",
    "flower centre": "centres",
}
# A block's patches have roles of the block's own: "patch background".
BLOCK_PATCH = "patch"
# How many of the patches come from one rectangle, a square cut from corner to corner.
CUT_FROM_SQUARES = {1: "", 2: ", cut once", 4: ", cut twice"}
ORDINALS = (
    "First",
    "Second",
    "Third",
    "Fourth",
    "Fifth",
    "Sixth",
    "Seventh",
    "Eighth",
    "Ninth",
    "Tenth",
    "Eleventh",
    "Twelfth",
)
# Strips are joined from lengths no shorter than this share of the cloth's width: a common-practice figure, no source.
LEAST_LENGTH_SHARE = 5
# About as many as are drawn in a second, on every page of the plan.
MOST_DRAWN = 10_000


class HasRole(Protocol):
    """A patch of the engine, to be cut or as it is drawn."""

    @property
    def role(self) -> str: ...
    @property
    def part(self) -> str: ...
    @property
    def round(self) -> int | None: ...


@dataclass(frozen=True, slots=True)
class RolePatch:
    """So many rectangles of one size to cut, in whole nanometres: `width` across the quilt, `length` down it.

    `part` is the engine's, and says of a square whether it is then cut from corner to corner, once or twice."""

    part: str
    size: Size
    count: int
    turn: bool
    alike: int
    join: Join | None


@dataclass(frozen=True, slots=True)
class Role:
    """What one allotment is for. `kind`: one of ROLE_OF_PART's, a block's own with "patch" before it, backing or binding."""

    key: str
    kind: str
    name: str
    round_id: int | None
    patches: tuple[RolePatch, ...]

    @property
    def count(self) -> int:
        return sum(patch.count for patch in self.patches)


@dataclass(frozen=True, slots=True)
class Fault:
    """Why the plan cannot be worked out: the engine's field ("rounds[1].width") and its sentence."""

    field: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Worked:
    """A plan worked out. `roles` are in the order of the job; finishing is for the finished size of the top."""

    top: Top
    rounds: tuple[Round, ...]
    roles: tuple[Role, ...]
    backing: Backing
    binding: Binding
    wadding: Size

    def role(self, key: str) -> Role | None:
        return next((role for role in self.roles if role.key == key), None)

    def names(self) -> tuple[str, ...]:
        """What each round is called, inner first."""
        return tuple(round_name(position, row) for position, row in enumerate(self.rounds))


def worked(plan: Plan) -> Worked | Fault:
    """Work out a saved plan with the rounds that stand."""
    return worked_from(plan, list(plan.rounds.standing()))


def worked_from(plan: Plan, rounds: Sequence[Round]) -> Worked | Fault:
    """Work out rows that need not be saved, as a form being typed in gives them."""
    try:
        top = work_out(top_plan(plan, rounds))
        _refuse_too_many(top)
        back = backing(
            top.finished,
            overage=plan.backing_overage,
            cloth_width=width_to_cut(plan, plan.backing_width),
            seam_allowance=plan.backing_seam,
            increment=plan.shop_step,
            repeat=plan.backing_repeat,
            diagonal=True,
        )
        bound = binding(
            top.finished,
            extra=plan.binding_extra,
            strip_width=plan.binding_strip,
            cloth_width=width_to_cut(plan, plan.usable_width),
            join=plan.binding_join,
            seam_allowance=plan.seam_allowance,
        )
    except Refusal as error:
        return Fault(error.field, str(error))
    back = _as_she_seams_it(back, plan.backing_seams)
    return Worked(
        top=top,
        rounds=tuple(rounds),
        roles=(*_top_roles(plan, top.patches, rounds), _backing_role(plan, back), _binding_role(plan, bound)),
        backing=back,
        binding=bound,
        wadding=wadding(top.finished, overage=plan.wadding_overage),
    )


def _refuse_too_many(top: Top) -> None:
    """Raise `Refusal` where blocks, papers or units are more than a page can draw."""
    counts = Counter[int | None]()
    for patch in top.patches:
        counts[patch.round] += patch.count
    for index, count in counts.items():
        if count > MOST_DRAWN and (index is None or top.rounds[index].pieced):
            where = "centre.across" if index is None else f"rounds[{index}].pieced.unit"
            raise Refusal(
                where, f"That comes to {count:,} patches: a quilt here has at most {MOST_DRAWN:,} in one part."
            )


def round_name(position: int, row: Round) -> str:
    """Her own name for the round, else its ordinal: "First border"."""
    if row.name:
        return row.name
    return f"{ORDINALS[position]} border" if position < len(ORDINALS) else f"Border {position + 1}"


def role_key(part: str, round_id: int | None) -> str:
    """The key of the role that has a fixed part of the quilt: "round-7-petals", "sashing"."""
    return _key(ROLE_OF_PART[part], round_id)


def role_key_of(patch: HasRole, rounds: Sequence[Round]) -> str:
    """The key of the role that a patch of the engine's belongs to."""
    return _key(_kind(patch), None if patch.round is None else rounds[patch.round].pk)


def _key(kind: str, round_id: int | None) -> str:
    slug = slugify(kind)
    return slug if round_id is None else f"round-{round_id}-{slug}"


def _kind(patch: HasRole) -> str:
    if patch.part != BLOCK_PATCH:
        return ROLE_OF_PART[patch.part]
    whose = "block " if patch.round is None else f"{border_name(patch.round)} "
    return f"{BLOCK_PATCH} {patch.role.removeprefix(whose)}"


def top_plan(plan: Plan, rounds: Sequence[Round]) -> TopPlan:
    """The plan's rows as the engine takes them. Raises `Refusal` for a block that is not known."""
    return TopPlan(
        centre=engine_centre(plan),
        rounds=tuple(_engine_round(position, row) for position, row in enumerate(rounds)),
        motifs={
            _motif_name(position): Motif(
                name=_motif_name(position),
                side=row.flower_side,
                petal_rise=row.petal_rise,
                seam_allowance=row.flower_turn or 0,
            )
            for position, row in enumerate(rounds)
            if row.flower_side and row.flowers
        },
        seam_allowance=plan.seam_allowance,
        round_up=plan.cutting_step,
        cloth_width=plan.usable_width,
        mitre_extra=plan.mitre_extra,
    )


def _motif_name(position: int) -> str:
    """Each round has flowers of its own, so that each may be of another size and cloth."""
    return f"flower {position}"


def _engine_round(position: int, row: Round) -> EngineRound:
    flowers = None
    if row.flower_side and row.flowers:
        flowers = MotifsOnRound(
            motif=_motif_name(position),
            left=row.flowers_left,
            right=row.flowers_right,
            top=row.flowers_top,
            bottom=row.flowers_bottom,
            rule=row.rule,
            applied=row.applied,
            end_margin=row.end_margin,
            corners=row.flowers_corners,
        )
    return EngineRound(
        width=row.width,
        corners=row.corners,
        first=row.first,
        cut_long=row.cut_long,
        measured=row.measured,
        motifs=flowers,
        pieced=pieced_units(row, f"rounds[{position}].pieced"),
    )


def _top_roles(plan: Plan, patches: Iterable[Patch], rounds: Sequence[Round]) -> tuple[Role, ...]:
    grouped: dict[str, list[RolePatch]] = {}
    heads: dict[str, tuple[str, str, int | None]] = {}
    for patch in patches:
        row = None if patch.round is None else rounds[patch.round]
        kind, key = _kind(patch), role_key_of(patch, rounds)
        heads.setdefault(key, (kind, _role_name(plan, kind, patch.round, row), row.pk if row else None))
        scrappy = row is not None and row.scrappy
        grouped.setdefault(key, []).append(
            RolePatch(
                part=patch.part + CUT_FROM_SQUARES[patch.per_cut],
                size=Size(int(patch.cut.width), int(patch.cut.length)),
                count=patch.to_cut,
                turn=patch.turn,
                alike=1 if scrappy else patch.alike,
                join=replace(patch.join, least=_least_length(plan)) if patch.join else None,
            )
        )
    return tuple(Role(key, *heads[key], tuple(_alike_together(grouped[key]))) for key in grouped)


def _alike_together(patches: Iterable[RolePatch]) -> Iterator[RolePatch]:
    """Patches that are cut alike as one: two blocks may share a role and a size."""
    counts: dict[RolePatch, int] = {}
    for patch in patches:
        alike = replace(patch, count=0)
        counts[alike] = counts.get(alike, 0) + patch.count
    return (replace(alike, count=count) for alike, count in counts.items())


def _role_name(plan: Plan, kind: str, position: int | None, row: Round | None) -> str:
    words = kind.removeprefix(f"{BLOCK_PATCH} ")
    if position is None or row is None:
        if kind == "panel":
            return "Panel" if plan.printed else "Centre"
        if kind == "field":
            return str(CentreKind(plan.centre).value).capitalize()
        return f"Blocks: {words}" if kind != words else words.capitalize()
    name = round_name(position, row)
    words = {"border": "", "centres": "flower centres"}.get(kind, words)
    return f"{name}: {words}" if words else name


def _as_she_seams_it(back: Backing, seams: str) -> Backing:
    """With her way to run the seams as the best; left to the cloth, or where there is no such way, the one that takes least of it. A
    slid length is hers to choose, for she must like its seam."""
    wanted = [option for option in back.options if option.seams == seams]
    return replace(back, best=(wanted or [option for option in back.options if option.seams != "diagonal"])[0])


def _backing_role(plan: Plan, back: Backing) -> Role:
    """The best option's panels, each an equal share of the backing and its seams; a slid length as wide as the cloth."""
    best, panel = back.best, back.best.panel
    if best.seams == "none":
        panel = back.need
    elif best.seams == "crosswise":
        panel = Size(panel.length, panel.width)
    width, length = (round_up(side, plan.cutting_step) for side in (panel.width, panel.length))
    if best.seams == "diagonal":
        width = width_to_cut(plan, plan.backing_width)
    patch = RolePatch("backing panel", Size(width, length), best.panels, True, 1, None)
    return Role("backing", "backing", "Backing", None, (patch,))


def _least_length(plan: Plan) -> int:
    """The shortest length of a joined strip, on the cutting step like all that is measured at the table."""
    return plan.usable_width // LEAST_LENGTH_SHARE // plan.cutting_step * plan.cutting_step


def _binding_role(plan: Plan, bound: Binding) -> Role:
    patch = _bias_squares(plan, bound) if bound.square is not None else _binding_strip(plan, bound)
    return Role("binding", "binding", "Binding", None, (patch,))


def _bias_squares(plan: Plan, bound: Binding) -> RolePatch:
    """On the cutting step, but never wider than the cloth it just fits."""
    side = min(round_up(bound.square or 0, plan.cutting_step), width_to_cut(plan, plan.usable_width))
    return RolePatch("bias square", Size(side, side), bound.squares, True, 1, None)


def _binding_strip(plan: Plan, bound: Binding) -> RolePatch:
    strip = Size(round_up(bound.length_needed, plan.cutting_step), plan.binding_strip)
    loss = 2 * plan.seam_allowance if bound.join == BindingJoin.STRAIGHT else plan.binding_strip
    return RolePatch("binding strip", strip, 1, True, 1, Join(loss=loss, least=_least_length(plan)))
