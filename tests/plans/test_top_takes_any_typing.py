"""Whatever is typed into any field of the top or of the figures, the page answers with a sentence at that field and keeps the rest."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan, Round
from tests.factories import PersonFactory
from tests.plans.medallion import medallion
from tests.plans.typed import NONSENSE, figures_data, top_data

pytestmark = pytest.mark.django_db
# Where nothing is a fair answer.
NONE_WILL_DO = ("printed_seam", "cut_long", "flower_turn", "flowers_", "_overage", "_extra", "least_offcut")


@pytest.fixture
def plan(client: Client) -> Plan:
    plan = medallion(PersonFactory.create())
    plan.printed_width, plan.printed_length, plan.printed_seam = (
        plan.centre_width + 25_400_000,
        plan.centre_length + 25_400_000,
        12_700_000,
    )
    plan.save()
    client.force_login(plan.owner)
    return plan


def fields_of(data: dict[str, str], plan: Plan) -> list[str]:
    """Every field of the centre, of the round with flowers and of the new round."""
    garden = plan.rounds.get(name="Garden").pk
    return [name for name in data if name.startswith(("centre-", f"round-{garden}-", "new-"))]


def fair(name: str, what: str) -> bool:
    """Whether that may really stand in that field."""
    if name.endswith(("-carries", "-scrappy")):
        return True
    if name.endswith("-name"):
        return what not in ("overlong", "a null")
    return what == "zero" and any(part in name for part in NONE_WILL_DO)


@pytest.mark.parametrize("what", NONSENSE)
@pytest.mark.parametrize("address", ["plans:top", "plans:top_live"])
def test_the_top_refuses_nonsense_at_every_field(client: Client, plan: Plan, address: str, what: str) -> None:
    good = top_data(plan, **{"new-width": "2 in"})
    refusing = [name for name in fields_of(good, plan) if not fair(name, what)]
    before = list(Round.objects.values())
    response = client.post(reverse(address, args=[plan.pk]), good | dict.fromkeys(refusing, NONSENSE[what]))
    assert response.status_code == 200
    wrong = {bound.html_name for _, bound, _ in response.context["form"].errors if bound is not None}
    assert wrong == set(refusing)
    assert len(refusing) > 15
    assert "<script>alert" not in response.content.decode()
    assert list(Round.objects.values()) == before


@pytest.mark.parametrize("what", NONSENSE)
def test_what_was_typed_in_other_fields_is_still_there(client: Client, plan: Plan, what: str) -> None:
    outer = plan.rounds.standing()[2].pk
    typed = top_data(
        plan, **{"centre-width": NONSENSE[what], f"round-{outer}-name": "Shore & strand", "new-width": "9 mm"}
    )
    page = client.post(reverse("plans:top", args=[plan.pk]), typed).content.decode()
    assert 'value="Shore &amp; strand"' in page
    assert 'value="9 mm"' in page


@pytest.mark.parametrize("what", NONSENSE)
@pytest.mark.parametrize("address", ["plans:finishing", "plans:finishing_live"])
def test_the_figures_refuse_nonsense_at_every_field(client: Client, plan: Plan, address: str, what: str) -> None:
    good = figures_data(plan)
    refusing = [name for name in good if not fair(name, what)]
    response = client.post(reverse(address, args=[plan.pk]), good | dict.fromkeys(refusing, NONSENSE[what]))
    assert response.status_code == 200
    assert set(response.context["form"].errors) == set(refusing)
    assert refusing


def test_an_empty_post_loses_nothing_and_fells_nothing(client: Client, plan: Plan) -> None:
    for name in ("top", "top_live", "finishing", "finishing_live"):
        assert client.post(reverse(f"plans:{name}", args=[plan.pk]), {}).status_code == 200
    assert plan.rounds.standing().count() == 3


@pytest.mark.parametrize("name", ["-carries", "-scrappy", "-corners", "-first", "-outer", "-rule", "-applied"])
@pytest.mark.parametrize("value", ["", "🧵", "x" * 10_000, "<b>"])
def test_choices_nobody_offered_are_refused_and_ticks_are_ticks(
    client: Client, plan: Plan, name: str, value: str
) -> None:
    field = f"round-{plan.rounds.get(name='Garden').pk}{name}"
    response = client.post(reverse("plans:top", args=[plan.pk]), top_data(plan) | {field: value})
    if name in ("-carries", "-scrappy"):
        assert response.status_code == 302
    else:
        assert response.context["form"].rounds[1].errors == {name[1:]: ["Choose one of these."]}
