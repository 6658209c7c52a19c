"""How does the command line's `nest` read a job, and write where the shapes lie? A thin face on `nesting.nest`."""

from collections import Counter
from collections.abc import Mapping

from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.nesting import Nested, NestJob, NestShape
from quiltbook.yardage.nesting import nest as nest_shapes
from quiltbook.yardage.nestjob import MOST_CLOTHS, MOST_SHAPES, TURNS
from quiltbook.yardage.shapejson import read_shape
from quiltbook.yardage.wording import Defaults, Json, steps_shown


def nest(data: Mapping[str, object]) -> Json:
    """Small and curved shapes on a rectangle of cloth."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit

    def shape(child: Reader) -> NestShape:
        return NestShape(
            id=child.text("id"),
            finished=read_shape(child)[1],
            seam_allowance=child.length("seam_allowance", defaults.seam, zero=True),
            count=child.count("count", least=0, most=MOST_SHAPES) if child.has("count") else None,
            turns=child.choice("turns", TURNS, "any quarter"),
        )

    job = NestJob(
        shapes=tuple(shape(child) for child in reader.children("shapes")),
        width=reader.whole_nm("width", defaults.cloth_width),
        length=reader.whole_nm("length") if reader.has("length") else None,
        cloths=reader.count("cloths", 1, most=MOST_CLOTHS),
        spacing=reader.whole_nm("spacing", 0, zero=True),
        round_up_to=reader.step("round_up", defaults.step),
    )
    return _shown(nest_shapes(job), unit)


def _shown(nested: Nested, unit: str) -> Json:
    laid = Counter(one.id for one in nested.placed)
    return {
        "unit": unit,
        "cloths": nested.cloths,
        "length": number(nested.length, unit),
        "laid": [{"id": name, "count": count} for name, count in laid.items()],
        "left": [{"id": one.patch, "count": one.count} for one in nested.left],
        "area": area(nested.area, unit),
        "area_bound": number(nested.area_bound, unit),
        "utilisation": round(nested.utilisation, 6),
        "stood_in": nested.stood_in,
        "rough_cut": [
            {
                "id": one.id,
                "width": number(one.width, unit),
                "length": number(one.length, unit),
                "per_cloth": one.per_cloth,
            }
            for one in nested.rough
        ],
        "strips": _strips_shown(nested.strips, unit),
        "boxes": _strips_shown(nested.boxes, unit),
        "placed": [
            {"id": one.id, "cloth": one.cloth, "x": number(one.x, unit), "y": number(one.y, unit), "turn": one.turn}
            for one in nested.placed
        ],
        "steps": steps_shown(nested.steps, unit),
    }


def _strips_shown(strips: Handbook, unit: str) -> Json:
    return {
        "length": number(strips.length, unit),
        "sizes": [
            {
                "id": line.patch,
                "strip": number(line.strip, unit),
                "across": number(line.across, unit),
                "per_strip": line.per_strip,
                "strips": line.strips,
            }
            for line in strips.lines
        ],
        "too_wide": list(strips.too_wide),
    }
