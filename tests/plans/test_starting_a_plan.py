"""A plan begins from its maker's usual figures and a centre, whose finished size may be worked out from a print."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan
from plans.models.plan import State
from plans.services import plans
from plans.services.plans import FROM_SETTINGS, Centre
from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from quiltbook.people.services import change_settings
from stash.models import Fabric
from tests.factories import NOW, FabricFactory, PersonFactory
from tests.plans.typed import NONSENSE, words

pytestmark = pytest.mark.django_db
IN = NM_PER_INCH


@pytest.fixture
def owner() -> Person:
    return PersonFactory.create()


@pytest.fixture
def signed_in(client: Client, owner: Person) -> Client:
    client.force_login(owner)
    return client


def heron(owner: Person) -> Fabric:
    """A printed panel: 25 x 19 in with half an inch of print for the seam."""
    return FabricFactory.create(
        owner=owner, name="Heron", kind="panel", printed=Size(25 * IN, 19 * IN), printed_seam=IN // 2
    )


def test_the_figures_are_the_makers_own_and_stay_when_her_usual_ones_change(owner: Person) -> None:
    change_settings(owner=owner, changes={"usable_width": 40 * IN, "binding_strip": 2 * IN})
    plan = plans.start(owner=owner, name="Tideline", centre=Centre(width=20 * IN, length=20 * IN), now=NOW)
    assert {name: getattr(plan, name) for name in FROM_SETTINGS} == {
        name: getattr(owner.settings, name) for name in FROM_SETTINGS
    }
    assert plan.backing_width == 40 * IN
    change_settings(owner=owner, changes={"usable_width": 42 * IN})
    plan.refresh_from_db()
    assert (plan.usable_width, plan.state) == (40 * IN, State.IDEA)


def test_a_printed_size_and_seam_give_the_finished_size(signed_in: Client) -> None:
    typed = {"name": "Heron", "printed_width": "25 in", "printed_length": "19", "printed_seam": "1/2 in"}
    response = signed_in.post(reverse("plans:new"), typed)
    plan = Plan.objects.get()
    assert response["Location"] == reverse("plans:top", args=[plan.pk])
    assert (plan.centre_width, plan.centre_length) == (24 * IN, 18 * IN)
    assert (plan.printed_width, plan.printed_length, plan.printed_seam) == (25 * IN, 19 * IN, IN // 2)


def test_a_panel_of_the_stash_brings_its_print_and_is_allotted(signed_in: Client, owner: Person) -> None:
    panel = heron(owner)
    signed_in.post(reverse("plans:new"), {"name": "Heron", "panel": panel.pk})
    plan = Plan.objects.get()
    assert (plan.centre_width, plan.centre_length, plan.printed_seam) == (24 * IN, 18 * IN, IN // 2)
    assert [(row.role, row.fabric) for row in plan.allotments.all()] == [("panel", panel)]


def test_what_is_typed_wins_over_the_panels_own_print(signed_in: Client, owner: Person) -> None:
    typed = {
        "name": "Heron",
        "panel": heron(owner).pk,
        "printed_width": "24",
        "printed_length": "18",
        "width": "20",
        "length": "14",
    }
    signed_in.post(reverse("plans:new"), typed)
    plan = Plan.objects.get()
    assert (plan.printed_width, plan.centre_width, plan.centre_length) == (24 * IN, 20 * IN, 14 * IN)


def test_another_persons_panel_cannot_be_chosen(signed_in: Client) -> None:
    stranger = heron(PersonFactory.create())
    response = signed_in.post(reverse("plans:new"), {"name": "Heron", "panel": stranger.pk})
    assert "That panel is not in your stash any more" in words(response)
    assert not Plan.objects.exists()


def test_a_metric_book_reads_bare_numbers_in_centimetres(client: Client) -> None:
    client.force_login(PersonFactory.create(system=System.METRIC))
    client.post(reverse("plans:new"), {"name": "Möwe", "width": "60", "length": "45,5"})
    plan = Plan.objects.get()
    assert (plan.centre_width, plan.centre_length) == (60 * NM_PER_CM, 455 * NM_PER_CM // 10)


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"width": "24", "length": "18"}, "name", "Give the quilt a name."),
        ({"name": "x" * 121, "width": "24", "length": "18"}, "name", "Use at most 120 characters."),
        ({"name": "A"}, "width", "Say how large the centre is"),
        ({"name": "A", "width": "24"}, "length", "Give both the width and the length, or neither."),
        ({"name": "A", "printed_length": "24"}, "printed_width", "Give both"),
        (
            {"name": "A", "printed_seam": "1/2", "width": "9", "length": "9"},
            "printed_width",
            "Say how large the print is",
        ),
        ({"name": "A", "printed_width": "3", "printed_length": "9", "printed_seam": "1.9"}, "printed_seam", "takes up"),
        ({"name": "A", "printed_width": "9", "printed_length": "9", "width": "9", "length": "9"}, "width", "too small"),
        ({"name": "A", "width": "2 km", "length": "9"}, "width", "kilometre"),
        ({"name": "A", "width": "600 m", "length": "9"}, "width", "too much"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_the_rest_is_kept(
    signed_in: Client, typed: dict[str, str], field: str, sentence: str
) -> None:
    response = signed_in.post(reverse("plans:new"), typed | {"note": "For the blue room."})
    form = response.context["form"]
    assert sentence in " ".join(form.errors[field])
    page = words(response)
    assert "For the blue room." in page
    for value in typed.values():
        assert value in page
    assert not Plan.objects.exists()


@pytest.mark.parametrize("nonsense", NONSENSE.values(), ids=NONSENSE)
@pytest.mark.parametrize("field", ["panel", "printed_width", "printed_length", "printed_seam", "width", "length"])
@pytest.mark.parametrize("address", ["plans:new", "plans:new_live"])
def test_nonsense_is_refused_in_a_sentence_and_never_fells_the_page(
    signed_in: Client, address: str, field: str, nonsense: str
) -> None:
    good = {
        "name": "Tideline",
        "printed_width": "25",
        "printed_length": "19",
        "printed_seam": "1/2",
        "width": "24",
        "length": "18",
    }
    response = signed_in.post(reverse(address), good | {field: nonsense})
    if response.status_code == 302:  # a seam of nothing is a seam
        assert (field, nonsense) == ("printed_seam", "0")
        return
    assert response.status_code == 200
    assert "<script>alert" not in words(response)
    assert response.context["form"].errors or (field, nonsense) == ("printed_seam", "0")


def test_while_it_is_typed_the_finished_size_is_shown_and_nothing_is_kept(signed_in: Client) -> None:
    typed = {"printed_width": "25", "printed_length": "19", "printed_seam": "1/2"}
    response = signed_in.post(reverse("plans:new_live"), typed, headers={"HX-Request": "true"})
    page = words(response)
    assert "24 × 18 in" in page
    assert "Trim 1/4 in off each side of the panel." in page
    assert "<html" not in page
    assert not Plan.objects.exists()


def test_nobody_plans_without_signing_in(client: Client) -> None:
    assert client.get(reverse("plans:new")).status_code == 302
