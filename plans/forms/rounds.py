"""What is one round of borders like? Its width and corners, how it is cut and measured, and what is on it: flowers, or blocks it is pieced of.

A form gives a RoundSpec to keep, or a row that need not be saved, so that the quilt can be drawn while she types. What was typed for
another kind of round than the one chosen stays in its fields, unread."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms

from plans.forms.blocks import BlockField, called
from plans.forms.fields import LARGEST_FLOWER_SIDE, LARGEST_QUILT, MOST_FLOWERS, WIDEST_BORDER, Count, example
from plans.forms.plan import size_of, whole_or_absent
from plans.models import Plan, Round
from plans.services.rounds import Flowers, PiecedUnits, RoundSpec
from quiltbook.measures import System, write_length
from quiltbook.people.figures import MOST_EXTRA, WIDEST_SEAM, Limit
from quiltbook.web.fields import LengthField, Words
from quiltbook.yardage.traditional import TRADITIONAL

SIDES = (("left", "Left"), ("right", "Right"), ("top", "Top"), ("bottom", "Bottom"))
PETALS, HEXAGONS = "petals", "hexagons"
PLAIN, FLOWERS, PIECED = "plain", "flowers", "pieced"
MADE = [
    (PLAIN, "Nothing: plain strips"),
    (FLOWERS, "Paper-pieced flowers"),
    (PIECED, "Pieced of blocks"),
]
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
    (Round.Rule.MARGINS, "So far from the ends, gaps alike between"),
    (Round.Rule.ALIGNED, "In line with the flowers of the round inside"),
]
APPLIED = [(Round.Applied.BEFORE, "Before the border is joined on"), (Round.Applied.AFTER, "Once it is on")]
# Said in the words of the engine's refusals: "even", "each way".
COPING = [
    (Round.Coping.AUTO, "As little as fits"),
    (Round.Coping.NONE, "None"),
    (Round.Coping.EVEN, "Even: one width all round"),
    (Round.Coping.EACH_WAY, "Each way: one width for the sides, one for the top and bottom"),
]
_BLOCK_NAMES = [(name, called(name)) for name in TRADITIONAL]
FIRST_BLOCK = "flying geese"

# Which fields belong to which kind of round; all the others to every one.
_STRIPS = ("corners", "first", "cut_long")
_FLOWERS = (
    "flower_side",
    "outer",
    "petal_rise",
    "flower_turn",
    *(f"flowers_{side}" for side, _ in SIDES),
    "flowers_corners",
    "rule",
    "end_margin",
    "applied",
    "scrappy",
)
_PIECED = ("unit_block", "other_unit_block", "unit_length", "corner_block", "coping", "least_coping")
FIELDS_OF = {PLAIN: _STRIPS, FLOWERS: (*_STRIPS, *_FLOWERS), PIECED: _PIECED}


def _choice(label: str, choices: list[tuple[Any, str]], *, radio: bool = True, **extra: Any) -> forms.ChoiceField:
    widget = forms.RadioSelect if radio else forms.Select
    field = forms.ChoiceField(label=label, choices=choices, widget=widget, **extra)
    field.error_messages["invalid_choice"] = field.error_messages["required"] = "Choose one of these."
    return field


class NewRoundForm(forms.Form):
    """A round to be added outside the others: its width and corners are enough to begin with, or the block it is pieced of."""

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
        self.fields["block"] = _choice(
            "Pieced of", [("", "Nothing: plain strips"), *_BLOCK_NAMES], radio=False, required=False,
            help_text="As long as the round is wide, to begin with.",
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.adding and "width" not in self.errors and cleaned["width"] is None:
            self.add_error("width", "Say how wide the new round is.")
        return cleaned

    def spec(self) -> RoundSpec | None:
        """The round typed in, None where there is none."""
        width, block = self.cleaned_data.get("width"), self.cleaned_data["block"]
        if not width:
            return None
        pieced = PiecedUnits(block=block, length=width) if block else None
        return RoundSpec(width=width, corners=self.cleaned_data["corners"], pieced=pieced)


class RoundForm(forms.Form):
    """One round that stands in the quilt."""

    def __init__(self, data: Any = None, *, row: Round, plan: Plan, system: System, name: str) -> None:
        prefix = f"round-{row.pk}"
        super().__init__(_other_unit(data, prefix, system), prefix=prefix, initial=_initial(row, plan))
        self.row, self.plan = row, plan

        def length(label: str, most: Limit, **extra: Any) -> LengthField:
            return LengthField(system=system, most=most.on(system), label=label, **extra)

        self.fields["name"] = Words(most=60, label="Name", help_text=f"Empty: “{name}”.")
        self.fields["width"] = length("Width", WIDEST_BORDER, help_text="Finished, seam to seam.")
        self.fields["made"] = _choice("What is on it", MADE)
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
        self._add_piecing(length)

    def _add_flowers(self, length: Any, system: System) -> None:
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
        self.fields["flowers_corners"] = forms.BooleanField(label="One more in each corner", required=False)
        self.fields["rule"] = _choice("Along the strip", RULES, radio=False)
        self.fields["end_margin"] = length(
            "From the ends",
            LARGEST_QUILT,
            required=False,
            allow_zero=True,
            help_text="From each end of the strip to the first flower’s edge.",
        )
        self.fields["applied"] = _choice("Sewn to it", APPLIED, radio=False)
        self.fields["scrappy"] = forms.BooleanField(
            label="Scrappy: the petals of one flower may differ", required=False
        )

    def _add_piecing(self, length: Any) -> None:
        self.fields["unit_block"] = BlockField(label="The block")
        self.fields["other_unit_block"] = _choice(
            "A block that takes turns with it",
            [("", "None: all are alike"), *_BLOCK_NAMES],
            radio=False,
            required=False,
        )
        self.fields["unit_length"] = length(
            "Length of a unit",
            WIDEST_BORDER,
            required=False,
            help_text="Along the border, finished. Empty: as long as the border is wide.",
        )
        self.fields["corner_block"] = _choice(
            "In the corners", [("", "Plain squares"), *_BLOCK_NAMES], radio=False, required=False
        )
        self.fields["coping"] = _choice("Coping strips inside it", COPING, radio=False)
        self.fields["least_coping"] = length(
            "Coping at least",
            WIDEST_BORDER,
            required=False,
            allow_zero=True,
            help_text="Finished width, where there is any.",
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name in self._unread(cleaned):
            self.errors.pop(name, None)
        whole_or_absent(self, "measured_width", "measured_length")
        made = cleaned.get("made")
        if made == FLOWERS and "flower_side" not in self.errors and cleaned.get("flower_side") is None:
            self.add_error("flower_side", "Say how long one side of the hexagon is.")
        return cleaned

    def _unread(self, cleaned: dict[str, Any]) -> Iterator[str]:
        """The fields that do not count as things stand; the page does not show them."""
        read = FIELDS_OF.get(cleaned.get("made", ""), (*_STRIPS, *_FLOWERS, *_PIECED))
        yield from {*_STRIPS, *_FLOWERS, *_PIECED} - {*read}
        if cleaned.get("outer") == HEXAGONS:
            yield "petal_rise"
        if cleaned.get("rule") not in (None, Round.Rule.MARGINS):
            yield "end_margin"

    def spec(self) -> RoundSpec:
        """What was typed; the form must be valid."""
        given = self.cleaned_data
        return RoundSpec(
            width=given["width"],
            name=given["name"],
            corners=given.get("corners", self.row.corners),
            first=given.get("first", self.row.first),
            cut_long=given.get("cut_long") or 0,
            measured=size_of(self, "measured_width", "measured_length"),
            flowers=self._flowers() if given["made"] == FLOWERS else None,
            pieced=self._pieced() if given["made"] == PIECED else None,
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
            corners=given["flowers_corners"],
            rule=given["rule"],
            end_margin=given.get("end_margin") or 0,
            applied=given["applied"],
            scrappy=given["scrappy"],
        )

    def _pieced(self) -> PiecedUnits:
        given = self.cleaned_data
        return PiecedUnits(
            block=given["unit_block"],
            length=given["unit_length"] or given["width"],
            other=given["other_unit_block"],
            corner=given["corner_block"],
            coping=given["coping"],
            least_coping=given["least_coping"] or 0,
        )

    @property
    def counts(self) -> list[forms.BoundField]:
        """How many flowers on each side, as fields in a row."""
        return [self[f"flowers_{side}"] for side, _ in SIDES]

    @property
    def other_unit(self) -> str:
        """The name under which a button sends another length of unit, in nm."""
        return self.add_prefix("other_unit")


def _other_unit(data: Any, prefix: str, system: System) -> Any:
    """What was sent, with the other length of unit that a button of it stands for, and whatever coping goes with it."""
    sent = str(data.get(f"{prefix}-other_unit", "")) if data is not None else ""
    if not (sent.isascii() and sent.isdigit() and len(sent) < 13 and int(sent)):
        return data
    changed = data.copy()
    changed[f"{prefix}-unit_length"] = write_length(int(sent), system=system)
    changed[f"{prefix}-coping"] = Round.Coping.AUTO
    return changed


def _initial(row: Round, plan: Plan) -> dict[str, Any]:
    own = (
        "name",
        "width",
        "corners",
        "first",
        "measured_width",
        "measured_length",
        "flower_side",
        "flowers_corners",
        "rule",
        "applied",
        "scrappy",
        "other_unit_block",
        "corner_block",
        "coping",
    )
    return {name: getattr(row, name) for name in own} | {
        "cut_long": row.cut_long or None,
        "made": FLOWERS if row.flower_side else PIECED if row.unit_length else PLAIN,
        "outer": HEXAGONS if row.flower_side and row.petal_rise is None else PETALS,
        "petal_rise": None if row.petal_rise == row.flower_side else row.petal_rise,
        "flower_turn": plan.turn_allowance if row.flower_turn is None else row.flower_turn,
        **{f"flowers_{side}": getattr(row, f"flowers_{side}") or None for side, _ in SIDES},
        "end_margin": row.end_margin or None,
        "unit_block": row.unit_block or FIRST_BLOCK,
        "unit_length": None if row.unit_length == row.width else row.unit_length,
        "least_coping": row.least_coping or None,
    }
