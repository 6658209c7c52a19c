"""How does the command line's `shape` read a shape, and write its outlines? A thin face on `shapes.work_out`.

Points are told from the top left corner of the finished shape's box, y down, in the unit asked for.
"""

from collections.abc import Mapping

from quiltbook.yardage import shapes
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.wording import Defaults, Json, box_shown, size_shown, steps_shown

_MOST_POINTS = 200


def shape(data: Mapping[str, object]) -> Json:
    """A shape finished, cut and rough cut."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    name, finished = read_shape(reader)
    finished = _at_corner(finished)
    result = shapes.work_out(
        finished,
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
        round_up_to=reader.step("round_up", defaults.step),
        shape=name,
        surplus=reader.length("surplus", 0, zero=True),
    )
    answer: Json = {
        "unit": unit,
        "shape": name,
        "finished": box_shown(finished.size, unit) | _measured(finished, unit),
        "cut": box_shown(result.cut.size, unit) | _measured(result.cut, unit),
        "rough_cut": box_shown(result.rough_cut, unit),
        "edges": [
            {"length": number(edge.length, unit), "curved": bool(edge.rise), "grain": shapes.grain(edge)}
            for edge in finished.edges
        ],
        "grain": _grain_line(finished, unit),
        "template": {
            "finished": _points(finished, unit),
            "cut": _points(result.cut, unit),
            "trimmed": _points(result.trimmed, unit),
        },
        "cut_from": [_way(way, unit) for way in result.cut_from],
    }
    if result.square:
        square = {"exact": number(result.square.exact, unit), "cut": number(result.square.cut, unit)}
        answer |= {"square": square, "per_square": result.square.per_square}
    return answer | {"steps": steps_shown(result.steps, unit)}


def read_shape(reader: Reader) -> tuple[str, shapes.Outline]:
    """The name and the finished outline of the shape that `shape` and `size` of an object describe."""
    name = reader.choice("shape", (*shapes.SHAPES, "polygon"))
    sizes = reader.child("size")
    return name, _polygon(sizes) if name == "polygon" else _named_shape(name, sizes)


def _named_shape(name: str, sizes: Reader) -> shapes.Outline:
    make, keys = shapes.SHAPES[name]
    return make(
        *(sizes.degrees(key) if key == "angle" else float(sizes.length(key, zero=key == "narrow")) for key in keys)
    )


def _polygon(sizes: Reader) -> shapes.Outline:
    points = [(float(x), float(y)) for x, y in sizes.points("points", most=_MOST_POINTS)]
    return shapes.polygon(points, [float(rise) for rise in sizes.lengths("rises", signed=True)])


def _at_corner(outline: shapes.Outline) -> shapes.Outline:
    """The outline with the top left corner of its box at the origin."""
    (left, top), _ = outline.box
    return outline.moved(-left, -top)


def _measured(outline: shapes.Outline, unit: str) -> Json:
    return {"area": area(outline.area, unit), "perimeter": number(outline.perimeter, unit)}


def _way(way: shapes.CutFrom, unit: str) -> Json:
    sizes = {"exact": size_shown(way.exact, unit), "cut": size_shown(way.cut, unit)}
    return {"how": way.how, "diagonals": way.diagonals, "pieces": way.pieces} | sizes


def _points(outline: shapes.Outline, unit: str) -> list[Json]:
    """The corners in order, each with the rise of the edge that leaves it."""
    return [
        {"x": number(edge.start[0], unit), "y": number(edge.start[1], unit), "rise": number(edge.rise, unit)}
        for edge in outline.edges
    ]


def _grain_line(finished: shapes.Outline, unit: str) -> list[Json]:
    """The two ends of the line that lies along the straight grain: down the middle of the shape."""
    (left, top), (right, bottom) = finished.box
    middle = number((left + right) / 2, unit)
    return [{"x": middle, "y": number(y, unit)} for y in (top, bottom)]
