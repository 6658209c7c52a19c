"""How does an archive become somebody's stash? Row by row as it was, under new numbers, into an account with nothing in it: all or nothing.

Numbers are never taken from an archive: a row can only refer to another row of the same archive, so to nobody else's."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, cast
from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DataError, IntegrityError, models, transaction

from quiltbook.people.currencies import CURRENCIES
from quiltbook.people.models import Person, Settings
from stash.models import Photo
from stash.models.ledger import AppendOnly
from stash.queries.adds_up import what_does_not_add_up
from stash.services.archive import ArchiveError, Table, through_of
from stash.services.archive_reading import Contents, Rows

_BATCH = 500
_NOT_TEXT = re.compile("[\x00\ud800-\udfff]")
_COLOUR = re.compile("#[0-9a-f]{6}")
_MOST_NUMBER = 2**63
_YEARS = range(1900, 2200)
_CHECKED_BEFORE = (models.JSONField, models.FileField, models.AutoField)


@dataclass(frozen=True, slots=True)
class Mention:
    """A number within text that is that of a row of the table `label`: what `pattern` finds."""

    pattern: re.Pattern[str]
    label: str

    def renumbered(self, text: str, ids: Mapping[int, int]) -> str:
        return self.pattern.sub(lambda found: str(ids.get(int(found[0]), 0)), text)


def load(
    *,
    owner: Person,
    tables: Sequence[Table],
    mentions: Sequence[Mention],
    contents: Contents,
    check: Callable[[Person], None],
) -> dict[str, int]:
    """Make everything of an archive the owner's, and say how many rows of each table there are. `check` may refuse what was loaded by an
    ArchiveError. Raises ArchiveError, and then nothing was loaded."""
    stored: dict[str, str] = {}
    try:
        for name in _pictures(tables, contents.tables):
            stored[name] = default_storage.save(
                f"{owner.pk}/fabrics/{secrets.token_urlsafe(16)}.webp", ContentFile(contents.picture(name))
            )
        with transaction.atomic():
            _empty(owner, tables)
            loading = _Loading(owner, mentions, stored)
            for table in tables:
                loading.table(table, contents.tables.get(table.label, []))
            if wrong := what_does_not_add_up(owner=owner):
                raise ArchiveError(f"That archive does not add up: {wrong} Nothing of it was loaded.")
            check(owner)
    except BaseException:
        for name in stored.values():
            default_storage.delete(name)
        raise
    return {label: len(ids) for label, ids in loading.ids.items()}


def _pictures(tables: Sequence[Table], rows: Mapping[str, Rows]) -> Iterator[str]:
    """The names of all pictures that rows show, each once; and first whether all the tables are known."""
    if strange := set(rows) - {table.label for table in tables}:
        raise ArchiveError(
            f"There is something in that archive that this Quiltbook does not know (“{min(strange)[:60]}”): load it in a newer one."
        )
    files = {table.label: [c.name for c in table.columns if isinstance(c, models.FileField)] for table in tables}
    names = (row.get(name) for label, found in rows.items() for row in found for name in files[label])
    yield from dict.fromkeys(name for name in names if isinstance(name, str) and name)


def _empty(owner: Person, tables: Sequence[Table]) -> None:
    """Refuse an account with anything in it. Its row is locked, so that two archives cannot come in at once."""
    Person.objects.select_for_update().get(pk=owner.pk)
    for table in tables:
        if not table.there and table.model._base_manager.filter(**{table.owner: owner}).exists():
            raise ArchiveError(
                "An archive can only be loaded into an account with nothing in it, and there is something in yours: sign up anew and load it there."
            )


@dataclass(slots=True)
class _Loading:
    """`ids`: of each table, the new number by the archive's own."""

    owner: Person
    mentions: Sequence[Mention]
    pictures: Mapping[str, str]
    ids: dict[str, dict[int, int]] = field(default_factory=dict)

    def table(self, table: Table, rows: Rows) -> None:
        """Make the rows of a table in the order in which they were made."""
        ids = self.ids[table.label] = {}
        own = [column.name for column in table.columns if column.related_model is table.model]
        batch: dict[int, models.Model] = {}
        ahead: list[tuple[int, dict[str, Any]]] = []
        in_order = _numbered(table, rows)
        for number, row in in_order.items():
            if len(batch) == _BATCH or any(row.get(name) in batch for name in own):
                self._make(table, batch)
            # Where rows may change, one may refer to one that was made after it: that is said once both are there.
            if own and not issubclass(table.model, AppendOnly):
                unmade = {name: row[name] for name in own if row.get(name) is not None and row[name] not in ids}
                ahead += [(number, unmade)] if unmade else []
                row = {**row, **dict.fromkeys(unmade)}
            batch[number] = self._row(table, number, row)
        self._make(table, batch)
        for number, unmade in ahead:
            new = {f"{name}_id": self._new(table, number, table.label, target) for name, target in unmade.items()}
            table.model._base_manager.filter(pk=ids[number]).update(**new)
        self._pair(table, in_order)

    def _row(self, table: Table, number: int, row: Mapping[str, Any]) -> models.Model:
        """One row as a model, its values checked as a form would; columns that came after the archive have their defaults."""
        columns = table.columns
        if set(row) - {"id"} - {column.name for column in (*columns, *table.many)}:
            raise _wrong(table, number)
        values = {
            column.attname: self._value(table, number, column, row[column.name])
            for column in columns
            if column.name in row
        }
        whose = {column.attname: self.owner.pk for column in table.model._meta.fields if column.related_model is Person}
        made = table.model(**values, **whose)
        unchecked = [c.name for c in table.model._meta.fields if c.related_model or isinstance(c, _CHECKED_BEFORE)]
        try:
            made.clean_fields(exclude=unchecked)
        except (ValidationError, TypeError, ValueError, ArithmeticError, AttributeError) as wrong:
            raise _wrong(table, number) from wrong
        if not _makes_sense(made):
            raise _wrong(table, number)
        return made

    def _value(self, table: Table, number: int, column: models.Field[Any, Any], value: Any) -> Any:
        if value is not None and column.related_model is not None:
            return self._new(table, number, label_of(column), value)
        if isinstance(column, models.FileField):
            if value and value not in self.pictures:
                raise _wrong(table, number)
            return self.pictures[value] if value else ""
        try:
            if value is not None and not _fits(column, value):
                raise _wrong(table, number)
            return self._renumbered(value) if column.name in table.mentions else value
        except (ValueError, TypeError, RecursionError) as wrong:
            raise _wrong(table, number) from wrong

    def _new(self, table: Table, number: int, label: str, value: Any) -> int:
        """The new number of the row that this one refers to."""
        if type(value) is not int or value not in self.ids[label]:
            raise _wrong(table, number)
        return self.ids[label][value]

    def _renumbered(self, value: Any) -> Any:
        """Text, or JSON with text in it, whose mentions of rows say their new numbers: 0, which no row has, where there is no such row."""
        if isinstance(value, str):
            for mention in self.mentions:
                # What is not loaded yet cannot be mentioned in this table: see the order of the tables.
                if mention.label in self.ids:
                    value = mention.renumbered(value, self.ids[mention.label])
            return value
        if isinstance(value, list):
            return [self._renumbered(one) for one in value]
        if isinstance(value, dict):
            return {key: self._renumbered(one) for key, one in value.items()}
        return value

    def _make(self, table: Table, batch: dict[int, models.Model]) -> None:
        """Write the rows of a batch and empty it."""
        if not batch:
            return
        rows = table.model._base_manager
        try:
            with transaction.atomic():
                if table.there:
                    for made in batch.values():
                        made.pk = rows.get(**{table.owner: self.owner}).pk
                        made.save()
                else:
                    rows.bulk_create(batch.values())
        except (IntegrityError, DataError, OverflowError) as wrong:
            raise _wrong(table, min(batch)) from wrong
        self.ids[table.label] |= {number: made.pk for number, made in batch.items()}
        batch.clear()

    def _pair(self, table: Table, rows: Mapping[int, Mapping[str, Any]]) -> None:
        """Write which rows go with which, where many go with many."""
        for column in table.many:
            through, here, there = through_of(column), column.m2m_column_name(), column.m2m_reverse_name()
            pairs = []
            for number, row in rows.items():
                others = row.get(column.name, [])
                if not isinstance(others, list) or len(set(map(str, others))) < len(others):
                    raise _wrong(table, number)
                one = self.ids[table.label][number]
                pairs += [through(**{here: one, there: self._new(table, number, label_of(column), o)}) for o in others]
            through._base_manager.bulk_create(pairs, batch_size=_BATCH)


