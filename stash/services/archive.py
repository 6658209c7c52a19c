"""How are all the rows of one person written down, so that they can be read in elsewhere? Table by table into one ZIP of JSON and pictures.

Which tables there are beyond the stash is said by whoever calls: see plans.services.archive, which puts the whole person together. Rows keep
their numbers in the archive; archive_loading gives them new ones. `FORMAT` is raised when an archive of old cannot be read as it is."""

from __future__ import annotations

import json
import tempfile
import zipfile
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import IO, Any, cast

from django.core.files.storage import default_storage
from django.db import models, transaction

from quiltbook.people.models import Person, Settings
from stash.models import (
    Fabric,
    Hold,
    ImportedRow,
    Movement,
    MovementLine,
    Notion,
    NotionChange,
    Photo,
    Piece,
    Purchase,
    ScrapBin,
    ScrapChange,
    Stocktake,
    StocktakeMark,
    Tag,
)

FORMAT = 1
RECORDS = "quiltbook.json"
PICTURES = "pictures/"
_CHUNK = 1024 * 1024
_IN_MEMORY = 8 * 1024 * 1024


class ArchiveError(Exception):
    """An archive that cannot be made or read in; `str()` of it is fit to show."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of an archive. `owner`: the way from a row to the person. `mentions`: fields whose text or JSON names other rows by their
    number. `there`: every person has just one row of it already, which is replaced."""

    model: type[models.Model]
    owner: str
    mentions: frozenset[str] = field(default_factory=frozenset)
    there: bool = False

    @property
    def label(self) -> str:
        return self.model._meta.label_lower

    @property
    def columns(self) -> tuple[models.Field[Any, Any], ...]:
        """What is written down of a row besides its number: everything but whose it is."""
        every = cast("list[models.Field[Any, Any]]", self.model._meta.concrete_fields)
        return tuple(column for column in every if not column.primary_key and column.related_model is not Person)

    @property
    def many(self) -> tuple[models.ManyToManyField[Any, Any], ...]:
        return tuple(cast("list[models.ManyToManyField[Any, Any]]", self.model._meta.many_to_many))


_LINK = frozenset({"link"})
# Each after those it refers to. What a plan made names the plan's page, so it comes after the plans.
BEFORE_PLANS = (
    Table(Settings, "person", there=True),
    Table(Tag, "owner"),
    Table(Fabric, "owner"),
    Table(Photo, "owner"),
    Table(Piece, "owner"),
)
AFTER_PLANS = (
    Table(Movement, "owner", mentions=_LINK),
    Table(MovementLine, "movement__owner"),
    Table(Purchase, "movement__owner"),
    Table(Hold, "owner", mentions=_LINK),
    Table(Notion, "owner"),
    Table(NotionChange, "notion__owner", mentions=_LINK),
    Table(ScrapBin, "owner"),
    Table(ScrapChange, "bin__owner"),
    Table(Stocktake, "owner"),
    Table(StocktakeMark, "stocktake__owner"),
    Table(ImportedRow, "owner"),
)


def write(*, owner: Person, tables: Sequence[Table], now: datetime) -> IO[bytes]:
    """The archive of everything of hers in `tables`, as an open temporary file at its beginning. Raises ArchiveError."""
    out = cast("IO[bytes]", tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY))  # noqa: SIM115, whoever asked for it closes it
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        pictures = _Pictures()
        with transaction.atomic(), archive.open(RECORDS, "w", force_zip64=True) as records:
            for text in _records(owner, tables, pictures, now):
                records.write(text.encode())
        for stored, name in pictures.names.items():
            _add_picture(archive, stored, name)
    out.seek(0)
    return out


@dataclass(slots=True)
class _Pictures:
    """Which stored picture has which name in the archive; one that two rows show is in it once."""

    names: dict[str, str] = field(default_factory=dict)
    gone: set[str] = field(default_factory=set)

    def name(self, stored: str) -> str:
        """Its name in the archive; "" where nothing is stored under that name any more."""
        if not stored or stored in self.gone:
            return ""
        if stored not in self.names:
            if not default_storage.exists(stored):
                self.gone.add(stored)
                return ""
            self.names[stored] = f"{PICTURES}{len(self.names) + 1:06}.webp"
        return self.names[stored]


def _records(owner: Person, tables: Sequence[Table], pictures: _Pictures, now: datetime) -> Iterator[str]:
    yield f'{{"format": {FORMAT}, "made_at": {_json(now)}, "tables": {{'
    for number, table in enumerate(tables):
        yield f"{',' if number else ''}\n{_json(table.label)}: ["
        for line, row in enumerate(rows_of(table, owner, pictures)):
            yield f"{',' if line else ''}\n{_json(row)}"
        yield "]"
    yield "\n}}\n"


def rows_of(table: Table, owner: Person, pictures: _Pictures) -> Iterator[dict[str, Any]]:
    """The rows as an archive holds them, in the order they were made. A photo whose picture is lost is left out."""
    columns = table.columns
    files = {column.attname for column in columns if isinstance(column, models.FileField)}
    needed = {column.attname for column in columns if isinstance(column, models.FileField) and not column.blank}
    names = {column.attname: column.name for column in columns}
    many = {column.name: _pairs(column, table, owner) for column in table.many}
    found = table.model._base_manager.filter(**{table.owner: owner}).order_by("pk")
    for values in found.values("pk", *names).iterator():
        row = {name: values[attname] for attname, name in names.items()}
        row |= {names[attname]: pictures.name(values[attname]) for attname in files}
        if any(not row[names[attname]] for attname in needed):
            continue
        yield {"id": values["pk"], **row, **{name: pairs[values["pk"]] for name, pairs in many.items()}}


def _pairs(column: models.ManyToManyField[Any, Any], table: Table, owner: Person) -> dict[int, list[int]]:
    """Of each row, the numbers of those it goes with."""
    through = through_of(column)._base_manager
    here, there = column.m2m_column_name(), column.m2m_reverse_name()
    pairs: dict[int, list[int]] = defaultdict(list)
    for one, other in through.filter(**{f"{column.m2m_field_name()}__{table.owner}": owner}).values_list(here, there):
        pairs[one].append(other)
    return pairs


def through_of(column: models.ManyToManyField[Any, Any]) -> type[models.Model]:
    """The table that says which go with which."""
    return cast("type[models.Model]", column.remote_field.through)


def _add_picture(archive: zipfile.ZipFile, stored: str, name: str) -> None:
    """Stored as it is: a picture does not get smaller."""
    try:
        picture = default_storage.open(stored)
    except OSError as gone:
        raise ArchiveError("A picture was removed while the archive was being made: ask for it again.") from gone
    with picture, archive.open(zipfile.ZipInfo(name), "w") as out:
        while chunk := picture.read(_CHUNK):
            out.write(chunk)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, default=_plain)


def _plain(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    raise TypeError(f"{type(value).__name__} has no place in an archive")
