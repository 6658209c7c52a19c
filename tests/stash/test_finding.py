"""Finding cloth: every way to narrow the shelf down, all together, kept in the address."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from PIL import Image

from quiltbook.measures import NM_PER_INCH, System
from quiltbook.people.models import Person
from stash.colour import palette
from stash.forms.search import PER_PAGE
from stash.models import Fabric, Movement, Photo, Piece
from stash.queries.finding import RESTING, Sought, find
from stash.services import cloth, fabrics, holds, ledger
from stash.services.fabrics import Facts
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, PieceFactory, bought, inches
from tests.stash.typing_in import errors, words

pytestmark = pytest.mark.django_db

INDIGO, NAVY, BRICK, CREAM = "#2f4b7c", "#1f2f5c", "#9c2c2b", "#f4ecd8"
LONG_AGO = TODAY - RESTING - timedelta(days=1)


def names(browser: Client, **asked: Any) -> list[str]:
    return [found.row.name for found in browser.get("/stash/", asked).context["found"].cloths]


def stock(owner: Person, name: str, *sizes: tuple[float, float], place: str = "", **facts: Any) -> Fabric:
    """A fabric with pieces of these sizes in inches: a fat quarter, where none is given."""
    fabric = FabricFactory.create(owner=owner, name=name, **facts)
    bought(fabric, [inches(*size) for size in sizes or [(21, 18)]], place=place)
    return fabric


def photograph(fabric: Fabric, picture: Image.Image, position: int = 0) -> Photo:
    """A photo of which only the colours are looked at."""
    return Photo.objects.create(
        owner=fabric.owner,
        fabric=fabric,
        position=position,
        width=picture.width,
        height=picture.height,
        right=picture.width,
        bottom=picture.height,
        palette=palette(picture),
        added_at=NOW,
    )


def two_coloured(ground: str, print_: str, share: float) -> Image.Image:
    picture = Image.new("RGB", (100, 100), ground)
    picture.paste(print_, (0, 0, 100, round(100 * share)))
    return picture


@pytest.fixture
def shelf(owner: Person) -> dict[str, Fabric]:
    return {
        "Harbour": stock(owner, "Harbour", colour=NAVY, stripes="along", place="Box H", tags=("sea", "gift")),
        "Kelp": stock(owner, "Kelp", colour="#3a7d34", kind="lawn", print_scale="large", place="Box K", tags=("sea",)),
        "Rose": stock(owner, "Rose", colour=BRICK, print_direction="one way", print_scale="small"),
        "Sand": stock(owner, "Sand", colour=CREAM, value="dark", place="Box K"),
    }


# --- one thing at a time ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({}, ["Harbour", "Kelp", "Rose", "Sand"]),
        ({"words": "GIFT"}, ["Harbour"]),
        ({"value": "dark"}, ["Harbour", "Rose", "Sand"]),
        ({"value": "light"}, []),
        ({"scale": "large"}, ["Kelp"]),
        ({"direction": "one way"}, ["Rose"]),
        ({"direction": "any"}, ["Harbour", "Kelp", "Sand"]),
        ({"direction": "stripes"}, ["Harbour"]),
        ({"kind": "lawn"}, ["Kelp"]),
        ({"place": "Box K"}, ["Kelp", "Sand"]),
        ({"place": "A box she no longer has"}, []),
        ({"tags": "sea"}, ["Harbour", "Kelp"]),
        ({"tags": ["sea", "gift"]}, ["Harbour"]),
        ({"tags": "forgotten"}, []),
        ({"hue": "blue"}, ["Harbour"]),
        ({"hue": "neutral"}, ["Sand"]),
        ({"hue": "purple"}, []),
        ({"place": "Box K", "value": "dark", "words": "sand"}, ["Sand"]),
        ({"place": "Box K", "value": "dark", "hue": "red"}, []),
    ],
)
def test_the_shelf_is_narrowed_down(
    at_home: Client, shelf: dict[str, Fabric], asked: dict[str, Any], found: list[str]
) -> None:
    assert names(at_home, **asked) == found


def test_another_persons_cloth_tags_and_photos_play_no_part(
    at_home: Client, friend: Person, shelf: dict[str, Fabric]
) -> None:
    photograph(stock(friend, "Hers", colour=INDIGO, tags=("sea",), place="Box K"), two_coloured(CREAM, INDIGO, 0.5))

    for asked in ({"tags": "sea"}, {"near": INDIGO}, {"place": "Box K"}, {"sort": "hue"}, {"words": "hers"}):
        assert "Hers" not in names(at_home, **asked)


def test_what_is_still_to_be_filled_in_is_found_though_no_cloth_of_it_is_known(at_home: Client, owner: Person) -> None:
    FabricFactory.create(owner=owner, name="Photo 1")
    Fabric.objects.update(to_fill_in=True)
    stock(owner, "Kelp")

    assert names(at_home, to_fill_in="on") == ["Photo 1"]
    assert names(at_home) == ["Kelp", "Photo 1"]


# --- how much is really there ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "found"),
    [
        ("1/4 yd", ["Long", "Narrow", "Scraps"]),
        ("1/2 yd", ["Long", "Narrow"]),
        ("20 in x 18 in", ["Long", "Narrow", "Scraps"]),
        ("1 yd", ["Long"]),
        ("1 yd 1 in", []),
        ("fat quarter", ["Long", "Narrow", "Scraps"]),
    ],
)
def test_so_much_must_be_free_in_all(at_home: Client, owner: Person, amount: str, found: list[str]) -> None:
    """A length off the bolt is as wide as the cloth is: half a yard of narrow cloth is half a yard."""
    stock(owner, "Long", (42, 36))
    stock(owner, "Scraps", (10, 20), (10, 20))
    stock(owner, "Narrow", (30, 18), usable_width=30 * NM_PER_INCH)

    assert names(at_home, amount=amount) == found


@pytest.mark.parametrize(
    ("amount", "found"),
    [
        ("10 x 20 in", ["Long", "Narrow", "Scraps"]),
        ("20 x 10 in", ["Long", "Narrow", "Scraps"]),
        ("20 x 12 in", ["Long", "Narrow"]),
        ("2 of 10 x 20 in", ["Scraps"]),
        ("3 of 10 x 20 in", []),
        ("1/2 yd", ["Long", "Narrow"]),
        ("40 x 18 in", ["Long"]),
    ],
)
def test_or_in_one_piece_whichever_way_it_is_turned(
    at_home: Client, owner: Person, amount: str, found: list[str]
) -> None:
    stock(owner, "Long", (42, 36))
    stock(owner, "Scraps", (10, 20), (10, 20))
    stock(owner, "Narrow", (30, 18), usable_width=30 * NM_PER_INCH)

    assert names(at_home, amount=amount, in_one="on") == found


def test_held_cut_and_expected_cloth_is_not_free(at_home: Client, owner: Person) -> None:
    held, scrapped, there = (stock(owner, name, (42, 36)) for name in ("Held", "Scrapped", "There"))
    holds.hold(pieces=[Piece.objects.get(fabric=held)], reason="Medallion", link="/plans/1/", now=NOW)
    cloth.scrap(piece=Piece.objects.get(fabric=scrapped), day=TODAY, now=NOW)

    assert names(at_home, amount="1 yd") == names(at_home, free="on") == [there.name]
    assert names(at_home) == ["Held", "There"]


def test_a_great_deal_of_cloth_is_added_up_rightly(at_home: Client, owner: Person) -> None:
    """A dozen long bolts: in square nanometres more than a database's whole numbers hold."""
    stock(owner, "Bolts", *[(108, 1800)] * 12, usable_width=108 * NM_PER_INCH)

    response = at_home.get("/stash/", {"amount": "600 yd", "sort": "most"})

    assert response.context["found"].count == 1
    assert "1800 sq yd" in words(response).replace(",", "")


