"""What is asked of the cutting, and what does it answer? The job and the layout, as plain values.

Lengths are whole nm, areas nm². `x` runs across the width of a cloth from its left edge, `y` along its length.
"""

from dataclasses import dataclass

from quiltbook.measures import NM_PER_INCH
from quiltbook.yardage.cloths import STRIPES, Cloth, ways
from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.patches import Join, Refusal
from quiltbook.yardage.shrinkage import Shrinkage

METHODS = ("close", "strips")
EFFORTS = ("quick", "thorough")
MOST_PATCHES = 20_000
MOST_CLOTHS = 2_000
MOST_FLAWS = 200
LONGEST_CLOTH = 10**12  # a kilometre


class CuttingError(Refusal):
    """The job makes no sense; `field` says where, such as `patches[1].width`."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """`count` patches to cut, `width` across the cloth by `length` along it.

    `turn`: whether it may lie the other way. `alike`: so many at a time come from one fabric. `join`: where no cloth takes
    it whole, it may be made of the fewest lengths, all of one fabric. `stripes`: on striped cloth they must run "along" its
    length or "across" it.

    `per_repeat`: a fussy cut. It shows a chosen motif of the print, of which that many can be cut from each whole repeat; it
    lies as the print does, and comes only from cloth whose repeat is known (see `fussy`).
    """

    id: str
    width: int
    length: int
    count: int
    turn: bool = True
    alike: int = 1
    join: Join | None = None
    stripes: str | None = None
    per_repeat: int | None = None

    def ways(self, cloth: Cloth) -> tuple[bool, ...]:
        """How it may lie on the cloth: as it is, turned, either way, or not at all."""
        turn = self.turn and not self.per_repeat
        return ways(turn=turn, stripes=self.stripes, one_way=cloth.one_way, cloth_stripes=cloth.stripes)


@dataclass(frozen=True, slots=True)
class CuttingJob:
    """`method` "strips" (across the width, then sub-cuts) or "close" (any edge-to-edge cuts); `effort` "quick" or "thorough".

    A rectangle that is left is worth keeping when neither side is below `least_offcut`. Cloth that is not `washed` loses
    its `shrinkage` before anything else, and each raw end then loses `straightening`.
    """

    cloths: tuple[Cloth, ...]
    patches: tuple[Wanted, ...]
    method: str = "close"
    effort: str = "quick"
    least_offcut: int = 2 * NM_PER_INCH
    shrinkage: Shrinkage | None = None
    straightening: int = 0


@dataclass(frozen=True, slots=True)
class Placement:
    """A patch on a cloth, `width` and `length` as it lies there.

    Of a joined patch, `part` is the number of this length in it, from 1, and `whole` says which of the patches of that
    name it belongs to, from 1. Both are None for a patch in one piece.
    """

    patch: str
    part: int | None
    x: int
    y: int
    width: int
    length: int
    whole: int | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut with the ruler, edge to edge of the part of the cloth it is made on.

    `direction` "across" cuts at y = `at` from x = `start` to `end`; "along" at x = `at` from y = `start` to `end`. `depth`: 1 for
    cuts of the whole cloth, 2 for cuts of what they leave, and so on. `kind`: "straighten" (takes off a raw end, before all
    others), "rough" (frees what is left over), "strip", "cross" or "trim". `strip`: which of the parts that the first cuts leave it is made on, from 1; None at depth 1.
    `setting`: what the ruler is set to, from the cut before it, or from the edge.
    """

    number: int
    direction: str
    at: int
    start: int
    end: int
    depth: int = 1
    kind: str = "strip"
    strip: int | None = None
    setting: int = 0


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle worth keeping, clear of flaws."""

    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class Usable:
    """The rectangle of a cloth on which anything may lie: all of it, or what squaring it up leaves."""

    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class Reserved:
    """A rectangle that surely holds `across` by `rows` whole repeats' motifs, of which `count` patches are cut by eye."""

    patch: str
    count: int
    across: int
    rows: int
    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class ClothLayout:
    """How one cloth is cut: `copy` counts the cloths of that `id` from 1. Positions on cloth yet to be washed are those after its wash."""

    id: str
    copy: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]
    reserved: tuple[Reserved, ...] = ()
    usable: Usable | None = None


@dataclass(frozen=True, slots=True)
class Uncut:
    patch: str
    count: int


