"""How is a cloth of a sheet shown? Each with its picture to scale, and its cuts in words to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from plans.queries.says import number, show_length, show_size
from plans.queries.sheets import ClothRow, SheetRow
from quiltbook.measures import Size, System
from quiltbook.web.pictures import layout_svg
from quiltbook.web.svg import Look
from quiltbook.yardage.cutting import Cut
from quiltbook.yardage.layouts import Reserved


@dataclass(frozen=True, slots=True)
class CutRow:
    number: int
    words: str
    note: str
    done: bool

    @property
    def id(self) -> str:
        """Of its button on the page."""
        return f"cut-{self.number}"


@dataclass(frozen=True, slots=True)
class DrawnCloth:
    """`by_eye`: what is then cut round the motifs of the print, in words."""

    cloth: ClothRow
    picture: SafeString
    cuts: tuple[CutRow, ...]
    by_eye: tuple[str, ...]


def drawn(sheet: SheetRow, system: System) -> tuple[DrawnCloth, ...]:
    """Every cloth of the sheet that was not given back."""
    return tuple(drawn_cloth(sheet, cloth, system) for cloth in sheet.cloths if cloth.state != "released")


def drawn_cloth(sheet: SheetRow, cloth: ClothRow, system: System) -> DrawnCloth:
    picture = layout_svg(
        cloth.layout,
        cloth=cloth.drawn_size,
        look=Look(sheet.fabric, sheet.colour, sheet.photo_url),
        labels={},
        key=f"cloth-{cloth.id}",
        title=f"{sheet.fabric} {cloth.name}, {show_size(cloth.drawn_size, system=system)}",
        system=system,
        ticks=cloth.ticks,
    )
    cuts = tuple(_cut_row(cut, cloth, system) for cut in cloth.layout.cuts)
    by_eye = tuple(_by_eye(one, cloth, system) for one in cloth.layout.reserved)
    return DrawnCloth(cloth, picture, cuts, by_eye)


def _by_eye(reserved: Reserved, cloth: ClothRow, system: System) -> str:
    size = next(line.size for line in cloth.lines if line.label == reserved.patch)
    rectangle = show_size(Size(reserved.width, reserved.length), system=system)
    each = f"{number(reserved.across)} across by {number(reserved.rows)} down"
    return (
        f"From the rectangle {rectangle} cut {reserved.count} of {reserved.patch}, each {show_size(size, system=system)}, by eye:"
        f" the motif in the middle. It holds whole repeats, {each}, wherever the print begins."
    )


def _cut_row(cut: Cut, cloth: ClothRow, system: System) -> CutRow:
    across = cut.direction == "across"
    whole = cloth.drawn_size.width if across else cloth.drawn_size.length
    at, start, end, setting = (show_length(nm, system=system) for nm in (cut.at, cut.start, cut.end, cut.setting))
    span = "right through" if cut.start == 0 and cut.end == whole else f"from {start} to {end}"
    if cut.kind == "straighten":
        return CutRow(
            cut.number,
            f"{cut.number}. Square up the {'top' if cut.at == cut.setting else 'other'} end",
            f"{setting} comes off",
            cut.number in cloth.ticks,
        )
    words = f"{cut.number}. {'Across' if across else 'Along'}, {at} from the {'top' if across else 'left'} edge"
    before = _measured_from(cut, cloth.layout.cuts)
    note = f"{span}; {setting} from cut {before}" if before else span
    return CutRow(cut.number, words, note, cut.number in cloth.ticks)


def _measured_from(cut: Cut, cuts: Sequence[Cut]) -> int | None:
    """The number of the earlier cut along whose edge the ruler is laid; None where that is the cloth's own edge."""
    edge = cut.at - cut.setting
    made = (
        other.number
        for other in cuts
        if other.number < cut.number
        and other.direction == cut.direction
        and other.at == edge
        and other.start <= cut.start
        and cut.end <= other.end
    )
    return max(made, default=None)
