"""Does the whole top hold together as typed? The centre, every round and perhaps a new one, worked out by the engine before they are kept.

What the engine refuses is said at the field it is about."""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import copy
from typing import Any

from django import forms
from django.utils.functional import cached_property

from plans.forms.centre import CentreForm
from plans.forms.rounds import FIELDS_OF, PIECED, NewRoundForm, RoundForm
from plans.models import Plan, Round
from plans.queries.worked import Fault, Worked, round_name, worked_from
from plans.services.plans import Centre, set_centre
from plans.services.rounds import RoundSpec
from quiltbook.measures import System
from quiltbook.yardage.fit import Fit

_ROUND = re.compile(r"rounds\[(\d+)\]\.(.+)")
_MOTIF = re.compile(r"motifs\.flower (\d+)\.(.+)")
_NO_SUCH_COPING = re.compile(r"rounds\[(\d+)\]\.pieced\.coping")
# The engine's names for what a form calls otherwise.
_ROUND_FIELDS = {
    "measured": "measured_width",
    **{f"motifs.{side}": f"flowers_{side}" for side in ("left", "right", "top", "bottom")},
    "motifs.rule": "rule",
    "motifs.applied": "applied",
    "motifs.end_margin": "end_margin",
    "pieced.unit": "unit_length",
    "pieced.coping": "coping",
    "pieced.least_coping": "least_coping",
    "pieced.designs[0]": "unit_block",
    "pieced.designs[1]": "other_unit_block",
    "pieced.corner": "corner_block",
}
_MOTIF_FIELDS = {"side": "flower_side", "petal_rise": "petal_rise", "seam_allowance": "flower_turn"}


class TopForm:
    """All the forms of the top page as one. `data` None: as the plan stands. `adding`: a new round must be given."""

    def __init__(
        self, *, plan: Plan, rows: list[Round], system: System, data: Any = None, adding: bool = False
    ) -> None:
        self.plan, self.rows = plan, rows
        self.centre = CentreForm(data, prefix="centre", system=system, owner=plan.owner, plan=plan)
        self.rounds = [
            RoundForm(_posted(data, row), row=row, plan=plan, system=system, name=_plain_name(place))
            for place, row in enumerate(rows)
        ]
        self.new = NewRoundForm(data, system=system, adding=adding)
        self.bound = data is not None
        # Where the engine refuses the coping she asks for: units of other lengths that would fit, by the round's id.
        self.other_units: dict[int, tuple[Fit, ...]] = {}

    def __iter__(self) -> Iterator[forms.Form]:
        return iter((self.centre, *self.rounds, self.new))

    @cached_property
    def own_faults(self) -> bool:
        """Whether any field alone cannot be taken. Rounds that were not posted stay as they are."""
        return not all(form.is_valid() for form in self if form.is_bound)

    @cached_property
    def outcome(self) -> Worked | Fault | None:
        """The top as typed, worked out; None while a field cannot be read. A fault is put at its field."""
        if self.own_faults:
            return None
        plan = copy(self.plan)
        set_centre(plan, self.kept_centre)
        rows = [form.spec().write(copy(form.row)) if form.is_bound else form.row for form in self.rounds]
        new = self.new.spec()
        if new is not None:
            rows.append(new.write(Round(plan=self.plan, position=len(rows) + 1)))
        outcome = worked_from(plan, rows)
        if isinstance(outcome, Fault):
            self.put(outcome)
            self._find_other_units(outcome, plan, rows)
        return outcome

    def _find_other_units(self, fault: Fault, plan: Plan, rows: list[Round]) -> None:
        match = _NO_SUCH_COPING.fullmatch(fault.field)
        if match is None or (place := int(match[1])) >= len(self.rounds):
            return
        inside = rows[: place + 1]
        inside[-1] = copy(inside[-1])
        inside[-1].coping = Round.Coping.AUTO
        work = worked_from(plan, inside)
        if isinstance(work, Worked) and (pieced := work.top.rounds[place].pieced):
            self.other_units[self.rows[place].pk] = pieced.other

    def is_valid(self) -> bool:
        return self.bound and isinstance(self.outcome, Worked)

    @property
    def kept_centre(self) -> Centre:
        centre = self.centre.centre
        assert centre is not None  # noqa: S101  (the form is valid)
        return centre

    @property
    def kept_rounds(self) -> dict[int, RoundSpec]:
        return {form.row.pk: form.spec() for form in self.rounds if form.is_bound}

    def put(self, fault: Fault) -> None:
        """Say the engine's refusal at the field it is about, or above the form where no field here is."""
        form, name = self._place(fault.field)
        if form is self.new and name in FIELDS_OF[PIECED]:
            name = "block"
        if not form.is_bound:
            form, name = self.centre, ""
        form.add_error(name if name in form.fields else None, fault.sentence)

    def _place(self, field: str) -> tuple[forms.Form, str]:
        for pattern, names in ((_ROUND, _ROUND_FIELDS), (_MOTIF, _MOTIF_FIELDS)):
            if match := pattern.fullmatch(field):
                index, name = int(match[1]), match[2]
                form = self.rounds[index] if index < len(self.rounds) else self.new
                return form, names.get(name, name)
        return self.centre, self.centre.field_at_fault(field) or ""

    @property
    def errors(self) -> list[tuple[str, forms.BoundField | None, list[str]]]:
        """Every refusal: which part of the quilt, the field or None, and its sentences."""
        found: list[tuple[str, forms.BoundField | None, list[str]]] = []
        for form in self:
            where = self._called(form)
            for name, sentences in form.errors.items():
                found.append(
                    (where, form[name] if name in form.fields else None, [str(sentence) for sentence in sentences])
                )
        return found

    def _called(self, form: forms.Form) -> str:
        if isinstance(form, RoundForm):
            return round_name(self.rounds.index(form), form.row)
        return "Centre" if form is self.centre else "New round"


def _posted(data: Any, row: Round) -> Any:
    """A round added in another window meanwhile is not in what was posted: it stays as it is."""
    return data if data is not None and f"round-{row.pk}-width" in data else None


def _plain_name(place: int) -> str:
    return round_name(place, Round())
