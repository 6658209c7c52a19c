"""Is there cloth enough, and how is it to be cut? Lays what a plan still needs on the real pieces allotted to it, and keeps the answer
as drafts: one a fabric, holding nothing.

The engine is asked outside any transaction, since it may take seconds; the drafts are then replaced in one."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime
from string import ascii_uppercase
from typing import Any

from django.db import transaction

from plans.models import Allotment, CuttingSheet, Plan, PrintWish
from plans.queries.needs import Need, covered, needs
from plans.queries.plans import can_change
from plans.queries.real_cloth import cloth_of
from plans.queries.washing import once_washed, shrinkage_of, still_to_wash
from plans.queries.worked import Fault, worked
from plans.services.changing import refuse_unless, touch
from plans.services.errors import PlanError
from plans.services.panel import lay_out_panel
from plans.services.rows import Marked, add_cloth
from quiltbook.measures import Size
from quiltbook.yardage.cutting import CuttingJob, Layout, Wanted
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from stash.models import Fabric, Piece

# What of a fabric settles how a patch may lie on it.
PRINT = ("print_direction", "stripes", "repeat_width", "repeat_length")

type LayOut = Callable[[CuttingJob], Layout]


@dataclass(slots=True)
class Share:
    """What one fabric is to give: counts by the need's place in the list."""

    fabric: Fabric
    counts: Counter[int] = field(default_factory=Counter)


@dataclass(frozen=True, slots=True)
class Laid:
    """How a fabric gives its share: the layout, the pieces it may name by their id, and of those still to be washed the size they will
    have."""

    share: Share
    layout: Layout
    pieces: Mapping[str, Piece]
    washed: Mapping[str, Size]


@dataclass(frozen=True, slots=True)
class Question:
    """All that the engine's answer depends on, save the cloth: an answer is kept only while the question is still the same."""

    needs: tuple[Need, ...]
    allotments: tuple[tuple[str, int, int | None], ...]
    wishes: tuple[tuple[str, str, int | None], ...]
    prints: tuple[tuple[object, ...], ...]
    least_offcut: int
    straightening: int
    washes_first: bool


def lay_out_plan(
    *, plan: Plan, now: datetime, method: str = "close", lay_out: LayOut = engine_lay_out
) -> list[CuttingSheet]:
    """Lay out all that is still needed and allotted; replaces the plan's drafts. Raises PlanError when the plan cannot be worked out."""
    plan.refresh_from_db()
    question = _question(plan)
    return _keep_drafts(plan, question, share_out(plan, question.needs, method=method, lay_out=lay_out), method, now)


def _question(plan: Plan) -> Question:
    refuse_unless(can_change(plan))
    work = worked(plan)
    if isinstance(work, Fault):
        raise PlanError(f"The plan cannot be worked out yet: {work.sentence}")
    allotments = plan.allotments.order_by("role", "position", "pk").values_list("role", "fabric_id", "count")
    wishes = plan.print_wishes.order_by("role").values_list("role", "stripes", "per_repeat")
    prints = Fabric.objects.filter(allotments__plan=plan).order_by("pk").distinct().values_list("pk", *PRINT)
    return Question(
        needs(plan, work),
        tuple(allotments),
        tuple(wishes),
        tuple(prints),
        plan.least_offcut,
        plan.straightening,
        plan.washes_first,
    )


def label(index: int) -> str:
    """A, B … Z, AA, AB …: what a need is called on the drawing."""
    tens, ones = divmod(index, 26)
    return (label(tens - 1) if tens else "") + ascii_uppercase[ones]


def share_out(plan: Plan, wanted: Sequence[Need], *, method: str, lay_out: LayOut) -> list[Laid]:
    """Give each need to its role's fabrics in her order: those with a count take it, the first without takes the rest, and what does
    not fit on one goes on to the next without a count. A need only ever moves on, so this ends."""
    allotted = _allotments_by_role(plan)
    shares: dict[int, Share] = {}
    for index, fabric, count in _first_shares(plan, wanted, allotted):
        shares.setdefault(fabric.pk, Share(fabric)).counts[index] += count
    laid: dict[int, Laid] = {}
    queue = list(shares.values())
    while queue:
        share = queue.pop(0)
        laid[share.fabric.pk] = _lay_out_share(share, wanted, plan, method, lay_out)
        for index, count in _uncut(laid[share.fabric.pk].layout).items():
            onward = _next_open(allotted[wanted[index].role.key], share.fabric)
            if onward is None:
                continue
            share.counts[index] -= count
            other = shares.setdefault(onward.pk, Share(onward))
            other.counts[index] += count
            if other not in queue:
                queue.append(other)
    return [laid[pk] for pk, share in shares.items() if share.counts.total()]