@dataclass(frozen=True, slots=True)
class Layout:
    """The answer. Only cloths that are cut into are listed: used + offcuts + waste is their whole area.

    `stood_in`: the solver failed, and the plain layout stands in. `handbook`: what strip arithmetic would take of the
    widest cloth; None where there is no cloth.
    """

    method: str
    effort: str
    stood_in: bool
    cloths: tuple[ClothLayout, ...]
    uncut: tuple[Uncut, ...]
    used_area: int
    offcut_area: int
    waste_area: int
    handbook: Handbook | None = None


def validate(job: CuttingJob) -> None:
    """Raise `CuttingError` for a job that nobody should hand to a solver."""
    _choice(job.method, METHODS, "method")
    _choice(job.effort, EFFORTS, "effort")
    if job.least_offcut < 0:
        raise CuttingError("least_offcut", "it must not be negative.")
    if not 0 <= job.straightening <= LONGEST_CLOTH:
        raise CuttingError("straightening", "it must be from 0 to a kilometre.")
    _own_ids([cloth.id for cloth in job.cloths], "cloths", "cloths")
    _own_ids([patch.id for patch in job.patches], "patches", "patches")
    if len(job.cloths) > MOST_CLOTHS:
        raise CuttingError("cloths", f"there must be at most {MOST_CLOTHS} of them.")
    for n, cloth in enumerate(job.cloths):
        _cloth(cloth, f"cloths[{n}]")
    for n, patch in enumerate(job.patches):
        _patch(patch, f"patches[{n}]")
    if sum(patch.count for patch in job.patches) > MOST_PATCHES:
        raise CuttingError("patches", f"they are more than {MOST_PATCHES} in all; lay them out in several jobs.")


def _choice(value: str, choices: tuple[str, ...], field: str) -> None:
    if value not in choices:
        raise CuttingError(field, f"it must be one of: {', '.join(choices)}.")


def _own_ids(ids: list[str], field: str, what: str) -> None:
    seen: set[str] = set()
    for n, name in enumerate(ids):
        if name in seen:
            raise CuttingError(f"{field}[{n}].id", f"two {what} have the id {name}.")
        seen.add(name)


def _cloth(cloth: Cloth, field: str) -> None:
    _side(cloth.width, f"{field}.width")
    _side(cloth.length, f"{field}.length")
    if cloth.count < 0:
        raise CuttingError(f"{field}.count", "it must not be negative.")
    _stripes(cloth.stripes, f"{field}.stripes")
    if cloth.repeat:
        _side(cloth.repeat.width, f"{field}.repeat.width")
        _side(cloth.repeat.length, f"{field}.repeat.length")
    if cloth.raw_ends not in (0, 1, 2):
        raise CuttingError(f"{field}.raw_ends", "it must be 0, 1 or 2.")
    if len(cloth.flaws) > MOST_FLAWS:
        raise CuttingError(f"{field}.flaws", f"there must be at most {MOST_FLAWS} of them.")
    for n, flaw in enumerate(cloth.flaws):
        if flaw.width <= 0 or flaw.length <= 0:
            raise CuttingError(f"{field}.flaws[{n}]", "its width and length must be more than 0.")


def _patch(patch: Wanted, field: str) -> None:
    _side(patch.width, f"{field}.width")
    _side(patch.length, f"{field}.length")
    if patch.count < 0:
        raise CuttingError(f"{field}.count", "it must not be negative.")
    if patch.alike < 1:
        raise CuttingError(f"{field}.alike", "it must be at least 1.")
    if patch.join and (patch.join.loss < 0 or patch.join.least < 0):
        raise CuttingError(f"{field}.join", "neither loss nor least may be negative.")
    _stripes(patch.stripes, f"{field}.stripes")
    if patch.per_repeat is not None and patch.per_repeat < 1:
        raise CuttingError(f"{field}.per_repeat", "it must be at least 1.")
    if patch.per_repeat and patch.join:
        raise CuttingError(f"{field}.join", "a patch cut round a motif of the print can't be joined.")


def _stripes(value: str | None, field: str) -> None:
    if value is not None:
        _choice(value, STRIPES, field)


def _side(nm: int, field: str) -> None:
    if nm <= 0:
        raise CuttingError(field, "it must be more than 0.")
    if nm > LONGEST_CLOTH:
        raise CuttingError(field, "it is longer than a kilometre.")
