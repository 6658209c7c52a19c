"""What is asked of the nesting, what does it answer, and in which ways may a shape lie?

Lengths are whole nm, areas nm²; `x` runs across the width of the cloth from its left edge, `y` along its length.
"""

import math
from dataclasses import dataclass

from quiltbook.measures import NM_PER_INCH, Length
from quiltbook.yardage.clearances import SAGITTA, Form, form, polygon_round
from quiltbook.yardage.growing import grow
from quiltbook.yardage.handbook import Handbook
from quiltbook.yardage.layouts import LONGEST_CLOTH, Uncut
from quiltbook.yardage.outline import Outline
from quiltbook.yardage.patches import Refusal, Step

TURNS = {"any quarter": (0, 90, 180, 270), "half": (0, 180), "none": (0,)}
MOST_SHAPES = 20_000
MOST_KINDS = 40
MOST_CLOTHS = 2_000


class NestError(Refusal):
    """The job makes no sense; `field` says where, such as `shapes[1].count`."""


@dataclass(frozen=True, slots=True)
class NestShape:
    """`count` shapes of a finished outline, cut with a seam allowance. None: as many as the cloths give.

    `turns` is the grain rule: the line that runs down the shape as it is drawn lies along the grain or across it ("any quarter"),
    along it either way up ("half"), or one way only, as on a one-way print ("none").
    """

    id: str
    finished: Outline
    seam_allowance: Length
    count: int | None = None
    turns: str = "any quarter"


@dataclass(frozen=True, slots=True)
class NestJob:
    """Shapes to cut from cloth of one `width`: as long as it takes where `length` is None, else from up to `cloths` pieces so long.

    `spacing` is kept between the cut edges of any two shapes; the edge of the cloth needs none.
    `round_up_to`: the step that rough-cut rectangles are rounded up to.
    """

    shapes: tuple[NestShape, ...]
    width: int
    length: int | None = None
    cloths: int = 1
    spacing: int = 0
    round_up_to: int = NM_PER_INCH // 8


@dataclass(frozen=True, slots=True)
class Set:
    """A shape on the cloth of number `cloth`, from 1, turned clockwise by `turn` degrees: the top left of the box of its cut outline."""

    id: str
    cloth: int
    x: int
    y: int
    turn: int


@dataclass(frozen=True, slots=True)
class RoughCut:
    """The rectangle a shape is cut from with the rotary cutter, and how many of them one cloth gives; None where its length is open."""

    id: str
    width: int
    length: int
    per_cloth: int | None


@dataclass(frozen=True, slots=True)
class Nested:
    """The answer. Of the last cloth `length` is taken, of those before it the whole; `utilisation` is of that.

    `area_bound`: the length that the mere areas of all shapes laid would take. `strips` of the rough cuts, and `boxes`, those of the
    rectangles round the cut outlines, are each what handbook arithmetic takes of cloth that is long enough.
    `stood_in`: plain rows of the rectangles round the shapes stand in, since the nested layout did not pass the check.
    """

    placed: tuple[Set, ...]
    cloths: int
    length: int
    left: tuple[Uncut, ...]
    area: float
    area_bound: float
    utilisation: float
    rough: tuple[RoughCut, ...]
    strips: Handbook
    boxes: Handbook
    stood_in: bool
    steps: tuple[Step, ...]


def validate(job: NestJob) -> None:
    """Raises `NestError` for a job that makes no sense."""
    if not 1 <= len(job.shapes) <= MOST_KINDS:
        raise NestError("shapes", f"There must be from 1 to {MOST_KINDS} kinds of shape.")
    if len({shape.id for shape in job.shapes}) < len(job.shapes):
        raise NestError("shapes", "Each shape must have an id of its own.")
    for field, size in (("width", job.width), ("length", job.length)):
        if size is not None and not 0 < size <= LONGEST_CLOTH:
            raise NestError(field, "It must be more than 0 and at most a kilometre.")
    if not 0 <= job.spacing <= job.width:
        raise NestError("spacing", "It must be from 0 to the width of the cloth.")
    if job.round_up_to < 1:
        raise NestError("round_up_to", "It must be more than 0.")
    if not 1 <= job.cloths <= MOST_CLOTHS:
        raise NestError("cloths", f"It must be from 1 to {MOST_CLOTHS}.")
    for n, shape in enumerate(job.shapes):
        if shape.turns not in TURNS:
            raise NestError(f"shapes[{n}].turns", f"It must be one of: {', '.join(TURNS)}.")
        if not 0 <= shape.seam_allowance <= LONGEST_CLOTH:
            raise NestError(f"shapes[{n}].seam_allowance", "It must not be negative.")
        if shape.count is None and (job.length is None or len(job.shapes) > 1):
            raise NestError(f"shapes[{n}].count", "It may be left out for one shape alone, on cloth of a given length.")
        if shape.count is not None and shape.count < 0:
            raise NestError(f"shapes[{n}].count", "It must not be negative.")
    if sum(shape.count or 0 for shape in job.shapes) > MOST_SHAPES:
        raise NestError("shapes", f"At most {MOST_SHAPES} shapes can be nested at a time.")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A shape, its cut outline, and the forms it may lie in, each grown by half the spacing.

    `inset`: by the form's turn, from the top left of its box to that of the cut outline's.
    """

    shape: NestShape
    cut: Outline
    forms: tuple[Form, ...]
    inset: dict[int, tuple[float, float]]

    def size(self, turn: int) -> tuple[float, float]:
        """Width and height of the cut outline as it lies."""
        size = self.cut.size
        return (float(size.length), float(size.width)) if turn % 180 else (float(size.width), float(size.length))


def draw(kind: int, shape: NestShape, spacing: int) -> Drawn:
    """A shape in every way it may lie that differs. Raises `ShapeError`."""
    cut = grow(shape.finished, float(shape.seam_allowance))
    grown = grow(cut, spacing / 2, trim=True)
    forms, inset = list[Form](), dict[int, tuple[float, float]]()
    for turn in TURNS[shape.turns]:
        turn_by = math.radians(turn)
        points = polygon_round(grown.moved(0, 0, turn_by))
        one = form(kind, turn, points)
        if not any(_alike(one, other) for other in forms):
            forms.append(one)
            left, top = cut.moved(0, 0, turn_by).box[0]
            inset[turn] = (left - min(x for x, _ in points), top - min(y for _, y in points))
    return Drawn(shape, cut, tuple(forms), inset)


def _alike(a: Form, b: Form) -> bool:
    """Whether a form turned is the same again, to what the drawing of arcs allows."""
    if abs(a.width - b.width) > SAGITTA or abs(a.height - b.height) > SAGITTA:
        return False
    return all(min(math.dist(p, q) for q in b.points) < 2 * SAGITTA for p in a.points)
