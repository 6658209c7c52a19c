"""How is the quilt backed, filled, bound and quilted, and in what size does she buy thread, papers and what holds the layers?

Fields of the finishing page's one form, besides the plan's plain lengths (forms/finishing.py)."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms

from plans.forms.fields import NARROWEST_CLOTH, Whole, example
from plans.models.plan import BackingSeams, BindingJoin, QuiltedBy
from plans.queries.notions import spool_size
from quiltbook.measures import NM_PER_METRE, NM_PER_MM, NM_PER_YARD, System
from quiltbook.people.figures import MOST_LENGTH, WIDEST_CLOTH, Limit
from quiltbook.web.fields import LengthField, NumberField

# mm² in what the label of a can of adhesive is written in.
_AREAS = {System.INCHES: Fraction(9144, 10) ** 2, System.METRIC: Fraction(1000) ** 2}
LARGEST_PACK = Limit(400, 1000)
WIDEST_REPEAT = Limit(80, 200)
MOST_COVERED = 1000
MOST_PAPERS = 10_000
MOST_USES = 50

# Less than this is a slip of the pen, or no wadding, web or quilting.
LEAST: Mapping[str, Limit] = {
    "wadding_pack_width": NARROWEST_CLOTH,
    "wadding_pack_length": NARROWEST_CLOTH,
    "wadding_roll": NARROWEST_CLOTH,
    "web_width": Limit(1, 2),
}

# By the group of the form they stand in; a group that is not there yet is put at its end.
GROUPS: Mapping[str, tuple[str, ...]] = {
    "Backing and wadding": (
        "backing_seams",
        "backing_repeat",
        "wadding_pack_width",
        "wadding_pack_length",
        "wadding_roll",
    ),
    "Binding": ("binding_join",),
    "Quilting and thread": ("quilted_by", "quilting_apart", "quilting_ways", "spool"),
    "Cutting and piecing": ("washes_first",),
    "Papers, basting and web": ("papers_pack", "papers_uses", "adhesive_covers", "web_width"),
}


class SpoolField(LengthField):
    """What a spool holds, shown in the metres or yards it is sold by."""

    def prepare_value(self, value: Any) -> Any:
        return spool_size(value).replace("\u00a0", " ") if isinstance(value, int) else value


class CoverField(NumberField):
    """What a label says one covers, typed in square yards or metres: whole mm²."""

    def __init__(self, *, system: System, **kwargs: Any) -> None:
        self.mm2 = _AREAS[system]
        super().__init__(max_value=MOST_COVERED, required=False, **kwargs)
        self.error_messages["max_value"] = f"At most {MOST_COVERED}: check the number."

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int):
            value = Decimal(float(round(Fraction(value) / self.mm2, 3))).quantize(Decimal("0.001"))
        return super().prepare_value(value)

    def clean(self, value: Any) -> int | None:
        number = super().clean(value)
        if number is None:
            return None
        covered = round(Fraction(number) * self.mm2)
        if covered <= 0:
            raise forms.ValidationError("It must be more than nothing.")
        return covered


def finishing_fields(system: System) -> dict[str, forms.Field]:
    """Those of GROUPS."""

    def length(label: str, most: Limit, help_text: str, **extra: Any) -> LengthField:
        return LengthField(system=system, most=most.on(system), label=label, help_text=help_text, **extra)

    each = example(system, "square yards", "square metres")
    return {
        "backing_seams": _choice("Seams of the backing run", BackingSeams.choices),
        "backing_repeat": length(
            "Repeat of the backing’s print", WIDEST_REPEAT, "Along the cloth. 0: nothing to match.", allow_zero=True
        ),
        "wadding_pack_width": length("Your pack of wadding, width", LARGEST_PACK, "As its label says.", required=False),
        "wadding_pack_length": length("Its length", LARGEST_PACK, "As its label says.", required=False),
        "wadding_roll": length("Wadding on the roll", LARGEST_PACK, "How wide the shop’s roll is."),
        "binding_join": _choice("The binding is of", BindingJoin.choices),
        "quilted_by": _choice("It is quilted", QuiltedBy.choices),
        "quilting_apart": length(
            "Lines of quilting apart", MOST_LENGTH, "Or about so far, over the whole quilt.", required=False
        ),
        "quilting_ways": forms.TypedChoiceField(
            label="The lines run",
            choices=[(1, "One way"), (2, "Both ways, crossed")],
            coerce=int,
            error_messages=_UNKNOWN,
        ),
        "spool": SpoolField(
            system=system,
            unit=example(system, "yd", "m"),
            most=1000 * NM_PER_METRE,
            label="Thread on a spool",
            help_text="As its label says: " + example(system, "such as 500 yd or 100 m.", "such as 100 m."),
        ),
        "papers_pack": Whole(
            least=1,
            most=MOST_PAPERS,
            needed="Write a number.",
            label="Papers in a pack",
            help_text="Or templates that stay in.",
        ),
        "papers_uses": Whole(
            least=1,
            most=MOST_USES,
            needed="Write a number.",
            label="Times a paper is used",
            help_text="1 for a template that stays in.",
        ),
        "adhesive_covers": CoverField(
            system=system,
            label="One can of basting spray covers",
            help_text=f"In {each}, as its label says. Empty: the layers are held otherwise.",
        ),
        "washes_first": forms.BooleanField(
            required=False,
            label="Cloth is washed before it is cut",
            help_text="What to buy and what you have are then reckoned with what the wash takes, as your own washes have it. A printed panel is taken as it measures.",
        ),
        "web_width": length(
            "Width of fusible web", WIDEST_CLOTH, "Only if you fuse shapes on before sewing them.", required=False
        ),
    }


_UNKNOWN = {"invalid_choice": "Choose one of these.", "required": "Choose one of these."}


def _choice(label: str, choices: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, error_messages=_UNKNOWN)


def least_of(name: str, system: System) -> int:
    """The least that makes sense of a field, in nm; 0 where anything does."""
    own = {"spool": NM_PER_YARD if system is System.INCHES else NM_PER_METRE, "quilting_apart": NM_PER_MM}
    return own[name] if name in own else LEAST[name].on(system) if name in LEAST else 0
