"""What must be cut: one kind of patch, its role in the quilt, its finished size and the rectangle it is cut from.

Every part of the engine that makes patches (tops, motifs) says so in these terms, and the cutting reads nothing else.
Lengths are in nm.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from quiltbook.measures import Length, Size


class Refusal(ValueError):
    """What was asked cannot be worked out: the `field` at fault, and the `problem` in a sentence."""

    def __init__(self, field: str, problem: str) -> None:
        self.field, self.problem = field, problem
        super().__init__(problem)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of how a figure came about: `what` it gives, from which `lengths` (nm) and `counts`, by their trade words."""

    what: str
    lengths: Mapping[str, Length] = field(default_factory=dict)
    counts: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Join:
    """Leave to make a strip of several lengths: each join takes `loss` off the sum, and no length is below `least`."""

    loss: int
    least: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """`count` patches alike.

    `role`: who is given cloth, such as "panel", "first border", "first border petals".
    `part`: "panel", "side", "end", "cornerstone", "petal", "petal hexagon" or "flower centre"; "patch" of a block or of a
    pieced border; of a setting "sash", "sashing cornerstone", "edge cornerstone", "side triangle" or "corner triangle"; "coping
    side" or "coping end"; "field patch" and "background" of a field; "whole cloth".
    `round`: index of the border, from 0; None for the centre.
    `cut`: the rectangle to cut it from, up to the cutting step. `turn`: whether it may lie either way on the cloth.
    `alike`: so many at a time share one fabric. `join`: it may be made of several lengths.
    `per_cut`: so many come from one such rectangle, a square cut corner to corner; `to_cut` rectangles give all.
    """

    role: str
    part: str
    round: int | None
    shape: str
    finished: Size
    cut: Size
    count: int
    seam_allowance: Length
    turn: bool = True
    alike: int = 1
    join: Join | None = None
    per_cut: int = 1

    @property
    def to_cut(self) -> int:
        return -(-self.count // self.per_cut)