def _allotments_by_role(plan: Plan) -> dict[str, list[Allotment]]:
    by_role: dict[str, list[Allotment]] = defaultdict(list)
    for allotment in plan.allotments.select_related("fabric").order_by("position", "pk"):
        by_role[allotment.role].append(allotment)
    return by_role


def _first_shares(
    plan: Plan, wanted: Sequence[Need], allotted: Mapping[str, Sequence[Allotment]]
) -> Iterator[tuple[int, Fabric, int]]:
    """Which need first asks how many of which fabric. A count is of all the role's patches, those cut or held already among them."""
    have = covered(plan).by_fabric
    room = {
        a.pk: a.count - have[role, a.fabric_id] for role, rows in allotted.items() for a in rows if a.count is not None
    }
    for index, need in enumerate(wanted):
        left = need.count
        for allotment in allotted[need.role.key]:
            if allotment.count is not None:
                count = max(0, min(left, room[allotment.pk]))
                count -= count % _alike(need)
                room[allotment.pk] -= count
                left -= count
                if count:
                    yield index, allotment.fabric, count
        rest = next((a.fabric for a in allotted[need.role.key] if a.count is None), None)
        if rest is not None and left:
            yield index, rest, left


def _alike(need: Need) -> int:
    """So many at a time share a fabric; singles, where a spoiled one is to be cut again for a flower that has the rest."""
    return 1 if need.count % need.patch.alike else need.patch.alike


def _next_open(allotments: Sequence[Allotment], after: Fabric) -> Fabric | None:
    here = next(i for i, a in enumerate(allotments) if a.fabric_id == after.pk)
    return next((a.fabric for a in allotments[here + 1 :] if a.count is None), None)


def _lay_out_share(share: Share, wanted: Sequence[Need], plan: Plan, method: str, lay_out: LayOut) -> Laid:
    """On what lies on the shelf; only when that is not enough, on offcuts that are still to come as well."""
    free = list(
        Piece.objects.free().filter(fabric=share.fabric).select_related("fabric", "sheet_offcut").order_by("pk")
    )
    here = [piece for piece in free if piece.on_shelf]
    layout = _ask(share, here, wanted, plan, method, lay_out)
    if layout.uncut and len(here) < len(free):
        with_expected = _ask(share, free, wanted, plan, method, lay_out)
        if _missing(with_expected) < _missing(layout):
            layout = with_expected
    return Laid(share, layout, {str(piece.pk): piece for piece in free}, _once_washed(plan, free, layout, wanted))


def _once_washed(plan: Plan, pieces: Sequence[Piece], layout: Layout, wanted: Sequence[Need]) -> dict[str, Size]:
    """A panel's cloth is not among them: it is taken as it measures."""
    to_wash = still_to_wash(plan, pieces)
    shrinkage = shrinkage_of(plan, pieces[0].fabric.kind) if to_wash else None
    panels = {
        cloth.id for cloth in layout.cloths for p in cloth.placements if wanted[_index(p.patch)].role.kind == "panel"
    }
    sizes = {str(piece.pk): piece.size for piece in pieces if piece.pk in to_wash}
    return {pk: once_washed(size, shrinkage) for pk, size in sizes.items() if shrinkage and pk not in panels}


def _ask(
    share: Share, pieces: Sequence[Piece], wanted: Sequence[Need], plan: Plan, method: str, lay_out: LayOut
) -> Layout:
    """A printed panel takes a piece of its own; the engine lays the rest on the others."""
    panel = next((i for i, count in share.counts.items() if count and wanted[i].role.kind == "panel"), None)
    if panel is None or plan.printed is None:
        return _ask_engine(share.fabric, pieces, share.counts, wanted, plan, method, lay_out)
    trimmed = lay_out_panel(pieces=pieces, need=wanted[panel], label=label(panel))
    taken = {cloth.id for cloth in trimmed.cloths}
    others = [piece for piece in pieces if str(piece.pk) not in taken]
    rest = Counter({i: count for i, count in share.counts.items() if i != panel and count})
    if not rest:
        return trimmed
    return _together(trimmed, _ask_engine(share.fabric, others, rest, wanted, plan, method, lay_out))


