"""What is one round of borders like? Its width and corners, how it is cut and measured, and the flowers it carries.

A form gives a RoundSpec to keep, or a row that need not be saved, so that the quilt can be drawn while she types."""

from __future__ import annotations

from typing import Any

from django import forms

from plans.forms.fields import (
    LARGEST_FLOWER_SIDE,
    LARGEST_QUILT,
    MOST_FLOWERS,
    WIDEST_BORDER,
    Count,
    example,
)
from plans.forms.plan import size_of, whole_or_absent
from plans.models import Plan, Round
from plans.services.rounds import Flowers, RoundSpec
from quiltbook.measures import System
from quiltbook.people.figures import MOST_EXTRA, WIDEST_SEAM, Limit
from quiltbook.web.fields import LengthField, Words

SIDES = (("left", "Left"), ("right", "Right"), ("top", "Top"), ("bottom", "Bottom"))
PETALS, HEXAGONS = "petals", "hexagons"
CORNERS = [
    (Round.Corners.BUTTED, "Butted: one pair runs past the other"),
    (Round.Corners.CORNERSTONES, "Cornerstones: a square in each corner"),
    (Round.Corners.MITRED, "Mitred: a seam on the diagonal"),
]
FIRST = [(Round.First.SIDES, "Left and right"), (Round.First.ENDS, "Top and bottom")]
OUTER = [(PETALS, "Six petals with a curved edge"), (HEXAGONS, "Six hexagons")]
RULES = [
    (Round.Rule.EVEN, "All gaps alike, the ends’ too"),
    (Round.Rule.CELLS, "Half a gap at each end"),
]
APPLIED = [(Round.Applied.BEFORE, "Before the border is joined on"), (Round.Applied.AFTER, "Once it is on")]


def _choice(label: str, choices: list[tuple[Any, str]], *, radio: bool = True) -> forms.ChoiceField:
    field = forms.ChoiceField(label=label, choices=choices, widget=forms.RadioSelect if radio else forms.Select)
    field.error_messages["invalid_choice"] = field.error_messages["required"] = "Choose one of these."
    return field


