"""What did measuring change? For each round, what was planned and what it is now, and what becomes of pieces that are cut already."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from plans.queries.pieced import coping
from plans.queries.says import PARTS, number, show_length, show_size
from quiltbook.measures import NM_PER_INCH, Length, System
from quiltbook.yardage.fit import Fit
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.target import Changed, changed_by_measuring
from quiltbook.yardage.tops import Top, TopPlan, work_out

# More than this cannot be eased into one seam without puckers: a common-practice figure, no source.
MOST_EASED = NM_PER_INCH // 2


def measured_rows(top: Top, system: System) -> Mapping[int, Sequence[str]]:
    """Sentences by the index of the round; a round that measuring does not touch has none."""
    told: dict[int, list[str]] = defaultdict(list)
    refitted = dict(_refitted(top, system))
    for change in changed_by_measuring(top):
        if change.round not in refitted:
            told[change.round].append(_changed(change, system))
    for index, sentence in refitted.items():
        told[index].append(sentence)
    return told


def _changed(change: Changed, system: System) -> str:
    """ "Left and right strips: planned 20 1/2 in, now 20 3/8 in. What is already cut is 1/8 in too long: trim it." """
    across, down = ("long", "wide") if change.part.endswith("end") else ("wide", "long")  # as she holds the strip
    sides = (
        (change.planned.width, change.cut.width, change.more.width, across),
        (change.planned.length, change.cut.length, change.more.length, down),
    )
    along = [side for side in sides if side[2]]
    part = PARTS[change.part].capitalize()
    if len(along) == 1:
        was, now = (show_length(nm, system=system) for nm in along[0][:2])
    else:
        was, now = (show_size(size, system=system) for size in (change.planned, change.cut))
    what = " ".join(_already_cut(more, way, system) for _, _, more, way in along)
    return f"{part}: planned {was}, now {now}. {what}"


def _already_cut(more: Length, way: str, system: System) -> str:
    off = show_length(abs(Fraction(more)), system=system)
    if more < 0:
        return f"What is already cut is {off} too {way}: trim it."
    narrow = {"long": "short", "wide": "narrow"}[way]
    do = "ease it in, or cut it again" if way == "long" and more <= MOST_EASED else "cut it again"
    return f"What is already cut is {off} too {narrow}: {do}."


def _refitted(top: Top, system: System) -> Iterator[tuple[int, str]]:
    """The pieced rounds whose units lie otherwise than they would round the quilt as planned."""
    planned = as_planned(top.plan)
    if planned == top.plan or not any(result.pieced for result in top.rounds):
        return
    try:
        before = work_out(planned)
    except Refusal:
        return
    for index, (was, now) in enumerate(zip(before.rounds, top.rounds, strict=True)):
        if was.pieced and now.pieced and _fit(was.pieced.fit) != _fit(now.pieced.fit):
            yield (
                index,
                (
                    f"Round the quilt as planned there are {_units(was.pieced.fit, system)};"
                    f" as measured, {_units(now.pieced.fit, system)}. To keep the units as planned, ease the quilt inside to its planned"
                    f" size, {show_size(was.inner, system=system)}, and take the measured size out."
                ),
            )


def as_planned(plan: TopPlan) -> TopPlan:
    """The plan as if nothing had been measured."""
    return replace(
        plan,
        centre=replace(plan.centre, measured=None),
        rounds=tuple(replace(round_, measured=None) for round_ in plan.rounds),
    )


def _fit(fit: Fit) -> tuple[int, int, Length, Length]:
    return fit.across, fit.down, fit.sides, fit.ends


def _units(fit: Fit, system: System) -> str:
    units = f"{number(fit.across)} units across and {number(fit.down)} down"
    if not fit.sides and not fit.ends:
        return f"{units} without coping"
    return f"{units} with a coping {coping(fit, system)}"
