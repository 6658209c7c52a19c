"""How does one sheet of rectangles get packed? The only module that speaks to packingsolver, run in the solver's own process.

Every call comes to an end by itself: no time limit inside, so that the answer is the same on any machine. Traps kept away from the solver:
stages of 0 or 1, large copies, empty jobs, sheets with nothing that fits. Edges are whole units.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import packingsolver.rectangleguillotine as guillotine

from quiltbook.yardage.boxes import Box
from quiltbook.yardage.tasks import Counts, Kind, Put, Sheet, lies

_MOST_HELD = 8  # rectangles on a sheet, beyond which `mix` may take minutes


class Way(NamedTuple):
    """How to search: `stages` of cuts (0: any number), the `first` "H" across or "V" along, and how broadly (`queue`).

    `spaces`: by the spaces that are left and ready-made blocks instead of strip by strip; with any number of cuts only.
    `columns`: by choosing among whole layouts of sheets, as a linear programme weighs them; for `mix` only.
    """

    stages: int
    first: str
    queue: int
    spaces: bool = False
    columns: bool = False


def effort(sheet: Sheet, kinds: int, count: int, way: Way, *, choosing_from: int = 0) -> float:
    """About how many milliseconds a call takes on a machine of 2026, as measured: the measure of a budget, not of time.

    `count`: how many rectangles are likely to be laid; `fill` chooses them from so many. Cutting in any number of stages
    takes longer the finer the unit is.
    """
    flaws = 1 + len(sheet.flaws) / 5
    if way.spaces:
        return (min(650, 2 + count**2) + 0.3 * count * way.queue) * flaws
    units = sheet.width + sheet.length if way.stages == 0 else 0
    search = count * way.queue * (0.005 + kinds * 0.0005 + kinds**2 * 0.000004) * flaws + kinds**2 * 0.0003
    return 0.5 + 0.03 * count + 0.0001 * count * choosing_from + units / 5000 + search


def fill(sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> list[Put]:
    """As much area as goes on the sheet."""
    here = [k for k, n in enumerate(counts) if n and goes_on(sheet, kinds[k])]
    copies = [min(counts[k], sheet.area // kinds[k].area) for k in here]
    return next(iter(_pack(sheet, 1, kinds, here, copies, guillotine.Objective.Knapsack, way)), [])


def shorten(sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> list[Put]:
    """All of it on the least length of the sheet, cut across first; nothing where it does not go on."""
    return next(iter(_pack_all(sheet, 1, kinds, counts, guillotine.Objective.OpenDimensionY, way)), [])


def fit(sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> list[Put]:
    """All of it somewhere on the sheet; nothing where that is not found."""
    return next(iter(_pack_all(sheet, 1, kinds, counts, guillotine.Objective.BinPacking, way)), [])


def spread(sheet: Sheet, kinds: Sequence[Kind], counts: Counts, way: Way) -> list[list[Put]]:
    """All of it on the fewest copies of the sheet; nothing where that is not found."""
    copies = min(sheet.copies, sum(counts))
    return _pack_all(sheet, copies, kinds, counts, guillotine.Objective.BinPacking, way)


def mix(sheets: Sequence[Sheet], kinds: Sequence[Kind], counts: Counts, way: Way) -> list[tuple[int, list[Put]]]:
    """All of it on sheets of several sizes of the least area in all, each with its number; nothing where that is not found.

    Every rectangle must be allowed to lie the same way on all of the sheets.
    """
    here = [k for k, n in enumerate(counts) if n]
    objective = guillotine.Objective.VariableSizedBinPacking
    packed = _pack_on(sheets, kinds, here, [counts[k] for k in here], objective, way)
    return packed if sum(len(puts) for _, puts in packed) == sum(counts) else []


def mixing_effort(sheets: Sequence[Sheet], kinds: Sequence[Kind], counts: Counts, way: Way) -> float:
    """About how many milliseconds `mix` takes, as measured where a sheet holds few rectangles; it grows fast with their number."""
    some = sum(n > 0 for n in counts)
    each = sum(n * kind.area for n, kind in zip(counts, kinds, strict=True)) / sum(counts)
    held = max(sheet.area for sheet in sheets) / each
    if held > _MOST_HELD:
        return math.inf
    return 100 + 0.6 * float(some**1.65) * held**2 * (1 + way.queue / 128)


def _pack_all(
    sheet: Sheet, sheets: int, kinds: Sequence[Kind], counts: Counts, objective: guillotine.Objective, way: Way
) -> list[list[Put]]:
    here = [k for k, n in enumerate(counts) if n]
    if not all(goes_on(sheet, kinds[k]) for k in here):
        return []
    packed = _pack(sheet, sheets, kinds, here, [counts[k] for k in here], objective, way)
    return packed if sum(map(len, packed)) == sum(counts) else []


def _pack(
    sheet: Sheet,
    sheets: int,
    kinds: Sequence[Kind],
    here: Sequence[int],
    copies: Sequence[int],
    objective: guillotine.Objective,
    way: Way,
) -> list[list[Put]]:
    """What the solver lays on each of so many copies of the sheet."""
    return [puts for _, puts in _pack_on([sheet._replace(copies=sheets)], kinds, here, copies, objective, way)]


def _pack_on(
    sheets: Sequence[Sheet],
    kinds: Sequence[Kind],
    here: Sequence[int],
    copies: Sequence[int],
    objective: guillotine.Objective,
    way: Way,
) -> list[tuple[int, list[Put]]]:
    """What the solver lays on each sheet that it uses, given so many copies of the kinds numbered `here`."""
    if not here:
        return []
    builder = guillotine.InstanceBuilder()
    builder.set_objective(objective)
    for sheet in sheets:
        sheet_id = builder.add_bin_type(sheet.width, sheet.length, copies=sheet.copies)
        for flaw in sheet.flaws:
            builder.add_defect(sheet_id, flaw.x0, flaw.y0, flaw.width, flaw.length)
    for k, number in zip(here, copies, strict=True):
        ways = lies(sheets[0], kinds[k])
        width, length = kinds[k].lying(turned=ways[0])
        builder.add_item_type(width, length, copies=number, oriented=len(ways) == 1)
    if way.stages:
        builder.set_number_of_stages(way.stages)
    else:
        builder.set_number_of_stages_unlimited()
    orientation = guillotine.CutOrientation
    builder.set_first_stage_orientation(orientation.Horizontal if way.first == "H" else orientation.Vertical)
    builder.set_cut_type(guillotine.CutType.NonExact)
    builder.set_cut_through_defects(True)
    solution = guillotine.optimize(builder.build(), _parameters(way)).solution
    packed = []
    for n in range(solution.number_of_different_bins()):
        puts = [_put(kinds, here[k], box) for k, box in _items(solution.bin(n))]
        packed += [(solution.bin(n).bin_type_id, puts)] * solution.bin(n).copies
    return packed


def goes_on(sheet: Sheet, kind: Kind) -> bool:
    sizes = (kind.lying(turned=turned) for turned in lies(sheet, kind))
    return any(width <= sheet.width and length <= sheet.length for width, length in sizes)


def _parameters(way: Way) -> guillotine.OptimizeParameters:
    parameters = guillotine.OptimizeParameters()
    parameters.messages_to_stdout = False
    parameters.verbosity_level = 0
    parameters.optimization_mode = guillotine.OptimizationMode.NotAnytimeSequential
    if way.columns:
        parameters.use_column_generation = True
        parameters.column_generation_subproblem_tree_search_queue_size = way.queue
    elif way.spaces:
        parameters.use_tree_search_maximal_spaces = True
        parameters.not_anytime_tree_search_maximal_spaces_queue_size = way.queue
    else:
        parameters.use_tree_search = True
        parameters.not_anytime_tree_search_queue_size = way.queue
    return parameters


def _items(sheet: guillotine.SolutionBin) -> Iterator[tuple[int, Box]]:
    for node in sheet.nodes:
        if node.item_type_id >= 0 and node.f != -1:  # the root bears an id as well
            yield node.item_type_id, Box(node.l, node.b, node.r, node.t)


def _put(kinds: Sequence[Kind], kind: int, box: Box) -> Put:
    return Put(kind, box.x0, box.y0, (box.width, box.length) != kinds[kind].lying(turned=False))
