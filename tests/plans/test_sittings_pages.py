"""The Sewing and Hours pages: what is typed is read, refused at its field with nothing lost, and never anybody else's."""

import html
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plans.models import Plan, Sitting, Stage
from plans.services import stages
from quiltbook.measures import System
from quiltbook.web import clock
from tests.factories import NOW, TODAY, PersonFactory
from tests.plans.medallion import key, medallion, sewn, sit, work_of
from tests.plans.typed import soft

pytestmark = pytest.mark.django_db

LONG = "x" * 10_000
HTMX = {"HX-Request": "true"}


@pytest.fixture(autouse=True)
def a_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: NOW)
    monkeypatch.setattr(clock, "today", lambda time_zone: TODAY)


@pytest.fixture
def plan() -> Plan:
    return medallion(PersonFactory.create())


@pytest.fixture
def owner(plan: Plan, client: Client) -> Client:
    client.force_login(plan.owner)
    return client


def url(name: str, plan: Plan, *more: object) -> str:
    return reverse(f"plans:{name}", args=[plan.pk, *more])


def typed(plan: Plan, **more: str) -> dict[str, str]:
    return {"stage": key(plan, "piece"), "minutes": "45", "units": "2", "day": "2026-11-25", "note": ""} | more


def text(response: Any) -> str:
    assert response.status_code == 200
    return html.unescape(response.content.decode())


# --- the pages -------------------------------------------------------------------------------------------------------


def test_the_sewing_page_tells_what_is_left_and_what_it_waits_for(owner: Client, plan: Plan) -> None:
    sit(plan, key(plan, "baste"), 60, "21")
    stages.finish(plan=plan, work=work_of(plan), key="cutting", now=NOW)
    page = text(owner.get(url("sewing", plan)))
    assert "<b>21</b> of 98 shapes done" in page
    assert "3 flowers ready, 14 flowers left" in page
    assert "Waits for the round inside it." in page
    assert "Join on the left and right strips of Garden: the quilt is then 42 × 22 in." in soft(page)


def test_the_sewing_page_of_a_plan_that_cannot_be_worked_out_still_opens(owner: Client, plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 60, "3")
    plan.rounds.filter(position=2).update(measured_width=1, measured_length=1)
    assert "3</b> of 14 flowers" in text(owner.get(url("sewing", plan)))


def test_the_hours_page_tells_the_sittings_the_stages_and_the_week(owner: Client, plan: Plan) -> None:
    sit(plan, key(plan, "piece"), 80, "2", note="On the train")
    sit(plan, "quilting", 30, day=TODAY - timedelta(14))
    page = text(owner.get(url("hours", plan)))
    for told in ("1 h 50 min", "1 h 20 min, 2 flowers", "On the train", "Wed 25 November 2026", "Wed 11 November 2026"):
        assert told in page
    assert ">1 h 20 min</span> of it this week" in page


def test_the_hours_page_of_a_new_plan_says_what_to_do_first(owner: Client, plan: Plan) -> None:
    assert "No sitting yet" in text(owner.get(url("hours", plan)))


@pytest.mark.parametrize("number", ["0", "-1", "9" * 30, "two", "", "²"])
def test_any_page_number_is_answered(owner: Client, plan: Plan, number: str) -> None:
    assert owner.get(url("hours", plan), {"page": number}).status_code == 200


def test_the_queries_of_both_pages_do_not_grow_with_the_sittings(owner: Client, plan: Plan) -> None:
    def queries(name: str) -> int:
        with CaptureQueriesContext(connection) as seen:
            owner.get(url(name, plan))
        return len(seen)

    sit(plan, key(plan, "piece"), 30, "1")
    few = {name: queries(name) for name in ("sewing", "hours")}
    stage = Stage.objects.get(key=key(plan, "piece"))
    Sitting.objects.bulk_create(Sitting(stage=stage, day=TODAY, minutes=5, recorded_at=NOW) for _ in range(200))
    assert {name: queries(name) for name in ("sewing", "hours")} == few


# --- logging ---------------------------------------------------------------------------------------------------------


def test_a_sitting_typed_in_is_written_down_and_can_be_undone(owner: Client, plan: Plan) -> None:
    page = text(owner.post(url("sewing", plan), typed(plan, minutes="1 h 20", units="2"), follow=True))
    assert "Written down: 1 h 20 min, 2 flowers of Garden: piece flowers." in page
    sitting = Sitting.objects.get()
    assert (sitting.minutes, sitting.units, sitting.day) == (80, Decimal(2), TODAY)
    undo = url("sitting_remove", plan, sitting.pk)
    assert f'action="{undo}"' in page
    back = owner.post(undo, headers={"Referer": f"http://testserver{url('sewing', plan)}?stage=x"})
    assert (back.status_code, back.headers["Location"]) == (302, url("sewing", plan))
    assert not Sitting.objects.kept().exists()
    owner.post(url("sitting_restore", plan, sitting.pk))
    assert Sitting.objects.kept().exists()


