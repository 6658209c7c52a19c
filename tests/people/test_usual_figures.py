"""Has everybody usual figures, are they the trade's to begin with, and does the database refuse nonsense?"""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from quiltbook.measures import System, read_length
from quiltbook.people.models import Person, Settings
from quiltbook.people.services import change_settings, sign_up
from quiltbook.people.usual import MAY_BE_NOTHING, USUAL
from tests.factories import PASSWORD

# The trade's common figures; where authorities differ, the one most of them give.
INCHES = {
    "usable_width": "42 in",
    "seam_allowance": "1/4 in",
    "cutting_step": "1/8 in",
    "backing_overage": "3 in",
    "wadding_overage": "3 in",
    "backing_seam": "1/2 in",
    "binding_strip": "2 1/2 in",
    "binding_extra": "12 in",
    "mitre_extra": "4 in",
    "turn_allowance": "3/8 in",
    "fat_quarter_width": "21 in",
    "fat_quarter_length": "18 in",
    "least_offcut": "2 in",
    "shop_step": "1/8 yd",
}
METRIC = {
    "usable_width": "107 cm",
    "seam_allowance": "0.75 cm",
    "cutting_step": "1 mm",
    "backing_overage": "8 cm",
    "wadding_overage": "8 cm",
    "backing_seam": "1 cm",
    "binding_strip": "6.5 cm",
    "binding_extra": "30 cm",
    "mitre_extra": "10 cm",
    "turn_allowance": "1 cm",
    "fat_quarter_width": "55 cm",
    "fat_quarter_length": "50 cm",
    "least_offcut": "5 cm",
    "shop_step": "10 cm",
}


@pytest.mark.parametrize(("system", "texts"), [(System.INCHES, INCHES), (System.METRIC, METRIC)])
@pytest.mark.django_db
def test_a_new_person_starts_from_the_usual_figures_of_her_system(system: System, texts: dict[str, str]) -> None:
    settings = sign_up(username="dora", password=PASSWORD, system=system).settings
    settings.refresh_from_db()
    assert {name: getattr(settings, name) for name in texts} == {
        name: read_length(text, system=system) for name, text in texts.items()
    }
    assert set(texts) == set(USUAL[system])


@pytest.mark.django_db
def test_nobody_is_without_settings_however_she_was_made() -> None:
    made = [
        Person.objects.create_user("one", password=PASSWORD),
        Person.objects.create_superuser("two", password=PASSWORD),
        Person.objects.create(username="three"),
    ]
    for person in made:
        person.save()
        assert Settings.objects.get(person=person) == Person.objects.get(pk=person.pk).settings
    assert Settings.objects.count() == 3


@pytest.mark.parametrize("name", sorted(USUAL[System.INCHES]))
def test_the_database_takes_no_length_of_nothing_where_nothing_makes_no_sense(owner: Person, name: str) -> None:
    own = Settings.objects.filter(person=owner)
    own.update(**{name: 1})
    if name in MAY_BE_NOTHING:
        own.update(**{name: 0})
    else:
        with pytest.raises(IntegrityError), transaction.atomic():
            own.update(**{name: 0})
    with pytest.raises(IntegrityError), transaction.atomic():
        own.update(**{name: -1})


@pytest.mark.parametrize(
    ("good", "bad"),
    [({"hours_a_week": 0}, {"hours_a_week": -1}), ({"hours_a_week": 168}, {"hours_a_week": Decimal("168.1")}),
     ({"system": "metric"}, {"system": "cubits"})],
)  # fmt: skip
def test_the_database_keeps_hours_within_a_week_and_systems_to_two(
    owner: Person, good: dict[str, object], bad: dict[str, object]
) -> None:
    own = Settings.objects.filter(person=owner)
    own.update(**good)
    with pytest.raises(IntegrityError), transaction.atomic():
        own.update(**bad)


def test_a_change_that_breaks_a_rule_writes_nothing(owner: Person) -> None:
    with pytest.raises(ValidationError):
        change_settings(owner=owner, changes={"usable_width": 1_000, "seam_allowance": 0})
    assert Settings.objects.get(person=owner).usable_width == USUAL[System.INCHES]["usable_width"]


def test_one_person_s_change_leaves_another_s_figures_alone(owner: Person, friend: Person) -> None:
    change_settings(owner=owner, changes={"usable_width": 1_000_000_000})
    assert Settings.objects.get(person=friend).usable_width == USUAL[System.INCHES]["usable_width"]
    assert owner.settings.usable_width == 1_000_000_000