def _together(panel: Layout, rest: Layout) -> Layout:
    return replace(
        rest,
        cloths=(*panel.cloths, *rest.cloths),
        uncut=(*panel.uncut, *rest.uncut),
        used_area=panel.used_area + rest.used_area,
        offcut_area=panel.offcut_area + rest.offcut_area,
        waste_area=panel.waste_area + rest.waste_area,
    )


def _ask_engine(
    fabric: Fabric,
    pieces: Sequence[Piece],
    counts: Counter[int],
    wanted: Sequence[Need],
    plan: Plan,
    method: str,
    lay_out: LayOut,
) -> Layout:
    wishes = {wish.role: wish for wish in plan.print_wishes.all()}
    to_wash = still_to_wash(plan, pieces)
    return lay_out(
        CuttingJob(
            cloths=tuple(cloth_of(piece, fabric, washed=piece.pk not in to_wash) for piece in pieces),
            patches=tuple(
                _wanted(i, wanted[i], count, wishes.get(wanted[i].role.key))
                for i, count in sorted(counts.items())
                if count
            ),
            method=method,
            effort="quick",
            least_offcut=plan.least_offcut,
            straightening=plan.straightening,
            shrinkage=shrinkage_of(plan, fabric.kind) if to_wash else None,
        )
    )


def _wanted(index: int, need: Need, count: int, wish: PrintWish | None) -> Wanted:
    size, fussy = need.patch.size, wish is not None and wish.per_repeat is not None
    return Wanted(
        id=label(index),
        width=int(size.width),
        length=int(size.length),
        count=count,
        turn=need.patch.turn,
        alike=_alike(need),
        # What shows a motif of the print is cut whole, or not at all.
        join=None if fussy else need.patch.join,
        stripes=wish.stripes_on(size) if wish else None,
        per_repeat=wish.per_repeat if wish else None,
    )


def _uncut(layout: Layout) -> dict[int, int]:
    return {_index(uncut.patch): uncut.count for uncut in layout.uncut}


def _index(name: str) -> int:
    index = 0
    for letter in name:
        index = index * 26 + ascii_uppercase.index(letter) + 1
    return index - 1


def _missing(layout: Layout) -> int:
    return sum(uncut.count for uncut in layout.uncut)


@transaction.atomic
def _keep_drafts(
    plan: Plan, question: Question, found: Sequence[Laid], method: str, now: datetime
) -> list[CuttingSheet]:
    # The engine was asked outside any transaction: what was changed meanwhile is not laid out by its answer.
    if _question(Plan.objects.select_for_update().get(pk=plan.pk)) != question:
        raise PlanError("The plan was changed while it was laid out: lay it out again.")
    CuttingSheet.objects.drafts().filter(plan=plan).delete()
    touch(plan, now)
    return [_keep_draft(plan, question.needs, laid, method, now) for laid in found]


def _keep_draft(plan: Plan, wanted: Sequence[Need], laid: Laid, method: str, now: datetime) -> CuttingSheet:
    share, layout = laid.share, laid.layout
    placed = Counter(_index(p.patch) for cloth in layout.cloths for p in cloth.placements if p.part in (None, 1))
    for cloth in layout.cloths:
        placed.update({_index(one.patch): one.count for one in cloth.reserved})
    short = share.counts - placed  # the layout's own list names those too that have gone on to another fabric
    wishes = {wish.role: wish for wish in plan.print_wishes.all()}
    sheet = CuttingSheet.objects.create(
        plan=plan,
        fabric=share.fabric,
        method=method,
        effort=layout.effort,
        stood_in=layout.stood_in,
        uncut=[_need_row(wanted[i], count, wishes.get(wanted[i].role.key)) for i, count in sorted(short.items())],
        handbook=asdict(layout.handbook) if layout.handbook else {},
        made_at=now,
    )
    marked = {label(i): Marked(need.role.key, need.patch.part, need.patch.size) for i, need in enumerate(wanted)}
    joins = Counter((p.patch, p.whole) for cloth in layout.cloths for p in cloth.placements)
    for position, cloth in enumerate(layout.cloths):
        add_cloth(sheet, position, laid.pieces[cloth.id], cloth, marked, joins, laid.washed.get(cloth.id))
    return sheet


def _need_row(need: Need, count: int, wish: PrintWish | None) -> dict[str, Any]:
    role, part, width, length = need.key
    wanted = _wanted(0, need, count, wish)
    join = asdict(wanted.join) if wanted.join else None
    return {
        "role": role, "part": part, "width": width, "length": length, "count": count, "turn": need.patch.turn, "join": join,
        "stripes": wanted.stripes, "per_repeat": wanted.per_repeat,
    }  # fmt: skip