def test_yards_typed_in_an_inch_book_are_kept_in_metres(owner: Client, plan: Plan) -> None:
    owner.post(url("sewing", plan), typed(plan, stage="binding", units="2"))
    assert Sitting.objects.get().units == Decimal("1.829")
    assert "<b>2</b> of 5 yd done" in text(owner.get(url("sewing", plan)))


def test_the_stage_sewn_last_is_offered_again(owner: Client, plan: Plan) -> None:
    answer = owner.post(url("sewing", plan), typed(plan))
    assert answer.headers["Location"].endswith(f"?stage={key(plan, 'piece')}")
    assert f'<option value="{key(plan, "piece")}" selected>' in text(owner.get(answer.headers["Location"]))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("stage", "", "Choose what you worked on."),
        ("stage", "round-999-piece", "That stage is not wanted any more"),
        ("stage", LONG, "That stage is not wanted any more"),
        ("minutes", "soon", "cannot be read as a time"),
        ("minutes", "-45", "cannot be read as a time"),
        ("minutes", "1.5", "could be hours or minutes"),
        ("minutes", "25 h", "more than 24 hours"),
        ("minutes", LONG, "cannot be read as a time"),
        ("minutes", "😀", "cannot be read as a time"),
        ("minutes", "4\x005", "Null characters"),
        ("units", "many", "cannot be read as a number of flowers"),
        ("units", "3 kg", "cannot be read as a number of flowers"),
        ("units", "-1", "can be unpicked"),
        ("units", "9" * 40, "more than anybody can sew"),
        ("units", "1000000", "more than anybody can sew"),
        ("units", LONG, "too long to be a number"),
        ("units", "<script>alert(1)</script>", "cannot be read as a number of flowers"),
        ("units", "15", "That makes 15 flowers, and the stage has 14 flowers."),
        ("day", "", "Say which day"),
        ("day", "2026-11-26", "still to come"),
        ("day", "0001-01-01", "check the year"),
        ("day", "2026-02-30", "Write a date like"),
        ("day", LONG, "Write a date like"),
        ("note", LONG, "at most 1000 characters"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field_and_the_rest_stays_typed(
    owner: Client, plan: Plan, field: str, value: str, sentence: str
) -> None:
    sent = typed(plan, note="On the train") | {field: value}
    page = text(owner.post(url("sewing", plan), sent))
    assert sentence in page
    assert "Not saved yet." in page
    assert not Sitting.objects.exists()
    for name in {"minutes", "units", "day"} - {field}:
        assert f'name="{name}" value="{sent[name]}"' in page
    if field not in ("stage", "note") and "\x00" not in value:
        assert f'value="{value}"' in page
    assert "<script>alert" not in owner.post(url("sewing", plan), sent).content.decode()


def test_neither_time_nor_amount_is_refused(owner: Client, plan: Plan) -> None:
    page = text(owner.post(url("sewing", plan), typed(plan, minutes="", units="")))
    assert "Say how long you sat, or how much you did, or both." in page


def test_a_count_beyond_the_size_is_taken_once_she_says_it_is_so(owner: Client, plan: Plan) -> None:
    assert 'name="sure"' not in text(owner.get(url("sewing", plan)))
    asked = text(owner.post(url("sewing", plan), typed(plan, units="20")))
    assert "Yes, count them" in asked
    assert owner.post(url("sewing", plan), typed(plan, units="20", sure="on")).status_code == 302
    assert Sitting.objects.get().units == 20


def test_an_empty_post_is_refused_in_sentences(owner: Client, plan: Plan) -> None:
    # An empty form posts its token at least.
    assert "Choose what you worked on." in text(owner.post(url("sewing", plan), {"csrfmiddlewaretoken": "x"}))
    assert owner.post(url("sewing", plan), {}).status_code == 200


# --- taps ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tap", "typed_before", "after"),
    [
        ("units:6", {"units": ""}, 'name="units" value="6"'),
        ("units:1", {"units": "6"}, 'name="units" value="7"'),
        ("units:-1", {"units": "½"}, 'name="units" value="-0.5"'),
        ("units:1", {"stage": "binding", "units": "1"}, 'name="units" value="2"'),
        ("minutes:15", {"minutes": ""}, 'name="minutes" value="15 min"'),
        ("minutes:60", {"minutes": "45"}, 'name="minutes" value="1 h 45 min"'),
        ("minutes:15", {"minutes": "soon"}, 'name="minutes" value="soon"'),
        ("units:500", {"units": "6"}, 'name="units" value="6"'),
        ("units:x", {"units": "6"}, 'name="units" value="6"'),
        ("", {"units": "6"}, 'name="units" value="6"'),
    ],
)
def test_a_tap_adds_to_what_is_typed_and_writes_nothing_down(
    owner: Client, plan: Plan, tap: str, typed_before: dict[str, str], after: str
) -> None:
    answer = owner.post(url("sitting_tap", plan), typed(plan) | typed_before | {"tap": tap}, headers=HTMX)
    assert after in text(answer)
    assert "<html" not in text(answer)
    assert not Sitting.objects.exists()


