"""What does the centre of a top take: how big is it, what is cut for it, and where does each of its patches lie?

A panel is trimmed round its middle; blocks come with their setting; a paper-pieced field is trimmed straight or applied; a whole cloth
may be seamed; a top sewn before takes nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quiltbook.measures import Length, Size, round_up
from quiltbook.yardage import cutblocks, fields, placing
from quiltbook.yardage.blocks import pieces
from quiltbook.yardage.borders import join_of, lengths_needed
from quiltbook.yardage.cutblocks import Cutting
from quiltbook.yardage.outline import Outline, Placed, ring
from quiltbook.yardage.patches import Patch, Refusal, Step
from quiltbook.yardage.setting import work_out_setting
from quiltbook.yardage.shapes import rough_cut
from quiltbook.yardage.topplan import Blocks, Panel, PaperField, SewnTop, TopError, TopPlan, WholeCloth
from quiltbook.yardage.units import Units


@dataclass(frozen=True, slots=True)
class CentreResult:
    """`cut`: what the centre is cut or trimmed to. For a printed panel, per edge left and right (width), top and bottom
    (length): `trim` comes off, and `blank` of the unprinted edge is left to show inside the seam.

    `kind`: "panel", "blocks", "hexagon field", "diamond field", "whole cloth" or "top". `count`: of blocks, pieces of a field or
    panels of a whole cloth. `units`: the ways to sew its blocks' units many at a time.
    """

    finished: Size
    planned: Size
    cut: Size
    trim: Size | None
    blank: Size | None
    steps: tuple[Step, ...]
    kind: str = "panel"
    count: int = 1
    patches: tuple[Patch, ...] = ()
    units: tuple[Units, ...] = ()


def centre_of(plan: TopPlan) -> CentreResult:
    """The centre of a checked plan. Raises `TopError`."""
    centre = plan.centre
    if isinstance(centre, Panel):
        return _panel(plan, centre)
    if isinstance(centre, Blocks):
        return _blocks(plan, centre)
    if isinstance(centre, PaperField):
        return _field(plan, centre)
    return _cloth(plan, centre)


def _box(x: Length, y: Length, width: Length, length: Length) -> Outline:
    x0, y0, x1, y1 = float(x), float(y), float(x) + float(width), float(y) + float(length)
    return ring([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def _with_seams(size: Size, seam: Fraction) -> Size:
    return Size(Fraction(size.width) + 2 * seam, Fraction(size.length) + 2 * seam)


def _up(size: Size, step: int) -> Size:
    return Size(round_up(size.width, step), round_up(size.length, step))


def _size_step(size: Size, seam: Fraction) -> Step:
    return Step("centre", {"finished width": size.width, "finished length": size.length, "seam allowance": seam})


# --- one cloth -------------------------------------------------------------------------------------------------------


def _panel(plan: TopPlan, panel: Panel) -> CentreResult:
    s = Fraction(plan.seam_allowance)
    planned = Size(Fraction(panel.width), Fraction(panel.length))
    exact, finished = _with_seams(planned, s), panel.measured or planned
    cut, trim, blank = _up(exact, plan.round_up), None, None
    if panel.printed is not None or panel.printed_seam:
        seam = Fraction(panel.printed_seam)
        printed = panel.printed or _with_seams(planned, seam)
        trim = Size((printed.width - exact.width) / 2, (printed.length - exact.length) / 2)
        if min(trim.width, trim.length) < 0:
            where = "centre.printed" if panel.printed else "centre.printed_seam"
            raise TopError(
                where,
                "The printed panel is too small: it must reach a seam allowance beyond the finished size on every edge.",
            )
        blank = Size(max(seam - trim.width - s, Fraction(0)), max(seam - trim.length - s, Fraction(0)))
        cut = _up(exact, 1)  # trimmed to measure, so not to the step
    patch = Patch(
        role="panel", part="panel", round=None, shape="rectangle", finished=planned, cut=cut, count=1,
        seam_allowance=plan.seam_allowance,
    )  # fmt: skip
    return CentreResult(finished, planned, cut, trim, blank, (_size_step(planned, s),), patches=(patch,))


def _cloth(plan: TopPlan, centre: WholeCloth | SewnTop) -> CentreResult:
    s = Fraction(plan.seam_allowance)
    planned = Size(Fraction(centre.width), Fraction(centre.length))
    finished, cut = centre.measured or planned, _up(_with_seams(planned, s), plan.round_up)
    if isinstance(centre, SewnTop):
        return CentreResult(finished, planned, cut, None, None, (_size_step(planned, s),), kind="top")
    panels = lengths_needed(Fraction(planned.width) + 2 * s, Fraction(plan.cloth_width), 2 * s)
    if panels is None:
        raise TopError("cloth_width", "It must be wider than what a seam takes off.")
    each = Size(Fraction(planned.width) / panels, planned.length)
    patch = Patch(
        role="whole cloth", part="whole cloth", round=None, shape="rectangle", finished=each,
        cut=_up(_with_seams(each, s), plan.round_up), count=panels, seam_allowance=plan.seam_allowance,
    )  # fmt: skip
    step = _size_step(planned, s)
    return CentreResult(
        finished,
        planned,
        cut,
        None,
        None,
        (replace(step, lengths={**step.lengths, "cloth width": plan.cloth_width}, counts={"panels": panels}),),
        kind="whole cloth",
        count=panels,
        patches=(patch,),
    )


# --- pieced ----------------------------------------------------------------------------------------------------------


def _blocks(plan: TopPlan, centre: Blocks) -> CentreResult:
    s, designs = Fraction(plan.seam_allowance), centre.designs
    asked = replace(centre.setting, surplus=max(centre.setting.surplus, plan.surplus))
    result = work_out_setting(asked, seam_allowance=plan.seam_allowance, round_up_to=plan.round_up)
    cutting, size = Cutting(plan.seam_allowance, plan.round_up, plan.surplus), Size(asked.block, asked.block)
    made = [
        (design, count) for design, count in zip(designs, placing.counts(asked, len(designs)), strict=True) if count
    ]
    cut = cutblocks.patches(
        [(pieces(design, size), count) for design, count in made], cutting, role="block", part="patch", round_index=None
    )
    around = [
        replace(patch, join=join_of(plan, min(int(patch.cut.width), int(patch.cut.length))))
        if patch.part == "sash"
        else patch
        for patch in result.patches
    ]
    finished = centre.measured or result.finished
    return CentreResult(
        finished,
        result.finished,
        _up(_with_seams(result.finished, s), 1),
        None,
        None,
        (*result.steps, _size_step(result.finished, s)),
        kind="blocks",
        count=result.blocks,
        patches=(*cut, *around),
        units=cutblocks.units([(design, size, count) for design, count in made], cutting, plan.cloth_width),
    )


def _field(plan: TopPlan, centre: PaperField) -> CentreResult:
    try:
        field = fields.field(centre.shape, centre.side, centre.rows, centre.columns, centre.angle)
    except Refusal as error:
        raise TopError(f"centre.{error.field}", error.problem) from None
    rough = rough_cut(field.piece, centre.turned)
    role = f"{centre.shape}s"
    patch = Patch(
        role=role, part="field patch", round=None, shape=centre.shape, finished=field.piece.size,
        cut=_up(rough, plan.round_up), count=field.count, seam_allowance=centre.turned,
    )  # fmt: skip
    figures: dict[str, Length] = {"side": centre.side, "width": field.size.width, "length": field.size.length}
    step = Step(
        f"{centre.shape} field", figures, {"rows": centre.rows, "in a row": centre.columns, "pieces": field.count}
    )
    make = _applied if centre.edge == "applied" else _trimmed
    result = make(plan, centre, field)
    return replace(
        result,
        kind=f"{centre.shape} field",
        count=field.count,
        patches=(patch, *result.patches),
        steps=(step, *result.steps),
    )


def _trimmed(plan: TopPlan, centre: PaperField, field: fields.Field) -> CentreResult:
    """The field cut straight to the rectangle it covers, of which a seam allowance goes into the seams."""
    s = Fraction(plan.seam_allowance)
    (x0, y0), (x1, y1) = field.inside
    cut = Size(Fraction(x1 - x0), Fraction(y1 - y0))
    planned = Size(cut.width - 2 * s, cut.length - 2 * s)
    if min(planned.width, planned.length) <= 0:
        raise TopError("centre.rows", "Trimmed straight, so small a field leaves nothing: give it more pieces.")
    trim = Size((Fraction(field.size.width) - cut.width) / 2, (Fraction(field.size.length) - cut.length) / 2)
    return CentreResult(centre.measured or planned, planned, cut, trim, None, (_size_step(planned, s),))


def _applied(plan: TopPlan, centre: PaperField, field: fields.Field) -> CentreResult:
    """The whole field on a background, its middle on the background's."""
    s = Fraction(plan.seam_allowance)
    planned = centre.background or field.size
    room = [float(whole) - float(part) for whole, part in _pairs(planned, field.size)]
    if min(room) < -1e-6 * float(field.size.width):
        raise TopError("centre.background", "The field is larger than the background it is applied to.")
    cut = _up(_with_seams(planned, s), plan.round_up)
    ground = Patch(
        role="background", part="background", round=None, shape="rectangle", finished=planned, cut=cut, count=1,
        seam_allowance=plan.seam_allowance,
    )  # fmt: skip
    finished = centre.measured or planned
    return CentreResult(finished, planned, cut, None, None, (_size_step(planned, s),), patches=(ground,))


