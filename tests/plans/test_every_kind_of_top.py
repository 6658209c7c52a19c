"""A quilt may have any centre and any round; each goes the whole way: roles, cloth, layout, stages, and every page of the plan."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.models.plan import CentreKind
from plans.queries.needs import needs
from plans.queries.planned import planned
from plans.queries.stages import sewing
from plans.queries.worked import Fault, Worked, worked
from plans.services import layout, plans, rounds, sheets
from plans.services.plans import Centre, Pieces
from plans.services.rounds import Flowers, PiecedUnits, RoundSpec
from plans.views.frame import STEPS
from quiltbook.measures import NM_PER_INCH, Size
from quiltbook.people.models import Person
from tests.factories import NOW, PersonFactory
from tests.plans.quilts import cloth, give
from tests.plans.simple_engine import lay_out

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH
STAR = Pieces(side=6 * IN, across=3, down=4, block="friendship star", other="nine patch", on_point=True)
SASHED = Pieces(
    side=6 * IN, across=2, down=3, block="Ohio star", sashing=IN, sashing_outer=True, sashing_cornerstones=True
)
FIELD = Pieces(side=IN, across=8, down=6)
CENTRES = {
    "panel": Centre(width=24 * IN, length=18 * IN),
    "seamed whole cloth": Centre(kind=CentreKind.WHOLE_CLOTH, width=60 * IN, length=70 * IN),
    "blocks on point": Centre(kind=CentreKind.BLOCKS, pieces=STAR),
    "sashed blocks": Centre(kind=CentreKind.BLOCKS, pieces=SASHED),
    "hexagons": Centre(kind=CentreKind.HEXAGONS, pieces=FIELD),
    "diamonds on a ground": Centre(
        kind=CentreKind.DIAMONDS,
        width=30 * IN,
        length=30 * IN,
        pieces=Pieces(side=IN, across=8, down=6, applied_whole=True),
    ),
    "another top": Centre(kind=CentreKind.TOP, width=40 * IN, length=50 * IN),
}
ROUNDS = {
    "plain": RoundSpec(width=2 * IN),
    "pieced": RoundSpec(width=3 * IN, pieced=PiecedUnits(block="rail fence", length=3 * IN, corner="pinwheel")),
    "flowers in the corners": RoundSpec(
        width=7 * IN,
        corners="cornerstones",
        flowers=Flowers(side=IN, petal_rise=IN, turn=3 * IN // 8, left=1, right=1, top=1, bottom=1, corners=True),
    ),
}


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


def quilt(owner: Person, centre: str, *specs: str) -> Plan:
    plan = plans.start(owner=owner, name="Harbour lights", centre=CENTRES[centre], now=NOW)
    for name in specs:
        rounds.add(plan=plan, spec=ROUNDS[name], now=NOW)
    return plan


def work_of(plan: Plan) -> Worked:
    work = worked(Plan.objects.get(pk=plan.pk))
    assert not isinstance(work, Fault), work
    return work


@pytest.mark.parametrize("centre", CENTRES)
@pytest.mark.parametrize("spec", ROUNDS)
def test_its_pages_can_all_be_read(client: Client, owner: Person, centre: str, spec: str) -> None:
    plan = quilt(owner, centre, "plain", spec)
    client.force_login(owner)
    for key, _ in STEPS:
        assert client.get(reverse(f"plans:{key}", args=[plan.pk])).status_code == 200, key


@pytest.mark.parametrize("centre", CENTRES)
def test_every_role_has_a_name_a_key_of_its_own_and_patches(owner: Person, centre: str) -> None:
    work = work_of(quilt(owner, centre, "pieced", "flowers in the corners"))
    keys = [role.key for role in work.roles]
    assert len(set(keys)) == len(keys)
    for role in work.roles:
        assert role.name
        assert role.count > 0
        cut_alike = [(patch.part, patch.size) for patch in role.patches]
        assert len(set(cut_alike)) == len(cut_alike)


@pytest.mark.parametrize("centre", ["blocks on point", "sashed blocks", "hexagons", "diamonds on a ground"])
def test_its_patches_are_laid_out_held_and_then_no_longer_missing(owner: Person, centre: str) -> None:
    plan = quilt(owner, centre)
    # More than enough: what is tried here is that roles, layouts and counts speak of the same patches.
    plenty = cloth(owner, "Dune", *[Size(60 * IN, 72 * IN)] * 8)
    for role in work_of(plan).roles:
        if role.kind not in ("backing", "binding"):
            give(plan, role.key, plenty)
    for sheet in layout.lay_out_plan(plan=plan, now=NOW, lay_out=lay_out):
        sheets.confirm(sheet=sheet, now=NOW)
    assert {need.role.kind for need in needs(plan, work_of(plan))} == {"backing", "binding"}


def test_a_triangle_is_cut_from_a_square_that_gives_two(owner: Person) -> None:
    work = work_of(quilt(owner, "blocks on point"))
    star = work.role("patch-star")
    assert star is not None
    halves = [patch for patch in star.patches if patch.part == "patch, cut once"]
    # Twelve main blocks of four half squares each, two from a square of 2 + 7/8 in: the trade's constant for half squares.
    assert [(patch.count, patch.size.width) for patch in halves] == [(24, 23 * IN // 8)]


def test_blocks_are_pieced_from_what_is_cut_and_joined_before_the_first_round(owner: Person) -> None:
    plan = quilt(owner, "sashed blocks", "plain")
    work = work_of(plan)
    names = [stage.name for stage in planned(work)]
    assert names[:4] == ["Cutting", "Piece blocks", "Join blocks", "First border: join"]
    all_cut = {role.key: role.count for role in work.roles}
    ready = sewing(plan=plan, work=work, cut=all_cut).row("piece-blocks")
    assert ready is not None
    assert ready.ready == 6
    half = {key: count // 2 for key, count in all_cut.items()}
    ready = sewing(plan=plan, work=work, cut=half).row("piece-blocks")
    assert ready is not None
    assert ready.ready == 3
    first = sewing(plan=plan, work=work, cut=all_cut).row(f"round-{plan.rounds.get().pk}-join")
    assert first is not None
    assert first.ready == 0


def test_units_of_a_pieced_border_are_a_stage_with_its_coping_among_the_strips(owner: Person) -> None:
    plan = quilt(owner, "panel", "pieced")
    stages = {stage.name: stage for stage in planned(work_of(plan))}
    # 24 x 18 in takes eight and six units of 3 in, with no coping: 28 units in four lengths.
    assert stages["First border: piece units"].size == 28
    assert stages["First border: join"].size == 4


def test_a_block_that_is_not_known_is_refused_at_its_field(owner: Person) -> None:
    plan = quilt(owner, "blocks on point")
    plan.other_block = "no such block"
    fault = worked(plan)
    assert isinstance(fault, Fault)
    assert fault.field == "centre.designs[1]"


def test_another_plan_keeps_its_cloth_when_its_top_becomes_a_centre(owner: Person) -> None:
    inner = quilt(owner, "panel", "plain")
    size = work_of(inner).top.finished
    centre = Centre(kind=CentreKind.TOP, width=int(size.width), length=int(size.length), top=inner)
    outer = plans.start(owner=owner, name="Harbour", centre=centre, now=NOW)
    rounds.add(plan=outer, spec=ROUNDS["plain"], now=NOW)
    work = work_of(outer)
    assert work.top.finished == Size(size.width + 4 * IN, size.length + 4 * IN)
    assert {role.kind for role in work.roles} == {"border", "backing", "binding"}
    inner.delete()
    assert work_of(outer).top.finished == work.top.finished
