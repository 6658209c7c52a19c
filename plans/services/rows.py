"""How is an engine's layout of one cloth kept? As a row with the drawing, and one line a kind of patch that lies on it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from plans.models import CuttingSheet, SheetCloth, SheetLine
from quiltbook.measures import Size, mm2
from quiltbook.yardage.cutting import ClothLayout
from stash.models import Piece

type Joins = Mapping[tuple[str, int | None], int]


@dataclass(frozen=True, slots=True)
class Marked:
    """What a letter on the drawing stands for."""

    role: str
    part: str
    size: Size


def add_cloth(
    sheet: CuttingSheet,
    position: int,
    piece: Piece,
    layout: ClothLayout,
    marked: Mapping[str, Marked],
    joins: Joins,
    washed: Size | None = None,
) -> SheetCloth:
    """`washed`: what the piece will measure, where it was laid out as it may be once washed."""
    kept = drawing(layout, washed or piece.size, marked)
    if washed is not None:
        kept["before_wash"] = {"width": piece.width, "length": piece.length}
    cloth = SheetCloth.objects.create(sheet=sheet, position=position, piece=piece, layout=kept)
    add_lines(cloth, layout, marked, joins)
    return cloth


def add_lines(cloth: SheetCloth, layout: ClothLayout, marked: Mapping[str, Marked], joins: Joins) -> None:
    """`joins`: of how many lengths each joined strip is made, which may lie on other cloths too."""
    kinds = Counter((p.patch, p.whole, p.part) for p in layout.placements)
    for one in layout.reserved:
        kinds[one.patch, None, None] += one.count
    SheetLine.objects.bulk_create(
        SheetLine(
            cloth=cloth,
            label=patch,
            role=marked[patch].role,
            part=marked[patch].part,
            width=int(marked[patch].size.width),
            length=int(marked[patch].size.length),
            whole=whole,
            join_part=part,
            join_of=None if whole is None else joins[patch, whole],
            count=count,
        )
        for (patch, whole, part), count in kinds.items()
    )


def drawing(layout: ClothLayout, size: Size, marked: Mapping[str, Marked]) -> dict[str, Any]:
    """All that a page needs to draw the cloth, as plain numbers in nm."""
    letters = sorted({p.patch for p in layout.placements} | {one.patch for one in layout.reserved})
    return {
        "width": int(size.width),
        "length": int(size.length),
        "placements": [asdict(placement) for placement in layout.placements],
        "reserved": [asdict(one) for one in layout.reserved],
        "usable": asdict(layout.usable) if layout.usable else None,
        "cuts": [asdict(cut) for cut in layout.cuts],
        "offcuts": [asdict(offcut) for offcut in layout.offcuts],
        "legend": {
            letter: {
                "role": marked[letter].role,
                "part": marked[letter].part,
                "width": int(marked[letter].size.width),
                "length": int(marked[letter].size.length),
            }
            for letter in letters
        },
    }


def patches_mm2(cloth: SheetCloth) -> int:
    """What is cut from the cloth and goes into the quilt, by its kept drawing."""
    legend = cloth.layout["legend"]
    total = sum(mm2(p["width"], p["length"]) for p in cloth.layout["placements"])
    for one in cloth.layout.get("reserved", ()):
        patch = legend[one["patch"]]
        total += one["count"] * mm2(patch["width"], patch["length"])
    return total


def given_back(cloth: SheetCloth, least: int) -> list[dict[str, int]]:
    """The rectangles that are offcuts too once the cloth's patches are wanted no more: those not smaller than `least` either way."""
    rectangles = (*cloth.layout["placements"], *cloth.layout.get("reserved", ()))
    return [one for one in rectangles if one["width"] >= least and one["length"] >= least]


def marked_on(cloth: SheetCloth) -> dict[str, Marked]:
    """The letters of a kept drawing read back."""
    return {
        letter: Marked(row["role"], row["part"], Size(row["width"], row["length"]))
        for letter, row in cloth.layout["legend"].items()
    }
