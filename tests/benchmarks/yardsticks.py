"""What do others make of a published problem? The solver used directly, and rectpack's guillotine variants, as yardsticks.

Each answers in the problem's own terms: the length of a strip, the number of sheets, or their area. Nothing here is the engine's.
"""

from collections.abc import Iterator, Sequence
from itertools import product

import packingsolver.rectangleguillotine as guillotine
import rectpack

from tests.benchmarks.problems import Problem, Rectangle

_ALGORITHMS = [algorithm for name, algorithm in vars(rectpack).items() if name.startswith("Guillotine")]
_ORDERS = [order for name, order in vars(rectpack).items() if name.startswith("SORT_")]
_OBJECTIVES = {"strip": "OpenDimensionY", "bin": "BinPacking", "variable-bin": "VariableSizedBinPacking"}


# --- the solver, asked directly --------------------------------------------------------------------------------------


def directly(problem: Problem) -> float:
    """Its best with three and with two stages, strips across first, for queues of 1, 2, 4 and so on to 256; no time limit.

    It is not asked again once the best known value is met. Choosing among sheets it is asked once, with three stages: there the
    queue makes no difference, and two stages take ten times as long for more area.
    """
    ways = [(3, 1)] if problem.kind == "variable-bin" else list(product((3, 2), (2**n for n in range(9))))
    best = float("inf")
    for stages, queue in ways:
        best = min(best, _solved(problem, stages, queue))
        if best <= problem.best_known:
            break
    return best


def _solved(problem: Problem, stages: int, queue: int) -> float:
    """Infinite where it found nothing."""
    builder = guillotine.InstanceBuilder()
    builder.set_objective(getattr(guillotine.Objective, _OBJECTIVES[problem.kind]))
    for sheet in problem.sheets:
        builder.add_bin_type(sheet.width, sheet.length, copies=sheet.copies)
    for item in problem.items:
        builder.add_item_type(item.width, item.length, copies=item.copies, oriented=not problem.turn)
    builder.set_number_of_stages(stages)
    builder.set_cut_type(guillotine.CutType.NonExact)
    builder.set_first_stage_orientation(guillotine.CutOrientation.Horizontal)
    parameters = guillotine.OptimizeParameters()
    parameters.messages_to_stdout = False
    parameters.verbosity_level = 0
    parameters.optimization_mode = guillotine.OptimizationMode.NotAnytimeSequential
    parameters.use_tree_search = problem.kind == "bin"  # left to choose, it generates columns for up to two minutes
    parameters.not_anytime_tree_search_queue_size = queue
    solution = guillotine.optimize(builder.build(), parameters).solution
    if not solution.full():
        return float("inf")
    sheets = [solution.bin(n) for n in range(solution.number_of_different_bins())]
    if problem.kind == "strip":  # the root bears an id as well
        return float(max(node.t for node in sheets[0].nodes if node.item_type_id >= 0 and node.f != -1))
    if problem.kind == "bin":
        return float(sum(one.copies for one in sheets))
    return float(sum(one.copies * problem.sheets[one.bin_type_id].area for one in sheets))


# --- rectpack --------------------------------------------------------------------------------------------------------


def by_rectpack(problem: Problem) -> float:
    """The best of all its guillotine algorithms and orders; infinite where none lays everything.

    A strip is tried on ever more length, from what the area asks for. Of several sizes of sheet each is tried alone, since it
    does not choose among them by what they cost, and by the first algorithm only: tried once, the other 17 opened no less.
    """
    algorithms = _ALGORITHMS[:1] if problem.kind == "variable-bin" else _ALGORITHMS
    if problem.kind == "strip":
        [strip] = problem.sheets
        lengths = range(problem.least_length, strip.length + 1)
        return next(
            (float(n) for n in lengths if any(_packed(problem, Rectangle(strip.width, n, 1), algorithms))), float("inf")
        )
    worth = {sheet: sheet.area if problem.kind == "variable-bin" else 1 for sheet in problem.sheets}
    return min(
        float(number * worth[sheet]) for sheet in problem.sheets for number in _packed(problem, sheet, algorithms)
    )


def _packed(problem: Problem, sheet: Rectangle, algorithms: Sequence[object]) -> Iterator[int]:
    """How many sheets each variant takes that lays everything."""
    items = [(item.width, item.length) for item in problem.items for _ in range(item.copies)]
    for algorithm, order in product(algorithms, _ORDERS):
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=algorithm,
            sort_algo=order,
            rotation=problem.turn,
        )
        for width, length in items:
            packer.add_rect(width, length)
        packer.add_bin(sheet.width, sheet.length, count=sheet.copies)
        packer.pack()
        if len(packer.rect_list()) == len(items):
            yield len(packer)
