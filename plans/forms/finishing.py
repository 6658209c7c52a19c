"""Which figures is the plan worked out with? The plan's own, begun from the usual settings; and on which day was it finished?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from plans.forms.fields import (
    MOST_EXTRA,
    MOST_LENGTH,
    NARROWEST_CLOTH,
    WIDEST_BINDING,
    WIDEST_CLOTH,
    WIDEST_SEAM,
    Limit,
)
from plans.forms.notions import GROUPS as BESIDES
from plans.forms.notions import finishing_fields, least_of
from plans.forms.plan import whole_or_absent
from plans.models import Plan
from plans.queries.worked import Fault
from quiltbook.measures import System, show_length
from quiltbook.people.usual import MAY_BE_NOTHING
from quiltbook.web.fields import LengthField


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the plan: its column, what it is called, what it does, the most that makes sense."""

    name: str
    label: str
    help_text: str
    most: Limit


FIGURES: Mapping[str, tuple[Figure, ...]] = {
    "Backing and wadding": (
        Figure("backing_width", "Width of the backing cloth", "Usable, selvedges off.", WIDEST_CLOTH),
        Figure("backing_overage", "Backing beyond the top", "On each side.", MOST_EXTRA),
        Figure("backing_seam", "Seam in the backing", "Where it is joined from several widths.", WIDEST_SEAM),
        Figure("wadding_overage", "Wadding beyond the top", "On each side.", MOST_EXTRA),
        Figure("shop_step", "The shop cuts by the", "Cloth to buy is rounded up to this.", MOST_LENGTH),
    ),
    "Binding": (
        Figure("binding_strip", "Binding strip", "Its width as cut, before folding.", WIDEST_BINDING),
        Figure("binding_extra", "Extra binding", "For the corners and for joining the ends.", MOST_LENGTH),
    ),
    "Cutting and piecing": (
        Figure("usable_width", "Usable width of the cloth", "Across the grain, selvedges off.", WIDEST_CLOTH),
        Figure("seam_allowance", "Seam allowance", "On each edge of a patch.", WIDEST_SEAM),
        Figure("cutting_step", "Cutting step", "Sizes to cut are rounded up to this.", WIDEST_SEAM),
        Figure("mitre_extra", "Extra for mitres", "Added to the length of a mitred strip.", MOST_EXTRA),
        Figure("turn_allowance", "Turn over papers", "Cloth folded over the paper, for flowers to come.", WIDEST_SEAM),
        Figure("least_offcut", "Smallest offcut kept", "Narrower than this either way is waste.", MOST_EXTRA),
    ),
}
# What the engine calls otherwise.
_ENGINE_NAMES = {"round_up": "cutting_step", "cloth_width": "usable_width", "increment": "shop_step"}
CLOTH_WIDTHS = ("backing_width", "usable_width")


class FiguresForm(forms.Form):
    """The plan's figures, shown and typed in her own system."""

    def __init__(self, data: Any = None, *, plan: Plan, system: System) -> None:
        figures = [figure for group in FIGURES.values() for figure in group]
        besides = finishing_fields(system)
        super().__init__(
            data, initial={name: getattr(plan, name) for name in (*(figure.name for figure in figures), *besides)}
        )
        self.system = system
        for figure in figures:
            self.fields[figure.name] = LengthField(
                system=system,
                label=figure.label,
                help_text=figure.help_text,
                most=figure.most.on(system),
                allow_zero=figure.name in MAY_BE_NOTHING,
            )
        self.fields |= besides

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name in CLOTH_WIDTHS:
            width = cleaned.get(name)
            if width is not None and width < NARROWEST_CLOTH.on(self.system):
                least = show_length(NARROWEST_CLOTH.on(self.system), system=self.system)
                self.add_error(
                    name, f"Cloth narrower than {least} is no cloth for a quilt: check the number and the unit."
                )
        strip, width = cleaned.get("binding_strip"), cleaned.get("usable_width")
        if strip is not None and width is not None and strip >= width:
            self.add_error("binding_strip", "It must be narrower than the cloth is wide.")
        whole_or_absent(self, "wadding_pack_width", "wadding_pack_length")
        for name, nm in list(cleaned.items()):
            floor = least_of(name, self.system)
            if nm is not None and floor and nm < floor:
                self.add_error(name, f"Less than {show_length(floor, system=self.system)} makes no sense here.")
        return cleaned

    def refuse(self, fault: Fault) -> None:
        """Say the engine's refusal at the figure it is about, or above the form where it is about the top itself."""
        name = _ENGINE_NAMES.get(fault.field, fault.field)
        self.add_error(name if name in self.fields else None, fault.sentence)

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The figures, by what they are for."""
        named = {words: [figure.name for figure in figures] for words, figures in FIGURES.items()}
        for words in dict.fromkeys((*list(named)[:2], *BESIDES, *named)):
            yield words, [self[name] for name in (*named.get(words, ()), *BESIDES.get(words, ()))]


# No quilt of hers was finished before this; a year mistyped is.
EARLIEST = date(1900, 1, 1)


class FinishedForm(forms.Form):
    """On which day the quilt was finished, which cannot lie ahead."""

    def __init__(self, data: Any = None, *, today: date) -> None:
        super().__init__(data, initial={"finished_on": today})
        self.today = today
        self.fields["finished_on"] = forms.DateField(
            label="Finished on",
            widget=forms.DateInput(attrs={"type": "date", "max": today.isoformat()}, format="%Y-%m-%d"),
            error_messages={
                "required": "Say on which day it was finished.",
                "invalid": "Write a day, such as 2026-05-31.",
            },
        )

    def clean_finished_on(self) -> date:
        day: date = self.cleaned_data["finished_on"]
        if day > self.today:
            raise ValidationError("That day has not come yet.")
        if day < EARLIEST:
            raise ValidationError("That is before 1900: check the year.")
        return day
