"""How does an answer write sizes and steps, and what does the trade take where the input says nothing?

What the verbs share: defaults in inches or in metric, and values as JSON in the unit asked for.
"""

from collections.abc import Iterable

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, NM_PER_MM, NM_PER_YARD, Size
from quiltbook.yardage.jsonface import Reader, number
from quiltbook.yardage.patches import Patch, Step

type Json = dict[str, object]


class Defaults:
    """What the trade takes where the input says nothing, in inches or in metric."""

    def __init__(self, unit: str) -> None:
        inches = unit == "in"
        self.seam = NM_PER_INCH // 4 if inches else 75 * NM_PER_MM // 10
        self.step = NM_PER_INCH // 8 if inches else NM_PER_MM
        self.cloth_width = 42 * NM_PER_INCH if inches else 107 * NM_PER_CM
        self.overage = 4 * NM_PER_INCH if inches else 10 * NM_PER_CM
        self.backing_seam = NM_PER_INCH // 2 if inches else NM_PER_CM
        self.shop_step = NM_PER_YARD // 8 if inches else 10 * NM_PER_CM
        self.binding_strip = 5 * NM_PER_INCH // 2 if inches else 65 * NM_PER_MM
        self.binding_extra = 12 * NM_PER_INCH if inches else 30 * NM_PER_CM
        self.join_least = 8 * NM_PER_INCH if inches else 20 * NM_PER_CM


def read_size(reader: Reader, key: str) -> Size:
    child = reader.child(key)
    return Size(child.length("width"), child.length("length"))


def maybe_size(reader: Reader, key: str) -> Size | None:
    return read_size(reader, key) if reader.has(key) else None


def size_shown(size: Size, unit: str) -> Json:
    return {"width": number(size.width, unit), "length": number(size.length, unit)}


def box_shown(size: Size, unit: str) -> Json:
    return {"width": number(size.width, unit), "height": number(size.length, unit)}


def steps_shown(steps: Iterable[Step], unit: str) -> list[Json]:
    return [
        {
            "what": step.what,
            "lengths": {k: number(v, unit) for k, v in step.lengths.items()},
            "counts": dict(step.counts),
        }
        for step in steps
    ]


def patch_shown(patch: Patch, unit: str) -> Json:
    """A patch as an answer lists it: `count` shapes, cut from `to_cut` rectangles of size `cut`."""
    return {
        "role": patch.role,
        "part": patch.part,
        "round": patch.round,
        "shape": patch.shape,
        "count": patch.count,
        "per_cut": patch.per_cut,
        "to_cut": patch.to_cut,
        "finished": size_shown(patch.finished, unit),
        "cut": size_shown(patch.cut, unit),
        "turn": patch.turn,
        "alike": patch.alike,
        "seam_allowance": number(patch.seam_allowance, unit),
        "join": {"loss": number(patch.join.loss, unit), "least": number(patch.join.least, unit)}
        if patch.join
        else None,
    }
