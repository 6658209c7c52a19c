"""What did she sew, for how long, and how much of it? Times and amounts as she writes them, in her own units.

The forms only read; what cannot be is refused by the services, whose sentences are put at the fields."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict  # noqa: TID251 - what a form is given

from plans.models import Sitting, Stage
from plans.queries import units
from plans.queries.stages import StageRow
from plans.services.sittings import Entry, SittingError
from quiltbook.measures import System
from quiltbook.web.fields import PastDayField, TypedField, Words

UNIT_TAPS = (-1, 1, 6)
MINUTE_TAPS = (5, 15, 60)
Unit = Stage.Unit


class ReadField(TypedField, forms.CharField):
    """A line of text whose meaning `read` finds; its `AmountError` is shown at the field. Empty is None."""

    def __init__(self, *, read: Callable[[str], Any], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.read = read

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        try:
            return self.read(text) if text else None
        except units.AmountError as wrong:
            raise ValidationError(str(wrong), code="amount") from wrong


class SittingForm(forms.Form):
    """One sitting. `rows` are the stages she may choose from; the amounts are read in the unit of the one chosen.

    A tap ("minutes:15", "units:-1") adds to what stands in a field, without writing anything down."""

    def __init__(
        self, data: QueryDict | None = None, *, rows: Sequence[StageRow], today: date, initial: dict[str, Any]
    ) -> None:
        super().__init__(data, initial=initial)
        self.rows = {row.key: row for row in rows}
        self.fields["stage"] = forms.ChoiceField(
            label="What you worked on",
            choices=[(row.key, f"{row.name} (finished)" if row.finished else row.name) for row in rows],
            error_messages={
                "required": "Choose what you worked on.",
                "invalid_choice": "That stage is not wanted any more: choose another.",
            },
        )
        self.fields["minutes"] = ReadField(
            label="Time", required=False, help_text="Such as 45, 1 h 20 or 1:20.", read=units.read_minutes
        )
        self.fields["units"] = ReadField(label="How much you did", required=False, read=self._read_units)
        self.fields["units"].widget.attrs["inputmode"] = "decimal"
        self.fields["day"] = PastDayField(today=today, label="Day")
        self.fields["note"] = Words(most=1000, label="Note", long=True)
        self.fields["sure"] = forms.BooleanField(label="Yes, count them", required=False)

    @property
    def chosen(self) -> StageRow | None:
        """The stage that stands in the form."""
        return self.rows.get(str(self["stage"].value()))

    @property
    def asks_if_sure(self) -> bool:
        return bool(self["sure"].errors or self["sure"].value())

    @property
    def entry(self) -> Entry:
        cleaned = self.cleaned_data
        return Entry(
            day=cleaned["day"],
            minutes=cleaned["minutes"] or 0,
            units=cleaned["units"],
            note=cleaned["note"],
            sure=cleaned["sure"],
        )

    def refuse(self, error: SittingError) -> None:
        """Put the sentences of the service at the fields."""
        for name, sentence in error.faults.items():
            self.add_error(name, sentence)

    def _read_units(self, text: str) -> Decimal | None:
        row = self.chosen
        return None if row is None else units.read(text, row.unit, system=row.system)


def tapped(data: QueryDict, rows: Sequence[StageRow]) -> QueryDict:
    """What was typed, with the tap added to its field. What cannot be read stays as it is, and is refused at the field."""
    typed = data.copy()
    name, _, step = data.get("tap", "").partition(":")
    row = next((row for row in rows if row.key == data.get("stage")), None)
    with suppress(units.AmountError, ValueError):
        if name == "minutes" and int(step) in MINUTE_TAPS:
            typed["minutes"] = units.show_minutes(units.read_minutes(data.get("minutes") or "0") + int(step))
        elif name == "units" and row is not None and int(step) in UNIT_TAPS:
            now = units.read(data.get("units") or "0", row.unit, system=row.system)
            # Added as she sees it: whole yards stay whole, though metres are stored.
            typed["units"] = str(units.figure(now, row.unit, system=row.system, places=3) + int(step))
    return typed


def typed_before(sitting: Sitting, system: System) -> dict[str, Any]:
    """A sitting as she would type it: where a correction starts from."""
    unit = sitting.stage.unit
    return {
        "stage": sitting.stage.key,
        "minutes": units.show_minutes(sitting.minutes) if sitting.minutes else "",
        "units": "" if sitting.units is None else units.write(sitting.units, unit, system=system),
        "day": sitting.day,
        "note": sitting.note,
    }


class OwnStageForm(forms.Form):
    """A stage of her own: what it is called, what it is counted in, and how many."""

    def __init__(self, data: QueryDict | None = None, *, system: System, stage: Stage | None = None) -> None:
        super().__init__(data, initial=_stage_initial(stage, system))
        self.system = system
        self.fields["name"] = Words(
            most=120,
            label="What it is",
            needed="Say what it is.",
            help_text="Embroidery, a label, washing out the marks.",
        )
        self.fields["unit"] = forms.ChoiceField(label="Counted in", choices=own_units(system))
        self.fields["size"] = ReadField(
            label="How many, or how much",
            help_text="For hours: your guess.",
            read=self._read_size,
            error_messages={"required": "Say how many, or how much there is to do."},
        )

    def _read_size(self, text: str) -> Decimal | None:
        if "unit" not in self.cleaned_data:
            return None
        size = units.read(text, self.cleaned_data["unit"], system=self.system)
        if size <= 0:
            raise units.AmountError("It must be more than nothing.")
        return size


def own_units(system: System) -> list[tuple[str, str]]:
    """What a stage of her own may be counted in, in her own words."""
    inches = system is System.INCHES
    words = {
        Unit.METRE: "yards" if inches else "metres",
        Unit.SQUARE_METRE: "square yards" if inches else "square metres",
    }
    return [(unit.value, words.get(unit, unit.label)) for unit in Unit]


def _stage_initial(stage: Stage | None, system: System) -> dict[str, Any]:
    if stage is None:
        return {"unit": Unit.HOUR.value}
    return {"name": stage.name, "unit": stage.unit, "size": units.write(stage.size, stage.unit, system=system)}