def test_sizes_of_several_kinds_cannot_be_in_one_piece(at_home: Client, shelf: dict[str, Fabric]) -> None:
    response = at_home.get("/stash/", {"amount": "1/2 yd, 5 x 5 in", "in_one": "on"})
    assert errors(response) == {"amount": ["Ask for one size at a time where it is to be in one piece."]}


# --- rest ------------------------------------------------------------------------------------------------------------


def test_cloth_rests_that_was_neither_bought_nor_cut_nor_held_for_a_year(at_home: Client, owner: Person) -> None:
    size = [inches(42, 36)]
    for name, day in (("Old", LONG_AGO), ("Cut", LONG_AGO), ("Uncut", LONG_AGO), ("Held", LONG_AGO), ("New", TODAY)):
        fabric = FabricFactory.create(owner=owner, name=name)
        paid = cloth.Paid(None, "EUR")
        cloth.buy(fabric=fabric, sizes=size, paid=paid, place="", label="", day=day, now=NOW)
    counted = FabricFactory.create(owner=owner, name="Had it already")
    cloth.find(fabric=counted, sizes=size, place="", label="", day=TODAY, now=NOW)
    one = {piece.fabric.name: piece for piece in Piece.objects.select_related("fabric")}
    cut = [cut_in_two(one["Cut"]), cut_in_two(one["Uncut"])]
    ledger.reverse(movement=cut[1], day=TODAY, now=NOW)
    holds.hold(pieces=[one["Held"]], reason="Medallion", link="/plans/1/", now=NOW)

    assert names(at_home, resting="on") == ["Had it already", "Old", "Uncut"]


