"""What day it is, is what day it is where she is."""

from datetime import UTC, datetime

import pytest
from django.test import Client
from django.utils import timezone

from quiltbook.people.models import Person
from quiltbook.people.services import change_settings
from stash.models import Movement, Piece
from tests.stash.typing_in import errors, log

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _late_in_the_morning_at_greenwich(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: datetime(2025, 3, 9, 10, 30, tzinfo=UTC))


@pytest.mark.parametrize(
    ("time_zone", "day"), [("Pacific/Kiritimati", "2025-03-10"), ("UTC", "2025-03-09"), ("Pacific/Niue", "2025-03-08")]
)
def test_today_is_her_own_today(at_home: Client, owner: Person, time_zone: str, day: str) -> None:
    change_settings(owner=owner, changes={"time_zone": time_zone})

    assert at_home.get("/stash/log/").context["form"]["day"].value().isoformat() == day
    assert log(at_home, day=day).status_code == 302
    at_home.post(f"/stash/pieces/{Piece.objects.get().pk}/scrap/")
    assert {movement.day.isoformat() for movement in Movement.objects.all()} == {day}


def test_tomorrow_is_still_to_come(at_home: Client, owner: Person) -> None:
    change_settings(owner=owner, changes={"time_zone": "Pacific/Niue"})

    assert errors(log(at_home, day="2025-03-09")) == {"day": ["That day is still to come: check the date."]}
