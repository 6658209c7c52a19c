"""How closely do small and curved shapes nest, against the area they take, against spyrrow, and against the rectangles round them?

Three jobs, from 42 in wide cloth of open length and from fat quarters. spyrrow (0.9.0) packs one strip of open length, for ten seconds on two
threads. From fat quarters it is asked for what our first one holds and 2 % more (one shape at least) on a strip 18 in wide: where it
gets them into 21 in, it is more than 2 % better. That is printed and not asserted, for what it finds in ten seconds depends on the machine
(of 41 clamshells it was once within 2 % of that); asserted is that it needs no less than 95 % of 21 in for them.
"""

import math
from collections import Counter
from dataclasses import dataclass
from functools import cache
from time import perf_counter

import spyrrow

from quiltbook.measures import NM_PER_INCH as INCH
from quiltbook.yardage import shapes
from quiltbook.yardage.clearances import polygon_round
from quiltbook.yardage.growing import grow
from quiltbook.yardage.nesting import Nested, NestJob, NestShape, nest
from tests.benchmarks.tables import Show
from tests.engine.nestverifier import assert_sound

SEAM = INCH // 4
WIDTH, FAT_QUARTER = 42 * INCH, (18 * INCH, 21 * INCH)
PETAL, HEXAGON, CIRCLE = shapes.hexagon_petal(INCH, INCH), shapes.hexagon(INCH), shapes.circle(2 * INCH)
JOBS = {
    "216 petals, 36 hexagons": (NestShape("petal", PETAL, SEAM, 216), NestShape("hexagon", HEXAGON, SEAM, 36)),
    "400 clamshells": (NestShape("clamshell", shapes.clamshell(3 * INCH), SEAM, 400),),
    "300 hexagons, 60 circles, 120 petals": (
        NestShape("hexagon", HEXAGON, SEAM, 300),
        NestShape("circle", CIRCLE, SEAM, 60),
        NestShape("petal", PETAL, SEAM, 120),
    ),
}
SECONDS, WITHIN = 10, 1.02


@dataclass(frozen=True, slots=True)
class Row:
    name: str
    nested: Nested
    seconds: float
    spyrrow: float  # nm of length


def spyrrow_length(kinds: tuple[NestShape, ...], counts: Counter[str], width: int) -> float:
    """The length it packs so many shapes in; infinite where it fails."""
    quarters = [0.0, 90.0, 180.0, 270.0]
    items = [
        spyrrow.Item(
            kind.id,
            [(x / INCH, y / INCH) for x, y in polygon_round(grow(kind.finished, float(kind.seam_allowance)))],
            counts[kind.id],
            quarters,
        )
        for kind in kinds
        if counts[kind.id]
    ]
    config = spyrrow.StripPackingConfig(early_termination=False, total_computation_time=SECONDS, num_workers=2, seed=1)
    try:
        solution = spyrrow.StripPackingInstance("job", width / INCH, items).solve(config)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException:  # noqa: BLE001  its panics are no Exceptions
        return math.inf
    return float(solution.width) * INCH


def ours(name: str, job: NestJob) -> tuple[Nested, float]:
    started = perf_counter()
    nested = nest(job)
    seconds = perf_counter() - started
    assert_sound(job, nested)
    assert not nested.stood_in
    assert nested.left == ()
    return nested, seconds


@cache
def from_yardage() -> list[Row]:
    rows = []
    for name, kinds in JOBS.items():
        nested, seconds = ours(name, NestJob(kinds, WIDTH))
        asked = Counter({kind.id: kind.count or 0 for kind in kinds})
        rows.append(Row(name, nested, seconds, spyrrow_length(kinds, asked, WIDTH)))
    return rows


@cache
def from_fat_quarters() -> list[Row]:
    rows = []
    for name, kinds in JOBS.items():
        nested, seconds = ours(name, NestJob(kinds, *FAT_QUARTER, cloths=50))
        asked = first(nested)
        most = asked.most_common(1)[0][0]
        asked[most] += math.ceil(asked.total() * (WITHIN - 1))
        rows.append(Row(name, nested, seconds, spyrrow_length(kinds, asked, FAT_QUARTER[0])))
    return rows


def first(nested: Nested) -> Counter[str]:
    """What lies on the first cloth."""
    return Counter(one.id for one in nested.placed if one.cloth == 1)


def inches(nm: float) -> str:
    return f"{nm / INCH:.2f}"


def test_yardage_is_no_more_than_spyrrows_and_less_than_rectangles(show: Show) -> None:
    rows = from_yardage()
    show(
        "curved shapes, inches of 42 in cloth (area: no waste at all; time: of spyrrow's ten seconds)",
        ("job", "area", "nested", "used", "spyrrow 10 s", "ratio", "rectangles", "rough strips", "time"),
        [
            (
                row.name,
                inches(row.nested.area_bound),
                inches(row.nested.length),
                row.nested.utilisation,
                inches(row.spyrrow),
                row.nested.length / row.spyrrow,
                inches(row.nested.boxes.length),
                inches(row.nested.strips.length),
                row.seconds / SECONDS,
            )
            for row in rows
        ],
    )
    for row in rows:
        assert row.nested.length <= WITHIN * row.spyrrow, row.name
        assert row.nested.length <= row.nested.boxes.length, row.name


def test_a_fat_quarter_holds_about_all_that_spyrrow_gets_in(show: Show) -> None:
    rows = from_fat_quarters()
    show(
        "curved shapes from fat quarters of 18 x 21 in (area: how many without any waste; spyrrow: length for 2 % more than the first holds)",
        ("job", "area", "fat quarters", "of the last", "used", "in the first", "as boxes", "spyrrow 10 s", "time"),
        [
            (
                row.name,
                row.nested.area / FAT_QUARTER[0] / FAT_QUARTER[1],
                row.nested.cloths,
                inches(row.nested.length),
                row.nested.utilisation,
                first(row.nested).total(),
                boxes(row),
                inches(row.spyrrow),
                row.seconds / SECONDS,
            )
            for row in rows
        ],
    )
    for row in rows:
        assert row.spyrrow > 0.95 * FAT_QUARTER[1], row.name
        assert first(row.nested).total() >= boxes(row), row.name


def boxes(row: Row) -> int:
    """How many boxes round the cut outlines, laid edge to edge one way, one fat quarter holds of what its first holds most of."""
    most = first(row.nested).most_common(1)[0][0]
    outline = next(kind for kind in JOBS[row.name] if kind.id == most)
    size = grow(outline.finished, SEAM).size
    width, length = float(size.width), float(size.length)
    return max(
        math.floor(FAT_QUARTER[0] / a + 1e-9) * math.floor(FAT_QUARTER[1] / b + 1e-9)
        for a, b in ((width, length), (length, width))
    )
