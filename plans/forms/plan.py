"""What is the middle of the quilt, and what is the plan called?

A centre's finished size may be typed, or left to be worked out from a panel's printed size less its printed seam on every side; the printed size
may be typed or be a stash panel's own."""

from __future__ import annotations

from typing import Any

from django import forms

from plans.forms.fields import LARGEST_QUILT, example
from plans.models import Plan
from plans.queries.worked import Fault, Worked, worked_from
from plans.services.plans import Centre, draft
from quiltbook.measures import Size, System, show_size
from quiltbook.people.figures import WIDEST_SEAM, Limit
from quiltbook.people.models import Person
from quiltbook.web.fields import LengthField, Words
from stash.models import Fabric

WHOLE_SIZE = "Give both the width and the length, or neither."


class NameForm(forms.Form):
    """What the plan is called, and what she wants to remember about it."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"] = Words(most=120, label="Name", needed="Give the quilt a name.")
        self.fields["note"] = Words(
            most=4000, label="Note", long=True, help_text="Who it is for, what you have in mind."
        )


class CentreForm(forms.Form):
    """The centre's figures. `panel_printed` and `panel_seam` stand for an empty printed size, where a stash panel was chosen."""

    def __init__(
        self, data: Any = None, *, system: System, plan: Plan | None = None, prefix: str | None = None
    ) -> None:
        super().__init__(data, initial=_centre_initial(plan), prefix=prefix)
        self.system = system

        def length(label: str, most: Limit = LARGEST_QUILT, **extra: Any) -> LengthField:
            return LengthField(system=system, most=most.on(system), label=label, required=False, **extra)

        self.fields["printed_width"] = length(
            "Printed width", help_text="Edge to edge of the print, its seam included."
        )
        self.fields["printed_length"] = length("Printed length", help_text="From top to bottom of the print.")
        self.fields["printed_seam"] = length(
            "Printed seam",
            WIDEST_SEAM,
            allow_zero=True,
            help_text="How much of the print, on each side, goes into the seam: often "
            + example(system, "1/4 in.", "0.75 cm."),
        )
        self.fields["width"] = length("Finished width", help_text="Seam to seam. Empty: worked out from the print.")
        self.fields["length"] = length("Finished length", help_text="Seam to seam. Empty: worked out from the print.")
        if plan is not None:
            self.fields["measured_width"] = length("Measured width", help_text="Seam to seam, once it is trimmed.")
            self.fields["measured_length"] = length("Measured length", help_text="The rounds are then cut to it.")

    def panel(self) -> Fabric | None:
        """The stash panel chosen, if this form offers one."""
        return None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        whole_or_absent(self, "printed_width", "printed_length")
        whole_or_absent(self, "width", "length")
        whole_or_absent(self, "measured_width", "measured_length")
        if not self.errors.keys() - {"name", "note"}:
            cleaned["centre"] = self._centre()
        return cleaned

    def _centre(self) -> Centre | None:
        seam = self.cleaned_data.get("printed_seam")
        printed = size_of(self, "printed_width", "printed_length")
        panel = self.panel()
        if printed is None and panel is not None:
            printed, seam = panel.printed, panel.printed_seam if seam is None else seam
        finished = size_of(self, "width", "length")
        if printed is None and seam:
            self.add_error("printed_width", "Say how large the print is, or leave its seam empty.")
            return None
        if finished is None and printed is None:
            self.add_error("width", "Say how large the centre is: its finished size, or its printed size above.")
            return None
        if finished is None and printed is not None:
            finished = within_print(printed, seam or 0)
        if finished is None or finished.width <= 0 or finished.length <= 0:
            self.add_error("printed_seam", "The seam takes up the whole print: check both.")
            return None
        return Centre(
            width=int(finished.width),
            length=int(finished.length),
            printed=printed,
            printed_seam=seam or 0,
            measured=size_of(self, "measured_width", "measured_length"),
        )

    @property
    def centre(self) -> Centre | None:
        """What was typed, once it holds together."""
        centre: Centre | None = self.cleaned_data.get("centre") if self.is_valid() else None
        return centre


class NewPlanForm(CentreForm, NameForm):
    """A new quilt: its name and its centre, which may be a panel from the stash."""

    field_order = ("name", "panel", "printed_width", "printed_length", "printed_seam", "width", "length", "note")

    def __init__(self, data: Any = None, *, owner: Person) -> None:
        super().__init__(data, system=owner.settings.measures)
        self.owner = owner
        self.work: Worked | None = None
        panels = Fabric.objects.of(owner).filter(kind=Fabric.Kind.PANEL, printed_width__isnull=False)
        self.fields["panel"] = PanelField(panels, system=self.system)
        self.order_fields(self.field_order)

    def panel(self) -> Fabric | None:
        return self.cleaned_data.get("panel")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("centre"):
            outcome = worked_from(draft(owner=self.owner, centre=cleaned["centre"]), [])
            if isinstance(outcome, Fault):
                self.add_error("width" if cleaned.get("width") else "printed_seam", outcome.sentence)
            else:
                self.work = outcome
        return cleaned


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


def within_print(printed: Size, seam: int) -> Size:
    """The finished size of a panel: its print less the printed seam on every side."""
    return Size(printed.width - 2 * seam, printed.length - 2 * seam)


def size_of(form: forms.Form, across: str, down: str) -> Size | None:
    """Two cleaned fields as one size, None where they are empty."""
    width, length = form.cleaned_data.get(across), form.cleaned_data.get(down)
    return None if width is None or length is None else Size(width, length)


def whole_or_absent(form: forms.Form, across: str, down: str) -> None:
    """Where one of two fields is filled in, the other must be."""
    if across not in form.fields or across in form.errors or down in form.errors:
        return
    width, length = form.cleaned_data.get(across), form.cleaned_data.get(down)
    if (width is None) != (length is None):
        form.add_error(across if width is None else down, WHOLE_SIZE)


def _centre_initial(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {}
    worked_out = plan.printed is not None and within_print(plan.printed, plan.printed_seam) == plan_centre(plan)
    return {
        "printed_width": plan.printed_width,
        "printed_length": plan.printed_length,
        "printed_seam": plan.printed_seam if plan.printed else None,
        "width": None if worked_out else plan.centre_width,
        "length": None if worked_out else plan.centre_length,
        "measured_width": plan.measured_width,
        "measured_length": plan.measured_length,
    }


def plan_centre(plan: Plan) -> Size | None:
    """The centre's finished size as it was typed."""
    if plan.centre_width is None or plan.centre_length is None:
        return None
    return Size(plan.centre_width, plan.centre_length)
