"""A fabric's page: what it is, what there is of it, what happened to it, and a way back from each of those."""

import pytest
from django.test import Client

from stash.models import Fabric, Movement, Piece
from stash.services import cloth, holds, ledger, offcuts
from tests.factories import NOW, TODAY, FabricFactory, bought, inches
from tests.stash.typing_in import FACTS, errors, plain, words

pytestmark = pytest.mark.django_db


def test_it_says_what_the_cloth_is(at_home: Client, owner: object) -> None:
    panel = FabricFactory.create(
        owner=owner,
        name="Heron",
        kind="panel",
        print_direction="one way",
        printed=inches(23.5, 17.5),
        printed_seam=6_350_000,
        note="From the coast",
    )

    page = words(at_home.get(f"/stash/{panel.pk}/"))

    for fact in ("Printed panel", "42 in", "One way up only", "23 1/2 × 17 1/2 in", "1/4 in seam", "From the coast"):
        assert fact in page


def test_every_piece_says_its_size_its_place_and_where_it_stands(at_home: Client, kelp: Fabric) -> None:
    _, held = bought(kelp, [inches(42, 36), inches(21, 18)], place="Blue box")
    holds.hold(pieces=[held], reason="Tide medallion", link="/plans/7/", now=NOW)
    offcuts.expect(fabric=kelp, sizes=[inches(8, 30)])

    page = words(at_home.get(f"/stash/{kelp.pk}/"))

    assert "42 × 36 in" in page
    assert 'Held for <a href="/plans/7/">Tide medallion</a>' in page
    assert page.count("Blue box</p>") == 2
    assert page.count("Expected from cutting") == 1
    assert page.count(">Free<") == 1
    assert "1.17 sq yd" in page
    assert "free to use, 0.29 sq yd held by plans, 0.19 sq yd to come from cutting" in page


def test_its_history_is_told_in_sentences_newest_first(at_home: Client, piece: Piece) -> None:
    cloth.move(piece=piece, place="Table", day=TODAY, now=NOW)
    cloth.wash(piece=piece, measured=inches(41, 35), day=TODAY, now=NOW)
    cloth.give_away(piece=Piece.objects.get(number=2), day=TODAY, now=NOW, note="To Bea")

    rows = at_home.get(f"/stash/{piece.fabric_id}/").context["history"]

    assert [plain(row.sentence) for row in rows] == [
        "Gave away no. 2 (41 × 35 in).",
        "Washed no. 1 (42 × 36 in); it is now no. 2 (41 × 35 in).",
        "Moved no. 1 (42 × 36 in) from Blue box to Table.",
        "Bought no. 1 (42 × 36 in).",
    ]
    assert rows[0].note == "To Bea"
    assert [row.undoable for row in rows] == [True, False, False, False]


def test_undo_takes_the_deed_back_and_can_itself_be_taken_back(at_home: Client, piece: Piece) -> None:
    scrapped = cloth.scrap(piece=piece, day=TODAY, now=NOW)

    response = at_home.post(f"/stash/movements/{scrapped.pk}/undo/", follow=True)
    assert Piece.objects.on_shelf().get() == piece
    assert "Kelp: undid: scrapped no. 1 (42 × 36 in)." in words(response)

    back = Movement.objects.latest("pk")
    assert f'action="/stash/movements/{back.pk}/undo/"' in words(response)
    response = at_home.post(f"/stash/movements/{back.pk}/undo/", follow=True)
    assert not Piece.objects.on_shelf().exists()
    assert "Kelp: did again: scrapped no. 1 (42 × 36 in)." in words(response)
    assert [row.undone for row in response.context["history"]] == [False, True, False, False]


def test_an_undo_that_is_refused_says_why(at_home: Client, piece: Piece) -> None:
    purchase = Movement.objects.get()
    cloth.move(piece=piece, place="Table", day=TODAY, now=NOW)

    response = at_home.post(f"/stash/movements/{purchase.pk}/undo/", follow=True)

    assert "Kelp no. 1 has been moved or cut since, so this can no longer be undone." in words(response)
    assert Piece.objects.on_shelf().get() == piece


