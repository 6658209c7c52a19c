"""Scraps by weight: bins, what goes in and out, pieces scrapped into them, and cloth reckoned from grams."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from quiltbook.measures import System
from quiltbook.people.models import Person
from stash.forms.scraps import WeightField
from stash.models import Movement, Piece, ScrapBin, ScrapChange
from stash.models.ledger import AppendOnlyError
from stash.queries.scraps import area_of, bin_history, grams_in, one_bin, show_weight
from stash.services import scraps
from stash.services.errors import StashError
from tests.factories import NOW, TODAY
from tests.stash.typing_in import errors, words

pytestmark = pytest.mark.django_db
WHEN: dict[str, Any] = {"day": TODAY, "now": NOW}
METRIC, INCHES = System.METRIC, System.INCHES


@pytest.fixture
def blues(owner: Person) -> ScrapBin:
    """A bin of quilting cotton of 140 g to the square metre."""
    return scraps.add_bin(owner=owner, name="Blues", grams_per_m2=140, now=NOW)


def test_what_is_put_in_taken_out_and_weighed_adds_up(blues: ScrapBin) -> None:
    scraps.put_in(scrap_bin=blues, grams=300, **WHEN)
    scraps.take_out(scrap_bin=blues, grams=120, **WHEN)
    assert grams_in(blues) == 180
    weighed = scraps.weigh(scrap_bin=blues, grams=175, **WHEN)
    assert (weighed.grams, grams_in(blues)) == (-5, 175)


def test_more_than_is_written_down_cannot_be_taken_out(blues: ScrapBin) -> None:
    scraps.put_in(scrap_bin=blues, grams=100, **WHEN)
    with pytest.raises(StashError, match="weigh it first"):
        scraps.take_out(scrap_bin=blues, grams=101, **WHEN)
    assert grams_in(blues) == 100


def test_the_area_is_grams_by_what_a_square_metre_weighs_and_said_to_be_reckoned(blues: ScrapBin) -> None:
    """280 g at 140 g/m² are 2 m²: 2 / 0.9144² = 2.39 square yards."""
    scraps.put_in(scrap_bin=blues, grams=280, **WHEN)
    assert area_of(280, 140) == 2_000_000
    row = one_bin(owner=blues.owner, bin_id=blues.pk, system=METRIC)
    assert row.area_words == "about 2 m² of cloth, reckoned by weight"
    row = one_bin(owner=blues.owner, bin_id=blues.pk, system=INCHES)
    assert (row.weight, row.area_words) == ("9.9 oz", "about 2.39 sq yd of cloth, reckoned by weight")


def test_a_change_is_undone_by_its_opposite_once_and_can_be_done_again(blues: ScrapBin) -> None:
    put = scraps.put_in(scrap_bin=blues, grams=90, **WHEN)
    undone = scraps.reverse(change=put, **WHEN)
    assert grams_in(blues) == 0
    with pytest.raises(StashError, match="undone already"):
        scraps.reverse(change=put, **WHEN)
    scraps.reverse(change=undone, **WHEN)
    assert grams_in(blues) == 90
    told = [row.sentence for row in bin_history(bin_id=blues.pk, system=METRIC)]
    assert told == ["Did again: put 90 g in.", "Undid: put 90 g in.", "Put 90 g in."]


def test_what_was_weighed_is_the_truth_so_nothing_before_it_is_undone(blues: ScrapBin) -> None:
    put = scraps.put_in(scrap_bin=blues, grams=90, **WHEN)
    weighed = scraps.weigh(scrap_bin=blues, grams=50, **WHEN)
    with pytest.raises(StashError, match="weighed since"):
        scraps.reverse(change=put, **WHEN)
    scraps.reverse(change=weighed, **WHEN)
    scraps.reverse(change=put, **WHEN)
    assert grams_in(blues) == 0


def test_what_was_taken_out_since_cannot_be_undone_into_less_than_nothing(blues: ScrapBin) -> None:
    put = scraps.put_in(scrap_bin=blues, grams=90, **WHEN)
    scraps.take_out(scrap_bin=blues, grams=60, **WHEN)
    with pytest.raises(StashError, match="taken out"):
        scraps.reverse(change=put, **WHEN)


def test_a_piece_scrapped_into_a_bin_weighs_by_its_area_and_comes_back_with_it(blues: ScrapBin, piece: Piece) -> None:
    movement = scraps.scrap_piece(piece=piece, scrap_bin=blues, **WHEN)
    grams = round(piece.area_mm2 * 140 / 1_000_000)
    assert grams_in(blues) == grams > 0
    reversal = scraps.undo(movement=movement, **WHEN)
    piece.refresh_from_db()
    assert (piece.on_shelf, grams_in(blues)) == (True, 0)
    scraps.undo(movement=reversal, **WHEN)
    piece.refresh_from_db()
    assert (piece.on_shelf, grams_in(blues)) == (False, grams)


def test_the_fabrics_own_weight_counts_before_the_bins(blues: ScrapBin, piece: Piece) -> None:
    piece.fabric.grams_per_m2 = 280
    assert scraps.weighs(piece, blues) == round(piece.area_mm2 * 280 / 1_000_000)


def test_undoing_the_scrapping_leaves_a_bin_that_was_weighed_since_alone(blues: ScrapBin, piece: Piece) -> None:
    movement = scraps.scrap_piece(piece=piece, scrap_bin=blues, **WHEN)
    scraps.weigh(scrap_bin=blues, grams=33, **WHEN)
    scraps.undo(movement=movement, **WHEN)
    assert grams_in(blues) == 33


def test_a_scrapped_piece_is_undone_with_the_piece_alone(blues: ScrapBin, piece: Piece) -> None:
    scraps.scrap_piece(piece=piece, scrap_bin=blues, **WHEN)
    with pytest.raises(StashError, match="on the piece's page"):
        scraps.reverse(change=ScrapChange.objects.get(), **WHEN)


def test_changes_are_only_ever_added_in_the_database_too(blues: ScrapBin) -> None:
    change = scraps.put_in(scrap_bin=blues, grams=5, **WHEN)
    change.grams = 6
    with pytest.raises(AppendOnlyError):
        change.save()
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute("UPDATE stash_scrapchange SET grams = 6")


@pytest.mark.parametrize(
    ("typed", "system", "grams"),
    [
        ("250", METRIC, 250),
        ("250 g", INCHES, 250),
        ("1,2 kg", METRIC, 1200),
        ("9 oz", METRIC, 255),  # 255.1457
        ("9½", INCHES, 269),  # 269.3205
        ("1 lb 3 oz", INCHES, 539),  # 453.59237 + 85.04857
        ("2 1/2 lb", INCHES, 1134),
    ],
)
def test_weights_are_read_in_grams_and_ounces(typed: str, system: System, grams: int) -> None:
    assert WeightField(system=system).clean(typed) == grams


@pytest.mark.parametrize(
    "typed",
    ["", "heavy", "3 m", "-5 g", "0", "1/0 oz", "3 oz 1 lb", "1 lb 3", "9" * 5000, "200 kg", "1 x", "🧵", "1\x00g"],
)
def test_what_is_no_weight_is_refused_with_a_sentence(typed: str) -> None:
    with pytest.raises(ValidationError) as refused:
        WeightField(system=METRIC).clean(typed)
    assert refused.value.messages[0].endswith((".", "g"))


def test_a_weight_shown_in_ounces_reads_back_to_half_a_tenth_of_one() -> None:
    field = WeightField(system=INCHES)
    for grams in range(1, 2000):
        back = field.clean(show_weight(grams, system=INCHES))
        assert abs(back - grams) <= 2  # 0.05 oz are 1.42 g, and a gram is rounded to
        assert grams > 28 or back == grams


def test_bins_are_added_filled_and_emptied_on_their_pages(at_home: Client, owner: Person) -> None:
    added = at_home.post("/stash/scraps/", {"name": "Reds", "place": "Window", "grams_per_m2": "140"}, follow=True)
    reds = ScrapBin.objects.get(owner=owner)
    assert added.redirect_chain[-1][0] == f"/stash/scraps/{reds.pk}/"
    here = f"/stash/scraps/{reds.pk}/"
    said = {"grams": "9 oz", "day": "2024-11-25", "note": "Off the curtains"}
    shown = words(at_home.post(f"{here}put-in/", said, follow=True))
    assert "put 9 oz in" in shown
    assert "about" in shown
    assert "reckoned by weight" in shown
    assert "Off the curtains" in shown
    undone = at_home.post(f"/stash/scraps/changes/{ScrapChange.objects.get().pk}/undo/", follow=True)
    assert "It is empty." in words(undone)
    weighed = words(at_home.post(f"{here}weigh/", {"grams": "0", "day": "2024-11-25"}, follow=True))
    assert "as written down" in weighed
    assert "Window" in words(at_home.get("/stash/scraps/"))


def test_a_wrong_weight_is_told_at_its_field_with_nothing_lost(at_home: Client, blues: ScrapBin) -> None:
    response = at_home.post(
        f"/stash/scraps/{blues.pk}/take-out/", {"grams": "5 oz", "day": "2024-11-25", "note": "For a cushion"}
    )
    [act] = [each for each in response.context["acts"] if each["tried"]]
    assert "weigh it first" in act["form"].errors["grams"][0]
    assert "For a cushion" in words(response)
    again = at_home.post("/stash/scraps/", {"name": "Blues", "grams_per_m2": "140"})
    assert errors(again) == {"name": ["You have a bin called Blues already."]}
    light = at_home.post(f"/stash/scraps/{blues.pk}/edit/", {"name": "Blues", "grams_per_m2": "3"})
    assert "blow away" in errors(light)["grams_per_m2"][0]


def test_a_piece_goes_into_a_bin_from_its_own_page_and_undo_brings_both_back(
    at_home: Client, blues: ScrapBin, piece: Piece
) -> None:
    said = {"scrap_bin": str(blues.pk), "note": ""}
    at_home.post(f"/stash/pieces/{piece.pk}/scrap/", said)
    assert grams_in(blues) > 0
    page = words(at_home.get(f"/stash/scraps/{blues.pk}/"))
    assert "Scrapped a piece" in page
    assert piece.full_name in page
    at_home.post(f"/stash/movements/{Movement.objects.latest('pk').pk}/undo/")
    piece.refresh_from_db()
    assert (piece.on_shelf, grams_in(blues)) == (True, 0)


def test_without_bins_a_piece_is_scrapped_as_ever_and_another_persons_bin_is_none(
    at_home: Client, piece: Piece, stranger: Person
) -> None:
    theirs = scraps.add_bin(owner=stranger, name="Theirs", grams_per_m2=140, now=NOW)
    assert 'name="scrap_bin"' not in words(at_home.get(f"/stash/pieces/{piece.pk}/"))
    scraps.add_bin(owner=piece.owner, name="Mine", grams_per_m2=140, now=NOW)
    refused = at_home.post(f"/stash/pieces/{piece.pk}/scrap/", {"scrap_bin": str(theirs.pk)})
    assert "Choose a bin from the list." in words(refused)
    at_home.post(f"/stash/pieces/{piece.pk}/scrap/", {"scrap_bin": ""})
    piece.refresh_from_db()
    assert not piece.on_shelf
    assert not ScrapChange.objects.exists()


def test_another_persons_bin_is_not_there(client: Client, blues: ScrapBin, stranger: Person) -> None:
    change = scraps.put_in(scrap_bin=blues, grams=5, **WHEN)
    client.force_login(stranger)
    assert client.get(f"/stash/scraps/{blues.pk}/").status_code == 404
    assert client.get(f"/stash/scraps/{blues.pk}/edit/").status_code == 404
    for act in ("put-in", "take-out", "weigh"):
        assert client.post(f"/stash/scraps/{blues.pk}/{act}/", {"grams": "1"}).status_code == 404
    assert client.post(f"/stash/scraps/changes/{change.pk}/undo/").status_code == 404
    assert grams_in(blues) == 5


def test_the_list_reads_as_often_for_many_bins_as_for_few(at_home: Client, owner: Person) -> None:
    counts = []
    for many in (2, 8):
        for n in range(many):
            each = scraps.add_bin(owner=owner, name=f"Bin {many} {n}", grams_per_m2=140, now=NOW + timedelta(minutes=n))
            scraps.put_in(scrap_bin=each, grams=10 + n, **WHEN)
        with CaptureQueriesContext(connection) as asked:
            at_home.get("/stash/scraps/")
        counts.append(len(asked))
    assert counts[0] == counts[1]