def test_yards_tapped_one_by_one_stay_whole(owner: Client, plan: Plan) -> None:
    units = ""
    for n in range(1, 30):
        sent = typed(plan, stage="binding", units=units) | {"tap": "units:1"}
        units = str(n)
        assert f'name="units" value="{units}"' in text(owner.post(url("sitting_tap", plan), sent, headers=HTMX))


def test_another_stage_shows_its_own_unit_and_keeps_what_is_typed(owner: Client, plan: Plan) -> None:
    page = text(owner.post(url("sitting_tap", plan), typed(plan, stage="binding"), headers=HTMX))
    assert ">yd</span>" in page
    assert 'name="units" value="2"' in page
    cutting = text(owner.post(url("sitting_tap", plan), typed(plan, stage="cutting", units=""), headers=HTMX))
    assert "Patches are counted on the" in cutting


# --- putting right ---------------------------------------------------------------------------------------------------


def test_a_sitting_is_shown_as_it_was_typed_and_put_right(owner: Client, plan: Plan) -> None:
    sitting = sit(plan, "binding", 80, "1.829", note="On the train")
    page = text(owner.get(url("sitting", plan, sitting.pk)))
    for told in ('value="1 h 20 min"', 'value="2"', "On the train", 'value="2026-11-25"'):
        assert told in page
    put = text(owner.post(url("sitting", plan, sitting.pk), typed(plan, stage="binding", units="3"), follow=True))
    new = Sitting.objects.kept().get()
    assert (new.replaces, new.minutes, new.units) == (sitting, 45, Decimal("2.743"))
    undo = url("sitting_as_it_was", plan, new.pk)
    assert f'action="{undo}"' in put
    owner.post(undo)
    assert Sitting.objects.kept().get() == sitting


def test_a_correction_that_cannot_be_is_refused_with_nothing_lost(owner: Client, plan: Plan) -> None:
    sitting = sit(plan, "quilting", 80)
    page = text(owner.post(url("sitting", plan, sitting.pk), typed(plan, stage="quilting", minutes="99 h")))
    assert "more than 24 hours" in page
    assert 'value="99 h"' in page
    assert Sitting.objects.kept().get() == sitting


def test_a_sitting_of_a_skipped_stage_can_still_be_put_right(owner: Client, plan: Plan) -> None:
    sitting = sit(plan, "layering", 80)
    stages.skip(plan=plan, work=work_of(plan), key="layering", now=NOW)
    assert '<option value="layering" selected>' in text(owner.get(url("sitting", plan, sitting.pk)))
    sent = typed(plan, stage="layering", units="")
    assert owner.post(url("sitting", plan, sitting.pk), sent).status_code == 302


def test_what_was_corrected_meanwhile_is_said_and_nothing_is_changed(owner: Client, plan: Plan) -> None:
    sitting = sit(plan, "quilting", 80)
    owner.post(url("sitting", plan, sitting.pk), typed(plan, stage="quilting", units=""))
    page = text(owner.post(url("sitting", plan, sitting.pk), typed(plan, stage="quilting", units="")))
    assert "in another window" in page
    assert Sitting.objects.kept().count() == 1
    assert "in another window" in text(owner.post(url("sitting_remove", plan, sitting.pk), follow=True))


# --- stages ----------------------------------------------------------------------------------------------------------


