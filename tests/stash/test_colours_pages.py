"""The pages of colours, and what she says herself of a cloth's colour, value, print and tags."""

import io

import pytest
from django.core.files.base import ContentFile
from django.test import Client
from PIL import Image

from quiltbook.people.models import Person
from stash.colour import difference, palette
from stash.models import Fabric, Photo, Tag
from stash.queries.colours import MOST_IN_A_CELL, goes_with, laid_out
from tests.factories import NOW, FabricFactory, PieceFactory
from tests.stash.typing_in import FACTS, errors, log, photo, words

pytestmark = pytest.mark.django_db

INDIGO, SKY, BRICK, CREAM = "#2f4b7c", "#7db7e8", "#9c2c2b", "#f4ecd8"


def stock(owner: Person, name: str, colour: str, **facts: object) -> Fabric:
    return PieceFactory.create(fabric=FabricFactory.create(owner=owner, name=name, colour=colour, **facts)).fabric


@pytest.fixture
def panel(owner: Person) -> Photo:
    """A photo of a panel: cream, with brick to the right of three quarters of it."""
    picture = Image.new("RGB", (200, 100), CREAM)
    picture.paste(BRICK, (150, 0, 200, 100))
    out = io.BytesIO()
    picture.save(out, "WEBP", lossless=True)
    fabric = stock(owner, "Heron", CREAM, kind="panel")
    photo = Photo(owner=owner, fabric=fabric, position=0, palette=palette(picture), added_at=NOW)
    photo.width, photo.height, photo.right, photo.bottom = 200, 100, 200, 100
    for size in (photo.whole, photo.medium, photo.small):
        size.save("panel.webp", ContentFile(out.getvalue()), save=False)
    photo.save()
    return photo


# --- a point on a photo ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("across", "found"), [("0.9", "%239c2c2b"), ("0", "%23f4ecd8"), ("1", "%239c2c2b")])
def test_a_point_of_a_photo_leads_to_cloth_of_its_colour(
    at_home: Client, panel: Photo, across: str, found: str
) -> None:
    response = at_home.get(f"/stash/photos/{panel.pk}/colour/?across={across}&down=0.5")
    assert response.headers["Location"] == f"/stash/?near={found}"


@pytest.mark.parametrize("point", ["", "across=2&down=0", "across=nan&down=0", "across=x&down=y", "across=-0.1&down=0"])
def test_a_point_beside_the_photo_is_told(at_home: Client, panel: Photo, point: str) -> None:
    response = at_home.get(f"/stash/photos/{panel.pk}/colour/?{point}", follow=True)
    assert response.redirect_chain == [(f"/stash/{panel.fabric_id}/colours/", 302)]
    assert "That point is not on the photo" in words(response)


def test_a_photo_that_is_gone_from_the_disk_is_told(at_home: Client, panel: Photo) -> None:
    panel.medium.storage.delete(panel.medium.name or "")
    response = at_home.get(f"/stash/photos/{panel.pk}/colour/?across=0&down=0", follow=True)
    assert "can no longer be read" in words(response)


def test_another_persons_photo_and_colours_are_not_there(client: Client, stranger: Person, panel: Photo) -> None:
    client.force_login(stranger)
    assert client.get(f"/stash/photos/{panel.pk}/colour/?across=0&down=0").status_code == 404
    assert client.get(f"/stash/{panel.fabric_id}/colours/").status_code == 404
    assert "Heron" not in words(client.get("/stash/colours/"))


def test_the_colours_of_a_photo_are_links_with_words(at_home: Client, panel: Photo) -> None:
    page = words(at_home.get(f"/stash/{panel.fabric_id}/colours/"))

    assert '<span class="unseen">Find cloth near </span>Light neutral<small> 75 % of it</small>' in page
    assert '<span class="unseen">Find cloth near </span>Dark red<small> 25 % of it</small>' in page
    assert page.count('href="/stash/?near=%23') == 3
    assert f'data-colour-at="/stash/photos/{panel.pk}/colour/"' in page


