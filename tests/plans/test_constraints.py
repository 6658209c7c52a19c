"""What the database itself will not take of a plan, its cloth and its work log, each rule tried on both sides."""

from datetime import date
from typing import Any

import pytest
from django.db import IntegrityError, models, transaction

from plans.models import CuttingSheet, Plan, Round, SheetCloth, SheetLine, Stage
from quiltbook.people.models import Person
from tests.factories import NOW, FabricFactory, inches
from tests.plans.quilts import border_role, cloth, framed, held, only_cloth

pytestmark = pytest.mark.django_db
JOINED = {"whole": 1, "join_part": 1, "join_of": 2, "count": 1}
FLOWERS = {"flower_side": 1, "flower_turn": 0}


def changed(row: models.Model, said: dict[str, Any]) -> None:
    """Write straight to the table, past services and forms."""
    with transaction.atomic():
        type(row)._default_manager.filter(pk=row.pk).update(**said)


def refused(row: models.Model, said: dict[str, Any], rule: str) -> None:
    with pytest.raises(IntegrityError, match=rule):
        changed(row, said)


@pytest.fixture
def plan(owner: Person) -> Plan:
    return framed(owner)


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"name": ""}, "plan_has_a_name"),
        ({"state": "lost"}, "plan_state_known"),
        ({"centre_width": 0}, "plan_centre_has_a_size"),
        ({"printed_width": 1}, "plan_printed_size_whole_or_absent"),
        ({"printed_length": 1}, "plan_printed_size_whole_or_absent"),
        ({"printed_seam": 1}, "plan_printed_size_whole_or_absent"),
        ({"printed_width": 0, "printed_length": 1}, "plan_printed_size_whole_or_absent"),
        ({"measured_width": 1}, "plan_measured_size_whole_or_absent"),
        ({"measured_length": 1}, "plan_measured_size_whole_or_absent"),
        ({"measured_width": 1, "measured_length": 0}, "plan_measured_size_whole_or_absent"),
        ({"cutting_step": 0}, "plan_figures_positive"),
        ({"least_offcut": -1}, "plan_allowances_not_negative"),
        ({"backing_seams": "anyhow"}, "plan_finishing_choices_known"),
        ({"binding_join": "glued"}, "plan_finishing_choices_known"),
        ({"quilting_ways": 3}, "plan_finishing_choices_known"),
        ({"wadding_pack_width": 1}, "plan_wadding_pack_whole_or_absent"),
        ({"wadding_pack_width": 1, "wadding_pack_length": 0}, "plan_wadding_pack_whole_or_absent"),
        ({"backing_repeat": -1}, "plan_notions_positive"),
        ({"quilting_apart": 0}, "plan_notions_positive"),
        ({"spool": 0}, "plan_notions_positive"),
        ({"adhesive_covers": 0}, "plan_notions_positive"),
        ({"state": "finished"}, "plan_finished_day_when_finished"),
        ({"finished_on": date(2026, 11, 25)}, "plan_finished_day_when_finished"),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused(plan: Plan, said: dict[str, Any], rule: str) -> None:
    refused(plan, said, rule)


@pytest.mark.parametrize(
    "said",
    [
        {"printed_width": 1, "printed_length": 1, "printed_seam": 0},
        {"measured_width": 1, "measured_length": 1},
        {"state": "finished", "finished_on": date(2026, 11, 25)},
        {"least_offcut": 0},
    ],
)
def test_a_plan_that_makes_sense_is_taken(plan: Plan, said: dict[str, Any]) -> None:
    changed(plan, said)


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"width": 0}, "round_has_a_width"),
        ({"cut_long": -1}, "round_cut_long_not_negative"),
        ({"corners": "round"}, "round_choices_known"),
        ({"first": "neither"}, "round_choices_known"),
        ({"rule": "by eye"}, "round_choices_known"),
        ({"applied": "never"}, "round_choices_known"),
        ({"measured_width": 1}, "round_measured_size_whole_or_absent"),
        ({"measured_length": 1}, "round_measured_size_whole_or_absent"),
        ({"flower_side": 1}, "round_flowers_whole_or_absent"),
        ({"flower_turn": 0}, "round_flowers_whole_or_absent"),
        ({"petal_rise": 1}, "round_flowers_whole_or_absent"),
        ({"flowers_top": 1}, "round_flowers_whole_or_absent"),
        (FLOWERS | {"petal_rise": 0}, "round_flowers_whole_or_absent"),
        (FLOWERS | {"flower_side": 0}, "round_flowers_whole_or_absent"),
        (FLOWERS | {"flower_turn": -1}, "round_flowers_whole_or_absent"),
    ],
)
def test_a_round_that_makes_no_sense_is_refused(plan: Plan, said: dict[str, Any], rule: str) -> None:
    refused(plan.rounds.get(), said, rule)


