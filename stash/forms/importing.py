"""What would come in from a table, row by row, and what is wrong with the rest? Every cell is read as the same words typed in a form are.

Nothing is written here: what is right is handed to stash.services.importing as it was understood."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.measures import NM_PER_METRE, Size
from quiltbook.people.currencies import CURRENCIES
from quiltbook.people.models import Person
from quiltbook.web.fields import LEAST_PIECE, AmountField, ColourField, LengthField, PastDayField, Words
from stash.colour import value_of
from stash.forms.arrival import LONGEST
from stash.forms.csv_file import MOST_ROWS, Line, Sheet
from stash.forms.fields import PriceField, TagsField
from stash.models import Fabric
from stash.queries.csv_rows import Here, here
from stash.queries.labels import number_of
from stash.services.cloth import Paid
from stash.services.fabrics import UNDYED, Arrival, Facts
from stash.services.importing import NewCloth, digest_of

WIDEST = 5 * NM_PER_METRE
LONGEST_LABEL = 60
_LONGEST_SHARED = 50  # of a label that several pieces count on
_OF_THE_FABRIC = ("kind", "colour", "value", "usable_width", "direction", "note", "tags")
_OF_A_PURCHASE = ("bought_on", "price", "shop")
_FIGURE = re.compile(r"[0-9]+,[0-9]+(?=\s*[a-z\"'.]*$)", re.IGNORECASE)
COMES, BEEN, HERE = "comes", "been", "here"


class ExportForm(forms.Form):
    cells = forms.ChoiceField(
        label="Between the cells",
        choices=[
            ("comma", "Commas: most spreadsheets"),
            ("semicolon", "Semicolons, and decimal commas: spreadsheets set to French, German and others"),
            ("tab", "Tabs"),
        ],
        initial="comma",
        widget=forms.RadioSelect,
    )


class UploadForm(forms.Form):
    table = forms.FileField(
        label="The table",
        help_text="A CSV file of up to 5 MB, with headings in its first row.",
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv"}),
        error_messages={
            "required": "Choose the file to take in.",
            "empty": "That file is empty. Choose a table.",
            "invalid": "No file arrived. Choose it again.",
        },
    )


class TakeInForm(forms.Form):
    leave_out = forms.BooleanField(required=False, label="Leave out the wrong ones")


@dataclass(frozen=True, slots=True)
class Wrong:
    """What is wrong with one cell, or with the row where `heading` is empty."""

    heading: str
    typed: str
    sentence: str


@dataclass(slots=True)
class Row:
    """One row as it was understood. `standing`: it would come in ("comes"), came in with a file before ("been"), or is a piece of hers
    already, by its code ("here")."""

    number: int
    name: str
    wrongs: list[Wrong] = field(default_factory=list)
    standing: str = COMES
    new_fabric: bool = False
    remark: str = ""
    cloth: NewCloth | None = None


@dataclass(frozen=True, slots=True)
class Checked:
    """A whole table looked through."""

    rows: tuple[Row, ...]
    unknown: tuple[str, ...]

    @property
    def wrong(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.wrongs)

    @property
    def coming(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.cloth is not None and row.standing == COMES)

    @property
    def there(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.cloth is not None and row.standing != COMES)

    @property
    def cloths(self) -> tuple[NewCloth, ...]:
        return tuple(row.cloth for row in self.coming if row.cloth is not None)

    @property
    def pieces(self) -> int:
        return sum(len(cloth.arrival.sizes) for cloth in self.cloths)

    @property
    def new_fabrics(self) -> int:
        return len({row.name.casefold() for row in self.coming if row.new_fabric})


def check(*, owner: Person, today: date, sheet: Sheet) -> Checked:
    """Look through a table against what is on her shelf today."""
    codes = [n for line in sheet.lines if (n := number_of(line.cells.get("code", ""))) is not None]
    checker = _Checker(owner, today, sheet, here(owner=owner, numbers=codes))
    rows = tuple(checker.row(line) for line in sheet.lines)
    for row in rows:
        if row.cloth is not None:
            row.cloth = replace(row.cloth, facts=checker.facts(row.name))
    return Checked(rows, sheet.unknown)


class _Choice(forms.Field):
    """A word out of a few, by its key or its name, in whatever capitals."""

    def __init__(self, choices: list[tuple[str, str]], what: str) -> None:
        super().__init__(required=False)
        self.keys = {spelling.casefold(): key for key, name in choices for spelling in (key, name) if key}
        names = [name for key, name in choices if key]
        self.sentence = f"This is no {what}: write {', '.join(names[:-1])} or {names[-1]}."

    def clean(self, value: str) -> str:
        if value and value.casefold() not in self.keys:
            raise ValidationError(self.sentence, code="choice")
        return self.keys[value.casefold()] if value else ""


class _Currency(forms.Field):
    def clean(self, value: str) -> str:
        if value and value.upper() not in CURRENCIES:
            raise ValidationError("This is no currency: write its three letters, like EUR.", code="currency")
        return value.upper()


class _Code(forms.Field):
    def clean(self, value: str) -> int | None:
        number = number_of(value) if value else None
        if value and (number is None or number >= 2**63):
            raise ValidationError("This is no code of a piece: copy it from its label, or leave it empty.", code="code")
        return number


def _fields(owner: Person, today: date, sheet: Sheet) -> dict[str, forms.Field]:
    system, usual = owner.settings.measures, owner.settings
    lengths = {
        key: LengthField(system=system, unit=sheet.units.get(key), most=most, required=False)
        for key, most in (("usable_width", WIDEST), ("width", LONGEST), ("length", LONGEST))
    }
    return {
        "fabric": Words(most=120, needed="Say which fabric it is."),
        "kind": _Choice(Fabric.Kind.choices, "kind of cloth"),
        "colour": ColourField(required=False),
        "value": _Choice(Fabric.Value.choices, "value"),
        "direction": _Choice(Fabric.PrintDirection.choices, "direction of a print"),
        **lengths,
        "amount": AmountField(
            system=system, usable_width=usual.usable_width, fat_quarter=usual.fat_quarter, required=False
        ),
        "place": Words(most=80),
        "label": Words(most=LONGEST_LABEL),
        "code": _Code(),
        "bought_on": PastDayField(today=today, required=False),
        "price": PriceField(required=False),
        "currency": _Currency(),
        "shop": Words(most=120),
        "note": Words(most=2000, long=True),
        "tags": TagsField(),
    }


@dataclass(slots=True)
class _Checker:
    owner: Person
    today: date
    sheet: Sheet
    here: Here
    fields: dict[str, forms.Field] = field(init=False)
    # What the first row of a fabric that names a fact says of it, and which row that was.
    said: dict[tuple[str, str], tuple[Any, int]] = field(default_factory=dict)
    ordinals: dict[str, int] = field(default_factory=dict)
    pieces: int = 0

    def __post_init__(self) -> None:
        self.fields = _fields(self.owner, self.today, self.sheet)

    def row(self, line: Line) -> Row:
        row = Row(line.number, line.cells.get("fabric", ""))
        if line.wrong:
            row.wrongs.append(Wrong("", "", line.wrong))
            return row
        cells = self._cells(line, row)
        if not row.wrongs:
            self._agree(cells, row)
            sizes = self._sizes(cells, row)
            if not row.wrongs:
                self._stands(cells, sizes, row, line.cells)
        return row

    def _cells(self, line: Line, row: Row) -> dict[str, Any]:
        """Every cell by itself."""
        known: dict[str, Any] = {}
        for key, one in self.fields.items():
            typed = line.cells.get(key, "")
            if not typed and key != "fabric":
                continue
            if isinstance(one, AmountField):
                one.usable_width = self._usable_width(known)
            try:
                known[key] = one.clean(self._with_point(key, typed))
            except ValidationError as wrong:
                row.wrongs.append(self._wrong(key, typed, str(wrong.messages[0])))
        return known

    def _with_point(self, key: str, typed: str) -> str:
        """A number of a table whose cells part at semicolons has a decimal comma, be there three figures after it or not."""
        return _FIGURE.sub(lambda found: found[0].replace(",", "."), typed) if self._has_commas(key) else typed

    def _has_commas(self, key: str) -> bool:
        return self.sheet.decimal_comma and key in ("usable_width", "width", "length", "price")

    def _agree(self, cells: dict[str, Any], row: Row) -> None:
        """What is said of a fabric must be the same in each of its rows, or left empty."""
        name = cells["fabric"].casefold()
        known = self.here.fabrics.get(name)
        row.name, row.new_fabric = (known.name, False) if known else (cells["fabric"], True)
        if known is not None and any(key in cells for key in _OF_THE_FABRIC):
            row.remark = "You have this fabric: what is said of it stays as it is."
        for key in _OF_THE_FABRIC:
            if key in cells:
                before, number = self.said.setdefault((name, key), (cells[key], row.number))
                if before != cells[key]:
                    sentence = (
                        f"Row {number} says something else of this fabric: write the same in both, or nothing in one."
                    )
                    row.wrongs.append(self._wrong(key, "", sentence))

    def _sizes(self, cells: dict[str, Any], row: Row) -> tuple[Size, ...]:
        if "amount" in cells and ("length" in cells or "width" in cells):
            row.wrongs.append(self._wrong("amount", "", "Say either an amount or a width and length, not both."))
            return ()
        if "amount" in cells:
            sizes: tuple[Size, ...] = cells["amount"]
        elif "length" in cells:
            sizes = (Size(cells.get("width") or self._usable_width(cells), cells["length"]),)
        else:
            row.wrongs.append(self._wrong("length", "", "Say how long it is, or an amount."))
            return ()
        if any(min(size.width, size.length) < LEAST_PIECE for size in sizes):
            sentence = "A piece narrower than 0.5 cm is not worth keeping: check the unit."
            row.wrongs.append(self._wrong("length", "", sentence))
        if any(max(size.width, size.length) > LONGEST for size in sizes):
            sentence = "A piece of more than 100 m is longer than any bolt: check the number and the unit."
            row.wrongs.append(self._wrong("amount", "", sentence))
        if len(sizes) > 1 and len(cells.get("label", "")) > _LONGEST_SHARED:
            sentence = f"Use at most {_LONGEST_SHARED} characters where several pieces share a label."
            row.wrongs.append(self._wrong("label", "", sentence))
        return sizes

    def _usable_width(self, cells: Mapping[str, Any]) -> int:
        """Across the whole cloth: as the row says, else as her fabric is, else as an earlier row says, else as usual."""
        name = cells.get("fabric", "").casefold()
        known = self.here.fabrics.get(name)
        said: int | None = cells.get("usable_width")
        if known is not None:
            return known.usable_width
        return said or self.said.get((name, "usable_width"), (None, 0))[0] or self.owner.settings.usable_width

    def _stands(self, cells: dict[str, Any], sizes: tuple[Size, ...], row: Row, typed: Mapping[str, str]) -> None:
        """Whether the row is here already, and what it would bring."""
        piece = self.here.pieces.get(cells.get("code") or 0)
        if piece is not None:
            same = (piece.fabric.name.casefold() == row.name.casefold(), sizes == (piece.size,))
            if all(same):
                row.standing = HERE
            elif any(same):
                sentence = "This is the code of a piece of yours that is another fabric or size: change that piece on its page, or empty the cell to take this in as another."
                row.wrongs.append(self._wrong("code", typed["code"], sentence))
                return
        # An amount as it was typed: what it comes to hangs on her usual width.
        told = {key: typed[key] if key == "amount" else value for key, value in cells.items() if key != "code"}
        alike = digest_of(told, 0)
        ordinal = self.ordinals[alike] = self.ordinals.get(alike, -1) + 1
        digest = digest_of(told, ordinal)
        if row.standing == COMES and digest in self.here.digests:
            row.standing = BEEN
        self.pieces += len(sizes)
        if self.pieces > MOST_ROWS:
            sentence = f"With this row there are more than {MOST_ROWS:,} pieces: send the table in several parts."
            row.wrongs.append(self._wrong("amount", typed.get("amount", ""), sentence))
            return
        row.cloth = NewCloth(self.facts(row.name), self._arrival(cells, sizes), digest)

    def facts(self, name: str) -> Facts:
        """What all the rows of a fabric say of it together."""

        def said(key: str, otherwise: Any = "") -> Any:
            return self.said.get((name.casefold(), key), (otherwise, 0))[0]

        colour, value = said("colour"), said("value")
        return Facts(
            name=name,
            usable_width=self._usable_width({"fabric": name}),
            kind=said("kind", Fabric.Kind.COTTON),
            colour=colour,
            # A value that its colour has anyway is not hers: were she to change the colour, it would change too.
            value="" if value == value_of(colour or UNDYED) else value,
            print_direction=said("direction", Fabric.PrintDirection.ANY),
            note=said("note"),
            tags=said("tags", ()),
        )

    def _arrival(self, cells: dict[str, Any], sizes: tuple[Size, ...]) -> Arrival:
        """Bought, where the row says anything of a purchase; else it lay there already."""
        paid = None
        if any(cells.get(key) not in (None, "") for key in _OF_A_PURCHASE):
            price: Decimal | None = cells.get("price")
            paid = Paid(price, cells.get("currency") or self.owner.settings.currency, cells.get("shop", ""))
        return Arrival(
            sizes, cells.get("bought_on") or self.today, paid, cells.get("place", ""), cells.get("label", "")
        )

    def _wrong(self, key: str, typed: str, sentence: str) -> Wrong:
        return Wrong(self.sheet.headings.get(key, key.replace("_", " ").capitalize()).strip(), typed[:80], sentence)