def test_a_hold_that_stands_in_the_way_of_an_undo_is_named_beforehand(at_home: Client, piece: Piece) -> None:
    holds.hold(pieces=[piece], reason="Tide medallion", link="/plans/7/", now=NOW)

    [row] = at_home.get(f"/stash/{piece.fabric_id}/").context["history"]

    assert (row.undoable, row.why_not) == (False, "Kelp no. 1 is held for Tide medallion: release it there first.")


def test_what_a_plan_recorded_leads_to_the_plan_and_is_not_undone_here(at_home: Client, piece: Piece) -> None:
    cut = ledger.record(
        owner=piece.owner, kind=Movement.Kind.CUT, day=TODAY, now=NOW, leaving=[piece], link="/plans/7/cutting/"
    )

    page = words(at_home.get(f"/stash/{piece.fabric_id}/"))
    assert 'href="/plans/7/cutting/"' in page
    assert f"/stash/movements/{cut.pk}/undo/" not in page

    refused = at_home.post(f"/stash/movements/{cut.pk}/undo/", follow=True)
    assert "done on a plan&#x27;s page: undo it there" in words(refused)


def test_all_of_it_can_be_put_in_one_place_at_once(at_home: Client, kelp: Fabric) -> None:
    bought(kelp, [inches(1, 1)] * 3)

    response = at_home.post(f"/stash/{kelp.pk}/", {"place": "Drawer"}, follow=True)

    assert set(Piece.objects.values_list("place", flat=True)) == {"Drawer"}
    assert "Kelp: moved no. 1 (1 × 1 in), no. 2 (1 × 1 in) and no. 3 (1 × 1 in) to Drawer." in words(response)


def test_what_is_said_of_a_cloth_can_be_changed(at_home: Client, kelp: Fabric) -> None:
    form = at_home.get(f"/stash/{kelp.pk}/edit/").context["form"]
    said = {name: form[name].value() or "" for name in form.fields if name != "photo"}
    assert said["usable_width"] == "42 in"

    said |= {"name": "Kelp leaf", "kind": "lawn", "usable_width": "107 cm", "picked": "#112233", "note": "Lovely"}
    response = at_home.post(f"/stash/{kelp.pk}/edit/", said)

    assert response.headers["Location"] == f"/stash/{kelp.pk}/"
    kelp.refresh_from_db()
    assert (kelp.name, kelp.kind, kelp.usable_width, kelp.colour, kelp.note) == (
        "Kelp leaf",
        "lawn",
        1_070_000_000,
        "#112233",
        "Lovely",
    )


def test_an_edit_that_changes_nothing_changes_nothing(at_home: Client, owner: object) -> None:
    """Not even a width that is no whole number of her own units."""
    metric = FabricFactory.create(owner=owner, usable_width=1_085_000_001, colour="#123456")
    before = Fabric.objects.values().get()

    form = at_home.get(f"/stash/{metric.pk}/edit/").context["form"]
    said = {name: form[name].value() or "" for name in form.fields if name != "photo"}
    at_home.post(f"/stash/{metric.pk}/edit/", said)

    assert Fabric.objects.values().get() == before


def test_it_cannot_take_the_name_of_another(at_home: Client, kelp: Fabric) -> None:
    FabricFactory.create(owner=kelp.owner, name="Reed")

    assert errors(at_home.post(f"/stash/{kelp.pk}/edit/", {**FACTS, "name": "REED"})) == {
        "name": ["You have a fabric called Reed already."]
    }
    assert at_home.post(f"/stash/{kelp.pk}/edit/", {**FACTS, "name": "KELP"}).status_code == 302


def test_more_of_it_is_logged_on_a_page_of_its_own(at_home: Client, piece: Piece) -> None:
    response = at_home.post(
        f"/stash/{piece.fabric_id}/more/",
        {"amount": "fat quarter", "came": "bought", "price": "", "currency": "EUR", "day": "2024-11-01", "place": ""},
    )

    assert response.headers["Location"] == f"/stash/{piece.fabric_id}/"
    assert [p.size for p in Piece.objects.on_shelf()] == [inches(42, 36), inches(21, 18)]
