"""The demonstration: what it shows, that it is sound, and that it goes without a trace."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db.models import Sum
from django.utils import timezone
from pytest_django import DjangoCaptureOnCommitCallbacks

from plans.models import CuttingSheet, Plan, ShoppingLine, Sitting
from plans.queries.worked import Worked, worked
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Movement, MovementLine, Piece
from tests.factories import inches
from tests.plans.quilts import cloth

pytestmark = pytest.mark.django_db


@pytest.fixture
def demo() -> Person:
    sentence = call_command("demo", stdout=StringIO())
    person = Person.objects.get(username="demo")
    assert "demo" in sentence
    return person


def test_it_shows_a_stash_and_two_quilts_at_different_stages(demo: Person) -> None:
    assert Fabric.objects.of(demo).count() == 15
    bought = MovementLine.objects.filter(movement__owner=demo, movement__kind=Movement.Kind.BOUGHT)
    assert bought.count() == 25
    assert not Fabric.objects.of(demo).filter(photo="").exists()
    medallion, pond = Plan.objects.of(demo).order_by("pk")
    assert all(isinstance(worked(plan), Worked) for plan in (medallion, pond))
    states = set(medallion.sheets.values_list("state", flat=True))
    assert states == {CuttingSheet.State.CUT, CuttingSheet.State.TO_CUT}
    assert pond.sheets.filter(state=CuttingSheet.State.DRAFT).exists()
    assert ShoppingLine.objects.of(demo).to_buy().get().plan == pond
    # The second quilt waits for an offcut of the first.
    assert Piece.objects.of(demo).expected().held().exists()
    # A month of sittings.
    days = Sitting.objects.of(demo).values_list("day", flat=True)
    today = timezone.localdate()
    assert len(days) >= 15
    assert min(days) <= today - timedelta(days=28)
    assert max(days) <= today


def test_its_ledger_is_true_and_it_is_loaded_once(demo: Person) -> None:
    sums = dict(MovementLine.objects.values_list("piece").annotate(total=Sum("change")))
    for piece in Piece.objects.of(demo):
        assert sums.get(piece.pk, 0) == int(piece.on_shelf)
    with pytest.raises(CommandError, match="there already"):
        call_command("demo")


def test_it_is_removed_without_a_trace_and_others_keep_theirs(
    demo: Person, friend: Person, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    kelp = cloth(friend, "Kelp", inches(42, 18))
    photos = [str(file.name) for fabric in Fabric.objects.of(demo) for file in (fabric.photo, fabric.thumbnail)]
    assert all(default_storage.exists(name) for name in photos)
    with django_capture_on_commit_callbacks(execute=True):
        call_command("demo", remove=True, stdout=StringIO())
    assert not Person.objects.filter(username="demo").exists()
    assert list(Fabric.objects.all()) == [kelp]
    assert Movement.objects.count() == 1
    assert not Hold.objects.exists()
    assert not Plan.objects.exists()
    assert not any(default_storage.exists(name) for name in photos)


def test_without_one_there_is_nothing_to_remove() -> None:
    with pytest.raises(CommandError, match="no demonstration"):
        call_command("demo", remove=True)
