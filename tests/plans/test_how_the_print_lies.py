"""Stripes, fussy cuts and raw ends: what she wishes of the print is laid out, held, shown at the table and cut."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import CuttingSheet, Plan, PrintWish
from plans.queries.needs import needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table, layout, plans, print_wishes, sheets
from plans.services.errors import PlanError
from plans.services.plans import Centre
from quiltbook.measures import NM_PER_INCH, mm2
from quiltbook.people.models import Person
from stash.models import Fabric, Movement
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches
from tests.plans.quilts import border_role, cloth, framed, give, only_cloth

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def owner(client: Client) -> Person:
    owner = PersonFactory.create()
    client.force_login(owner)
    return owner


@pytest.fixture
def garden(owner: Person) -> Fabric:
    """A print that begins again every 8 in both ways, 42 x 36 in of it."""
    fabric = FabricFactory.create(owner=owner, name="Garden", repeat=inches(8, 8))
    bought(fabric, [inches(42, 36)])
    return fabric


def wish(plan: Plan, role: str, stripes: str = "", per_repeat: int | None = None) -> None:
    print_wishes.wish(plan=plan, role_key=role, stripes=stripes, per_repeat=per_repeat, now=NOW)


def sheet_of(plan: Plan) -> CuttingSheet:
    [sheet] = layout.lay_out_plan(plan=plan, now=NOW)
    return sheet


def centre_cut_fussily(owner: Person, garden: Fabric) -> CuttingSheet:
    """A centre of 5 x 5 in, cut 5 1/2 in square round a motif."""
    plan = plans.start(owner=owner, name="Nosegay", centre=Centre(width=5 * IN, length=5 * IN), now=NOW)
    give(plan, "panel", garden)
    wish(plan, "panel", per_repeat=1)
    return sheet_of(plan)


def test_a_fussy_cut_is_promised_only_where_a_whole_repeat_surely_lies(owner: Person, garden: Fabric) -> None:
    sheet = centre_cut_fussily(owner, garden)
    assert sheet.uncut == []
    [reserved] = only_cloth(sheet).layout["reserved"]
    # The first whole motif begins less than a repeat from the edge: one repeat and one patch each way surely hold it.
    assert (reserved["count"], reserved["width"], reserved["length"]) == (1, 13.5 * IN, 13.5 * IN)


def test_a_fussy_cut_is_held_cut_and_counted_like_any_patch(owner: Person, garden: Fabric) -> None:
    sheet = sheets.confirm(sheet=centre_cut_fussily(owner, garden), now=NOW)
    work = worked(sheet.plan)
    assert isinstance(work, Worked)
    assert not [need for need in needs(sheet.plan, work) if need.role.key == "panel"]
    movement = at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    assert movement.kind == Movement.Kind.CUT
    assert movement.patches_mm2 == mm2(11 * IN // 2, 11 * IN // 2)


def test_a_cloth_whose_repeat_nobody_wrote_down_gives_no_fussy_cut(client: Client, owner: Person) -> None:
    plan = plans.start(owner=owner, name="Nosegay", centre=Centre(width=5 * IN, length=5 * IN), now=NOW)
    give(plan, "panel", cloth(owner, "Dune", inches(42, 36)))
    wish(plan, "panel", per_repeat=1)
    [row] = sheet_of(plan).uncut
    assert row["count"] == 1
    assert "Nothing can be fussy cut from Dune" in client.get(reverse("plans:cloth", args=[plan.pk])).text


@pytest.mark.parametrize(
    ("stripes", "lying"),
    [
        # Sides of 2 1/2 x 10 1/2 in and ends of 14 1/2 x 2 1/2 in, on cloth striped along the selvedge, which runs down the page.
        ("down", {(2.5, 10.5), (14.5, 2.5)}),
        ("across", {(10.5, 2.5), (2.5, 14.5)}),
        ("long", {(2.5, 10.5), (2.5, 14.5)}),
        ("short", {(10.5, 2.5), (14.5, 2.5)}),
    ],
)
def test_stripes_settle_which_way_a_strip_lies(owner: Person, stripes: str, lying: set[tuple[float, float]]) -> None:
    ticking = FabricFactory.create(owner=owner, name="Ticking", stripes="along")
    bought(ticking, [inches(42, 36)])
    plan = framed(owner)
    give(plan, border_role(plan), ticking)
    wish(plan, border_role(plan), stripes=stripes)
    placed = only_cloth(sheet_of(plan)).layout["placements"]
    assert {(one["width"] / IN, one["length"] / IN) for one in placed} == lying


def test_a_raw_end_is_squared_up_first_and_an_offcut_has_none(client: Client, owner: Person) -> None:
    plan = framed(owner)
    plans.change_figures(plan=plan, figures={"straightening": IN}, now=NOW)
    give(plan, border_role(plan), cloth(owner, "Dune", inches(42, 36)))
    sheet = sheets.confirm(sheet=sheet_of(plan), now=NOW)
    kept = only_cloth(sheet).layout
    assert (kept["cuts"][0]["kind"], kept["cuts"][0]["at"]) == ("straighten", IN)
    assert min(placed["y"] for placed in kept["placements"]) == IN
    page = client.get(reverse("plans:table", args=[plan.pk, sheet.pk, only_cloth(sheet).pk]))
    assert "Square up the top end" in page.text
    at_the_table.record_cut(cloth=only_cloth(sheet), measured={}, day=TODAY, now=NOW)
    other = framed(owner, name="Another")
    plans.change_figures(plan=other, figures={"straightening": IN}, now=NOW)
    give(other, border_role(other), sheet.fabric)
    assert "straighten" not in [cut["kind"] for cut in only_cloth(sheet_of(other)).layout["cuts"]]


def test_a_wish_drops_the_drafts_it_concerns_and_leaves_the_others(owner: Person, garden: Fabric) -> None:
    plan = framed(owner)
    give(plan, border_role(plan), cloth(owner, "Dune", inches(42, 36)))
    give(plan, "panel", garden)
    layout.lay_out_plan(plan=plan, now=NOW)
    wish(plan, "panel", per_repeat=1)
    assert [sheet.fabric.name for sheet in CuttingSheet.objects.drafts()] == ["Dune"]
    wish(plan, "panel")
    assert not PrintWish.objects.exists()


def test_a_part_that_is_not_there_cannot_be_wished_for(owner: Person) -> None:
    with pytest.raises(PlanError, match="no such part"):
        wish(framed(owner), "round-0-petals", per_repeat=1)


def test_the_wish_is_said_on_the_cloth_page_and_shown_at_the_table(
    client: Client, owner: Person, garden: Fabric
) -> None:
    plan = plans.start(owner=owner, name="Nosegay", centre=Centre(width=5 * IN, length=5 * IN), now=NOW)
    give(plan, "panel", garden)
    address = reverse("plans:print_lies", args=[plan.pk, "panel"])
    page = client.post(address, {"print-panel-stripes": "", "print-panel-per_repeat": "0"})
    assert "At least 1" in page.text
    client.post(address, {"print-panel-stripes": "", "print-panel-per_repeat": "1"})
    sheet = sheets.confirm(sheet=sheet_of(plan), now=NOW)
    page = client.get(reverse("plans:table", args=[plan.pk, sheet.pk, only_cloth(sheet).pk]))
    assert "by eye" in page.text
    assert "one across by one down" in page.text


def test_another_persons_plan_takes_no_wish(client: Client, owner: Person) -> None:
    plan = framed(PersonFactory.create())
    assert client.post(reverse("plans:print_lies", args=[plan.pk, "panel"]), {}).status_code == 404
