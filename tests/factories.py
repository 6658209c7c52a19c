"""Plain builders of one valid thing each. Whatever changes cloth goes through a service, so that the ledger is true."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Any

from factory.declarations import Sequence, SubFactory
from factory.django import DjangoModelFactory

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Size, System
from quiltbook.people.models import Person
from quiltbook.people.services import sign_up
from stash.models import Fabric, Piece
from stash.services import cloth, fabrics
from stash.services.cloth import Paid
from stash.services.fabrics import Facts

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
PASSWORD = "running-stitch-8"


def inches(width: float, length: float) -> Size:
    """A size in whole nm, given in inches."""
    return Size(round(width * NM_PER_INCH), round(length * NM_PER_INCH))


def cm(width: float, length: float) -> Size:
    """A size in whole nm, given in centimetres."""
    return Size(round(width * NM_PER_CM), round(length * NM_PER_CM))


class PersonFactory(DjangoModelFactory[Person]):
    """Somebody with the usual figures of her `system`."""

    class Meta:
        model = Person

    username = Sequence(lambda n: f"quilter{n}")
    password = PASSWORD
    system = System.INCHES

    @classmethod
    def _create(cls, model_class: type[Person], *args: Any, **kwargs: Any) -> Person:
        return sign_up(**kwargs)


class FabricFactory(DjangoModelFactory[Fabric]):
    class Meta:
        model = Fabric

    owner = SubFactory(PersonFactory)
    name = Sequence(lambda n: f"Kelp {n}")
    usable_width = 42 * NM_PER_INCH
    colour = "#2f4b7c"

    @classmethod
    def _create(cls, model_class: type[Fabric], *args: Any, **kwargs: Any) -> Fabric:
        return fabrics.add(owner=kwargs.pop("owner"), facts=Facts(**kwargs), now=NOW)


class PieceFactory(DjangoModelFactory[Piece]):
    """A piece on the shelf, bought today: 42 x 36 in unless another `size` is said."""

    class Meta:
        model = Piece

    fabric = SubFactory(FabricFactory)
    size = inches(42, 36)
    place = ""
    label = ""

    @classmethod
    def _create(cls, model_class: type[Piece], *args: Any, **kwargs: Any) -> Piece:
        return bought(kwargs["fabric"], [kwargs["size"]], place=kwargs["place"], label=kwargs["label"])[0]


def bought(fabric: Fabric, sizes: Iterable[Size], *, place: str = "", label: str = "") -> list[Piece]:
    """Pieces on the shelf, by one purchase that names no price."""
    movement = cloth.buy(
        fabric=fabric, sizes=list(sizes), paid=Paid(None, "EUR"), place=place, label=label, day=TODAY, now=NOW
    )
    return list(Piece.objects.filter(lines__movement=movement).select_related("fabric").order_by("number"))
