"""How does the command line's `setting` read a setting of blocks, and write what it takes? A thin face on `setting.work_out_setting`."""

from collections.abc import Mapping

from quiltbook.yardage.jsonface import Reader, number
from quiltbook.yardage.setting import MOST_ACROSS, Setting, work_out_setting
from quiltbook.yardage.shapes import SquareCut
from quiltbook.yardage.wording import Defaults, Json, patch_shown, size_shown, steps_shown


def setting(data: Mapping[str, object]) -> Json:
    """Counts, triangles, sashing and size of a setting."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    result = work_out_setting(
        read_setting(reader),
        seam_allowance=reader.length("seam_allowance", defaults.seam, zero=True),
        round_up_to=reader.step("round_up", defaults.step),
    )
    return {
        "unit": unit,
        "blocks": result.blocks,
        "side_triangles": result.side_triangles,
        "corner_triangles": result.corner_triangles,
        "side_squares": result.side_squares,
        "corner_squares": result.corner_squares,
        "side_square": _square(result.side_square, unit),
        "corner_square": _square(result.corner_square, unit),
        "sashes": result.sashes,
        "cornerstones": result.cornerstones,
        "edge_cornerstones": result.edge_cornerstones,
        "finished": size_shown(result.finished, unit),
        "patches": [patch_shown(patch, unit) for patch in result.patches],
        "steps": steps_shown(result.steps, unit),
    }


def read_setting(reader: Reader) -> Setting:
    """A setting from the object that describes it."""
    sashing = reader.maybe_child("sashing")
    return Setting(
        block=reader.length("block"),
        across=reader.count("across", most=MOST_ACROSS),
        down=reader.count("down", most=MOST_ACROSS),
        on_point=reader.flag("on_point", False),
        sashing=sashing.length("width", zero=True) if sashing else 0,
        outer=sashing.flag("outer", False) if sashing else False,
        cornerstones=reader.flag("cornerstones", False),
        surplus=reader.length("surplus", 0, zero=True),
    )


def _square(square: SquareCut | None, unit: str) -> Json | None:
    return {"exact": number(square.exact, unit), "cut": number(square.cut, unit)} if square else None