def _pairs(a: Size, b: Size) -> Sequence[tuple[Length, Length]]:
    return (a.width, b.width), (a.length, b.length)


# --- where it all lies -----------------------------------------------------------------------------------------------


def placed(plan: TopPlan, result: CentreResult) -> tuple[Placed, ...]:
    """The centre's patches as painted, from its own top left corner, as large as it was measured if it was."""
    centre, planned, finished = plan.centre, result.planned, result.finished
    if isinstance(centre, Blocks):
        drawn = tuple(placing.placed(centre.setting, centre.designs))
    elif isinstance(centre, PaperField):
        drawn = tuple(_field_placed(plan, centre, planned))
    elif isinstance(centre, WholeCloth):
        wide = Fraction(planned.width) / result.count
        boxes = (_box(n * wide, 0, wide, planned.length) for n in range(result.count))
        drawn = tuple(Placed("whole cloth", "whole cloth", box) for box in boxes)
    else:
        role = "panel" if isinstance(centre, Panel) else "sewn top"
        drawn = (Placed(role, role, _box(0, 0, planned.width, planned.length)),)
    x, y = (float(a) / float(b) for a, b in _pairs(finished, planned))
    return drawn if x == y == 1 else tuple(replace(one, outline=one.outline.stretched(x, y)) for one in drawn)


def _field_placed(plan: TopPlan, centre: PaperField, planned: Size) -> Iterator[Placed]:
    field = fields.field(centre.shape, centre.side, centre.rows, centre.columns, centre.angle)
    role = f"{centre.shape}s"
    if centre.edge == "applied":
        yield Placed("background", "background", _box(0, 0, planned.width, planned.length))
        x, y = ((float(whole) - float(part)) / 2 for whole, part in _pairs(planned, field.size))
        for outline in field.outlines():
            yield Placed(role, "field patch", outline.moved(x, y))
        return
    seam, ((x0, y0), (x1, y1)) = float(plan.seam_allowance), field.inside
    low, high = (x0 + seam, y0 + seam), (x1 - seam, y1 - seam)
    for outline in field.outlines():
        kept = fields.clipped(outline, low, high)
        if kept:
            yield Placed(role, "field patch", kept.moved(-low[0], -low[1]))
