"""A photo comes with cloth, is kept while the form is put right, and is its owner's alone."""

import os
import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings as site
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from quiltbook.people.models import Person
from stash.models import Fabric
from stash.services import photos
from tests.factories import NOW
from tests.stash.typing_in import FACTS, errors, log, photo

pytestmark = pytest.mark.django_db


def stored(owner: Person) -> set[str]:
    folder = Path(site.MEDIA_ROOT) / str(owner.pk)
    return {str(path.relative_to(folder)) for path in folder.rglob("*.webp")}


def of_fabrics(owner: Person) -> set[str]:
    return {name for name in stored(owner) if name.startswith("fabrics/")}


def sent(browser: Client, url: str) -> tuple[int, str]:
    """The status and the type of what is sent."""
    response = browser.get(url)
    response.getvalue()  # read to its end, so that the file is closed
    return response.status_code, response.headers["Content-Type"]


@pytest.fixture(autouse=True)
def _empty_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_stored_with_a_small_copy_and_its_owner_sees_both(at_home: Client, kind: str) -> None:
    log(at_home, photo=photo(kind, size=(900, 600)))

    fabric = Fabric.objects.get()
    assert fabric.photo.size > fabric.thumbnail.size
    assert sent(at_home, fabric.photo_url) == sent(at_home, fabric.thumbnail_url) == (200, "image/webp")
    assert fabric.thumbnail_url in at_home.get("/stash/").content.decode()
    assert fabric.photo_url in at_home.get(f"/stash/{fabric.pk}/").content.decode()


def test_the_colour_is_taken_from_the_photo_unless_she_says_another(at_home: Client) -> None:
    log(at_home, name="From the photo", photo=photo("PNG", "#9c2c2b"))
    log(at_home, name="Said", photo=photo("PNG", "#9c2c2b"), colour="#2f4b7c")

    red = Fabric.objects.get(name="From the photo").colour
    assert all(abs(int(red[i : i + 2], 16) - int("9c2c2b"[i - 1 : i + 1], 16)) < 8 for i in (1, 3, 5))
    assert Fabric.objects.get(name="Said").colour == "#2f4b7c"


def test_a_photo_is_no_strangers_business(at_home: Client, client: Client, stranger: Person) -> None:
    log(at_home, photo=photo())
    log(at_home, name="Reed", amount="nonsense", photo=photo())
    fabric = Fabric.objects.get()
    aside = next(name for name in stored(fabric.owner) if name.startswith("aside/"))
    other = Client()
    other.force_login(stranger)

    for url in (fabric.photo_url, fabric.thumbnail_url, f"/media/{fabric.owner_id}/{aside}"):
        assert sent(at_home, url) == (200, "image/webp")
        assert sent(other, url)[0] == 404
        assert sent(Client(), url)[0] == 302


def test_a_photo_need_not_be_chosen_again_when_something_else_was_wrong(at_home: Client, owner: Person) -> None:
    response = log(at_home, amount="nonsense", photo=photo())
    kept = response.context["kept"]
    assert kept["url"] in response.content.decode()
    assert "The photo you chose is kept" in response.content.decode()

    again = log(at_home, amount="still nonsense", kept_photo=kept["name"])
    assert again.context["kept"] == kept
    assert len(stored(owner)) == 1

    log(at_home, kept_photo=kept["name"])
    assert Fabric.objects.get().photo


def test_a_newly_chosen_photo_goes_before_the_one_kept(at_home: Client, owner: Person) -> None:
    name = photos.set_aside(owner=owner, photo=photo("WEBP", "#2f4b7c").read(), now=NOW)

    log(at_home, kept_photo=name, photo=photo("PNG", "#9c2c2b"))

    assert Fabric.objects.get().colour > "#900000"


@pytest.mark.parametrize("name", ["../1/fabrics/x.webp", "x" * 22 + ".webp", "/etc/passwd", "x" * 10_000, "\x00"])
def test_a_kept_photo_that_is_not_there_is_asked_for_again(at_home: Client, name: str) -> None:
    wrong = errors(log(at_home, kept_photo=name))

    assert wrong["photo"] == ["The photo is no longer here: choose it again."]


def test_a_photo_that_somebody_else_set_aside_cannot_be_taken(at_home: Client, friend: Person) -> None:
    name = photos.set_aside(owner=friend, photo=photo("WEBP").read(), now=NOW)

    assert "photo" in errors(log(at_home, kept_photo=name))


