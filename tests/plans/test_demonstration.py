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
from plans.models.plan import State
from plans.queries.money import plan_costs
from plans.queries.stages import sewing
from plans.queries.worked import Worked, worked
from quiltbook.people.models import Person
from stash.models import Fabric, Hold, Movement, MovementLine, Notion, NotionChange, Piece, ScrapBin
from tests.factories import inches
from tests.plans.quilts import cloth
from tests.plans.shown import demo

__all__ = ["demo"]

pytestmark = pytest.mark.django_db


def test_it_shows_forty_fabrics_in_seventy_pieces_each_with_a_picture(demo: Person) -> None:
    assert Fabric.objects.of(demo).count() == 40
    bought = MovementLine.objects.filter(movement__owner=demo, movement__kind=Movement.Kind.BOUGHT)
    found = MovementLine.objects.filter(movement__owner=demo, movement__kind=Movement.Kind.COUNTED)
    assert (bought.count(), found.count()) == (66, 4)
    assert not Fabric.objects.of(demo).filter(photo="").exists()
    assert set(Fabric.objects.of(demo).values_list("kind", flat=True)) >= {
        "cotton",
        "panel",
        "lawn",
        "linen",
        "flannel",
    }
    assert set(Fabric.objects.of(demo).values_list("value", flat=True)) == {"light", "medium", "dark"}
    assert set(Fabric.objects.of(demo).values_list("print_scale", flat=True)) == {"plain", "small", "medium", "large"}
    assert set(demo.tags.values_list("name", flat=True)) == {"grounds", "hedgerow", "water"}
    assert Movement.objects.of(demo).filter(kind=Movement.Kind.WASHED).count() == 5


def test_it_shows_three_quilts_one_half_sewn_one_waiting_one_finished(demo: Person) -> None:
    medallion, pond, hanging = (
        Plan.objects.of(demo).get(name=name) for name in ("Heron medallion", "Pond lap quilt", "Quince wall hanging")
    )
    assert all(isinstance(worked(plan), Worked) for plan in (medallion, pond, hanging))
    states = set(medallion.sheets.values_list("state", flat=True))
    assert states == {CuttingSheet.State.CUT, CuttingSheet.State.TO_CUT}
    assert pond.sheets.filter(state=CuttingSheet.State.DRAFT).exists()
    assert ShoppingLine.objects.of(demo).to_buy().get().plan == pond
    # The second quilt waits for an offcut of the first.
    assert Piece.objects.of(demo).expected().held().exists()
    # A month of sittings.
    days = Sitting.objects.of(demo).filter(stage__plan=medallion).values_list("day", flat=True)
    today = timezone.localdate()
    assert len(days) >= 15
    assert min(days) <= today - timedelta(days=28)
    assert max(days) <= today


def test_its_finished_quilt_is_cut_and_sewn_to_the_last_stitch_and_holds_nothing(demo: Person) -> None:
    plan = Plan.objects.of(demo).get(name="Quince wall hanging")
    assert (plan.state, plan.finished_on) == (State.FINISHED, timezone.localdate() - timedelta(days=155))
    assert set(plan.sheets.values_list("state", flat=True)) == {CuttingSheet.State.CUT}
    assert not any(sheet.uncut for sheet in plan.sheets.all())
    stages = sewing(plan=plan, work=worked(plan))
    assert [row.name for row in stages.rows if row.left] == []
    assert stages.minutes == 700
    assert not Hold.objects.live().filter(reason=plan.name).exists()
    [sum_] = plan_costs(plan=plan).all.sums
    assert (sum_.currency, sum_.amount > 10) == ("USD", True)


def test_nothing_in_it_lies_in_the_days_to_come_or_is_cut_before_it_was_bought(demo: Person) -> None:
    today = timezone.localdate()
    assert not Movement.objects.of(demo).filter(day__gt=today).exists()
    assert not NotionChange.objects.filter(notion__owner=demo, day__gt=today).exists()
    gone = MovementLine.objects.filter(movement__owner=demo, change=-1)
    for line in gone.select_related("movement", "piece__fabric"):
        came = MovementLine.objects.filter(piece=line.piece, change=1).earliest("pk")
        assert came.movement.day <= line.movement.day, line.piece.full_name


def test_it_keeps_notions_of_every_kind_and_a_bin_of_scraps_and_never_less_than_nothing_of_them(demo: Person) -> None:
    kinds = set(Notion.objects.of(demo).values_list("kind", flat=True))
    assert kinds == {"thread", "wadding", "papers", "templates", "glue", "needles", "spray"}
    left = dict(Notion.objects.of(demo).values_list("name").annotate(left=Sum("changes__change")))
    assert min(left.values()) >= 0
    assert left["Hexagons of 1 in"] == 102
    assert ScrapBin.objects.of(demo).get().changes.aggregate(grams=Sum("grams")) == {"grams": 132}


def test_its_ledger_is_true_and_it_is_loaded_once(demo: Person) -> None:
    sums = dict(MovementLine.objects.values_list("piece").annotate(total=Sum("change")))
    for piece in Piece.objects.of(demo):
        assert sums.get(piece.pk, 0) == int(piece.on_shelf)
    with pytest.raises(CommandError, match="there already"):
        call_command("demo")


def test_it_is_removed_without_a_trace_and_others_keep_theirs(
    demo: Person, friend: Person, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    """The last of the file: the rows come back after it, the pictures do not."""
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
    assert not Notion.objects.exists()
    assert not ScrapBin.objects.exists()
    assert not any(default_storage.exists(name) for name in photos)
    with pytest.raises(CommandError, match="no demonstration"):
        call_command("demo", remove=True)