def label_of(column: models.Field[Any, Any]) -> str:
    """The table a column refers to."""
    return cast("type[models.Model]", column.related_model)._meta.label_lower


def _numbered(table: Table, rows: Rows) -> dict[int, dict[str, Any]]:
    """The rows by their number, in its order: that is the order in which they were made, and the ledger is read in it."""
    found: dict[int, dict[str, Any]] = {}
    for row in rows:
        number = row.get("id")
        if type(number) is not int or not 0 < number < _MOST_NUMBER or number in found:
            raise _wrong(table, None)
        found[number] = row
    if table.there and len(found) != 1:
        raise _wrong(table, None)
    return dict(sorted(found.items()))


def _fits(column: models.Field[Any, Any], value: Any) -> bool:
    """Whether a value is of the kind that is written down for this column. ValueError: it is not even a date."""
    if isinstance(column, models.JSONField):
        return not any(_NOT_TEXT.search(text) for text in _texts(value))
    if isinstance(column, models.BooleanField):
        return type(value) is bool
    if isinstance(column, models.IntegerField):
        return type(value) is int
    if not isinstance(value, str) or _NOT_TEXT.search(value):
        return False
    if isinstance(column, models.DateTimeField):
        moment = datetime.fromisoformat(value)
        return moment.tzinfo is not None and moment.year in _YEARS
    return not isinstance(column, models.DateField) or date.fromisoformat(value).year in _YEARS


def _makes_sense(made: models.Model) -> bool:
    """What only the forms see to otherwise."""
    if isinstance(made, Settings):
        return made.time_zone in available_timezones() and made.currency in CURRENCIES
    if isinstance(made, Photo):
        return isinstance(made.palette, list) and all(
            isinstance(one, list)
            and [type(part) for part in one] == [str, int]
            and _COLOUR.fullmatch(one[0])
            and 0 <= one[1] <= 1000
            for one in made.palette
        )
    return True


def _texts(value: Any) -> Iterator[str]:
    """All the text in a JSON value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for one in value:
            yield from _texts(one)
    elif isinstance(value, dict):
        yield from value
        for one in value.values():
            yield from _texts(one)


def _wrong(table: Table, number: int | None) -> ArchiveError:
    what = table.model._meta.verbose_name
    which = f" (number {number} or near it)" if number is not None else ""
    return ArchiveError(
        f"That archive is damaged: a {what} in it{which} says what cannot be. Nothing of it was loaded."
    )
