"""Does the settings page take what she types in her own words, refuse what it cannot, and lose nothing?"""

import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_64TH, NM_PER_CM, NM_PER_INCH, System
from quiltbook.people.forms import GROUPS, SettingsForm
from quiltbook.people.models import Person, Settings
from quiltbook.people.usual import USUAL

HTMX = {"HX-Request": "true"}


def as_sent(client: Client, **changed: str) -> dict[str, str]:
    """What a browser would send from the page as it stands, with only what is named typed over."""
    form = client.get(reverse("people:settings")).context["form"]
    return {name: str(form[name].value()) for name in form.fields} | changed


def figures(person: Person) -> dict[str, object]:
    return dict(Settings.objects.filter(person=person).values().get())


def test_saving_the_page_as_it_stands_changes_nothing(at_home: Client, owner: Person) -> None:
    before = figures(owner)
    answer = at_home.post(reverse("people:settings"), as_sent(at_home), follow=True)
    assert "Saved." in answer.text
    assert figures(owner) == before


@pytest.mark.parametrize(
    ("typed", "nm"),
    [
        ("44", 44 * NM_PER_INCH),
        ("43 1/2", 87 * NM_PER_INCH // 2),
        ('42 3/8"', 42 * NM_PER_INCH + 24 * NM_PER_64TH),
        ("110 cm", 110 * NM_PER_CM),
        ("1,12 m", 112 * NM_PER_CM),
        ("1 yd 9 in", 45 * NM_PER_INCH),
        ("  42½ in ", 85 * NM_PER_INCH // 2),
    ],
)
def test_a_length_is_taken_however_she_says_it(at_home: Client, owner: Person, typed: str, nm: int) -> None:
    at_home.post(reverse("people:settings"), as_sent(at_home, usable_width=typed))
    assert Settings.objects.get(person=owner).usable_width == nm


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "wide",
        "0",
        "-3 in",
        "2 km",
        "6 m",
        "3 kg",
        "1/0",
        "9**9**9 m",
        "🧵",
        "<script>alert(1)</script>",
        "4" * 10_000,
    ],
)
def test_a_length_that_will_not_do_is_refused_at_its_field_and_nothing_typed_is_lost(
    at_home: Client, owner: Person, typed: str
) -> None:
    before = figures(owner)
    sent = as_sent(at_home, usable_width=typed, hours_a_week="4,5", currency="NOK", seam_allowance="3/8")
    answer = at_home.post(reverse("people:settings"), sent)
    assert answer.status_code == 200
    form = answer.context["form"]
    assert list(form.errors) == ["usable_width"]
    (sentence,) = form.errors["usable_width"]
    assert re.fullmatch(r"[A-Z“].{10,}\.", sentence)
    assert {name: form[name].value() for name in sent} == sent
    assert 'aria-describedby="id_usable_width_helptext id_usable_width_error"' in answer.text
    assert "<script>alert" not in answer.text
    assert figures(owner) == before


@pytest.mark.parametrize("name", [name for names in GROUPS.values() for name in names])
def test_every_length_has_a_most_that_makes_sense(name: str) -> None:
    form = SettingsForm({name: "900 m"}, system=System.METRIC)
    assert str(form.errors[name][0]).startswith("That is too much here: at most ")


@pytest.mark.parametrize(
    ("typed", "kept"), [("0", Decimal(0)), ("2.5", Decimal("2.5")), ("2,5", Decimal("2.5")), ("168", Decimal(168))]
)
def test_hours_a_week_may_have_a_point_or_a_comma(at_home: Client, owner: Person, typed: str, kept: Decimal) -> None:
    at_home.post(reverse("people:settings"), as_sent(at_home, hours_a_week=typed))
    assert Settings.objects.get(person=owner).hours_a_week == kept


