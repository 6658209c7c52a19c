"""How does the command line's `cut` read its job, and write the layout? A thin face on `cutting.lay_out`.

Cloth is rounded down to the nm, patches and flaws up, so that nothing is ever short.
"""

from collections.abc import Mapping
from math import ceil, floor

from quiltbook.measures import NM_PER_CM, NM_PER_INCH
from quiltbook.yardage.cloths import Cloth, Flaw
from quiltbook.yardage.cutting import ClothLayout, Cut, CuttingJob, Layout, Placement, Wanted, lay_out
from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.layouts import EFFORTS, METHODS, MOST_PATCHES
from quiltbook.yardage.patches import Join

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
    )


def _cloth(reader: Reader) -> Cloth:
    return Cloth(
        id=reader.text("id"),
        fabric=reader.text("fabric", "-"),
        width=floor(reader.length("width")),
        length=floor(reader.length("length")),
        count=reader.count("count", 1, least=0),
        one_way=reader.flag("one_way", False),
        flaws=tuple(_flaw(child) for child in reader.children("flaws", needed=False)),
    )


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
        "offcuts": [
            {
                "x": number(offcut.x, unit),
                "y": number(offcut.y, unit),
                "width": number(offcut.width, unit),
                "length": number(offcut.length, unit),
            }
            for offcut in cloth.offcuts
        ],
    }


def _placement_shown(placement: Placement, unit: str) -> Json:
    return {
        "patch": placement.patch,
        "part": placement.part,
        "whole": placement.whole,
        "x": number(placement.x, unit),
        "y": number(placement.y, unit),
        "width": number(placement.width, unit),
        "length": number(placement.length, unit),
    }


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
                "length": number(line.length, unit),
            }
            for line in handbook.lines
        ],
        "too_wide": list(handbook.too_wide),
    }
