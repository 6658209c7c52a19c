"""How does a whole table of cloth come onto the shelf at once? All of it or none, and each row once: what came in is remembered by its digest.

Written many rows at a time, since a table has thousands; what it writes is what stash.services.cloth and ledger would write row by row."""

from __future__ import annotations

import hashlib
import json
import re
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Max

from quiltbook.people.models import Person
from stash.models import Fabric, ImportedRow, Movement, MovementLine, Piece, Purchase
from stash.services import fabrics, ledger
from stash.services.errors import StashError
from stash.services.fabrics import Arrival, Facts

ASIDE_FOR = timedelta(days=1)
NOTE = "From a table"
_ASIDE = re.compile(r"[\w-]{22}", re.ASCII)
_BATCH = 500


@dataclass(frozen=True, slots=True)
class NewCloth:
    """What one row of a table brings: facts for a fabric she has not got yet, and the cloth of it."""

    facts: Facts
    arrival: Arrival
    digest: str


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came in. `first_row`: by which it can be undone; None where nothing came."""

    pieces: int
    fabrics: int
    new_fabrics: int
    first_row: int | None


def digest_of(told: Mapping[str, Any], ordinal: int) -> str:
    """Of what a row tells, however its columns stand and its numbers are written, and of how many rows like it stood before it."""
    return hashlib.sha256(json.dumps([sorted(told.items()), ordinal], default=_plain).encode()).hexdigest()


def _plain(value: object) -> str:
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)


@transaction.atomic
def take_in(*, owner: Person, cloths: Sequence[NewCloth], now: datetime) -> TakenIn:
    """Put the cloth on the shelf, one movement a row; a row whose digest came in before stays out."""
    Person.objects.select_for_update().get(pk=owner.pk)
    been = set(ImportedRow.objects.filter(owner=owner).values_list("digest", flat=True))
    coming = [cloth for cloth in cloths if cloth.digest not in been]
    if not coming:
        return TakenIn(0, 0, 0, None)
    shelf = _Shelf(owner, now)
    pieces = sum(shelf.take(coming[n : n + _BATCH]) for n in range(0, len(coming), _BATCH))
    first = ImportedRow.objects.filter(owner=owner, imported_at=now).order_by("pk")[0]
    return TakenIn(pieces, len({cloth.facts.name for cloth in coming}), shelf.new, first.pk)


@transaction.atomic
def undo(*, row: ImportedRow, day: date, now: datetime) -> int:
    """Take back all that came in with this row, and forget the rows, so that they can come in again; says how many movements were
    taken back. Raises StashError where a piece has since moved or is held. Its fabrics stay, with no cloth of them."""
    together = ImportedRow.objects.filter(owner=row.owner, imported_at=row.imported_at)
    movements = Movement.objects.of(row.owner).filter(recorded_at=row.imported_at, note=NOTE, reversed_by=None)
    for movement in movements.order_by("-pk"):
        ledger.reverse(movement=movement, day=day, now=now)
    together.delete()
    return len(movements)


def set_aside(*, owner: Person, table: bytes, now: datetime) -> str:
    """Keep a table for a day while she looks at what it would bring; returns the name to ask for it by."""
    _clear(owner, before=now - ASIDE_FOR)
    name = secrets.token_urlsafe(16)
    default_storage.save(_aside(owner, name), ContentFile(table))
    return name


def aside(*, owner: Person, name: str) -> bytes:
    """The table set aside under this name. Raises StashError where there is none of hers."""
    if not _ASIDE.fullmatch(name) or not default_storage.exists(_aside(owner, name)):
        raise StashError("That table was kept for a day only: choose the file again.")
    with default_storage.open(_aside(owner, name)) as file:
        return bytes(file.read())


def drop_aside(*, owner: Person, name: str) -> None:
    """It came in, so nobody asks for it again."""
    default_storage.delete(_aside(owner, name))


def _aside(owner: Person, name: str) -> str:
    return f"{owner.pk}/tables/{name}.csv"


def _clear(owner: Person, *, before: datetime) -> None:
    folder = f"{owner.pk}/tables"
    if default_storage.exists(folder):
        for name in default_storage.listdir(folder)[1]:
            if default_storage.get_modified_time(f"{folder}/{name}") < before:
                default_storage.delete(f"{folder}/{name}")


@dataclass(slots=True)
class _Shelf:
    """Her shelf as it fills. `new`: how many fabrics were made."""

    owner: Person
    now: datetime
    new: int = 0
    fabrics: dict[str, Fabric] = field(init=False)
    numbers: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        hers = Fabric.objects.select_for_update().of(self.owner)
        self.fabrics = {fabric.name.casefold(): fabric for fabric in hers}
        last = Piece.objects.of(self.owner).values_list("fabric").annotate(last=Max("number"))
        self.numbers = dict(last)

    def take(self, cloths: Sequence[NewCloth]) -> int:
        """Write a batch of rows, and say how many pieces they were."""
        pieces = [self._pieces(cloth) for cloth in cloths]
        Piece.objects.bulk_create(piece for one in pieces for piece in one)
        movements = Movement.objects.bulk_create(
            self._movement(cloth, one) for cloth, one in zip(cloths, pieces, strict=True)
        )
        Purchase.objects.bulk_create(
            Purchase(movement=movement, price=paid.price, currency=paid.currency, bought_from=paid.bought_from)
            for movement, cloth in zip(movements, cloths, strict=True)
            if (paid := cloth.arrival.paid) is not None
        )
        MovementLine.objects.bulk_create(
            MovementLine(movement=movement, piece=piece, change=1, place=piece.place)
            for movement, one in zip(movements, pieces, strict=True)
            for piece in one
        )
        ImportedRow.objects.bulk_create(
            ImportedRow(owner=self.owner, digest=cloth.digest, imported_at=self.now) for cloth in cloths
        )
        return sum(map(len, pieces))

    def _pieces(self, cloth: NewCloth) -> list[Piece]:
        fabric = self._fabric(cloth.facts)
        arrival = cloth.arrival
        last = self.numbers.get(fabric.pk, 0)
        self.numbers[fabric.pk] = last + len(arrival.sizes)
        return [
            Piece(
                owner=self.owner,
                fabric=fabric,
                number=last + i,
                label=f"{arrival.label} {i}" if arrival.label and len(arrival.sizes) > 1 else arrival.label,
                width=int(size.width),
                length=int(size.length),
                place=arrival.place,
                on_shelf=True,
            )
            for i, size in enumerate(arrival.sizes, start=1)
        ]

    def _fabric(self, facts: Facts) -> Fabric:
        key = facts.name.casefold()
        if key not in self.fabrics:
            self.fabrics[key] = fabrics.add(owner=self.owner, facts=facts, now=self.now)
            self.new += 1
        return self.fabrics[key]

    def _movement(self, cloth: NewCloth, pieces: Sequence[Piece]) -> Movement:
        return Movement(
            owner=self.owner,
            kind=Movement.Kind.COUNTED if cloth.arrival.paid is None else Movement.Kind.BOUGHT,
            day=cloth.arrival.day,
            recorded_at=self.now,
            note=NOTE,
            difference_mm2=-sum(piece.area_mm2 for piece in pieces),
        )
