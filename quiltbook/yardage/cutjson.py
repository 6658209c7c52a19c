"""How does the command line's `cut` read its job, and write the layout? A thin face on `cutting.lay_out`.

Cloth is rounded down to the nm, patches and flaws up, so that nothing is ever short.
"""

from collections.abc import Mapping
from math import ceil, floor

from quiltbook.measures import NM_PER_CM, NM_PER_INCH
from quiltbook.yardage.cloths import STRIPES, Cloth, Flaw, Repeat
from quiltbook.yardage.cutting import (
    ClothLayout,
    Cut,
    CuttingJob,
    Layout,
    Offcut,
    Placement,
    Reserved,
    Usable,
    Wanted,
    lay_out,
)
from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.layouts import EFFORTS, METHODS, MOST_PATCHES
from quiltbook.yardage.patches import Join
from quiltbook.yardage.shrinkage import Shrinkage

type Json = dict[str, object]


def cut(data: Mapping[str, object]) -> Json:
    """Which patch lies where on which cloth. Raises `Refusal` for input that makes no sense."""
    reader = Reader.of(data)
    return layout_shown(lay_out(read_job(reader)), reader.unit)


def read_job(reader: Reader) -> CuttingJob:
    """The job that an object of the input describes."""
    least = 2 * NM_PER_INCH if reader.unit == "in" else 5 * NM_PER_CM
    return CuttingJob(
        cloths=tuple(_cloth(child) for child in reader.children("cloths")),
        patches=tuple(_patch(child) for child in reader.children("patches")),
        method=reader.choice("method", METHODS, "close"),
        effort=reader.choice("effort", EFFORTS, "quick"),
        least_offcut=ceil(reader.length("least_offcut", least, zero=True)),
        shrinkage=_shrinkage(reader.maybe_child("shrinkage")),
        straightening=ceil(reader.length("straightening", 0, zero=True)),
    )


def _shrinkage(reader: Reader | None) -> Shrinkage | None:
    if reader is None:
        return None
    across, along = (reader.per_cent(key, 0, least=-50, most=50) / 100 for key in ("width", "length"))
    return Shrinkage(across, along)


def _cloth(reader: Reader) -> Cloth:
    return Cloth(
        id=reader.text("id"),
        fabric=reader.text("fabric", "-"),
        width=floor(reader.length("width")),
        length=floor(reader.length("length")),
        count=reader.count("count", 1, least=0),
        one_way=reader.flag("one_way", False),
        flaws=tuple(_flaw(child) for child in reader.children("flaws", needed=False)),
        stripes=_stripes(reader),
        repeat=_repeat(reader.maybe_child("repeat")),
        washed=reader.flag("washed", True),
        raw_ends=reader.count("raw_ends", 1, least=0, most=2),
    )


def _stripes(reader: Reader) -> str | None:
    return reader.choice("stripes", STRIPES) if reader.has("stripes") else None


def _repeat(reader: Reader | None) -> Repeat | None:
    """Up to the nm: a larger repeat takes more cloth."""
    return Repeat(ceil(reader.length("width")), ceil(reader.length("length"))) if reader else None


def _flaw(reader: Reader) -> Flaw:
    x, y = reader.length("x", zero=True), reader.length("y", zero=True)
    far_x, far_y = ceil(x + reader.length("width")), ceil(y + reader.length("length"))
    return Flaw(floor(x), floor(y), far_x - floor(x), far_y - floor(y))


def _patch(reader: Reader) -> Wanted:
    join = reader.maybe_child("join")
    return Wanted(
        id=reader.text("id"),
        width=ceil(reader.length("width")),
        length=ceil(reader.length("length")),
        count=reader.count("count", 1, least=0),
        turn=reader.flag("turn", True),
        alike=reader.count("alike", 1, most=MOST_PATCHES),
        join=Join(ceil(join.length("loss", zero=True)), ceil(join.length("least", zero=True))) if join else None,
        stripes=_stripes(reader),
        per_repeat=reader.count("per_repeat") if reader.has("per_repeat") else None,
    )


def layout_shown(layout: Layout, unit: str) -> Json:
    """A layout as the answer has it, its numbers in `unit`."""
    return {
        "unit": unit,
        "method": layout.method,
        "effort": layout.effort,
        "stood_in": layout.stood_in,
        "cloths": [_cloth_shown(cloth, unit) for cloth in layout.cloths],
        "uncut": [{"patch": row.patch, "count": row.count} for row in layout.uncut],
        "used_area": area(layout.used_area, unit),
        "offcut_area": area(layout.offcut_area, unit),
        "waste_area": area(layout.waste_area, unit),
        "handbook": _handbook_shown(layout.handbook, unit) if layout.handbook else None,
    }


def _cloth_shown(cloth: ClothLayout, unit: str) -> Json:
    return {
        "id": cloth.id,
        "copy": cloth.copy,
        "placements": [_placement_shown(placement, unit) for placement in cloth.placements],
        "cuts": [_cut_shown(one, unit) for one in cloth.cuts],
        "offcuts": [_rectangle_shown(offcut, unit) for offcut in cloth.offcuts],
        "reserved": [_reserved_shown(one, unit) for one in cloth.reserved],
        "usable": _rectangle_shown(cloth.usable, unit) if cloth.usable else None,
    }


def _rectangle_shown(thing: Offcut | Placement | Reserved | Usable, unit: str) -> Json:
    return {
        "x": number(thing.x, unit),
        "y": number(thing.y, unit),
        "width": number(thing.width, unit),
        "length": number(thing.length, unit),
    }


def _reserved_shown(one: Reserved, unit: str) -> Json:
    counts: Json = {"patch": one.patch, "count": one.count, "across": one.across, "rows": one.rows}
    return counts | _rectangle_shown(one, unit)


def _placement_shown(placement: Placement, unit: str) -> Json:
    names: Json = {"patch": placement.patch, "part": placement.part, "whole": placement.whole}
    return names | _rectangle_shown(placement, unit)


def _cut_shown(one: Cut, unit: str) -> Json:
    return {
        "number": one.number,
        "direction": one.direction,
        "at": number(one.at, unit),
        "start": number(one.start, unit),
        "end": number(one.end, unit),
        "depth": one.depth,
        "kind": one.kind,
        "strip": one.strip,
        "setting": number(one.setting, unit),
    }


def _handbook_shown(handbook: Handbook, unit: str) -> Json:
    return {
        "width": number(handbook.width, unit),
        "length": number(handbook.length, unit),
        "sizes": [
            {
                "patch": line.patch,
                "needed": line.needed,
                "strip": number(line.strip, unit),
                "across": number(line.across, unit),
                "per_strip": line.per_strip,
                "strips": line.strips,
                "lengths": line.lengths,
                "begin": number(line.begin, unit),
                "length": number(line.length, unit),
            }
            for line in handbook.lines
        ],
        "too_wide": list(handbook.too_wide),
    }
