"""Random plans on random stashes, laid out by the real engine and confirmed: every sheet can be cut as it says, from the pieces it holds, and
together with what is short it makes the plan."""

from collections import Counter
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from plans.models import CuttingSheet, Plan, Round
from plans.queries.worked import Worked, worked
from plans.services import allotting, layout, plans, rounds, sheets
from plans.services.errors import PlanError
from plans.services.plans import Centre
from plans.services.rounds import Flowers, RoundSpec
from quiltbook.measures import NM_PER_INCH, Size
from quiltbook.people.models import Person
from stash.models import Fabric, Hold
from tests.engine.verifier import faults
from tests.factories import NOW, FabricFactory, PersonFactory, bought

EIGHTH = NM_PER_INCH // 8
INCH = NM_PER_INCH


def eighths(least: int, most: int) -> st.SearchStrategy[int]:
    """Lengths in nm, whole eighths of an inch between two inches."""
    return st.integers(least * 8, most * 8).map(lambda n: n * EIGHTH)


FLOWERS = st.builds(
    Flowers,
    side=st.just(INCH),
    turn=st.sampled_from([INCH // 4, 3 * INCH // 8]),
    petal_rise=st.sampled_from([None, INCH]),
    left=st.integers(0, 2),
    top=st.integers(0, 3),
)
ROUNDS = st.lists(
    st.builds(
        RoundSpec,
        width=eighths(1, 8),
        corners=st.sampled_from(Round.Corners.values),
        first=st.sampled_from(Round.First.values),
        flowers=st.none() | FLOWERS,
    ),
    min_size=1,
    max_size=3,
)
PIECES = st.lists(st.builds(Size, eighths(4, 44), eighths(4, 60)), min_size=1, max_size=4)
CLOTH = st.lists(st.tuples(PIECES, st.booleans()), min_size=2, max_size=4)


class TestConfirmedLayouts(TestCase):
    # Each try asks the real solver, so a failure is shown as it was found rather than made smaller for minutes.
    @settings(max_examples=12, deadline=None, phases=[Phase.explicit, Phase.generate])
    @given(
        centre=st.tuples(eighths(6, 24), eighths(6, 24)),
        specs=ROUNDS,
        cloth=CLOTH,
        method=st.sampled_from(CuttingSheet.Method.values),
        which=st.randoms(use_true_random=False),
    )
    def test_every_sheet_can_be_cut(self, centre: Any, specs: Any, cloth: Any, method: str, which: Any) -> None:
        owner = PersonFactory.create()
        plan = plans.start(owner=owner, name="Any", centre=Centre(width=centre[0], length=centre[1]), now=NOW)
        for spec in specs:
            rounds.add(plan=plan, spec=spec, now=NOW)
        work = worked(plan)
        if not isinstance(work, Worked):
            return  # flowers that do not fit, say: the plan says so, and nothing is laid out
        fabrics = [_fabric(owner, pieces, one_way) for pieces, one_way in cloth]
        for role in work.roles:
            for fabric in which.sample(fabrics, which.randint(1, 2)):
                allotting.allot(plan=plan, role_key=role.key, fabric=fabric, count=None, now=NOW)
        drafts = layout.lay_out_plan(plan=plan, now=NOW, method=method)
        for draft in drafts:
            if draft.cloths.exists():
                sheets.confirm(sheet=draft, now=NOW)
            else:
                with pytest.raises(PlanError):
                    sheets.confirm(sheet=draft, now=NOW)
            assert _faults(plan, work, draft) == []
        _counts_make_the_plan(work, drafts)
        held = list(Hold.objects.live().values_list("piece", flat=True))
        assert len(held) == len(set(held))


def _fabric(owner: Person, pieces: list[Size], one_way: bool) -> Fabric:
    direction = Fabric.PrintDirection.ONE_WAY if one_way else Fabric.PrintDirection.ANY
    fabric = FabricFactory.create(owner=owner, print_direction=direction)
    bought(fabric, pieces)
    return fabric


def _faults(plan: Plan, work: Worked, sheet: CuttingSheet) -> list[str]:
    """What the independent verifier finds wrong with the sheet as it is kept."""
    rows = list(sheet.cloths.select_related("piece"))
    cloths = [
        {
            "id": str(row.piece_id),
            "fabric": str(sheet.fabric_id),
            "width": row.piece.width,
            "length": row.piece.length,
            "one_way": sheet.fabric.one_way,
        }
        for row in rows
    ]
    laid = [{"id": str(row.piece_id), "copy": 1, **row.layout} for row in rows]
    legend = {letter: mark for row in rows for letter, mark in row.layout["legend"].items()}
    placed = Counter[str]()
    for row in rows:
        placed.update(p["patch"] for p in row.layout["placements"] if p["part"] in (None, 1))
    patches = [{"id": letter, "count": placed[letter], **_asked(work, mark)} for letter, mark in legend.items()]
    used = sum(p["width"] * p["length"] for one in laid for p in one["placements"])
    offcuts = sum(o["width"] * o["length"] for one in laid for o in one["offcuts"])
    opened = sum(row.piece.width * row.piece.length for row in rows)
    answer = {
        "cloths": laid,
        "uncut": [],
        "used_area": used,
        "offcut_area": offcuts,
        "waste_area": opened - used - offcuts,
    }
    return faults(cloths, patches, plan.least_offcut, answer)


def _asked(work: Worked, mark: dict[str, Any]) -> dict[str, Any]:
    """What the plan asks of the patch that a letter stands for."""
    role = work.role(mark["role"])
    assert role is not None
    size = Size(mark["width"], mark["length"])
    [patch] = [p for p in role.patches if p.part == mark["part"] and p.size == size]
    join = {"loss": patch.join.loss, "least": patch.join.least} if patch.join else None
    return {"width": size.width, "length": size.length, "turn": patch.turn, "join": join}


def _counts_make_the_plan(work: Worked, drafts: list[CuttingSheet]) -> None:
    total = Counter[tuple[str, str, int, int]]()
    for sheet in drafts:
        for row in sheet.uncut:
            total[row["role"], row["part"], row["width"], row["length"]] += row["count"]
        for found in sheet.cloths.all():
            for line in found.lines.all():
                if line.join_part in (None, 1):
                    total[line.role, line.part, line.width, line.length] += line.count
    asked = Counter[tuple[str, str, int, int]]()
    for role in work.roles:
        for patch in role.patches:
            asked[role.key, patch.part, int(patch.size.width), int(patch.size.length)] += patch.count
    assert total == asked