def cut_in_two(piece: Piece) -> Movement:
    """Half of it is cut into patches, the other half goes back to the shelf."""
    half = Piece.objects.create(
        owner=piece.owner, fabric=piece.fabric, number=2, width=piece.width, length=piece.length // 2
    )
    return ledger.record(
        owner=piece.owner,
        kind=Movement.Kind.CUT,
        day=TODAY,
        now=NOW,
        leaving=[piece],
        coming=[ledger.Coming(half)],
        patches_mm2=piece.area_mm2 - half.area_mm2,
    )


# --- colour ----------------------------------------------------------------------------------------------------------


def test_the_nearest_colour_comes_first_and_what_is_unlike_stays_away(
    at_home: Client, shelf: dict[str, Fabric], owner: Person
) -> None:
    stock(owner, "Ink", colour=INDIGO)

    response = at_home.get("/stash/", {"near": INDIGO})

    assert [found.row.name for found in response.context["found"].cloths] == ["Ink", "Harbour"]
    assert "The same to the eye" in words(response)
    assert "2 fabrics, 2 pieces" in words(response)


def test_the_colours_of_its_print_count_too_and_more_of_them_comes_first(at_home: Client, owner: Person) -> None:
    for name, share in (("A little", 0.1), ("A lot", 0.4)):
        photograph(stock(owner, name, colour=CREAM), two_coloured(CREAM, BRICK, share))
    stock(owner, "All of it", colour=BRICK)
    stock(owner, "None", colour=CREAM)

    response = at_home.get("/stash/", {"near": BRICK})

    assert [found.row.name for found in response.context["found"].cloths] == ["All of it", "A lot", "A little"]
    assert [found.near.share for found in response.context["found"].cloths] == [100, 40, 10]
    assert "in 40 % of it" in words(response)


def test_every_photo_of_a_cloth_is_looked_at(at_home: Client, owner: Person) -> None:
    kelp = stock(owner, "Kelp", colour=CREAM)
    photograph(kelp, two_coloured(CREAM, INDIGO, 0.3))
    photograph(kelp, two_coloured(CREAM, BRICK, 0.3), position=1)

    assert names(at_home, near=BRICK) == names(at_home, near=INDIGO) == ["Kelp"]


def test_where_nothing_is_near_the_nearest_are_shown_and_called_far(at_home: Client, shelf: dict[str, Fabric]) -> None:
    response = at_home.get("/stash/", {"near": "#ff00ff"})

    assert response.context["found"].count == 4
    assert "Some way off" in words(response)


def test_cloth_like_a_cloth_is_found_by_all_its_colours_and_never_itself(at_home: Client, owner: Person) -> None:
    model = stock(owner, "Model", colour=CREAM)
    twin = stock(owner, "Twin", colour=CREAM)
    for fabric in (model, twin):
        photograph(fabric, two_coloured(CREAM, BRICK, 0.45))
    stock(owner, "Cream", colour=CREAM)

    response = at_home.get("/stash/", {"like": model.pk})

    assert [found.row.name for found in response.context["found"].cloths] == ["Twin"]
    assert "Like Model" in words(response)


@pytest.mark.parametrize("like", ["x", "-3", "0", "99999999", str(10**30)])
def test_cloth_like_none_of_hers_is_not_there(at_home: Client, shelf: dict[str, Fabric], like: str) -> None:
    assert at_home.get("/stash/", {"like": like}).status_code == 404


def test_cloth_like_a_friends_is_not_there(at_home: Client, friend: Person) -> None:
    assert at_home.get("/stash/", {"like": stock(friend, "Hers").pk}).status_code == 404


def test_colour_combines_with_amount_and_value_and_with_another_order(at_home: Client, owner: Person) -> None:
    for name, colour, size in (
        ("A", NAVY, (42, 9)),
        ("B", INDIGO, (42, 18)),
        ("C", NAVY, (42, 36)),
        ("D", BRICK, (42, 36)),
    ):
        stock(owner, name, size, colour=colour)

    assert names(at_home, near=NAVY, amount="1/2 yd") == ["C", "B"]
    assert names(at_home, near=NAVY, amount="1/2 yd", sort="name") == ["B", "C"]
    assert names(at_home, near=NAVY, sort="most") == ["C", "B", "A"]


# --- order -----------------------------------------------------------------------------------------------------------


