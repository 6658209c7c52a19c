"""What is a plan's centre, or a pieced border, to the engine? The rows' columns as its own values, blocks found by their names.

A name that is not known is refused at its field, as the engine refuses a figure."""

from __future__ import annotations

from plans.models import Plan, Round
from plans.models.plan import CentreKind
from quiltbook.measures import Size
from quiltbook.yardage.blocks import Block
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.topplan import Centre
from quiltbook.yardage.tops import Blocks, Panel, PaperField, Pieced, SewnTop, WholeCloth
from quiltbook.yardage.traditional import TRADITIONAL

SHAPES = {CentreKind.HEXAGONS: "hexagon", CentreKind.DIAMONDS: "diamond"}


def engine_centre(plan: Plan) -> Centre:
    """The centre by its kind. Raises `Refusal`."""
    width, length = plan.centre_width or 0, plan.centre_length or 0
    match CentreKind(plan.centre):
        case CentreKind.BLOCKS:
            return Blocks(_designs("centre", plan.block, plan.other_block), setting(plan), measured=plan.measured)
        case CentreKind.HEXAGONS | CentreKind.DIAMONDS as kind:
            return _field(plan, SHAPES[kind])
        case CentreKind.WHOLE_CLOTH:
            return WholeCloth(width, length, measured=plan.measured)
        case CentreKind.TOP:
            return SewnTop(width, length, measured=plan.measured)
        case CentreKind.PANEL:
            return Panel(width, length, measured=plan.measured, printed=plan.printed, printed_seam=plan.printed_seam)


def setting(plan: Plan) -> Setting:
    """How a plan's blocks are set."""
    return Setting(
        block=plan.piece_side or 0,
        across=plan.pieces_across or 0,
        down=plan.pieces_down or 0,
        on_point=plan.on_point,
        sashing=plan.sashing,
        outer=plan.sashing_outer,
        cornerstones=plan.sashing_cornerstones,
    )


def pieced_units(row: Round, where: str) -> Pieced | None:
    """What a pieced border is made of; None for a plain one. `where` is what the engine calls it. Raises `Refusal`."""
    if not row.unit_length:
        return None
    return Pieced(
        designs=_designs(where, row.unit_block, row.other_unit_block),
        unit=row.unit_length,
        coping=row.coping,
        least_coping=row.least_coping,
        corner=block_named(row.corner_block, f"{where}.corner") if row.corner_block else None,
    )


def block_named(name: str, where: str) -> Block:
    """The block of that name. Raises `Refusal` at the field `where` for one that is not known."""
    try:
        return TRADITIONAL[name]
    except KeyError as unknown:
        raise Refusal(where, "That block is not known any more. Choose another.") from unknown


def _designs(where: str, first: str, other: str) -> tuple[Block, ...]:
    names = [name for name in (first, other) if name]
    return tuple(block_named(name, f"{where}.designs[{n}]") for n, name in enumerate(names))


def _field(plan: Plan, shape: str) -> PaperField:
    background = None
    if plan.applied_whole and plan.centre_width and plan.centre_length:
        background = Size(plan.centre_width, plan.centre_length)
    return PaperField(
        shape=shape,
        side=plan.piece_side or 0,
        rows=plan.pieces_down or 0,
        columns=plan.pieces_across or 0,
        turned=plan.turn_allowance,
        edge="applied" if plan.applied_whole else "trimmed",
        background=background,
        angle=float(plan.diamond_angle),
        measured=plan.measured,
    )
