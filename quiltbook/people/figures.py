"""Which lengths are usual in a quilt, what is each called, and what is the most of it that makes sense?

The same words and limits for a person's settings and for the figures of one plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, System
from quiltbook.people.usual import MAY_BE_NOTHING
from quiltbook.web.fields import LengthField


@dataclass(frozen=True, slots=True)
class Limit:
    """A length beyond which a figure makes no sense, round on either ruler."""

    inches: int
    centimetres: int

    def on(self, system: System) -> int:
        """In nm."""
        return self.inches * NM_PER_INCH if system is System.INCHES else self.centimetres * NM_PER_CM


WIDEST_CLOTH = Limit(200, 500)
WIDEST_FAT_QUARTER = Limit(80, 200)
WIDEST_SEAM = Limit(2, 5)
WIDEST_BINDING = Limit(12, 30)
MOST_EXTRA = Limit(40, 100)
MOST_LENGTH = Limit(200, 500)


@dataclass(frozen=True, slots=True)
class Figure:
    """What a figure is called, what it does, and its limit."""

    label: str
    help_text: str
    most: Limit


FIGURES: Mapping[str, Figure] = {
    "usable_width": Figure("Usable width of cloth", "Across the grain, selvedges off.", WIDEST_CLOTH),
    "fat_quarter_width": Figure("Fat quarter, across", "From selvedge to the middle.", WIDEST_FAT_QUARTER),
    "fat_quarter_length": Figure("Fat quarter, along", "Along the selvedge.", WIDEST_FAT_QUARTER),
    "least_offcut": Figure("Smallest offcut kept", "Narrower than this either way is waste.", MOST_EXTRA),
    "shop_step": Figure("Shops cut by the", "Cloth to buy is rounded up to this.", MOST_LENGTH),
    "seam_allowance": Figure("Seam allowance", "On each edge of a patch.", WIDEST_SEAM),
    "cutting_step": Figure("Cutting step", "Sizes to cut are rounded up to this.", WIDEST_SEAM),
    "mitre_extra": Figure("Extra for mitres", "Added to the length of a mitred strip.", MOST_EXTRA),
    "straightening": Figure("Squaring up", "Comes off the raw end of a cloth before it is cut.", MOST_EXTRA),
    "turn_allowance": Figure("Turn over papers", "Cloth folded over each edge of the papers to come.", WIDEST_SEAM),
    "backing_width": Figure("Width of the backing cloth", "Usable, selvedges off.", WIDEST_CLOTH),
    "backing_overage": Figure("Backing beyond the top", "On each side.", MOST_EXTRA),
    "backing_seam": Figure("Seam in the backing", "Where it is joined from several widths.", WIDEST_SEAM),
    "wadding_overage": Figure("Wadding beyond the top", "On each side.", MOST_EXTRA),
    "binding_strip": Figure("Binding strip", "Its width as cut, before folding.", WIDEST_BINDING),
    "binding_extra": Figure("Extra binding", "For the corners and for joining the ends.", MOST_LENGTH),
}


def figure_fields(names: Iterable[str], *, system: System) -> dict[str, LengthField]:
    """A field for each of these FIGURES, typed and shown in `system`."""
    return {
        name: LengthField(
            system=system,
            label=FIGURES[name].label,
            help_text=FIGURES[name].help_text,
            most=FIGURES[name].most.on(system),
            allow_zero=name in MAY_BE_NOTHING,
        )
        for name in names
    }
