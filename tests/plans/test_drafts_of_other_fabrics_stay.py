"""A change of one allotment drops the drafts of the fabrics that gain or lose patches by it, and of no other."""

from collections.abc import Callable

import pytest
from django.db import transaction
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plans.models import CuttingSheet, Plan
from plans.queries.worked import Worked, worked
from plans.services import allotting, rounds
from plans.services.errors import PlanError
from plans.services.rounds import RoundSpec
from quiltbook.people.models import Person
from stash.models import Fabric
from tests.factories import NOW, PersonFactory, inches
from tests.plans.quilts import INCH, cloth, framed, give, laid_out

CENTRE, INNER, OUTER = range(3)


def twice_framed(owner: Person) -> tuple[Plan, list[str]]:
    """A quilt of three roles: its centre and two borders."""
    plan = framed(owner)
    rounds.add(plan=plan, spec=RoundSpec(width=3 * INCH), now=NOW)
    work = worked(plan)
    assert isinstance(work, Worked)
    return plan, [role.key for role in work.roles]


def drafted(plan: Plan) -> dict[str, object]:
    """Of each fabric with a draft, what lies on it and what it is short of."""
    return {
        draft.fabric.name: (
            sorted(
                (line.role, line.part, line.width, line.length, line.count)
                for at in draft.cloths.all()
                for line in at.lines.all()
            ),
            draft.uncut,
        )
        for draft in CuttingSheet.objects.drafts().filter(plan=plan).select_related("fabric")
    }


@pytest.fixture
def quilt(owner: Person) -> tuple[Plan, list[str], dict[str, Fabric]]:
    """The centre and the inner border share Kelp, what they leave goes on to Oat; the outer border is of Moss, then Plum."""
    plan, roles = twice_framed(owner)
    names = {"Kelp": inches(14, 12), "Oat": inches(42, 18), "Moss": inches(42, 18), "Plum": inches(42, 18)}
    fabrics = {name: cloth(owner, name, size) for name, size in names.items()}
    for role, name in ((CENTRE, "Kelp"), (INNER, "Kelp"), (INNER, "Oat"), (OUTER, "Moss")):
        give(plan, roles[role], fabrics[name])
    laid_out(plan)
    assert set(drafted(plan)) == {"Kelp", "Oat", "Moss"}
    return plan, roles, fabrics


def test_a_fabric_added_to_one_role_leaves_the_drafts_of_the_others(
    quilt: tuple[Plan, list[str], dict[str, Fabric]],
) -> None:
    plan, roles, fabrics = quilt
    give(plan, roles[OUTER], fabrics["Plum"])
    assert set(drafted(plan)) == {"Kelp", "Oat"}


CHANGES: dict[str, Callable[[Plan, str, Fabric], None]] = {
    "take off": lambda plan, role, one: allotting.take_off(
        allotment=plan.allotments.get(role=role, fabric=one), now=NOW
    ),
    "count": lambda plan, role, one: allotting.change_count(
        allotment=plan.allotments.get(role=role, fabric=one), count=1, now=NOW
    ),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_another_role_sends_on_from_a_shared_fabric_is_laid_out_again_too(
    quilt: tuple[Plan, list[str], dict[str, Fabric]], change: str
) -> None:
    """Without the centre on Kelp there is room there for the inner border: Oat, which took its rest, is asked for less."""
    plan, roles, fabrics = quilt
    CHANGES[change](plan, roles[CENTRE], fabrics["Kelp"])
    assert set(drafted(plan)) == {"Moss"}


def test_asking_a_fabric_earlier_drops_the_drafts_of_its_role(
    quilt: tuple[Plan, list[str], dict[str, Fabric]],
) -> None:
    plan, roles, fabrics = quilt
    allotting.move_up(allotment=plan.allotments.get(role=roles[INNER], fabric=fabrics["Oat"]), now=NOW)
    assert set(drafted(plan)) == {"Moss"}


@st.composite
def allotments(draw: st.DrawFn) -> list[tuple[int, int, int | None]]:
    """Which roles are cut from which of three fabrics, in her order, and how many."""
    pairs = st.tuples(st.integers(CENTRE, OUTER), st.integers(0, 2))
    found = draw(st.lists(pairs, min_size=4, max_size=9, unique=True))
    return [(role, fabric, draw(st.sampled_from([None, None, None, 2]))) for role, fabric in found]


@pytest.mark.django_db
@settings(max_examples=12, deadline=None)
@given(
    given_out=allotments(),
    lengths=st.lists(st.integers(3, 16), min_size=3, max_size=3),
    change=st.sampled_from(["allot", "count", "earlier", "take off"]),
    which=st.integers(0, 30),
    count=st.sampled_from([None, 1, 2]),
)
def test_a_draft_that_stays_is_what_laying_out_again_comes_to(
    given_out: list[tuple[int, int, int | None]], lengths: list[int], change: str, which: int, count: int | None
) -> None:
    with transaction.atomic():
        owner = PersonFactory.create()
        plan, roles = twice_framed(owner)
        fabrics = [cloth(owner, f"Cloth {at}", inches(15, length)) for at, length in enumerate(lengths)]
        for role, fabric, many in given_out:
            _try(lambda r=role, f=fabric, m=many: give(plan, roles[r], fabrics[f], m))  # type: ignore[misc]
        laid_out(plan)
        allotted = list(plan.allotments.order_by("pk"))
        assume(allotted)
        one = allotted[which % len(allotted)]
        match change:
            case "allot":
                _try(lambda: give(plan, roles[which % 3], fabrics[which % 3], count))
            case "count":
                _try(lambda: allotting.change_count(allotment=one, count=count, now=NOW))
            case "earlier":
                allotting.move_up(allotment=one, now=NOW)
            case _:
                allotting.take_off(allotment=one, now=NOW)
        kept = drafted(plan)
        laid_out(plan)
        fresh = drafted(plan)
        assert {name: fresh.get(name) for name in kept} == kept
        transaction.set_rollback(True)


def _try(act: Callable[[], None]) -> None:
    """What the service refuses is not done."""
    try:
        act()
    except PlanError:
        return
