"""Labels: the code on one, the square a phone reads, the sheet, and the piece it opens."""

import io

import pytest
import segno
import zxingcpp
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from stash.queries.labels import CHECKS, DIGITS, MOST, code_of, number_of
from stash.services import cloth, ledger
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, inches
from tests.stash.typing_in import words


@given(st.integers(0, 2**63 - 1))
def test_a_code_means_the_number_it_was_made_of_however_it_is_typed(number: int) -> None:
    code = code_of(number)

    assert number_of(code) == number
    assert number_of(code.lower().replace("0", "o").replace("1", "l")) == number
    assert number_of(f"{code[:2]}-{code[2:]}") == number


@given(st.integers(0, 10**7), st.data())
def test_one_wrong_character_is_found_out(number: int, data: st.DataObject) -> None:
    code = code_of(number)
    place = data.draw(st.integers(0, len(code) - 2))
    other = data.draw(st.sampled_from([digit for digit in DIGITS if digit != code[place]]))

    assert number_of(code[:place] + other + code[place + 1 :]) is None


@given(st.integers(0, 10**7), st.data())
def test_two_neighbours_swapped_are_found_out(number: int, data: st.DataObject) -> None:
    code = code_of(number)
    place = data.draw(st.integers(0, len(code) - 3))
    swapped = code[:place] + code[place + 1] + code[place] + code[place + 2 :]

    assert swapped == code or number_of(swapped) is None


@pytest.mark.parametrize("typed", ["", "0", "U00", "nonsense", "016J", "016J*", "9" * 40, "0ß0", "\x000", "٣٣٣"])
def test_what_is_no_code_means_nothing(typed: str) -> None:
    assert number_of(typed) is None


def test_digits_and_check_symbols_are_those_of_the_published_table() -> None:
    """D. Crockford, "Base 32" (crockford.com/base32.html), from memory: 32 symbols without I, L, O, U, then * ~ $ = U. 1234 is
    1*1024 + 6*32 + 18, the remainder by 37 is 13."""
    assert DIGITS == "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    assert CHECKS[32:] == "*~$=U"
    assert code_of(1234) == "16JD"
    assert code_of(7) == "0077"


pytest_db = pytest.mark.django_db


@pytest_db
def test_a_code_opens_the_piece_once_signed_in(client: Client, owner: Person, piece: Piece) -> None:
    address = f"/stash/p/{code_of(piece.pk)}/"

    asked = client.get(address)
    assert asked.status_code == 302
    assert asked["Location"].startswith("/you/sign-in/")
    assert address in asked["Location"].replace("%3D", "=").replace("%2A", "*")
    client.force_login(owner)
    assert client.get(address)["Location"] == f"/stash/pieces/{piece.pk}/"


@pytest_db
def test_other_peoples_labels_and_codes_of_nothing_open_nothing(client: Client, stranger: Person, piece: Piece) -> None:
    client.force_login(stranger)

    for code in (code_of(piece.pk), code_of(10**12), code_of(2**63), "0000000", "wrong"):
        assert client.get(f"/stash/p/{code}/").status_code == 404


@pytest_db
def test_every_check_symbol_stands_in_an_address(at_home: Client, kelp: Fabric) -> None:
    seen: set[str] = set()
    while not set("*~$=U") <= seen:
        piece = PieceFactory.create(fabric=kelp)
        code = code_of(piece.pk)
        seen.add(code[-1])
        if code[-1] in "*~$=U":
            assert at_home.get(f"/stash/p/{code}/")["Location"] == f"/stash/pieces/{piece.pk}/"


@pytest_db
def test_the_label_on_washed_and_measured_cloth_opens_what_became_of_it(at_home: Client, piece: Piece) -> None:
    address = f"/stash/p/{code_of(piece.pk)}/"
    cloth.wash(piece=piece, measured=inches(41, 35), day=TODAY, now=NOW)
    washed = Piece.objects.on_shelf().get()
    movement = cloth.recount(piece=washed, measured=inches(41, 34), day=TODAY, now=NOW)
    now = Piece.objects.on_shelf().get()

    assert at_home.get(address)["Location"] == f"/stash/pieces/{now.pk}/"
    ledger.undo(movement=movement, day=TODAY, now=NOW)
    assert at_home.get(address)["Location"] == f"/stash/pieces/{washed.pk}/"


@pytest_db
def test_the_label_of_cloth_that_is_gone_opens_its_own_page(at_home: Client, piece: Piece) -> None:
    cloth.scrap(piece=piece, day=TODAY, now=NOW)

    assert at_home.get(f"/stash/p/{code_of(piece.pk)}/")["Location"] == f"/stash/pieces/{piece.pk}/"


@pytest_db
def test_the_square_on_a_sheet_is_read_back_as_the_address_of_the_piece(at_home: Client, piece: Piece) -> None:
    """The page's square is drawn anew from its own path and read by a decoder that shares no code with what made it."""
    page = at_home.get("/stash/labels/sheet/", {"piece": str(piece.pk), "paper": "a4", "first": "1"})

    [printed] = [one for one in page.context["sheets"][0] if one.label]
    assert "style=" not in printed.square
    assert read(drawn(printed.square)) == f"http://testserver/stash/p/{code_of(piece.pk)}/"
    assert printed.square in page.content.decode()


