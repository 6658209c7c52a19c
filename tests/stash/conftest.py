"""What the stash's tests share: a fabric of the owner's with cloth of it."""

import pytest

from quiltbook.people.models import Person
from stash.models import Fabric, Piece
from tests.factories import FabricFactory, PieceFactory, inches


@pytest.fixture
def kelp(owner: Person) -> Fabric:
    """A fabric of the owner's, with no cloth of it yet."""
    return FabricFactory.create(owner=owner, name="Kelp")


@pytest.fixture
def piece(kelp: Fabric) -> Piece:
    """A yard of kelp in the blue box."""
    return PieceFactory.create(fabric=kelp, size=inches(42, 36), place="Blue box")
