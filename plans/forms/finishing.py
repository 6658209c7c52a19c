"""Which figures is the plan worked out with? The plan's own, begun from the usual settings; and on which day was it finished?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from django import forms

from plans.forms.fields import NARROWEST_CLOTH
from plans.forms.notions import GROUPS as BESIDES
from plans.forms.notions import finishing_fields, least_of
from plans.forms.plan import whole_or_absent
from plans.models import Plan
from plans.queries.worked import Fault
from quiltbook.measures import System, show_length
from quiltbook.people.figures import figure_fields
from quiltbook.web.fields import PastDayField

GROUPS: Mapping[str, tuple[str, ...]] = {
    "Backing and wadding": ("backing_width", "backing_overage", "backing_seam", "wadding_overage", "shop_step"),
    "Binding": ("binding_strip", "binding_extra"),
    "Cutting and piecing": (
        "usable_width",
        "seam_allowance",
        "cutting_step",
        "mitre_extra",
        "straightening",
        "turn_allowance",
        "least_offcut",
    ),
}
# What the engine calls otherwise.
_ENGINE_NAMES = {
    "round_up": "cutting_step",
    "cloth_width": "usable_width",
    "increment": "shop_step",
    "repeat": "backing_repeat",
}
CLOTH_WIDTHS = ("backing_width", "usable_width")


class FiguresForm(forms.Form):
    """The plan's figures, shown and typed in her own system."""

    def __init__(self, data: Any = None, *, plan: Plan, system: System) -> None:
        fields = {
            **figure_fields((name for names in GROUPS.values() for name in names), system=system),
            **finishing_fields(system),
        }
        super().__init__(data, initial={name: getattr(plan, name) for name in fields})
        self.system = system
        self.fields |= fields

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

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField], bool]]:
        """The figures, by what they are for, and whether one of them is wrong."""
        for words in dict.fromkeys((*list(GROUPS)[:2], *BESIDES, *GROUPS)):
            fields = [self[name] for name in (*GROUPS.get(words, ()), *BESIDES.get(words, ()))]
            yield words, fields, any(field.errors for field in fields)


class FinishedForm(forms.Form):
    """On which day the quilt was finished, which cannot lie ahead."""

    def __init__(self, data: Any = None, *, today: date) -> None:
        super().__init__(data)
        self.fields["finished_on"] = PastDayField(
            today=today, label="Finished on", needed="Say on which day it was finished."
        )
