"""What her washes teach of a kind of cloth: first washes that stand, each way by itself."""

from datetime import timedelta
from fractions import Fraction

import pytest
from django.test import Client

from quiltbook.measures import System
from quiltbook.people.models import Person
from quiltbook.yardage.shrinkage import Shrinkage
from stash.models import Fabric, Movement, Piece
from stash.queries.shrinkage import USUAL, is_washed, learned, to_expect, to_reckon_with, told
from stash.services import cloth, ledger
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, inches
from tests.stash.typing_in import plain, words

pytestmark = pytest.mark.django_db


def share(width: float, length: float) -> Shrinkage:
    """Of so many per cent."""
    return Shrinkage(Fraction(str(width)) / 100, Fraction(str(length)) / 100)


def washed(fabric: Fabric, across: float, along: float) -> Movement:
    """100 x 100 in that came out so large."""
    piece = PieceFactory.create(fabric=fabric, size=inches(100, 100))
    return cloth.wash(piece=piece, measured=inches(across, along), day=TODAY, now=NOW)


def test_nothing_is_learned_before_a_wash(owner: Person, piece: Piece) -> None:
    assert learned(owner=owner, kind="cotton") is None


def test_the_mean_the_least_and_the_most_are_learned_each_way(owner: Person, kelp: Fabric) -> None:
    for across, along in ((98, 97), (99, 95), (100, 96)):
        washed(kelp, across, along)

    known = learned(owner=owner, kind="cotton")

    assert known is not None
    assert (known.washes, known.mean, known.least, known.most) == (3, share(1, 4), share(0, 3), share(2, 5))


def test_another_kind_and_another_person_teach_nothing(owner: Person, friend: Person, kelp: Fabric) -> None:
    washed(FabricFactory.create(owner=owner, kind="linen"), 90, 90)
    washed(FabricFactory.create(owner=friend), 90, 90)

    assert learned(owner=owner, kind="cotton") is None


def test_a_wash_undone_teaches_nothing_until_it_is_done_again(owner: Person, kelp: Fabric) -> None:
    movement = washed(kelp, 98, 97)
    undone = ledger.reverse(movement=movement, day=TODAY, now=NOW)
    assert learned(owner=owner, kind="cotton") is None

    ledger.reverse(movement=undone, day=TODAY, now=NOW)
    assert learned(owner=owner, kind="cotton") is not None


def test_a_second_wash_teaches_nothing_of_new_cloth(owner: Person, kelp: Fabric) -> None:
    washed(kelp, 98, 96)
    once = Piece.objects.on_shelf().get()
    cloth.move(piece=once, place="Line", day=TODAY, now=NOW)
    cloth.wash(piece=once, measured=inches(97.9, 95.9), day=TODAY, now=NOW)

    known = learned(owner=owner, kind="cotton")
    assert known is not None
    assert (known.washes, known.mean) == (1, share(2, 4))


def test_cloth_said_to_have_lost_half_in_the_wash_was_cut_and_teaches_nothing(owner: Person, kelp: Fabric) -> None:
    washed(kelp, 98, 40)

    assert learned(owner=owner, kind="cotton") is None


def test_what_comes_of_washed_cloth_is_washed_and_its_neighbours_are_not(kelp: Fabric) -> None:
    new = PieceFactory.create(fabric=kelp)
    washed(kelp, 98, 96)
    once = Piece.objects.on_shelf().latest("pk")
    assert is_washed(once)
    cloth.split(piece=once, sizes=[inches(98, 40)], keep_rest=True, day=TODAY, now=NOW)
    part, rest = Piece.objects.on_shelf().order_by("-pk")[:2]
    cloth.recount(piece=part, measured=inches(90, 30), day=TODAY, now=NOW)

    assert is_washed(rest)
    assert is_washed(Piece.objects.on_shelf().latest("pk"))
    cloth.move_all(pieces=[new, rest], place="Together", day=TODAY, now=NOW)
    assert not is_washed(new)


def test_cloth_whose_wash_is_undone_is_not_washed(piece: Piece) -> None:
    movement = cloth.wash(piece=piece, measured=inches(41, 35), day=TODAY, now=NOW)
    ledger.undo(movement=movement, day=TODAY, now=NOW + timedelta(minutes=1))

    assert not is_washed(piece)


def test_what_is_reckoned_with_is_the_most_and_little_known_is_no_less_than_usual(owner: Person, kelp: Fabric) -> None:
    assert to_reckon_with(None) == USUAL
    washed(kelp, 99, 95)
    assert to_reckon_with(learned(owner=owner, kind="cotton")) == share(3, 5)
    washed(kelp, 98, 96)
    washed(kelp, 101, 96)
    assert to_reckon_with(learned(owner=owner, kind="cotton")) == share(2, 5)


def test_that_cloth_grows_is_never_counted_on(owner: Person, kelp: Fabric) -> None:
    for _ in range(3):
        washed(kelp, 101, 98)

    assert to_reckon_with(learned(owner=owner, kind="cotton")) == share(0, 2)


def test_it_is_told_in_a_sentence_with_its_spread(owner: Person, kelp: Fabric) -> None:
    washed(kelp, 100.5, 97)
    known = learned(owner=owner, kind="cotton")
    assert known is not None
    assert plain(told(known)) == "Quilting cotton of yours shrank 3 % along and grew 0.5 % across in one wash."
    washed(kelp, 98, 95.5)
    known = learned(owner=owner, kind="cotton")
    assert known is not None
    assert plain(told(known)) == (
        "Quilting cotton of yours shrank 3.8 % along and 0.8 % across in 2 washes: 3 to 4.5 % along, −0.5 to 2 % across."
    )
    assert plain(to_expect(known, inches(42, 36), System.INCHES)) == "By them it comes out about 41 5/8 × 34 5/8 in."


def test_the_pages_of_the_fabric_and_of_the_piece_say_what_to_expect(
    at_home: Client, kelp: Fabric, piece: Piece
) -> None:
    assert "In the wash" not in words(at_home.get(f"/stash/{kelp.pk}/"))
    washed(kelp, 98, 97)

    said = "shrank 3 % along and 2 % across in one wash"
    assert said in words(at_home.get(f"/stash/{kelp.pk}/"))
    assert said in words(at_home.get(f"/stash/pieces/{piece.pk}/"))
    assert "41 1/8 × 34 7/8 in" in words(at_home.get(f"/stash/pieces/{piece.pk}/"))
    once = Piece.objects.on_shelf().latest("pk")
    assert "has been washed before" in words(at_home.get(f"/stash/pieces/{once.pk}/"))