# --- the stash by hue and value --------------------------------------------------------------------------------------


def test_cloth_is_laid_out_by_hue_and_by_value(owner: Person) -> None:
    for name, colour in (("Indigo", INDIGO), ("Sky", SKY), ("Brick", BRICK), ("Sand", CREAM)):
        stock(owner, name, colour)
    FabricFactory.create(owner=owner, name="Used up", colour=INDIGO)

    laid = {
        family.hue: {cell.value: [cloth.name for cloth in cell.cloths] for cell in family.cells}
        for family in laid_out(owner=owner)
    }

    assert laid == {
        "red": {"light": [], "medium": [], "dark": ["Brick"]},
        "blue": {"light": ["Sky"], "medium": [], "dark": ["Indigo"]},
        "neutral": {"light": ["Sand"], "medium": [], "dark": []},
    }


def test_much_of_one_colour_is_cut_short_and_leads_to_all_of_it(at_home: Client, owner: Person) -> None:
    for n in range(MOST_IN_A_CELL + 1):
        stock(owner, f"Indigo {n:02}", INDIGO)

    page = words(at_home.get("/stash/colours/"))

    assert page.count('aria-label="Indigo') == MOST_IN_A_CELL
    assert f'<a href="/stash/?hue=blue&amp;value=dark">All {MOST_IN_A_CELL + 1}</a>' in page


def test_the_stash_is_shown_in_greys_if_she_likes_with_values_in_words(at_home: Client, owner: Person) -> None:
    stock(owner, "Indigo", INDIGO)

    assert 'class="by-hue"' in words(at_home.get("/stash/colours/"))
    grey = words(at_home.get("/stash/colours/?grey=on"))
    assert 'class="by-hue greyed"' in grey
    assert "Dark <small>1</small>" in grey


def test_an_empty_stash_says_what_to_do_first(at_home: Client) -> None:
    assert "Log some cloth first" in words(at_home.get("/stash/colours/"))


# --- what goes with what ---------------------------------------------------------------------------------------------


def test_what_goes_with_a_cloth_is_told_by_plain_relations(at_home: Client, owner: Person) -> None:
    indigo = stock(owner, "Indigo", INDIGO)
    for name, colour in (
        ("Sky", "#7f9fd8"),
        ("Ink", "#101c38"),
        ("Iris", "#5a3d8a"),
        ("Ochre", "#a8752a"),
        ("Sand", CREAM),
        ("Grass", "#3a7d34"),
    ):
        stock(owner, name, colour)
    FabricFactory.create(owner=owner, name="Used up", colour="#7f9fd8")

    going = {group.title: [row.name for row in group.cloths] for group in goes_with(owner=owner, fabric=indigo)}

    assert going == {
        "Lighter": ["Sky"],
        "Darker": ["Ink"],
        "Neighbours": ["Iris"],
        "Opposite": ["Ochre"],
        "Neutrals": ["Sand"],
    }
    assert "The same hue, darker" in words(at_home.get(f"/stash/{indigo.pk}/colours/"))


def test_every_colour_shows_on_a_neutral(owner: Person) -> None:
    sand = stock(owner, "Sand", CREAM)
    stock(owner, "Brick", BRICK)

    assert [(group.title, [row.name for row in group.cloths]) for group in goes_with(owner=owner, fabric=sand)] == [
        ("Colours", ["Brick"])
    ]


def test_alone_on_the_shelf_nothing_goes_with_it(at_home: Client, owner: Person) -> None:
    assert "Nothing else on your shelf" in words(at_home.get(f"/stash/{stock(owner, 'Sand', CREAM).pk}/colours/"))


# --- what she says herself -------------------------------------------------------------------------------------------


def change(browser: Client, fabric: Fabric, **said: str) -> Fabric:
    response = browser.post(f"/stash/{fabric.pk}/edit/", {**FACTS, "name": fabric.name, **said})
    assert response.status_code == 302, errors(response)
    return Fabric.objects.get(pk=fabric.pk)


