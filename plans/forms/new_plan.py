"""What is a new quilt called, and what is its centre? The centre may be a panel of the stash, which brings its print."""

from __future__ import annotations

from typing import Any

from django import forms

from plans.forms.centre import CentreForm
from plans.forms.plan import NameForm
from plans.models.plan import CentreKind
from plans.queries.worked import Fault, Worked, worked_from
from plans.services.plans import draft
from quiltbook.measures import System, show_size
from quiltbook.people.models import Person
from stash.models import Fabric


class NewPlanForm(CentreForm, NameForm):
    """A new quilt: its name and its centre, which may be a panel from the stash."""

    def __init__(self, data: Any = None, *, owner: Person) -> None:
        super().__init__(data, system=owner.settings.measures, owner=owner)
        self.work: Worked | None = None
        panels = Fabric.objects.of(owner).filter(kind=Fabric.Kind.PANEL, printed_width__isnull=False)
        self.fields["panel"] = PanelField(panels, system=self.system)
        self.order_fields(("name", "kind", "panel"))

    def panel(self) -> Fabric | None:
        return self.cleaned_data.get("panel") if self.cleaned_data.get("kind") in ("", CentreKind.PANEL) else None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("centre"):
            outcome = worked_from(draft(owner=self.owner, centre=cleaned["centre"]), [])
            if isinstance(outcome, Fault):
                self.add_error(self.field_at_fault(outcome.field), outcome.sentence)
            else:
                self.work = outcome
        return cleaned

    def field_at_fault(self, engine_field: str) -> str | None:
        """A print that is too small for what she typed is spoken of there, or else at its seam."""
        if engine_field in ("centre.printed", "centre.printed_seam"):
            return "width" if self.cleaned_data.get("width") else "printed_seam"
        return super().field_at_fault(engine_field)

    @property
    def unsaid(self) -> list[str]:
        """What must still be said, by its label: fields left empty, of which nothing is wrong."""
        return [str(self[name].label) for name in self.errors if self._left_empty(name) and name != "name"]

    @property
    def mistaken(self) -> list[str]:
        """Sentences about what was typed, and cannot be."""
        told = ((name, sentence) for name, sentences in self.errors.items() for sentence in sentences)
        return [str(sentence) for name, sentence in told if not self._left_empty(name)]

    def _left_empty(self, name: str) -> bool:
        return name in self.fields and not self[name].value()


class PanelField(forms.ModelChoiceField):  # type: ignore[type-arg]  # only the stubs know it as generic
    """One of her printed panels, shown with its printed size."""

    def __init__(self, panels: Any, *, system: System) -> None:
        self.system = system
        super().__init__(
            panels,
            required=False,
            label="A panel from your stash",
            empty_label="None of them",
            help_text="Its printed size is taken, unless you write another below.",
        )
        self.error_messages["invalid_choice"] = "That panel is not in your stash any more. Choose another."

    def label_from_instance(self, obj: Fabric) -> str:
        printed = obj.printed
        return f"{obj.name}: printed {show_size(printed, system=self.system)}" if printed else obj.name
