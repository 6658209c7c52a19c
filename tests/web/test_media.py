"""Who is sent an uploaded photo?"""

from pathlib import Path

import pytest
from django.test import Client
from pytest_django import Settings

from quiltbook.people.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> Person:
    return Person.objects.create_user("photographer", password="a long enough one")


@pytest.fixture
def photo(owner: Person, tmp_path: Path, settings: Settings) -> str:
    """The address of a photo of the owner's; beside it lies a page that must never be sent."""
    settings.MEDIA_ROOT = tmp_path / "media"
    folder = settings.MEDIA_ROOT / str(owner.pk) / "fabrics"
    folder.mkdir(parents=True)
    (folder / "cloth.webp").write_bytes(b"RIFF....WEBP")
    (folder / "page.html").write_text("<script>alert(1)</script>")
    (tmp_path / "secret.webp").write_text("not hers to see")
    return f"/media/{owner.pk}/fabrics/cloth.webp"


def test_the_owner_is_sent_her_photo_as_a_picture(client: Client, owner: Person, photo: str) -> None:
    client.force_login(owner)
    response = client.get(photo)
    assert response.status_code == 200
    assert response["Content-Type"] == "image/webp"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"].startswith("private")
    assert response.getvalue() == b"RIFF....WEBP"


def test_somebody_else_finds_nothing_there(client: Client, photo: str) -> None:
    client.force_login(Person.objects.create_user("stranger", password="a long enough one"))
    assert client.get(photo).status_code == 404


def test_somebody_not_signed_in_is_asked_to_sign_in(client: Client, photo: str) -> None:
    response = client.get(photo)
    assert response.status_code == 302
    assert "/you/" in response["Location"]


@pytest.mark.parametrize("name", ["gone.webp", "page.html", "../../../secret.webp", "..%2f..%2f..%2fsecret.webp", ""])
def test_nothing_but_a_photo_is_ever_found(name: str, client: Client, owner: Person, photo: str) -> None:
    client.force_login(owner)
    assert client.get(f"/media/{owner.pk}/fabrics/{name}").status_code == 404