@pytest.mark.parametrize(
    "said",
    [
        {"measured_width": 1, "measured_length": 1},
        FLOWERS,
        FLOWERS | {"petal_rise": 1, "flowers_top": 2, "rule": Round.Rule.CELLS, "applied": Round.Applied.AFTER},
        *({"corners": corners} for corners in Round.Corners),
        *({"first": first} for first in Round.First),
    ],
)
def test_a_round_that_makes_sense_is_taken(plan: Plan, said: dict[str, Any]) -> None:
    changed(plan.rounds.get(), said)


def test_two_rounds_cannot_stand_in_one_place_but_one_taken_out_is_in_nobodys_way(plan: Plan) -> None:
    Round.objects.create(plan=plan, position=1, width=1, removed_at=NOW)
    with pytest.raises(IntegrityError, match="UNIQUE"), transaction.atomic():
        Round.objects.create(plan=plan, position=1, width=1)


def test_a_count_of_an_allotment_is_a_count_or_nothing(plan: Plan, owner: Person) -> None:
    row = plan.allotments.create(role="backing", fabric=FabricFactory.create(owner=owner), position=0)
    changed(row, {"count": 1})
    refused(row, {"count": 0}, "allotment_count_positive")
    refused(row, {"role": ""}, "allotment_names_a_role")


@pytest.fixture
def sheet(plan: Plan, owner: Person) -> CuttingSheet:
    return held(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 36)))


@pytest.fixture
def on_sheet(sheet: CuttingSheet) -> SheetCloth:
    return only_cloth(sheet)


@pytest.fixture
def line(on_sheet: SheetCloth) -> SheetLine:
    return on_sheet.lines.all()[0]


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"state": "torn"}, "sheet_state_known"),
        ({"method": "scissors"}, "sheet_method_known"),
        ({"confirmed_at": None}, "sheet_confirmed_unless_draft"),
        ({"state": "draft"}, "sheet_confirmed_unless_draft"),
    ],
)
def test_a_sheet_that_makes_no_sense_is_refused(sheet: CuttingSheet, said: dict[str, Any], rule: str) -> None:
    refused(sheet, said, rule)


def test_a_cloth_is_cut_or_released_and_not_both(on_sheet: SheetCloth) -> None:
    movement = on_sheet.piece.lines.get().movement
    refused(on_sheet, {"cut_movement": movement, "released_at": NOW}, "cloth_cut_or_released_not_both")
    changed(on_sheet, {"cut_movement": movement})


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"count": 0}, "sheet_line_has_patches"),
        ({"width": 0}, "sheet_line_has_a_size"),
        ({"whole": 1}, "sheet_line_joined_one_length_at_a_time"),
        ({"join_part": 1, "join_of": 2}, "sheet_line_joined_one_length_at_a_time"),
        ({"whole": 1, "join_part": 1, "count": 1}, "sheet_line_joined_one_length_at_a_time"),
        (JOINED | {"count": 2}, "sheet_line_joined_one_length_at_a_time"),
        (JOINED | {"join_part": 3}, "sheet_line_joined_one_length_at_a_time"),
    ],
)
def test_a_line_of_a_sheet_that_makes_no_sense_is_refused(line: SheetLine, said: dict[str, Any], rule: str) -> None:
    refused(line, said, rule)


def test_a_line_of_a_joined_strip_is_one_length_of_it(line: SheetLine) -> None:
    changed(line, JOINED)


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"name": ""}, "stage_has_a_name"),
        ({"size": -1}, "stage_size_not_negative"),
        ({"unit": "ell"}, "stage_unit_known"),
        ({"technique": "weaving"}, "stage_technique_known"),
    ],
)
def test_a_stage_that_makes_no_sense_is_refused(plan: Plan, said: dict[str, Any], rule: str) -> None:
    stage = Stage.objects.create(plan=plan, key="own-1", name="A label", unit="hour", size=1, position=1)
    refused(stage, said, rule)


def test_every_unit_and_technique_is_known_to_the_database(plan: Plan) -> None:
    stage = Stage.objects.create(plan=plan, key="own-1", name="A label", unit="hour", size=1, position=1)
    for unit in Stage.Unit:
        changed(stage, {"unit": unit})
    for technique in Stage.Technique:
        changed(stage, {"technique": technique})


def test_a_sitting_has_minutes_or_a_count_and_fits_into_a_day(plan: Plan) -> None:
    stage = Stage.objects.create(plan=plan, key="own-1", name="A label", unit="hour", size=1, position=1)
    sitting = stage.sittings.create(day=date(2026, 11, 25), minutes=1, recorded_at=NOW)
    changed(sitting, {"minutes": 0, "units": 1})
    changed(sitting, {"minutes": 24 * 60, "units": None})
    refused(sitting, {"minutes": 0}, "sitting_has_minutes_or_units")
    refused(sitting, {"minutes": 24 * 60 + 1}, "sitting_within_a_day")
