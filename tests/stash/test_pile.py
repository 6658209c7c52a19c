"""A pile of cloth is logged by its photos, and filled in one after another."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings as site
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from plans.models import ShoppingLine
from quiltbook.people.models import Person
from quiltbook.web import clock
from stash.models import Fabric, Movement, Photo, Piece
from stash.services import pile
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, inches
from tests.photographs import HEIC, SIDEWAYS, exif_of_a_phone, opened, photograph, says_nothing_of_its_maker, stored_in
from tests.stash.typing_in import errors, words

pytestmark = pytest.mark.django_db

FILLED = {"name": "Kelp", "amount": "1 1/2 yd", "place": "Blue box", "kind": "cotton", "usable_width": "42 in", "print_direction": "any"}  # fmt: skip


@pytest.fixture(autouse=True)
def _this_day(settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.MEDIA_ROOT = tmp_path
    monkeypatch.setattr(clock, "today", lambda _zone: TODAY)


def sent(name: str, data: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, "image/jpeg")


def waiting(owner: Person) -> list[str]:
    return list(Fabric.objects.of(owner).filter(to_fill_in=True).order_by("pk").values_list("name", flat=True))


def logged(owner: Person, count: int = 1) -> list[Fabric]:
    whole = photograph("WEBP")
    return [pile.log_photo(owner=owner, photo=whole, day=TODAY, now=NOW) for _ in range(count)]


def test_each_photo_of_a_pile_becomes_a_fabric_and_the_bad_ones_are_named(at_home: Client, owner: Person) -> None:
    page = at_home.post(
        "/stash/pile/",
        {
            "photos": [
                sent("a.jpg", photograph(exif=exif_of_a_phone(SIDEWAYS))),
                sent("../../etc/b<b>.txt", b"no picture"),
                sent("IMG_1.HEIC", HEIC),
                sent("c.jpg", b""),
            ]
        },
        follow=True,
    )

    assert waiting(owner) == ["Photo 1 of 25 November", "Photo 2 of 25 November"]
    assert "2 photos are kept" in words(page)
    assert "b&lt;b&gt;.txt: That is not a photo we can read." in words(page)
    assert "c.jpg: That file is empty." in words(page)
    assert "etc" not in words(page)
    for photo in Photo.objects.all():
        assert all(says_nothing_of_its_maker(stored_in(file)) for file in (photo.whole, photo.medium, photo.small))
        assert photo.height > photo.width


def test_the_numbers_go_on_where_they_stopped(owner: Person) -> None:
    FabricFactory.create(owner=owner, name="Photo 7 of 25 November")
    FabricFactory.create(owner=owner, name="Photo 9 of 24 November")

    [fabric] = logged(owner)

    assert fabric.name == "Photo 8 of 25 November"


def test_the_colour_comes_from_the_photo(owner: Person) -> None:
    [fabric] = logged(owner)

    fabric.refresh_from_db()
    red, green, blue = bytes.fromhex(fabric.colour[1:])
    assert max(red, blue) > 3 * green
    assert not fabric.colour_by_hand


@pytest.mark.parametrize(
    ("files", "sentence"),
    [
        ([], "Choose one photo or more."),
        ([sent("x.gif", photograph("GIF"))], "x.gif: That is not a photo we can read."),
        ([sent(f"{n}.jpg", b"x") for n in range(31)], "Choose at most 30 photos at a time: that was 31."),
    ],
    ids=["none", "a gif", "too many"],
)
def test_a_pile_without_a_good_photo_changes_nothing_and_says_why(
    at_home: Client, owner: Person, files: list[SimpleUploadedFile], sentence: str
) -> None:
    response = at_home.post("/stash/pile/", {"photos": files})

    assert errors(response)["photos"][0].startswith(sentence)
    assert waiting(owner) == []


def test_a_script_sends_them_alone_and_is_told_of_each(at_home: Client, owner: Person) -> None:
    good = at_home.post("/stash/pile/", {"photos": sent("a.jpg", photograph()), "alone": "yes"})
    bad = at_home.post("/stash/pile/", {"photos": sent("b.txt", b"no picture"), "alone": "yes"})
    none = at_home.post("/stash/pile/", {"alone": "yes"})

    assert good.json() == {"kept": 1, "wrong": []}
    assert bad.json()["kept"] == 0
    assert bad.json()["wrong"][0].startswith("b.txt: That is not a photo we can read.")
    assert none.json() == {"kept": 0, "wrong": ["Choose one photo or more."]}
    assert len(waiting(owner)) == 1


def test_a_thousand_files_are_refused_with_a_sentence_and_nothing_is_kept(at_home: Client, owner: Person) -> None:
    response = at_home.post("/stash/pile/", {"photos": [sent(f"{n}.jpg", b"x") for n in range(1000)]})

    assert response.status_code == 400
    assert "That was more than 60 files at once. Nothing was kept" in words(response)
    assert waiting(owner) == []


def test_more_bytes_than_can_be_taken_in_are_refused_with_a_sentence(
    at_home: Client, owner: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("quiltbook.web.uploads.MOST_SENT", 1024 * 1024)

    response = at_home.post("/stash/pile/", {"photos": sent("a.jpg", photograph() + b"\0" * 1024 * 1024)})

    assert response.status_code == 400
    assert "That was more than 1 MB at once. Nothing was kept" in words(response)
    assert waiting(owner) == []


def test_one_after_another_is_filled_in_with_the_place_of_the_last(at_home: Client, owner: Person) -> None:
    first, second, third = logged(owner, 3)

    response = at_home.post(f"/stash/to-fill-in/{second.pk}/", FILLED)
    assert response.headers["Location"] == f"/stash/to-fill-in/{third.pk}/?place=Blue+box"
    page = at_home.get(response.headers["Location"])
    assert page.context["form"]["place"].value() == "Blue box"
    assert page.context["form"]["name"].value() == ""
    assert "Kelp: " in words(page)

    onward = at_home.post(f"/stash/to-fill-in/{third.pk}/", {**FILLED, "name": "Reed", "amount": "fat quarter"})
    assert onward.headers["Location"].startswith(f"/stash/to-fill-in/{first.pk}/")
    last = at_home.post(f"/stash/to-fill-in/{first.pk}/", {**FILLED, "name": "Moss", "usable_width": "40 in"})
    assert last.headers["Location"] == "/stash/"

    assert waiting(owner) == []
    pieces = Piece.objects.of(owner).on_shelf().select_related("fabric").order_by("pk")
    assert [(piece.fabric.name, piece.size, piece.place) for piece in pieces] == [
        ("Kelp", inches(42, 54), "Blue box"),
        ("Reed", inches(21, 18), "Blue box"),
        ("Moss", inches(40, 54), "Blue box"),
    ]
    assert set(Movement.objects.of(owner).values_list("kind", flat=True)) == {Movement.Kind.COUNTED}


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"name": ""}, "name"), ({"name": "kelp "}, "name"), ({"amount": "much"}, "amount"), ({"amount": ""}, "amount"),
     ({"usable_width": "0"}, "usable_width"), ({"kind": "wool"}, "kind"), ({"print_direction": ""}, "print_direction"),
     ({"place": "x" * 81}, "place")],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_field_and_the_photo_waits(
    at_home: Client, owner: Person, typed: dict[str, str], field: str
) -> None:
    FabricFactory.create(owner=owner, name="Kelp")
    [fabric] = logged(owner)

    response = at_home.post(f"/stash/to-fill-in/{fabric.pk}/", {**FILLED, "name": "Reed", **typed})

    assert list(errors(response)) == [field]
    assert response.context["form"]["amount"].value() == typed.get("amount", "1 1/2 yd")
    assert waiting(owner) == [fabric.name]
    assert not Piece.objects.of(owner).exists()


def test_later_leads_to_the_next_and_the_shelf_says_how_many_are_left(at_home: Client, owner: Person) -> None:
    first, second = logged(owner, 2)

    assert at_home.get(f"/stash/to-fill-in/{second.pk}/").context["next"] == f"/stash/to-fill-in/{first.pk}/"
    assert "2 fabrics to fill in" in words(at_home.get("/stash/"))
    assert first.name in words(at_home.get("/stash/to-fill-in/"))
    at_home.post(f"/stash/to-fill-in/{first.pk}/", FILLED)
    assert "1 fabric to fill in" in words(at_home.get("/stash/"))
    assert at_home.get(f"/stash/to-fill-in/{second.pk}/").context["next"] == ""
    at_home.post(f"/stash/to-fill-in/{second.pk}/", {**FILLED, "name": "Reed"})
    assert "to fill in" not in words(at_home.get("/stash/")).lower()
    assert "Nothing is left to fill in" in words(at_home.get("/stash/to-fill-in/"))


def undo(response: object, what: str) -> str:
    [address] = re.findall(rf'action="(/stash/to-fill-in/{what}/[^"]+)"', response.content.decode())  # type: ignore[attr-defined]
    return str(address)


def test_what_was_filled_in_is_taken_back(at_home: Client, owner: Person) -> None:
    first, _ = logged(owner, 2)
    page = at_home.post(f"/stash/to-fill-in/{first.pk}/", FILLED, follow=True)

    at_home.post(undo(page, rf"{first.pk}/again"))

    first.refresh_from_db()
    assert (first.name, first.to_fill_in) == ("Kelp", True)
    assert not Piece.objects.of(owner).on_shelf().exists()


def test_cloth_logged_in_the_usual_way_fills_a_photo_in_too(at_home: Client, owner: Person) -> None:
    [fabric] = logged(owner)

    PieceFactory.create(fabric=fabric)

    # A purchase by itself says nothing; the page "More of it" does.
    at_home.post(f"/stash/{fabric.pk}/more/", {"amount": "1 yd", "came": "there", "place": "", "currency": "EUR", "day": "2026-11-20", "label": "", "price": "", "bought_from": ""})  # fmt: skip
    assert waiting(owner) == []


def test_a_photo_is_left_out_and_brought_back(
    at_home: Client, owner: Person, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    first, second = logged(owner, 2)

    with django_capture_on_commit_callbacks(execute=True):
        page = at_home.post(f"/stash/to-fill-in/{first.pk}/leave-out/", follow=True)

    assert page.redirect_chain[-1][0] == f"/stash/to-fill-in/{second.pk}/"
    assert waiting(owner) == [second.name]
    assert len(list((Path(site.MEDIA_ROOT) / str(owner.pk) / "fabrics").glob("*"))) == 3

    at_home.post(undo(page, "back"))
    assert waiting(owner) == [second.name, first.name]
    back = Fabric.objects.get(name=first.name)
    assert opened(stored_in(Photo.objects.get(fabric=back).whole)).size == (80, 40)


def test_a_fabric_with_cloth_is_not_left_out(at_home: Client, owner: Person, piece: Piece) -> None:
    page = at_home.post(f"/stash/to-fill-in/{piece.fabric_id}/leave-out/", follow=True)

    assert "Kelp is more than a photo by now, so it stays." in words(page)
    assert Fabric.objects.of(owner).filter(name="Kelp").exists()


def test_a_fabric_of_which_something_else_is_known_is_not_left_out(owner: Person) -> None:
    [fabric] = logged(owner)
    ShoppingLine.objects.create(owner=owner, fabric=fabric, what="More of it", added_at=NOW)

    with pytest.raises(StashError, match="is more than a photo by now"):
        pile.leave_out(fabric=fabric, now=NOW)

    assert Photo.objects.filter(fabric__name=fabric.name).exists()
    assert ShoppingLine.objects.exists()


def test_another_persons_pile_is_not_there(owner: Person, friend: Person) -> None:
    [fabric] = logged(owner)
    other = Client()
    other.force_login(friend)

    assert other.get(f"/stash/to-fill-in/{fabric.pk}/").status_code == 404
    assert other.post(f"/stash/to-fill-in/{fabric.pk}/", FILLED).status_code == 404
    assert other.post(f"/stash/to-fill-in/{fabric.pk}/leave-out/").status_code == 404
    assert fabric.name not in words(other.get("/stash/to-fill-in/"))
    assert "no longer be undone" in words(other.post("/stash/to-fill-in/back/x/", follow=True))
    assert waiting(owner) == [fabric.name]
