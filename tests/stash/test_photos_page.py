"""A fabric may have several photos: one is its face, each may show a part of itself to scale, and whatever is done to them is undone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings as site
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.test import Client
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from quiltbook.measures import NM_PER_CM, NM_PER_INCH
from quiltbook.people.models import Person
from stash.models import Fabric, Photo
from stash.services import photos, removal
from stash.services.errors import StashError
from tests.factories import NOW, FabricFactory
from tests.photographs import HEIC, opened, photograph, scene, stored_in
from tests.stash.typing_in import FACTS, errors, words

pytestmark = pytest.mark.django_db

RED, BLUE, GREEN = "#c81414", "#1414c8", "#2c7a3e"


@pytest.fixture(autouse=True)
def _empty_media(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def reed(owner: Person) -> Fabric:
    """A fabric whose colours are left to its photos."""
    return FabricFactory.create(owner=owner, name="Reed", colour="")


def plain(colour: str, size: tuple[int, int] = (900, 600)) -> bytes:
    return photograph("WEBP", Image.new("RGB", size, colour), lossless=True)


def two(reed: Fabric) -> tuple[Photo, Photo]:
    """A red one, its face, and a blue one."""
    return photos.add(fabric=reed, photo=plain(RED), now=NOW), photos.add(fabric=reed, photo=plain(BLUE), now=NOW)


def sent(name: str, data: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, "image/jpeg")


def undo_of(response: object) -> str:
    """The address that takes back what the page says was done."""
    [address] = re.findall(r'action="(/stash/\d+/photos/undo/[^"]+)"', response.content.decode())  # type: ignore[attr-defined]
    return str(address)


def stored(owner: Person, folder: str = "fabrics") -> set[str]:
    return {path.name for path in (Path(site.MEDIA_ROOT) / str(owner.pk) / folder).glob("*")}


def order(fabric: Fabric) -> list[int]:
    return list(fabric.photos.values_list("pk", flat=True))


def near(colour: str, other: str) -> bool:
    return all(abs(one - two) < 8 for one, two in zip(bytes.fromhex(colour[1:]), bytes.fromhex(other[1:]), strict=True))


def test_photos_are_cut_to_three_sizes(reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED, (2000, 1500)), now=NOW)

    sizes = [opened(stored_in(file)).size for file in (photo.whole, photo.medium, photo.small)]
    assert sizes == [(2000, 1500), (800, 600), (240, 180)]
    assert (photo.width, photo.height, *photo.box) == (2000, 1500, 0, 0, 2000, 1500)
    [[colour, share]] = photo.palette
    assert near(colour, RED)
    assert share == 1000


def test_several_photos_are_added_at_once_and_the_bad_ones_named(at_home: Client, reed: Fabric) -> None:
    page = at_home.post(
        f"/stash/{reed.pk}/photos/",
        {"photos": [sent("a.jpg", photograph()), sent("notes.txt", b"no picture"), sent("IMG_2.HEIC", HEIC)]},
        follow=True,
    )

    assert "Reed: 2 photos added." in words(page)
    assert "notes.txt: That is not a photo we can read." in words(page)
    assert reed.photos.count() == 2
    assert words(page).count("Its face") == 1


def test_where_no_photo_is_good_the_form_says_why(at_home: Client, reed: Fabric) -> None:
    response = at_home.post(f"/stash/{reed.pk}/photos/", {"photos": [sent("a.gif", photograph("GIF"))]})

    [why] = errors(response)["photos"]
    assert why.startswith("a.gif: That is not a photo we can read.")
    assert errors(at_home.post(f"/stash/{reed.pk}/photos/", {})) == {"photos": ["Choose one photo or more."]}


def test_a_fabric_has_no_more_photos_than_it_can_have(at_home: Client, owner: Person, reed: Fabric) -> None:
    ready = photos.pictures(plain(RED, (30, 20)))
    for _ in range(photos.MOST):
        photos.add(fabric=reed, photo=ready, now=NOW)
    before = stored(owner)

    response = at_home.post(f"/stash/{reed.pk}/photos/", {"photos": [sent("a.jpg", photograph())]})

    assert "as many as it can have" in errors(response)["photos"][0]
    assert "take one off to add another" in words(at_home.get(f"/stash/{reed.pk}/photos/"))
    assert stored(owner) == before


def test_the_first_photo_is_the_face_and_says_the_colour(reed: Fabric) -> None:
    red, _ = two(reed)

    reed.refresh_from_db()
    assert (reed.photo.name, reed.thumbnail.name) == (red.medium.name, red.small.name)
    assert near(reed.colour, RED)


def test_another_photo_is_made_the_face_and_the_order_comes_back(at_home: Client, reed: Fabric) -> None:
    two(reed)
    green = photos.add(fabric=reed, photo=plain(GREEN), now=NOW)
    before = order(reed)

    page = at_home.post(f"/stash/photos/{green.pk}/face/", follow=True)

    reed.refresh_from_db()
    assert order(reed) == [green.pk, *before[:2]]
    assert reed.photo.name == green.medium.name
    assert near(reed.colour, GREEN)
    at_home.post(undo_of(page))
    reed.refresh_from_db()
    assert order(reed) == before
    assert near(reed.colour, RED)


def test_a_colour_she_said_stays_whatever_photo_is_the_face(owner: Person) -> None:
    said = FabricFactory.create(owner=owner, name="Said", colour="#2f4b7c")

    _, blue = two(said)
    photos.make_face(photo=blue)

    said.refresh_from_db()
    assert (said.colour, said.photo.name) == ("#2f4b7c", blue.medium.name)


def test_a_photo_is_taken_off_and_comes_back_as_it_was(
    at_home: Client, owner: Person, reed: Fabric, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    red, blue = two(reed)
    with django_capture_on_commit_callbacks(execute=True):
        photos.recut(photo=red, box=(90, 60, 810, 300), shows=10 * NM_PER_CM)
    before = photos.read(red)

    with django_capture_on_commit_callbacks(execute=True):
        page = at_home.post(f"/stash/photos/{red.pk}/take-off/", follow=True)

    reed.refresh_from_db()
    assert order(reed) == [blue.pk]
    assert reed.photo.name == blue.medium.name
    assert stored(owner) == {Path(str(file.name)).name for file in (blue.whole, blue.medium, blue.small)}

    at_home.post(undo_of(page))
    back = reed.photos.first()
    assert back
    assert (back.box, back.shows) == ((90, 60, 810, 300), 10 * NM_PER_CM)
    assert photos.read(back) == before
    assert opened(stored_in(back.medium)).size == (720, 240)
    assert order(reed) == [back.pk, blue.pk]


def test_a_fabric_whose_last_photo_is_taken_off_is_shown_by_its_colour(at_home: Client, reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED), now=NOW)

    at_home.post(f"/stash/photos/{photo.pk}/take-off/")

    reed.refresh_from_db()
    assert (reed.photo.name, reed.thumbnail.name) == ("", "")
    assert near(reed.colour, RED)
    assert "shown by its colour" in words(at_home.get(f"/stash/{reed.pk}/photos/"))


def test_what_was_undone_once_or_tampered_with_is_told(at_home: Client, reed: Fabric) -> None:
    photo, _ = two(reed)
    address = undo_of(at_home.post(f"/stash/photos/{photo.pk}/take-off/", follow=True))
    for path in (Path(site.MEDIA_ROOT) / str(reed.owner_id) / "aside").glob("*"):
        path.unlink()

    assert "That photo is no longer here" in words(at_home.post(address, follow=True))
    assert "can no longer be undone" in words(at_home.post(address.replace(":", "x:", 1), follow=True))
    assert reed.photos.count() == 1


CUT = {"left": "10", "top": "0", "right": "0", "bottom": "50", "shows": "10 cm"}


def test_a_part_of_a_photo_is_shown_to_scale_and_all_of_it_again(
    at_home: Client, owner: Person, reed: Fabric, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    photo = photos.add(fabric=reed, photo=photograph("WEBP", scene((1000, 400))), now=NOW)
    assert len(photo.palette) == 2

    with django_capture_on_commit_callbacks(execute=True):
        page = at_home.post(f"/stash/photos/{photo.pk}/", {**CUT, "left": "50"}, follow=True)

    photo.refresh_from_db()
    reed.refresh_from_db()
    assert (photo.box, photo.shows) == ((500, 0, 1000, 200), 10 * NM_PER_CM)
    assert photo.cloth
    assert (photo.cloth.width, photo.cloth.length) == (10 * NM_PER_CM, 4 * NM_PER_CM)
    assert opened(stored_in(photo.medium)).size == (500, 200)
    [[colour, _]] = photo.palette
    assert near(colour, BLUE)
    assert near(reed.colour, BLUE)
    assert reed.photo.name == photo.medium.name
    assert len(stored(owner)) == 3
    assert "Part of the photo" in words(page)

    at_home.post(undo_of(page))
    photo.refresh_from_db()
    assert (photo.box, photo.shows) == ((0, 0, 1000, 400), None)
    assert len(photo.palette) == 2


def test_what_was_said_of_the_scale_holds_for_a_smaller_part_in_proportion(at_home: Client, reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED, (1000, 400)), now=NOW)
    photos.recut(photo=photo, box=photo.box, shows=8 * NM_PER_INCH)
    typed = {**CUT, "left": "25", "right": "25", "shows": "8"}

    at_home.post(f"/stash/photos/{photo.pk}/", typed)
    photo.refresh_from_db()
    assert (photo.box[0], photo.box[2], photo.shows) == (250, 750, 4 * NM_PER_INCH)

    at_home.post(f"/stash/photos/{photo.pk}/", {**typed, "shows": ""})
    photo.refresh_from_db()
    assert photo.shows is None


def test_a_part_that_is_left_alone_stays_to_the_dot(at_home: Client, reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED, (1777, 911)), now=NOW)
    photos.recut(photo=photo, box=(101, 13, 1701, 899), shows=None)
    page = at_home.get(f"/stash/photos/{photo.pk}/")
    shown = {name: page.context["form"][name].value() for name in ("left", "top", "right", "bottom")}

    at_home.post(f"/stash/photos/{photo.pk}/", {**{name: str(value) for name, value in shown.items()}, "shows": "3"})

    photo.refresh_from_db()
    assert (photo.box, photo.shows) == ((101, 13, 1701, 899), 3 * NM_PER_INCH)


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"left": "96"}, "left", "from 0 to 95"),
        ({"left": "-1"}, "left", "from 0 to 95"),
        ({"top": "much"}, "top", "from 0 to 95"),
        ({"top": ""}, "top", "from 0 to 95"),
        ({"top": "9" * 400}, "top", "from 0 to 95"),
        ({"top": "nan"}, "top", "from 0 to 95"),
        ({"bottom": "1.234"}, "bottom", "one figure after the point"),
        ({"left": "50", "right": "46"}, "right", "leaves nothing to see"),
        ({"top": "90", "bottom": "9"}, "bottom", "leaves nothing to see"),
        ({"shows": "a bit"}, "shows", ""),
        ({"shows": "0"}, "shows", ""),
        ({"shows": "50 m"}, "shows", "too much"),
    ],
)
def test_what_cannot_be_cut_is_told_at_its_field(
    at_home: Client, reed: Fabric, typed: dict[str, str], field: str, sentence: str
) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED), now=NOW)

    response = at_home.post(f"/stash/photos/{photo.pk}/", {**CUT, **typed})

    wrong = errors(response)
    assert list(wrong) == [field]
    assert sentence in wrong[field][0]
    assert response.context["form"][field].value() == typed[field]
    photo.refresh_from_db()
    assert photo.box == (0, 0, 900, 600)


def test_a_photo_whose_file_is_lost_is_told_and_can_be_taken_off(at_home: Client, reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED), now=NOW)
    Path(photo.whole.path).unlink()

    response = at_home.post(f"/stash/photos/{photo.pk}/", CUT)
    assert "no longer here" in words(response)
    page = at_home.post(f"/stash/photos/{photo.pk}/take-off/", follow=True)
    assert "a photo was taken off" in words(page)
    assert "/photos/undo/" not in page.content.decode()


def test_a_photo_whose_file_is_damaged_is_told(at_home: Client, reed: Fabric) -> None:
    photo = photos.add(fabric=reed, photo=plain(RED), now=NOW)
    Path(photo.whole.path).write_bytes(b"RIFF no longer a picture")

    assert "can no longer be read" in words(at_home.post(f"/stash/photos/{photo.pk}/", CUT))


def test_another_persons_photos_are_not_there(reed: Fabric, friend: Person) -> None:
    photo, _ = two(reed)
    other = Client()
    other.force_login(friend)

    assert other.get(f"/stash/{reed.pk}/photos/").status_code == 404
    assert other.get(f"/stash/photos/{photo.pk}/").status_code == 404
    for do in ("face", "take-off"):
        assert other.post(f"/stash/photos/{photo.pk}/{do}/").status_code == 404
    assert other.post(f"/stash/{reed.pk}/photos/undo/x/").status_code == 404
    assert reed.photos.count() == 2


def test_files_go_again_when_the_photo_could_not_be_written_down(owner: Person, reed: Fabric) -> None:
    first = photos.add(fabric=reed, photo=plain(RED), now=NOW)
    before = stored(owner)
    broken = photos.pictures(plain(BLUE))
    object.__setattr__(broken, "box", (0, 0, 5000, 5000))

    with pytest.raises(IntegrityError), transaction.atomic():
        photos.add(fabric=reed, photo=broken, now=NOW)
    assert stored(owner) == before
    assert order(reed) == [first.pk]


def test_pictures_go_with_the_person(
    owner: Person, reed: Fabric, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    two(reed)
    photos.set_aside(owner=owner, photo=plain(GREEN), now=NOW)

    with django_capture_on_commit_callbacks(execute=True):
        removal.remove_person(person=owner)

    assert list(Path(site.MEDIA_ROOT).rglob("*.webp")) == []


def test_a_photo_that_is_no_picture_is_refused(reed: Fabric) -> None:
    with pytest.raises(StashError, match="can no longer be read"):
        photos.add(fabric=reed, photo=b"no picture", now=NOW)


def test_correcting_the_colour_leaves_the_photos_alone(at_home: Client, reed: Fabric) -> None:
    two(reed)

    at_home.post(f"/stash/{reed.pk}/edit/", {**FACTS, "name": "Reed", "colour": "#123456"})

    reed.refresh_from_db()
    assert reed.colour == "#123456"
    assert reed.photos.count() == 2
