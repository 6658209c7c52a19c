"""Whatever is typed into any field of the top or of the figures, the page answers with a sentence at that field and keeps the rest."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.forms.centre import FIELDS_OF as OF_CENTRE
from plans.forms.rounds import FIELDS_OF
from plans.models import Plan, Round
from plans.models.plan import CentreKind
from quiltbook.measures import NM_PER_INCH as IN
from tests.factories import PersonFactory
from tests.plans.medallion import medallion
from tests.plans.typed import NONSENSE, figures_data, top_data

pytestmark = pytest.mark.django_db
# Where nothing is a fair answer.
NONE_WILL_DO = (
    "printed_seam",
    "sashing",
    "cut_long",
    "flower_turn",
    "flowers_",
    "end_margin",
    "least_coping",
    "_overage",
    "_extra",
    "least_offcut",
    "backing_repeat",
    "straightening",
)


@pytest.fixture
def plan(client: Client) -> Plan:
    plan = medallion(PersonFactory.create())
    # Its centre is 24 x 18 in.
    plan.printed_width, plan.printed_length, plan.printed_seam = 25 * IN, 19 * IN, IN // 2
    plan.save()
    client.force_login(plan.owner)
    return plan


def fair(name: str, what: str) -> bool:
    """Whether that may really stand in that field."""
    if name.endswith(("-flowers_corners", "-scrappy", "-sashing_outer", "-sashing_cornerstones")):
        return True
    if name.endswith("-name"):
        return what not in ("overlong", "a null")
    return what == "zero" and any(part in name for part in NONE_WILL_DO)


def refused(client: Client, address: str, good: dict[str, str], refusing: list[str], what: str) -> None:
    """Nonsense in those fields is refused at each of them and nowhere else, and nothing is kept."""
    before = list(Round.objects.values())
    response = client.post(address, good | dict.fromkeys(refusing, NONSENSE[what]))
    assert response.status_code == 200
    wrong = {bound.html_name for _, bound, _ in response.context["form"].errors if bound is not None}
    assert wrong == set(refusing)
    assert "<script>alert" not in response.content.decode()
    assert list(Round.objects.values()) == before


@pytest.mark.parametrize("what", NONSENSE)
@pytest.mark.parametrize(
    ("address", "kind"), [("plans:top_live", CentreKind.PANEL), *(("plans:top", kind) for kind in OF_CENTRE)]
)
def test_the_centre_and_a_new_round_refuse_nonsense_at_every_field(
    client: Client, plan: Plan, address: str, kind: str, what: str
) -> None:
    good = top_data(plan, **{"new-width": "2 in", "centre-kind": kind, "centre-edge": "applied"})
    unread = {f"centre-{name}" for names in OF_CENTRE.values() for name in names if name not in OF_CENTRE[kind]}
    unread |= {"centre-kind", "centre-edge"}  # they say what else is read
    if kind == CentreKind.TOP:
        unread |= {"centre-width", "centre-length"}
    names = [name for name in good if name.startswith(("centre-", "new-")) and name not in unread]
    refusing = [name for name in names if not fair(name, what)]
    assert len(refusing) > 4
    refused(client, reverse(address, args=[plan.pk]), good, refusing, what)


@pytest.mark.parametrize("what", NONSENSE)
@pytest.mark.parametrize("made", FIELDS_OF)
def test_a_round_refuses_nonsense_at_every_field_of_its_kind(client: Client, plan: Plan, made: str, what: str) -> None:
    garden = f"round-{plan.rounds.get(name='Garden').pk}"
    good = top_data(plan, **{f"{garden}-made": made, f"{garden}-rule": "margins"})
    unread = {f"{garden}-{name}" for of in FIELDS_OF.values() for name in of if name not in FIELDS_OF[made]}
    unread |= {f"{garden}-{name}" for name in ("made", "rule")}  # they say what else is read
    refusing = [name for name in good if name.startswith(garden) and name not in unread and not fair(name, what)]
    assert len(refusing) > 2
    refused(client, reverse("plans:top", args=[plan.pk]), good, refusing, what)


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


@pytest.mark.parametrize("name", ["kind", "setting", "edge", "diamond_angle", "block", "other_block", "sewn_top"])
@pytest.mark.parametrize("value", ["🧵", "x" * 10_000, "<b>", "-1", "3\x00"])
def test_choices_of_the_centre_that_nobody_offered_are_refused(
    client: Client, plan: Plan, name: str, value: str
) -> None:
    kind = next(kind for kind, names in list(OF_CENTRE.items())[::-1] if name in names or name == "kind")
    typed = top_data(plan, **{"centre-kind": kind, f"centre-{name}": value})
    response = client.post(reverse("plans:top", args=[plan.pk]), typed)
    assert response.status_code == 200
    assert name in response.context["form"].centre.errors


def test_an_empty_post_loses_nothing_and_fells_nothing(client: Client, plan: Plan) -> None:
    for name in ("top", "top_live", "finishing", "finishing_live"):
        assert client.post(reverse(f"plans:{name}", args=[plan.pk]), {}).status_code == 200
    assert plan.rounds.standing().count() == 3


@pytest.mark.parametrize("name", ["-made", "-scrappy", "-corners", "-first", "-outer", "-rule", "-applied"])
@pytest.mark.parametrize("value", ["", "🧵", "x" * 10_000, "<b>"])
def test_choices_nobody_offered_are_refused_and_ticks_are_ticks(
    client: Client, plan: Plan, name: str, value: str
) -> None:
    field = f"round-{plan.rounds.get(name='Garden').pk}{name}"
    response = client.post(reverse("plans:top", args=[plan.pk]), top_data(plan) | {field: value})
    if name == "-scrappy":
        assert response.status_code == 302
    else:
        assert response.context["form"].rounds[1].errors == {name[1:]: ["Choose one of these."]}