@pytest.mark.parametrize("typed", ["-1", "169", "many", "1e9", "NaN", "1e999999", "2.55", "🧵", "9" * 10_000])
def test_hours_that_no_week_has_are_refused_as_typed(at_home: Client, typed: str) -> None:
    answer = at_home.post(reverse("people:settings"), as_sent(at_home, hours_a_week=typed))
    form = answer.context["form"]
    assert list(form.errors) == ["hours_a_week"]
    assert form["hours_a_week"].value() == typed


def test_another_system_is_offered_with_its_usual_figures_and_nothing_is_kept_yet(
    at_home: Client, owner: Person
) -> None:
    before = figures(owner)
    answer = at_home.get(reverse("people:settings"), {"system": "metric"})
    assert answer.context["form"]["usable_width"].value() == "107 cm"
    assert "Nothing is kept until you save." in answer.text
    assert figures(owner) == before


def test_the_offer_comes_as_a_part_of_the_page_where_only_that_is_asked_for(at_home: Client) -> None:
    part = at_home.get(reverse("people:settings"), {"system": "metric"}, headers=HTMX)
    assert part.text.lstrip().startswith('<div id="figures"')
    assert "<html" not in part.text
    assert "HX-Request" in part["Vary"]


def test_without_a_script_the_usual_figures_are_filled_in_and_the_rest_stays_as_typed(
    at_home: Client, owner: Person
) -> None:
    before = figures(owner)
    sent = as_sent(at_home, system="metric", currency="NOK", hours_a_week="7", usual="yes")
    form = at_home.post(reverse("people:settings"), sent).context["form"]
    assert form["binding_strip"].value() == "6.5 cm"
    assert (form["currency"].value(), form["hours_a_week"].value()) == ("NOK", "7")
    assert figures(owner) == before


def test_her_own_figures_can_be_kept_in_another_system(at_home: Client, owner: Person) -> None:
    form = at_home.get(reverse("people:settings"), {"system": "metric", "mine": ""}).context["form"]
    assert form["usable_width"].value() == "106.68 cm"
    sent = {name: str(form[name].value()) for name in form.fields}
    at_home.post(reverse("people:settings"), sent)
    settings = Settings.objects.get(person=owner)
    assert settings.measures is System.METRIC
    assert {name: getattr(settings, name) for name in USUAL[System.INCHES]} == USUAL[System.INCHES]


@given(
    system=st.sampled_from(list(System)),
    nm=st.one_of(
        st.integers(1, 64 * 40).map(lambda n: n * NM_PER_64TH),
        st.integers(1, 100_000).map(lambda n: n * 10_000),
        st.integers(1, 1_000_000_000),
    ),
)
def test_any_length_shown_reads_back_as_itself_in_either_system(system: System, nm: int) -> None:
    field = SettingsForm(system=system, initial={"binding_extra": nm})["binding_extra"]
    assert field.field.clean(field.value()) == nm


def test_what_a_friend_saves_is_the_friend_s(at_home: Client, owner: Person, friend: Person) -> None:
    before = figures(owner)
    friend_at_home = Client()
    friend_at_home.force_login(friend)
    friend_at_home.post(reverse("people:settings"), as_sent(friend_at_home, usable_width="40"))
    assert Settings.objects.get(person=friend).usable_width == 40 * NM_PER_INCH
    assert figures(owner) == before


def test_she_says_whose_words_she_reads(at_home: Client, owner: Person) -> None:
    page = at_home.post(reverse("people:settings"), as_sent(at_home, words="us"), follow=True).text
    assert Settings.objects.get(person=owner).words == "us"
    assert "selvages off" in page
    assert "Batting beyond the top" in page
    page = at_home.post(reverse("people:settings"), as_sent(at_home, words="uk"), follow=True).text
    assert "selvedges off" in page
    assert "Wadding beyond the top" in page


def test_words_of_neither_side_are_refused_at_their_field(at_home: Client, owner: Person) -> None:
    answer = at_home.post(reverse("people:settings"), as_sent(at_home, words="fr"))
    assert list(answer.context["form"].errors) == ["words"]
    assert Settings.objects.get(person=owner).words == "uk"