def test_she_chooses_the_order(at_home: Client, owner: Person) -> None:
    for name, colour, size, days in (("B", BRICK, (42, 9), 1), ("C", NAVY, (42, 36), 2), ("A", CREAM, (42, 18), 3)):
        now = NOW + timedelta(days=days)
        fabric = fabrics.add(owner=owner, facts=Facts(name=name, usable_width=42 * NM_PER_INCH, colour=colour), now=now)
        bought(fabric, [inches(*size)])
    cut_in_two(Piece.objects.get(fabric__name="A"))

    assert names(at_home) == names(at_home, sort="name") == ["A", "B", "C"]
    assert names(at_home, sort="newest") == ["A", "C", "B"]
    assert names(at_home, sort="most") == ["C", "A", "B"]
    assert names(at_home, sort="rest") == ["B", "C", "A"]
    assert names(at_home, sort="hue") == ["B", "C", "A"]


# --- the address -----------------------------------------------------------------------------------------------------


def test_each_thing_asked_for_can_be_let_go_by_itself(at_home: Client, shelf: dict[str, Fabric]) -> None:
    response = at_home.get(
        "/stash/?words=a&tags=sea&tags=gift&amount=4+x+4+in&in_one=on&value=&sort=name&near=%231f2f5c"
    )

    without = {chip.words: chip.without for chip in response.context["chips"]}
    assert list(without) == [
        "“a”",
        "Near dark blue",
        "At least 4 x 4 in in one piece",
        "Tag: sea",
        "Tag: gift",
    ]
    assert without["Tag: sea"] == "words=a&near=%231f2f5c&in_one=on&sort=name&amount=4+x+4+in&tags=gift"
    assert "in_one" not in without["At least 4 x 4 in in one piece"]
    for rest in without.values():
        [one] = at_home.get(f"/stash/?{rest}").context["found"].cloths
        assert one.row.name == "Harbour"


def test_the_address_says_what_is_asked_and_no_more(at_home: Client, shelf: dict[str, Fabric]) -> None:
    empty = {"words": "", "near": "", "kind": "", "amount": "", "sort": "", "like": ""}

    def kept(**asked: str) -> str:
        response = at_home.get("/stash/", {**empty, **asked}, headers={"HX-Request": "true"})
        return response.headers["HX-Replace-Url"]

    assert kept() == "/stash/"
    assert kept(value="dark", words="box k") == "/stash/?words=box+k&value=dark"


def test_what_cannot_be_asked_is_told_at_its_field_and_in_place(at_home: Client, shelf: dict[str, Fabric]) -> None:
    wrong = {"amount": "some", "near": "indigo", "value": "murky", "hue": "beige", "scale": "9", "sort": "price"}

    assert set(errors(at_home.get("/stash/", wrong))) == set(wrong)
    part = words(at_home.get("/stash/", wrong, headers={"HX-Request": "true"}))
    assert 'role="alert"' in part
    assert "Choose a value from the list." in part


@pytest.mark.parametrize("shown", ["", "0", "-5", "x", "²", "999999999999999999999", "60&from=x", "60&from=999999"])
def test_however_much_is_asked_to_be_shown_a_page_comes(at_home: Client, shelf: dict[str, Fabric], shown: str) -> None:
    assert len(at_home.get(f"/stash/?shown={shown}").context["found"].cloths) == 4


def test_a_long_shelf_comes_in_parts_that_join_into_the_whole(at_home: Client, owner: Person) -> None:
    total = PER_PAGE + 5
    for n in range(total):
        PieceFactory.create(fabric=FabricFactory.create(owner=owner, name=f"Cloth {n:03}"))

    first = at_home.get("/stash/")
    assert len(first.context["found"].cloths) == PER_PAGE
    assert f"{total} fabrics, {total} pieces" in words(first)
    assert "/stash/?shown=120" in words(first)

    rest = at_home.get(f"/stash/?{first.context['more']['part']}", headers={"HX-Request": "true"})
    assert [found.row.name for found in rest.context["found"].cloths] == [f"Cloth {n:03}" for n in range(60, 65)]
    assert words(rest).strip().startswith("<li")
    assert rest.headers["HX-Replace-Url"] == "/stash/?shown=120"

    assert names(at_home, shown="120") == [f"Cloth {n:03}" for n in range(total)]
    assert "Show more" not in words(at_home.get("/stash/?shown=120"))


def test_a_metric_quilter_asks_in_centimetres() -> None:
    dora = PersonFactory.create(system=System.METRIC)
    stock(dora, "Kelp", (42, 36))
    browser = Client()
    browser.force_login(dora)

    assert names(browser, amount="90 cm") == ["Kelp"]
    assert names(browser, amount="1,5 m") == []


def test_the_day_is_what_decides_what_rests(owner: Person) -> None:
    stock(owner, "Kelp")

    def resting(day: Any) -> int:
        return find(owner=owner, sought=Sought(resting=True), today=day).count

    assert resting(TODAY) == resting(TODAY + RESTING) == 0
    assert resting(TODAY + RESTING + timedelta(days=1)) == 1
