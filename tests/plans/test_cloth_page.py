"""The Cloth page: allotting, laying out, what is short, and what is refused in a sentence at its field."""

import sys
from functools import partial

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Allotment, CuttingSheet, Plan, ShoppingLine
from plans.services import layout
from quiltbook.people.models import Person
from quiltbook.yardage.cutting import lay_out as engine_lay_out
from stash.models import Fabric
from tests.factories import NOW, inches
from tests.plans.quilts import border_role, cloth, framed, give, held, laid_out


@pytest.fixture
def plan(owner: Person) -> Plan:
    return framed(owner)


@pytest.fixture
def kelp(owner: Person) -> Fabric:
    return cloth(owner, "Kelp", inches(42, 18))


def _allot(browser: Client, plan: Plan, role: str, **typed: object) -> str:
    data = {f"{role}-{name}": value for name, value in typed.items()}
    answer = browser.post(reverse("plans:allot", args=[plan.pk, role]), data, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_fabric_is_allotted_and_shown(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    page = _allot(at_home, plan, border_role(plan), fabric=kelp.pk, count="")
    assert Allotment.objects.get().fabric == kelp
    assert "Kelp" in page


@pytest.mark.parametrize(
    ("count", "sentence"),
    [
        ("a few", "Write a whole number"),
        ("-3", "At least 1"),
        ("0", "At least 1"),
        ("1.5", "Write a whole number"),
        ("9" * 30, "At most 100000"),
        ("🧵", "Write a whole number"),
        ("5", "This part has only 4 patches"),
        ("<b>2</b>", "Write a whole number"),
        ("x" * 10_000, "Write a whole number"),
    ],
)
def test_a_count_that_is_none_is_refused_at_its_field_and_kept(
    at_home: Client, plan: Plan, kelp: Fabric, count: str, sentence: str
) -> None:
    page = _allot(at_home, plan, border_role(plan), fabric=kelp.pk, count=count)
    assert sentence in page
    assert not Allotment.objects.exists()
    assert f'<option value="{kelp.pk}" selected>' in page
    assert "<b>2</b>" not in page


@pytest.mark.parametrize("fabric", ["", "nonsense", "999999", "9" * 40])
def test_a_fabric_that_is_none_is_refused(at_home: Client, plan: Plan, kelp: Fabric, fabric: str) -> None:
    page = _allot(at_home, plan, border_role(plan), fabric=fabric, count="")
    assert "Choose a fabric" in page
    assert not Allotment.objects.exists()


def test_a_strangers_fabric_is_no_choice(at_home: Client, plan: Plan, stranger: Person, kelp: Fabric) -> None:
    hers = cloth(stranger, "Hers", inches(42, 18))
    page = _allot(at_home, plan, border_role(plan), fabric=hers.pk, count="")
    assert "Choose a fabric of your stash" in page
    assert "Hers" not in page


def test_the_same_fabric_is_not_allotted_twice(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    give(plan, border_role(plan), kelp)
    assert "allotted to this already" in _allot(at_home, plan, border_role(plan), fabric=kelp.pk, count="")


def test_a_part_the_plan_has_not_is_not_found(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    url = reverse("plans:allot", args=[plan.pk, "round-999-border"])
    assert at_home.post(url, {"round-999-border-fabric": kelp.pk}).status_code == 404
    assert not Allotment.objects.exists()


def test_a_fabric_taken_off_can_be_put_on_again(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    give(plan, border_role(plan), kelp, 2)
    allotment = Allotment.objects.get()
    page = at_home.post(reverse("plans:take_off", args=[plan.pk, allotment.pk]), follow=True).content.decode()
    undo = reverse("plans:put_on_again", args=[plan.pk, border_role(plan), kelp.pk, 2])
    assert undo in page
    at_home.post(undo)
    assert (Allotment.objects.get().fabric, Allotment.objects.get().count) == (kelp, 2)


def test_laying_out_says_what_is_short_and_puts_it_on_the_shopping_list(
    at_home: Client, plan: Plan, owner: Person
) -> None:
    give(plan, border_role(plan), cloth(owner, "Scrap", inches(42, 3)))
    page = at_home.post(reverse("plans:lay_out", args=[plan.pk]), {"method": "close"}, follow=True).content.decode()
    assert "short by" in page
    draft = CuttingSheet.objects.get()
    at_home.post(reverse("plans:to_buy", args=[plan.pk, draft.pk]))
    line = ShoppingLine.objects.get()
    assert line.fabric.name == "Scrap" if line.fabric else False
    assert line.length
    assert line.length % plan.shop_step == 0


def test_other_fabrics_that_would_do_are_found(at_home: Client, plan: Plan, owner: Person) -> None:
    give(plan, border_role(plan), cloth(owner, "Scrap", inches(42, 3)))
    cloth(owner, "Plenty", inches(42, 36))
    cloth(owner, "Too small", inches(2, 36))
    at_home.post(reverse("plans:lay_out", args=[plan.pk]))
    draft = CuttingSheet.objects.get()
    page = at_home.get(reverse("plans:would_do", args=[plan.pk, draft.pk])).content.decode()
    assert "Plenty" in page
    assert "Too small" not in page


def test_a_layout_goes_stale_when_the_cloth_changes(at_home: Client, plan: Plan, owner: Person, kelp: Fabric) -> None:
    give(plan, border_role(plan), kelp)
    laid_out(plan)
    url = reverse("plans:cloth", args=[plan.pk])
    stale = "has changed since this was laid out"
    assert stale not in at_home.get(url).content.decode()
    other = framed(owner, "Other")
    held(other, border_role(other), kelp)
    assert stale in at_home.get(url).content.decode()


def test_a_method_that_is_none_is_taken_as_close(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    give(plan, border_role(plan), kelp)
    at_home.post(reverse("plans:lay_out", args=[plan.pk]), {"method": "scissors"})
    assert CuttingSheet.objects.get().method == CuttingSheet.Method.CLOSE


def test_confirming_everything_holds_every_draft(at_home: Client, plan: Plan, kelp: Fabric, owner: Person) -> None:
    give(plan, border_role(plan), kelp)
    give(plan, "binding", cloth(owner, "Ink", inches(42, 18)))
    at_home.post(reverse("plans:lay_out", args=[plan.pk]))
    page = at_home.post(reverse("plans:confirm_all", args=[plan.pk]), follow=True).content.decode()
    assert "2 cutting sheets confirmed" in page
    assert CuttingSheet.objects.standing().count() == 2


def test_a_plan_changed_after_confirming_shows_what_no_longer_fits(at_home: Client, plan: Plan, kelp: Fabric) -> None:
    held(plan, border_role(plan), kelp)
    row = plan.rounds.get()
    row.width *= 2
    row.save()
    page = at_home.get(reverse("plans:cloth", args=[plan.pk])).content.decode()
    assert "no longer wanted" in page


@pytest.mark.parametrize("fate", ["raise SystemExit(9)", "import os; os.kill(os.getpid(), 9)", "print('nonsense')"])
def test_when_the_solver_crashes_the_plain_layout_stands_in_and_says_so(
    at_home: Client, plan: Plan, kelp: Fabric, fate: str
) -> None:
    give(plan, border_role(plan), kelp)
    crashing = partial(engine_lay_out, solver=[sys.executable, "-c", fate])
    [draft] = layout.lay_out_plan(plan=plan, now=NOW, lay_out=crashing)
    assert draft.stood_in
    assert draft.uncut == []
    assert "The solver did not answer" in at_home.get(reverse("plans:cloth", args=[plan.pk])).content.decode()
