"""What does the demonstration show? A made-up quilter's cloth and notions, and three quilts: one finished, a medallion half sewn, and a small
one that waits for its offcuts. Everything goes through the services, as if she had typed it over the last year."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from plans.management import cloths, notions
from plans.management.cloths import INCH, ago, at
from plans.models import CuttingSheet, Plan
from plans.models.plan import State
from plans.queries.planned import BINDING, CUTTING, LAYERING, QUILTING, keys_of, planned
from plans.queries.worked import Fault, Worked, worked
from plans.services import allotting, at_the_table, layout, plans, rounds, sheets, shopping, sittings
from plans.services.plans import Centre
from plans.services.rounds import Flowers, RoundSpec
from plans.services.sittings import Entry
from quiltbook.measures import Size
from quiltbook.people.models import Person
from quiltbook.people.services import change_settings
from stash.models import Fabric
from stash.services import cloth

# Days ago, stage, minutes, how much was done (in the stage's unit), a note.
type Log = tuple[tuple[int, str, int, Decimal | int | None, str], ...]


def load(*, owner: Person, today: date) -> None:
    """Fill an empty account. Several transactions, in the order she did it."""
    change_settings(owner=owner, changes={"hours_a_week": Decimal(5), "currency": "USD"})
    stash = {row.name: cloths.buy(owner, row, today) for row in cloths.STASH}
    cloth.move(piece=stash["Fog"].pieces.get(number=1), place="Shelf A", day=ago(today, 45), now=at(today, 45))
    notions.keep(owner, today)
    _hanging(owner, stash, today)
    medallion = _medallion(owner, stash, today)
    _sew(medallion, today)
    _pond(owner, stash, today)


def _hanging(owner: Person, stash: dict[str, Fabric], today: date) -> None:
    """A wall hanging, begun in the spring and finished in the summer: all of it cut, sewn and counted."""
    now = at(today, 240)
    plan = plans.start(
        owner=owner,
        name="Quince wall hanging",
        centre=Centre(width=16 * INCH, length=16 * INCH),
        note="For the stairs. The first one with a mitred border.",
        now=now,
    )
    inner = rounds.add(plan=plan, spec=RoundSpec(width=2 * INCH), now=now)
    outer = rounds.add(plan=plan, spec=RoundSpec(width=4 * INCH, corners="mitred"), now=now)
    given = (
        ("panel", "Quince"),
        (f"round-{inner.pk}-border", "Chalk"),
        (f"round-{outer.pk}-border", "Dusk"),
        ("binding", "Dusk"),
        ("backing", "Chalk"),
    )
    for role, name in given:
        allotting.allot(plan=plan, role_key=role, fabric=stash[name], count=None, now=now)
    for sheet in layout.lay_out_plan(plan=plan, now=now):
        for one in sheets.confirm(sheet=sheet, now=now).cloths.all():
            at_the_table.record_cut(cloth=one, measured={}, day=ago(today, 238), now=at(today, 238))
    _log(plan, _hanging_log(plan), today)
    plans.move(plan=plan, to=State.FINISHED, now=at(today, 155), finished_on=ago(today, 155))


def _hanging_log(plan: Plan) -> Log:
    """Twelve evenings, until all of it was done."""
    work = _work(plan)
    inner, outer = (keys_of(row) for row in work.rounds)
    whole = {stage.key: stage.size for stage in planned(work)}
    third = {key: (whole[key] / 3).quantize(Decimal("0.001")) for key in (QUILTING, BINDING)}
    return (
        (238, CUTTING, 70, None, "All of it in one go."),
        (236, inner.join, 35, whole[inner.join], ""),
        (233, outer.join, 55, whole[outer.join] / 2, "One mitre unpicked and sewn again."),
        (229, outer.join, 50, whole[outer.join] / 2, ""),
        (222, LAYERING, 45, whole[LAYERING], "On the kitchen floor."),
        (215, QUILTING, 80, third[QUILTING], ""),
        (207, QUILTING, 95, third[QUILTING], "Rain all day."),
        (196, QUILTING, 75, whole[QUILTING] - 2 * third[QUILTING], ""),
        (180, BINDING, 60, third[BINDING], "Sewn down by machine."),
        (168, BINDING, 65, third[BINDING], ""),
        (155, BINDING, 70, whole[BINDING] - 2 * third[BINDING], "Done, and hung."),
    )


def _medallion(owner: Person, stash: dict[str, Fabric], today: date) -> Plan:
    """A printed panel in three rounds; the middle one carries flowers. Its first two rounds are cut and half sewn."""
    now = at(today, 34)
    plan = plans.start(
        owner=owner,
        name="Heron medallion",
        centre=Centre(width=24 * INCH, length=18 * INCH, printed=Size(25 * INCH, 19 * INCH), printed_seam=INCH // 2),
        note="For the spare room. Hand quilted, a line at a time.",
        panel=stash["Heron in the reeds"],
        now=now,
    )
    inner = rounds.add(plan=plan, spec=RoundSpec(width=2 * INCH, first="ends"), now=now)
    flowers = Flowers(side=INCH, petal_rise=INCH, turn=INCH * 3 // 8, left=3, right=3, top=4, bottom=4)
    wide = rounds.add(plan=plan, spec=RoundSpec(width=7 * INCH, corners="cornerstones", flowers=flowers), now=now)
    outer = rounds.add(plan=plan, spec=RoundSpec(width=3 * INCH, corners="mitred"), now=now)
    given = (
        (f"round-{inner.pk}-border", "Kelp", None),
        (f"round-{wide.pk}-border", "Oat", None),
        (f"round-{wide.pk}-cornerstones", "Kelp", None),
        (f"round-{wide.pk}-petals", "Rose hip", 30),
        (f"round-{wide.pk}-petals", "Plum", 30),
        (f"round-{wide.pk}-petals", "Brick check", None),
        (f"round-{wide.pk}-centres", "Marigold", None),
        (f"round-{outer.pk}-border", "Slate", None),
        ("binding", "Ink", None),
        ("backing", "Wide linen look", None),
    )
    for role, name, count in given:
        allotting.allot(plan=plan, role_key=role, fabric=stash[name], count=count, now=now)
    layout.lay_out_plan(plan=plan, now=now)
    not_yet = {"Slate", "Ink", "Wide linen look"}
    for sheet in CuttingSheet.objects.drafts().filter(plan=plan).select_related("plan", "fabric"):
        sheets.confirm(sheet=sheet, now=now)
        if sheet.fabric.name not in not_yet:
            for one in sheet.cloths.all():
                at_the_table.record_cut(cloth=one, measured={}, day=ago(today, 31), now=at(today, 31))
    return plan


def _sew(plan: Plan, today: date) -> None:
    """A month of evenings on the medallion."""
    work = _work(plan)
    inner, wide, _ = (keys_of(row) for row in work.rounds)
    log: Log = (
        (31, CUTTING, 95, None, "Panel, first two rounds and all the petals."),
        (30, inner.join, 40, 4, "The first border went on flat."),
        (28, wide.baste, 60, 38, ""),
        (27, wide.baste, 45, 30, "Radio play, part one."),
        (25, wide.baste, 50, 30, ""),
        (24, wide.piece, 55, 2, ""),
        (22, wide.piece, 80, 3, "Found the knack of the curved edge."),
        (20, wide.piece, 45, 2, ""),
        (18, wide.piece, 60, 2, ""),
        (15, wide.piece, 75, 3, ""),
        (13, wide.sew_on, 50, 1, "Pinned all of the left strip first."),
        (11, wide.sew_on, 65, 2, ""),
        (8, wide.piece, 50, 2, "All fourteen done."),
        (6, wide.sew_on, 70, 2, ""),
        (3, wide.sew_on, 45, 1, ""),
        (1, wide.sew_on, 55, 1, "Halfway along the top strip."),
    )
    _log(plan, log, today)


def _pond(owner: Person, stash: dict[str, Fabric], today: date) -> None:
    """A small quilt round a square of cloth: laid out, partly held, short of one fabric."""
    now = at(today, 5)
    plan = plans.start(
        owner=owner, name="Pond lap quilt", centre=Centre(width=20 * INCH, length=20 * INCH), note="", now=now
    )
    first = rounds.add(plan=plan, spec=RoundSpec(width=3 * INCH, corners="cornerstones"), now=now)
    second = rounds.add(plan=plan, spec=RoundSpec(width=6 * INCH), now=now)
    given = (
        ("panel", "Lichen"),
        (f"round-{first.pk}-border", "Tide line"),
        (f"round-{first.pk}-cornerstones", "Slate"),
        (f"round-{second.pk}-border", "Fog"),
        ("binding", "Slate"),
    )
    for role, name in given:
        allotting.allot(plan=plan, role_key=role, fabric=stash[name], count=None, now=now)
    for sheet in layout.lay_out_plan(plan=plan, now=now):
        if sheet.uncut:
            buy = shopping.length_to_buy(sheet=sheet)
            shopping.put_on_list(plan=plan, fabric=sheet.fabric, length=buy, now=now)
        elif sheet.fabric.name == "Slate":
            sheets.confirm(sheet=sheet, now=now)
    plan.refresh_from_db()
    if plan.state == State.IDEA:
        plans.move(plan=plan, to=State.ON_THE_GO, now=now)


def _log(plan: Plan, log: Log, today: date) -> None:
    work = _work(plan)
    for days, key, minutes, units, note in log:
        entry = Entry(day=ago(today, days), minutes=minutes, units=None if units is None else Decimal(units), note=note)
        sittings.log(plan=plan, work=work, key=key, entry=entry, today=today, now=at(today, days))


def _work(plan: Plan) -> Worked:
    work = worked(plan)
    assert not isinstance(work, Fault)  # noqa: S101 - the scenario's own quilt can be worked out
    return work
