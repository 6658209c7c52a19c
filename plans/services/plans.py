"""How does a plan begin, change, and move from an idea to a finished quilt? Each call is one transaction and refuses in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from plans.models import Allotment, CuttingSheet, Plan
from plans.models.plan import CentreKind, State
from plans.queries.plans import can_move
from plans.services.changing import refuse_if_over, refuse_unless, touch
from plans.services.errors import PlanError
from plans.services.sheets import release_all
from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash.models import Fabric

# What a new plan takes from its maker's usual settings, name for name. The backing's cloth starts as wide as any other.
FROM_SETTINGS = (
    "seam_allowance",
    "cutting_step",
    "usable_width",
    "mitre_extra",
    "turn_allowance",
    "least_offcut",
    "backing_overage",
    "backing_seam",
    "wadding_overage",
    "binding_strip",
    "binding_extra",
    "shop_step",
)
# How it is backed, filled and bound, and what it takes besides cloth.
FINISHING = (
    "backing_repeat",
    "backing_seams",
    "binding_join",
    "wadding_pack_width",
    "wadding_pack_length",
    "wadding_roll",
    "quilted_by",
    "quilting_apart",
    "quilting_ways",
    "spool",
    "papers_pack",
    "papers_uses",
    "adhesive_covers",
    "web_width",
    "washes_first",
)
FIGURES = (*FROM_SETTINGS, "backing_width", "straightening", *FINISHING)
# The columns of the centre.
CENTRE = (
    "centre",
    "centre_width",
    "centre_length",
    "printed_width",
    "printed_length",
    "printed_seam",
    "measured_width",
    "measured_length",
    "piece_side",
    "pieces_across",
    "pieces_down",
    "block",
    "other_block",
    "on_point",
    "sashing",
    "sashing_outer",
    "sashing_cornerstones",
    "diamond_angle",
    "applied_whole",
    "sewn_top",
)
# States in which a plan no longer keeps any cloth from the others.
LETS_GO = (State.FINISHED, State.GIVEN_UP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """What a centre is pieced of: `across` by `down` blocks, or papers, of finished `side`. On point the main rows are counted.

    `block` and the `other` that takes turns with it, by the engine's names, and `sashing` are those of blocks; `angle` is a diamond's.
    """

    side: int
    across: int
    down: int
    block: str = ""
    other: str = ""
    on_point: bool = False
    sashing: int = 0
    sashing_outer: bool = False
    sashing_cornerstones: bool = False
    angle: int = 60
    applied_whole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Centre:
    """The middle of the quilt, in nm. Its finished size is given where it is not worked out; of a field applied whole, its background's.

    `printed` is a panel's picture with its `printed_seam` on every side, which is trimmed; `pieces` those of blocks and fields; `top`
    the quilt whose top it is; `measured` what the centre came to once sewn or trimmed, which feeds the rounds."""

    width: int | None = None
    length: int | None = None
    kind: str = CentreKind.PANEL
    printed: Size | None = None
    printed_seam: int = 0
    pieces: Pieces | None = None
    top: Plan | None = None
    measured: Size | None = None


def draft(*, owner: Person, centre: Centre) -> Plan:
    """A plan that is not saved: `centre` with the figures that are usual for its owner."""
    usual = owner.settings
    plan = Plan(
        owner=owner,
        backing_width=usual.usable_width,
        **{figure: getattr(usual, figure) for figure in FROM_SETTINGS},
    )
    set_centre(plan, centre)
    return plan


@transaction.atomic
def start(
    *, owner: Person, name: str, centre: Centre, now: datetime, note: str = "", panel: Fabric | None = None
) -> Plan:
    """A new plan, an idea still. A `panel` of the stash is allotted to its centre; nothing is held yet."""
    plan = draft(owner=owner, centre=centre)
    plan.name, plan.note, plan.created_at, plan.touched_at = name, note, now, now
    plan.save()
    if panel is not None:
        Allotment.objects.create(plan=plan, role="panel", fabric=panel, position=0)
    return plan


@transaction.atomic
def rename(*, plan: Plan, name: str, note: str, now: datetime) -> Plan:
    """Another name and note. Allowed in every state: neither changes the quilt."""
    plan.name, plan.note = name, note
    return touch(plan, now, "name", "note")


@transaction.atomic
def change_figures(*, plan: Plan, figures: Mapping[str, int | str | None], now: datetime) -> Plan:
    """Work the plan out with other figures (lengths in nm), any of FIGURES. Raises PlanError once it is finished or given up."""
    refuse_if_over(plan)
    if figures.get("washes_first", plan.washes_first) != plan.washes_first:
        # They were laid out on cloth of another size.
        CuttingSheet.objects.drafts().filter(plan=plan).delete()
    changed = [figure for figure in FIGURES if figure in figures]
    for figure in changed:
        setattr(plan, figure, figures[figure])
    return touch(plan, now, *changed)


@transaction.atomic
def move(*, plan: Plan, to: State, now: datetime, finished_on: date | None = None) -> Plan:
    """Move the plan to another state, by the table. Finishing says on which day; finishing or giving up lets its cloth go.

    Raises PlanError where the table has no such move, or the day is missing."""
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    refuse_unless(can_move(plan, to))
    if to == State.FINISHED and finished_on is None:
        raise PlanError("Say on which day it was finished.")
    plan.state = to
    plan.finished_on = finished_on if to == State.FINISHED else None
    touch(plan, now, "state", "finished_on")
    if to in LETS_GO:
        release_all(plan=plan, now=now)
    return plan


def set_centre(plan: Plan, centre: Centre) -> None:
    """Write the centre into the plan's row (CENTRE), unsaved."""
    pieces = centre.pieces
    plan.centre, plan.sewn_top = centre.kind, centre.top
    plan.centre_width, plan.centre_length = centre.width, centre.length
    plan.printed_width, plan.printed_length = sides(centre.printed)
    plan.printed_seam = centre.printed_seam if centre.printed else 0
    plan.measured_width, plan.measured_length = sides(centre.measured)
    plan.piece_side = pieces.side if pieces else None
    plan.pieces_across = pieces.across if pieces else None
    plan.pieces_down = pieces.down if pieces else None
    plan.block, plan.other_block = (pieces.block, pieces.other) if pieces else ("", "")
    plan.on_point = pieces is not None and pieces.on_point
    plan.sashing = pieces.sashing if pieces else 0
    plan.sashing_outer = pieces is not None and pieces.sashing_outer
    plan.sashing_cornerstones = pieces is not None and pieces.sashing_cornerstones
    plan.diamond_angle = pieces.angle if pieces else 60
    plan.applied_whole = pieces is not None and pieces.applied_whole


def sides(size: Size | None) -> tuple[int, int] | tuple[None, None]:
    """A size as its two columns."""
    return (None, None) if size is None else (int(size.width), int(size.length))