def drawn(svg: str) -> Image.Image:
    """The picture in black and white: the path is runs of one module's height, `M x y`, `h run`, `m dx dy`."""
    side = int(svg.split('viewBox="0 0 ')[1].split(" ")[0])
    path = svg.rsplit(' d="', 1)[1].split('"')[0]
    picture = Image.new("L", (side, side), 255)
    x, y = 0.0, 0.0
    for step in path.replace("M", " M").replace("m", " m").replace("h", " h").split(" M"):
        words_ = ("M" + step).replace(" m", "|m").replace(" h", "|h").split("|") if step.strip() else []
        for word in words_:
            figures = [float(f) for f in word[1:].replace("-", " -").split()]
            if word[0] == "M":
                x, y = figures
            elif word[0] == "m":
                x, y = x + figures[0], y + figures[1]
            else:
                for module in range(int(figures[0])):
                    picture.putpixel((int(x) + module, int(y)), 0)
                x += figures[0]
    return picture.resize((side * 8, side * 8), Image.Resampling.NEAREST)


def read(picture: Image.Image) -> str:
    [found] = zxingcpp.read_barcodes(picture)
    return str(found.text)


def test_the_decoder_reads_what_is_there_and_nothing_else() -> None:
    out = io.BytesIO()
    segno.make("another", micro=False).save(out, kind="png", scale=8)
    assert read(Image.open(out)) == "another"
    assert zxingcpp.read_barcodes(Image.new("L", (200, 200), 255)) == []


@pytest_db
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_sheet_has_what_a_label_says_and_begins_where_she_likes(at_home: Client, piece: Piece, paper: str) -> None:
    page = at_home.get("/stash/labels/sheet/", {"piece": str(piece.pk), "paper": paper, "first": "5"})

    [sheet] = page.context["sheets"]
    assert [one.label is None for one in sheet] == [True] * 4 + [False]
    text = words(page)
    for said in ("Kelp", "42 × 36 in", "Blue box", code_of(piece.pk), f'class="sheet {paper}"'):
        assert said in text


@pytest_db
def test_more_than_a_sheet_holds_goes_on_the_next(at_home: Client, kelp: Fabric) -> None:
    pieces = [str(PieceFactory.create(fabric=kelp).pk) for _ in range(25)]

    page = at_home.get("/stash/labels/sheet/", {"piece": pieces, "paper": "a4"})

    assert [len(sheet) for sheet in page.context["sheets"]] == [24, 1]


@pytest_db
def test_pieces_are_listed_by_place_by_fabric_or_all(at_home: Client, piece: Piece, owner: Person) -> None:
    other = PieceFactory.create(fabric=FabricFactory.create(owner=owner, name="Ochre"))

    def listed(**asked: str | int) -> set[int]:
        return {row.piece_id for row in at_home.get("/stash/labels/", asked).context["rows"]}

    assert listed() == {piece.pk, other.pk}
    assert listed(lies="in:Blue box") == {piece.pk}
    assert listed(lies="none") == {other.pk}
    assert listed(fabric=other.fabric_id) == {other.pk}
    assert listed(piece=piece.pk) == {piece.pk}
    assert listed(lies="in:Nowhere known", piece="x", fabric="9" * 40) == {piece.pk, other.pk}


@pytest_db
@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({}, "piece"),
        ({"piece": "x"}, "piece"),
        ({"piece": "99999999"}, "piece"),
        ({"paper": "parchment"}, "paper"),
        ({"first": "0"}, "first"),
        ({"first": "25"}, "first"),
        ({"first": "one"}, "first"),
    ],
)
def test_what_cannot_be_printed_is_told_at_its_field(
    at_home: Client, piece: Piece, asked: dict[str, str], field: str
) -> None:
    right = {} if "piece" in asked or not asked else {"piece": str(piece.pk)}

    page = at_home.get("/stash/labels/sheet/", {"paper": "a4", **right, **asked})

    assert list(page.context["form"].errors) == [field]


@pytest_db
def test_nobody_prints_labels_of_what_is_not_hers(at_home: Client, stranger: Person) -> None:
    theirs = PieceFactory.create(fabric=FabricFactory.create(owner=stranger))

    page = at_home.get("/stash/labels/sheet/", {"piece": str(theirs.pk), "paper": "a4"})
    assert "piece" in page.context["form"].errors


@pytest_db
def test_no_more_are_printed_at_once_than_ten_sheets(at_home: Client, owner: Person, kelp: Fabric) -> None:
    Piece.objects.bulk_create(
        Piece(owner=owner, fabric=kelp, number=n, width=1, length=1, on_shelf=True) for n in range(1, MOST + 4)
    )

    page = at_home.get("/stash/labels/")
    assert len(page.context["rows"]) == MOST
    assert "3 more pieces do not go on ten sheets" in words(page)
