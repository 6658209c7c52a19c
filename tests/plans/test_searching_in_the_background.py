"""A search for less cloth runs in the background: it says how far it is, can be stopped, and never overwrites what was changed meanwhile."""

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from plans.models import CuttingSheet, LayoutSearch, Plan
from plans.services import layout, plans, searching
from plans.services.errors import PlanError
from quiltbook.people.models import Person
from quiltbook.yardage.cutting import CuttingJob, Layout
from stash.models import Fabric
from tests.factories import NOW, inches
from tests.plans.quilts import LATER, border_role, cloth, framed, give, laid_out
from tests.plans.simple_engine import lay_out


@pytest.fixture
def plan(owner: Person) -> Plan:
    return framed(owner)


@pytest.fixture
def kelp(owner: Person, plan: Plan) -> Fabric:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    give(plan, border_role(plan), kelp)
    return kelp


def _url(name: str, plan: Plan) -> str:
    return reverse(f"plans:{name}", args=[plan.pk])


@pytest.mark.django_db(transaction=True)
def test_it_is_asked_for_done_and_shown(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    laid_out(plan)
    page = at_home.post(_url("search", plan), {"method": "close"}, follow=True).content.decode()
    search = LayoutSearch.objects.get()
    assert (search.done, search.of, search.said) == (1, 1, "")
    assert search.ended_at is not None
    assert CuttingSheet.objects.drafts().get().effort == "thorough"
    assert "Look harder" not in page


def test_while_it_is_under_way_the_page_says_how_far_and_no_second_begins(
    at_home: Client, plan: Plan, kelp: Fabric
) -> None:
    searching.ask(plan=plan, method="close", now=NOW)
    with pytest.raises(PlanError, match="already"):
        searching.ask(plan=plan, method="close", now=NOW)
    page = at_home.get(_url("cloth", plan)).content.decode()
    assert "Looking harder for less cloth" in page
    part = at_home.get(_url("search_now", plan), headers={"HX-Request": "true"}).content.decode()
    assert "of 1 fabrics" in part.replace("\xa0", " ").replace("<b>", "").replace("</b>", "")
    assert "<html" not in part


def test_when_it_has_ended_the_page_is_sent_for_anew(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    answer = at_home.get(_url("search_now", plan), headers={"HX-Request": "true"})
    assert answer.headers["HX-Redirect"].startswith(_url("cloth", plan))


def test_stopped_it_leaves_the_layouts_as_they_were(plan: Plan, kelp: Fabric) -> None:
    [draft] = laid_out(plan)
    search = searching.ask(plan=plan, method="close", now=NOW)
    searching.stop(plan=plan)
    searching.run.func(search.pk)
    search.refresh_from_db()
    assert search.said.startswith("Stopped")
    assert CuttingSheet.objects.drafts().get() == draft


def test_what_was_changed_meanwhile_is_not_laid_out_by_an_old_answer(plan: Plan, kelp: Fabric, owner: Person) -> None:
    oat = cloth(owner, "Oat", inches(42, 18))

    def meanwhile(job: CuttingJob) -> Layout:
        give(plan, "binding", oat)
        return lay_out(job)

    with pytest.raises(PlanError, match="changed while it was laid out"):
        layout.lay_out_plan(plan=plan, now=NOW, lay_out=meanwhile)
    assert not CuttingSheet.objects.exists()


def test_what_changes_nothing_of_the_cloth_spoils_no_search(plan: Plan, kelp: Fabric) -> None:
    def meanwhile(job: CuttingJob) -> Layout:
        plans.rename(plan=plan, name="Another name", note="", now=LATER)
        return lay_out(job)

    assert layout.lay_out_plan(plan=plan, now=NOW, lay_out=meanwhile) == list(CuttingSheet.objects.drafts())


def test_a_search_whose_worker_was_killed_does_not_bar_the_next(plan: Plan, kelp: Fabric) -> None:
    lost = searching.ask(plan=plan, method="close", now=NOW)
    searching.ask(plan=plan, method="close", now=NOW + 2 * searching.LONGEST)
    lost.refresh_from_db()
    assert lost.said == "It was broken off."


def test_there_is_nothing_to_look_for_without_cloth(plan: Plan) -> None:
    with pytest.raises(PlanError, match="Nothing is left"):
        searching.ask(plan=plan, method="close", now=NOW)


def test_a_strangers_plan_is_not_searched(client: Client, plan: Plan, kelp: Fabric, stranger: Person) -> None:
    client.force_login(stranger)
    assert client.post(_url("search", plan)).status_code == 404
    assert client.post(_url("search_stop", plan)).status_code == 404
    assert client.get(_url("search_now", plan)).status_code == 404
    assert not LayoutSearch.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_the_worker_takes_it_from_the_database(settings: Settings, plan: Plan, kelp: Fabric) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    searching.ask(plan=plan, method="close", now=NOW)
    assert LayoutSearch.objects.get().ended_at is None
    call_command("db_worker", batch=True, startup_delay=False, interval=0, verbosity=0)
    assert LayoutSearch.objects.get().ended_at is not None
    assert CuttingSheet.objects.drafts().get().effort == "thorough"