class NewRoundForm(forms.Form):
    """A round to be added outside the others: its width and corners are enough to begin with."""

    def __init__(self, data: Any = None, *, system: System, adding: bool = False) -> None:
        super().__init__(data, initial={"corners": Round.Corners.BUTTED}, prefix="new")
        self.adding = adding
        self.fields["width"] = LengthField(
            system=system,
            most=WIDEST_BORDER.on(system),
            label="Width of a new round",
            required=False,
            help_text="Finished, seam to seam: " + example(system, "such as 2 1/2 in.", "such as 6 cm."),
        )
        self.fields["corners"] = _choice("Its corners", CORNERS, radio=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.adding and "width" not in self.errors and cleaned["width"] is None:
            self.add_error("width", "Say how wide the new round is.")
        return cleaned

    def spec(self) -> RoundSpec | None:
        """The round typed in, None where there is none."""
        width = self.cleaned_data.get("width")
        return RoundSpec(width=width, corners=self.cleaned_data["corners"]) if width else None


class RoundForm(forms.Form):
    """One round that stands in the quilt."""

    def __init__(self, data: Any = None, *, row: Round, plan: Plan, system: System, name: str) -> None:
        super().__init__(data, prefix=f"round-{row.pk}", initial=_initial(row, plan))
        self.row, self.plan = row, plan

        def length(label: str, most: Limit, **extra: Any) -> LengthField:
            return LengthField(system=system, most=most.on(system), label=label, **extra)

        self.fields["name"] = Words(most=60, label="Name", help_text=f"Empty: “{name}”.")
        self.fields["width"] = length("Width", WIDEST_BORDER, help_text="Finished, seam to seam.")
        self.fields["corners"] = _choice("Corners", CORNERS)
        self.fields["first"] = _choice("Joined on first", FIRST)
        self.fields["cut_long"] = length(
            "Cut long by",
            MOST_EXTRA,
            allow_zero=True,
            required=False,
            help_text="Added to every strip, to be trimmed to what the quilt measures.",
        )
        self.fields["measured_width"] = length(
            "Measured width", LARGEST_QUILT, required=False, help_text="Of the whole quilt, with this round on."
        )
        self.fields["measured_length"] = length(
            "Measured length", LARGEST_QUILT, required=False, help_text="The next rounds are then cut to it."
        )
        self._add_flowers(length, system)

    def _add_flowers(self, length: Any, system: System) -> None:
        self.fields["carries"] = forms.BooleanField(label="This round carries paper-pieced flowers", required=False)
        self.fields["flower_side"] = length(
            "Side of the hexagon",
            LARGEST_FLOWER_SIDE,
            required=False,
            help_text="Along one edge of the paper: " + example(system, "such as 1 in.", "such as 2.5 cm."),
        )
        self.fields["outer"] = _choice("Round the flower centre", OUTER)
        self.fields["petal_rise"] = length(
            "Rise of the petal’s curve",
            LARGEST_FLOWER_SIDE,
            required=False,
            help_text="How far the curve stands above its two ends. Empty: as high as the side, half a circle.",
        )
        self.fields["flower_turn"] = length(
            "Turned over the paper", WIDEST_SEAM, required=False, allow_zero=True, help_text="All round each shape."
        )
        for side, word in SIDES:
            self.fields[f"flowers_{side}"] = Count(most=MOST_FLOWERS, label=word)
        self.fields["rule"] = _choice("Along the strip", RULES, radio=False)
        self.fields["applied"] = _choice("Sewn to it", APPLIED, radio=False)
        self.fields["scrappy"] = forms.BooleanField(
            label="Scrappy: the petals of one flower may differ", required=False
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        whole_or_absent(self, "measured_width", "measured_length")
        if cleaned.get("carries") and "flower_side" not in self.errors and cleaned.get("flower_side") is None:
            self.add_error("flower_side", "Say how long one side of the hexagon is.")
        return cleaned

    def spec(self) -> RoundSpec:
        """What was typed; the form must be valid."""
        given = self.cleaned_data
        return RoundSpec(
            width=given["width"],
            name=given["name"],
            corners=given["corners"],
            first=given["first"],
            cut_long=given["cut_long"] or 0,
            measured=size_of(self, "measured_width", "measured_length"),
            flowers=self._flowers() if given["carries"] else None,
        )

    def _flowers(self) -> Flowers:
        given = self.cleaned_data
        turn = given["flower_turn"]
        return Flowers(
            side=given["flower_side"],
            turn=self.plan.turn_allowance if turn is None else turn,
            petal_rise=(given["petal_rise"] or given["flower_side"]) if given["outer"] == PETALS else None,
            left=given["flowers_left"],
            right=given["flowers_right"],
            top=given["flowers_top"],
            bottom=given["flowers_bottom"],
            rule=given["rule"],
            applied=given["applied"],
            scrappy=given["scrappy"],
        )

    @property
    def counts(self) -> list[forms.BoundField]:
        """How many flowers on each side, as fields in a row."""
        return [self[f"flowers_{side}"] for side, _ in SIDES]


def _initial(row: Round, plan: Plan) -> dict[str, Any]:
    own = (
        "name",
        "width",
        "corners",
        "first",
        "measured_width",
        "measured_length",
        "flower_side",
        "rule",
        "applied",
        "scrappy",
    )
    return {name: getattr(row, name) for name in own} | {
        "cut_long": row.cut_long or None,
        "carries": row.flower_side is not None,
        "outer": HEXAGONS if row.flower_side and row.petal_rise is None else PETALS,
        "petal_rise": None if row.petal_rise == row.flower_side else row.petal_rise,
        "flower_turn": plan.turn_allowance if row.flower_turn is None else row.flower_turn,
        **{f"flowers_{side}": getattr(row, f"flowers_{side}") or None for side, _ in SIDES},
    }