def test_a_stage_of_her_own_is_added_and_changed(owner: Client, plan: Plan) -> None:
    owner.post(url("stage_add", plan), {"name": "Embroidery", "unit": "metre", "size": "1 1/2"})
    stage = Stage.objects.get(own=True)
    assert (stage.name, stage.unit, stage.size) == ("Embroidery", "metre", Decimal("1.372"))
    page = text(owner.get(url("stage_change", plan, stage.key)))
    assert 'value="1.5"' in page
    assert ">yards</option>" in page
    owner.post(url("stage_change", plan, stage.key), {"name": "Crewel", "unit": "hour", "size": "3"})
    stage.refresh_from_db()
    assert (stage.name, stage.unit, stage.size) == ("Crewel", "hour", Decimal(3))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("name", "", "Say what it is."),
        ("name", LONG, "at most 120 characters"),
        ("unit", "furlong", "furlong"),
        ("size", "", "Say how many, or how much there is to do."),
        ("size", "0", "more than nothing"),
        ("size", "-2", "more than nothing"),
        ("size", "lots", "cannot be read as a number of hours"),
        ("size", LONG, "too long to be a number"),
        ("size", "9999999", "more than anybody can sew"),
    ],
)
def test_a_stage_that_cannot_be_is_refused_at_its_field(
    owner: Client, plan: Plan, field: str, value: str, sentence: str
) -> None:
    sent = {"name": "Label 😀 <b>", "unit": "hour", "size": "2"} | {field: value}
    page = text(owner.post(url("stage_add", plan), sent))
    assert sentence in page
    assert not Stage.objects.exists()
    if field != "name":
        assert 'value="Label 😀 <b>"' in page


def test_the_unit_of_a_stage_with_counts_cannot_change(owner: Client, plan: Plan) -> None:
    own = stages.add_own(plan=plan, name="Label", unit="flower", size=Decimal(2), now=NOW)
    sit(plan, own.key, 30, "1")
    page = text(owner.post(url("stage_change", plan, own.key), {"name": "Label", "unit": "metre", "size": "2"}))
    assert "counted already" in page


@pytest.mark.parametrize(("act", "back"), [("skip", "bring-back"), ("finish", "reopen")])
def test_a_stage_is_marked_and_the_mark_taken_back(owner: Client, plan: Plan, act: str, back: str) -> None:
    page = text(owner.post(url("stage_mark", plan, "layering", act), follow=True))
    undo = url("stage_mark", plan, "layering", back)
    assert f'action="{undo}"' in page
    assert "layering" not in [row.key for row in sewn(plan).left]
    owner.post(undo)
    assert "layering" in [row.key for row in sewn(plan).left]


def test_a_mark_for_no_stage_is_said_and_an_unknown_mark_is_not_found(owner: Client, plan: Plan) -> None:
    page = text(owner.post(url("stage_mark", plan, "own-9", "skip"), follow=True))
    assert "not in the plan any more" in page
    assert owner.post(url("stage_mark", plan, "layering", "burn")).status_code == 404
    assert owner.get(url("stage_change", plan, "layering")).status_code == 404


# --- others ----------------------------------------------------------------------------------------------------------


def test_a_stranger_finds_nothing(client: Client, plan: Plan) -> None:
    sitting = sit(plan, "quilting", 30)
    own = stages.add_own(plan=plan, name="Label", unit="hour", size=Decimal(2), now=NOW)
    stranger = medallion(PersonFactory.create(system=System.METRIC))
    client.force_login(stranger.owner)
    got = [url("sewing", plan), url("hours", plan), url("stage_add", plan), url("stage_change", plan, own.key)]
    got += [url("sitting", plan, sitting.pk), url("sitting", stranger, sitting.pk)]
    posted = [url(f"sitting_{act}", plan, sitting.pk) for act in ("remove", "restore", "as_it_was")]
    posted += [url("sitting_remove", stranger, sitting.pk), url("stage_mark", plan, own.key, "skip")]
    posted += [url("sewing", plan), url("sitting_tap", plan), url("stage_add", plan), url("sitting", plan, sitting.pk)]
    assert {client.get(address).status_code for address in got} == {404}
    assert {client.post(address, typed(plan), headers=HTMX).status_code for address in posted} == {404}
    assert client.get(reverse("plans:sitting", args=[10**30, 10**30])).status_code == 404
    assert Sitting.objects.kept().count() == 1


def test_what_changes_something_is_never_done_by_a_link(owner: Client, plan: Plan) -> None:
    sitting = sit(plan, "quilting", 30)
    for address in (
        url("sitting_remove", plan, sitting.pk),
        url("sitting_restore", plan, sitting.pk),
        url("sitting_as_it_was", plan, sitting.pk),
        url("stage_mark", plan, "layering", "skip"),
        url("sitting_tap", plan),
    ):
        assert owner.get(address).status_code == 405