def test_photos_set_aside_and_forgotten_are_cleared_away(owner: Person) -> None:
    old = photos.set_aside(owner=owner, photo=b"old", now=NOW)
    long_ago = (NOW - timedelta(days=2)).timestamp()
    os.utime(default_storage.path(f"{owner.pk}/aside/{old}"), (long_ago, long_ago))

    fresh = photos.set_aside(owner=owner, photo=b"fresh", now=NOW)

    assert stored(owner) == {f"aside/{fresh}"}


@pytest.mark.parametrize(
    ("upload", "sentence"),
    [
        (SimpleUploadedFile("x.jpg", b"no picture at all"), "That is not a photo we can read"),
        (SimpleUploadedFile("x.jpg", b""), "That file is empty"),
        (
            SimpleUploadedFile("x.jpg", photo("JPEG", size=(900, 900)).read()[:2000]),
            "damaged or only part of it arrived",
        ),
        (SimpleUploadedFile("x.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>"), "not a photo we can read"),
        (SimpleUploadedFile("x.jpg", photo("GIF").read()), "not a photo we can read"),
        (SimpleUploadedFile("x.jpg", photo("JPEG").read() + b"\0" * 60 * 1024 * 1024), "larger than 15 MB"),
    ],
    ids=["text", "empty", "truncated", "svg", "gif", "60 MB"],
)
def test_what_is_no_photo_is_told_at_its_field(at_home: Client, upload: SimpleUploadedFile, sentence: str) -> None:
    response = log(at_home, photo=upload)

    wrong = errors(response)
    assert list(wrong) == ["photo"]
    assert sentence in wrong["photo"][0]
    assert response.context["form"]["name"].value() == "Kelp"
    assert not Fabric.objects.exists()


def change(browser: Client, fabric: Fabric, **said: object) -> None:
    response = browser.post(f"/stash/{fabric.pk}/edit/", {**FACTS, **said})
    assert response.status_code == 302


def test_another_photo_takes_the_place_of_the_first(
    at_home: Client, owner: Person, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    log(at_home, photo=photo())
    first = stored(owner)

    with django_capture_on_commit_callbacks(execute=True):
        change(at_home, Fabric.objects.get(), photo=photo("PNG"))

    assert len(of_fabrics(owner)) == 2
    assert stored(owner).isdisjoint(first)


def test_a_photo_stays_when_only_words_are_changed(at_home: Client) -> None:
    log(at_home, photo=photo())
    before = Fabric.objects.get().photo.name

    change(at_home, Fabric.objects.get(), note="Lovely")

    assert Fabric.objects.get().photo.name == before


def test_a_photo_can_give_way_to_the_plain_colour(
    at_home: Client, owner: Person, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    log(at_home, photo=photo())

    with django_capture_on_commit_callbacks(execute=True):
        change(at_home, Fabric.objects.get(), without_photo="on")

    assert not Fabric.objects.get().photo
    assert of_fabrics(owner) == set()


def test_the_photo_that_gave_way_can_be_brought_back(at_home: Client) -> None:
    log(at_home, photo=photo("PNG", "#9c2c2b"))
    fabric = Fabric.objects.get()
    before = photos.of(fabric=fabric)

    page = at_home.post(f"/stash/{fabric.pk}/edit/", {**FACTS, "without_photo": "on"}, follow=True)
    [undo] = re.findall(rf'action="(/stash/{fabric.pk}/photo/[^"]+)"', page.content.decode())
    at_home.post(undo)

    fabric.refresh_from_db()
    assert before
    assert photos.of(fabric=fabric) == before


@pytest.mark.parametrize("name", ["x" * 22 + ".webp", "%00", "..%2F1"])
def test_a_photo_that_is_not_set_aside_cannot_be_brought_back(at_home: Client, kelp: Fabric, name: str) -> None:
    page = at_home.post(f"/stash/{kelp.pk}/photo/{name}/", follow=True)

    assert page.status_code == 404 or "The photo it had before is no longer here." in page.content.decode()
    kelp.refresh_from_db()
    assert not kelp.photo


def test_a_bad_photo_does_not_drive_out_the_good_one_kept(at_home: Client, owner: Person) -> None:
    kept = log(at_home, amount="nonsense", photo=photo()).context["kept"]

    response = log(at_home, kept_photo=kept["name"], photo=SimpleUploadedFile("x.jpg", b"no picture"))

    assert list(errors(response)) == ["photo"]
    assert response.context["kept"] == kept
