"""PLACEHOLDER of the contract's types until the cutting engine lands; whoever owns it overwrites this file.

NOTE to the owner: Placement has `whole` (1-based number of the joined strip among those of its patch, None for whole patches): plans needs
it to know which lengths belong together; keep it."""

from dataclasses import dataclass
from typing import Any

from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.patches import Join


@dataclass(frozen=True, slots=True)
class Wanted:
    id: str
    width: int
    length: int
    count: int
    turn: bool = True
    alike: int = 1
    join: Join | None = None


@dataclass(frozen=True, slots=True)
class CuttingJob:
    cloths: tuple[Cloth, ...]
    patches: tuple[Wanted, ...]
    method: str = "close"
    effort: str = "quick"
    least_offcut: int = 0


@dataclass(frozen=True, slots=True)
class Placement:
    patch: str
    part: int | None
    x: int
    y: int
    width: int
    length: int
    whole: int | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    number: int
    direction: str
    at: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Offcut:
    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class ClothLayout:
    id: str
    copy: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True, slots=True)
class Uncut:
    patch: str
    count: int


@dataclass(frozen=True, slots=True)
class Layout:
    method: str
    effort: str
    stood_in: bool
    cloths: tuple[ClothLayout, ...]
    uncut: tuple[Uncut, ...]
    used_area: int
    offcut_area: int
    waste_area: int
    handbook: Any = None


def lay_out(job: CuttingJob) -> Layout:
    raise RuntimeError("the cutting engine is not here yet")