def test_she_says_its_value_and_takes_that_back(at_home: Client, kelp: Fabric) -> None:
    said = change(at_home, kelp, colour=INDIGO, picked=INDIGO, value="light")
    assert (said.value, said.value_by_hand) == ("light", True)

    back = change(at_home, kelp, colour=INDIGO, picked=INDIGO, value="")
    assert (back.value, back.value_by_hand) == ("dark", False)


def test_the_value_follows_the_colour_until_she_says_one(at_home: Client, kelp: Fabric) -> None:
    assert change(at_home, kelp, colour=CREAM).value == "light"
    assert change(at_home, kelp, value="medium", colour=CREAM).value == "medium"
    assert change(at_home, kelp, value="medium", colour=BRICK).value == "medium"


def test_she_corrects_the_colour_of_a_photo_and_lets_the_photo_say_again(at_home: Client, panel: Photo) -> None:
    Fabric.objects.update(photo=panel.medium.name, thumbnail=panel.small.name, colour_by_hand=False)
    asked = at_home.get(f"/stash/{panel.fabric_id}/edit/")
    assert "Take the colour from the photo" not in words(asked)

    said = change(at_home, panel.fabric, colour=INDIGO)
    assert (said.colour, said.colour_by_hand) == (INDIGO, True)
    kept = change(at_home, panel.fabric, colour=INDIGO, picked=INDIGO)
    assert (kept.colour, kept.colour_by_hand) == (INDIGO, True)

    assert "Take the colour from the photo" in words(at_home.get(f"/stash/{panel.fabric_id}/edit/"))
    back = change(at_home, panel.fabric, colour=INDIGO, picked=INDIGO, colour_of_photo="on")
    assert (back.colour, back.colour_by_hand) == (panel.palette[0][0], False)


def test_a_new_photo_says_colour_and_value_where_she_has_not(at_home: Client, owner: Person) -> None:
    response = log(at_home, name="Check", photo=photo(colour="#101c38"))
    check = Fabric.objects.get()
    assert (response.status_code, check.value, check.value_by_hand, check.colour_by_hand) == (302, "dark", False, False)
    assert difference(check.colour, "#101c38") < 2

    log(at_home, name="Said", colour=BRICK, value="light", photo=photo(colour="#101c38"))
    told = Fabric.objects.get(name="Said")
    assert (told.colour, told.colour_by_hand, told.value, told.value_by_hand) == (BRICK, True, "light", True)


def test_tags_are_typed_with_commas_and_shown_as_links(at_home: Client, kelp: Fabric) -> None:
    change(at_home, kelp, tags=" sea,  for Ada ,Sea,,", print_scale="small")

    assert [tag.name for tag in kelp.tags.all()] == ["for Ada", "sea"]
    page = words(at_home.get(f"/stash/{kelp.pk}/"))
    assert '<a href="/stash/?tags=for%20Ada">for Ada</a>' in page
    assert "Small print" in page
    assert 'value="for Ada, sea"' in words(at_home.get(f"/stash/{kelp.pk}/edit/"))


def test_a_tag_is_shared_whatever_its_capitals_and_forgotten_with_its_last_cloth(
    at_home: Client, owner: Person, kelp: Fabric
) -> None:
    other = FabricFactory.create(owner=owner, name="Rose", tags=("Sea",))
    change(at_home, kelp, tags="sea")
    assert [tag.name for tag in Tag.objects.all()] == ["Sea"]

    change(at_home, kelp, tags="")
    change(at_home, other, tags="garden")
    assert [tag.name for tag in Tag.objects.all()] == ["garden"]


def test_a_tag_that_is_too_long_is_told_at_its_field(at_home: Client, kelp: Fabric) -> None:
    response = at_home.post(f"/stash/{kelp.pk}/edit/", {**FACTS, "tags": f"sea, {'x' * 41}", "value": "grey"})
    assert errors(response) == {
        "tags": ["A tag has at most 40 characters: put commas between tags."],
        "value": ["Choose a value from the list."],
    }
