"""What her own washes teach against the formula of ISO 5077: change = (after - before) / before x 100, minus for shrinkage.

Source of the formula: ISO 5077:2007 as read in its stored text (standards.mealir.com) and in texfire.net on UNE-EN ISO 5077:2008; the
lengths are ours, worked with the formula by hand."""

from fractions import Fraction

import pytest

from quiltbook.people.models import Person
from stash.queries.shrinkage import learned
from stash.services import cloth
from tests.factories import NOW, TODAY, FabricFactory, PieceFactory, cm

# before and after across, before and after along, in cm; the change each way in per cent
WASHES = [
    ((50, 48.5, 50, 47.5), (-3, -5)),
    ((40, 39, 80, 78), (Fraction(-5, 2), Fraction(-5, 2))),
    ((50, 50.5, 35, 35), (1, 0)),
    ((107, 104.86, 200, 193), (-2, Fraction(-7, 2))),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("sizes", "change"), WASHES)
def test_one_wash_teaches_what_the_formula_says(
    owner: Person, sizes: tuple[float, float, float, float], change: tuple[Fraction, Fraction]
) -> None:
    before_across, after_across, before_along, after_along = sizes
    piece = PieceFactory.create(fabric=FabricFactory.create(owner=owner), size=cm(before_across, before_along))
    cloth.wash(piece=piece, measured=cm(after_across, after_along), day=TODAY, now=NOW)

    known = learned(owner=owner, kind="cotton")

    assert known is not None
    assert (-100 * known.mean.width, -100 * known.mean.length) == change
