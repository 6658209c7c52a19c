"""What does each verb of the command line read, and what does it answer? One thin face on one engine function each.

A verb takes a loaded JSON object and gives one back. Whatever is wrong is a `Refusal` that names the field.
"""

from collections.abc import Callable, Mapping

from quiltbook.yardage import finishing
from quiltbook.yardage.jsonface import Reader, number
from quiltbook.yardage.shapejson import shape
from quiltbook.yardage.topjson import spacing, top
from quiltbook.yardage.wording import Defaults, Json, read_size, size_shown, steps_shown


def backing(data: Mapping[str, object]) -> Json:
    """The ways to piece a backing, best first."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    result = finishing.backing(
        read_size(reader, "top"),
        overage=reader.length("overage", defaults.overage, zero=True),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        seam_allowance=reader.length("seam_allowance", defaults.backing_seam, zero=True),
        increment=reader.step("increment", defaults.shop_step),
    )
    return {
        "unit": unit,
        "need": size_shown(result.need, unit),
        "options": [
            {
                "seams": option.seams,
                "panels": option.panels,
                "panel_length": number(option.panel_length, unit),
                "panel": size_shown(option.panel, unit),
                "joined": number(option.joined, unit),
                "length": number(option.length, unit),
                "to_buy": number(option.to_buy, unit),
                "steps": steps_shown(option.steps, unit),
            }
            for option in result.options
        ],
        "best": result.best.seams,
        "steps": steps_shown(result.steps, unit),
    }


def binding(data: Mapping[str, object]) -> Json:
    """The strips for a binding."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    result = finishing.binding(
        read_size(reader, "top"),
        extra=reader.length("extra", defaults.binding_extra, zero=True),
        strip_width=reader.length("strip_width", defaults.binding_strip),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        join=reader.text("join", "diagonal"),
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
    )
    return {
        "unit": unit,
        "join": result.join,
        "perimeter": number(result.perimeter, unit),
        "length_needed": number(result.length_needed, unit),
        "strips": result.strips,
        "joined_length": number(result.joined_length, unit),
        "cloth_length": number(result.cloth_length, unit),
        "squares": result.squares,
        "square": None if result.square is None else number(result.square, unit),
        "steps": steps_shown(result.steps, unit),
    }


VERBS: Mapping[str, Callable[[Mapping[str, object]], Json]] = {
    "shape": shape,
    "top": top,
    "spacing": spacing,
    "backing": backing,
    "binding": binding,
}
