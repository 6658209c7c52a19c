"""Another person's cloth is not there: every address of it answers 404, and nobody gets in unasked."""

import pytest
from django.test import Client

from quiltbook.people.models import Person
from stash.models import Movement, Piece
from tests.stash.typing_in import FACTS, LOG

pytestmark = pytest.mark.django_db

ACTS = ["move", "wash", "count", "split", "give", "scrap", "gone"]
READ = ["/stash/{fabric}/", "/stash/{fabric}/edit/", "/stash/{fabric}/more/", "/stash/pieces/{piece}/"]
WRITTEN = [
    "/stash/{fabric}/",
    "/stash/{fabric}/edit/",
    "/stash/{fabric}/more/",
    "/stash/{fabric}/more/understood/",
    "/stash/movements/{movement}/undo/",
    *(f"/stash/pieces/{{piece}}/{act}/" for act in ACTS),
]
SAID = {**LOG, **FACTS, "place": "Mine now", "width": "1", "length": "1", "amount": "1 in"}


@pytest.fixture
def ids(piece: Piece) -> dict[str, int]:
    return {"fabric": piece.fabric_id, "piece": piece.pk, "movement": Movement.objects.get().pk}


@pytest.fixture
def elsewhere(stranger: Person) -> Client:
    browser = Client()
    browser.force_login(stranger)
    return browser


@pytest.mark.parametrize("address", READ)
def test_a_stranger_finds_nothing_where_the_owner_does(
    at_home: Client, elsewhere: Client, ids: dict[str, int], address: str
) -> None:
    assert at_home.get(address.format(**ids)).status_code == 200
    assert elsewhere.get(address.format(**ids)).status_code == 404
    assert Client().get(address.format(**ids)).status_code == 302


@pytest.mark.parametrize("address", WRITTEN)
def test_a_stranger_changes_nothing(elsewhere: Client, ids: dict[str, int], address: str) -> None:
    before = list(Piece.objects.values())

    assert elsewhere.post(address.format(**ids), SAID).status_code == 404
    assert elsewhere.post(address.format(**ids), SAID, headers={"HX-Request": "true"}).status_code == 404
    assert (list(Piece.objects.values()), Movement.objects.count()) == (before, 1)


def test_a_strangers_shelf_suggestions_and_hauls_are_her_own(elsewhere: Client, ids: dict[str, int]) -> None:
    for address in ("/stash/", "/stash/log/names/?name=kelp", f"/stash/log/?after={ids['movement']}"):
        page = elsewhere.get(address).content.decode()
        assert "Kelp" not in page
        assert "Blue box" not in page


@pytest.mark.parametrize("address", sorted({*READ, *WRITTEN}))
@pytest.mark.parametrize("number", [0, 10**30])
def test_an_id_that_cannot_be_is_not_found(at_home: Client, address: str, number: int) -> None:
    ids = {"fabric": number, "piece": number, "movement": number}

    assert at_home.post(address.format(**ids), SAID).status_code in {404, 405}
    assert at_home.get(address.format(**ids)).status_code in {404, 405}


def test_a_deed_that_does_not_exist_is_not_found(at_home: Client, piece: Piece) -> None:
    assert at_home.post(f"/stash/pieces/{piece.pk}/burn/").status_code == 404


@pytest.mark.parametrize("address", ["/stash/movements/{movement}/undo/", "/stash/pieces/{piece}/scrap/"])
def test_following_a_link_changes_nothing(at_home: Client, ids: dict[str, int], address: str) -> None:
    assert at_home.get(address.format(**ids)).status_code == 405


def test_a_page_on_another_site_cannot_change_anything(owner: Person, piece: Piece) -> None:
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner)

    assert browser.post(f"/stash/pieces/{piece.pk}/scrap/").status_code == 403
    assert Piece.objects.on_shelf().exists()
