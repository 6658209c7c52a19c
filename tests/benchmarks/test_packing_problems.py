"""How near to the best known do the published packing problems come, and to what others make of them in the same run?

Ratios to the best known value, less is better (of knapsacks, more): `close` cutting, quick and thorough, beside the solver asked directly
and rectpack's best guillotine variant. The best known values of sheets hold for two or three stages of cuts; `close` makes any.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from statistics import mean
from time import perf_counter

import pytest

from quiltbook.yardage.cutting import lay_out
from tests.benchmarks.problems import Problem, published
from tests.benchmarks.tables import Show
from tests.benchmarks.yardsticks import by_rectpack, directly
from tests.engine.cutting_jobs import wrong

KINDS = ("strip", "bin", "variable-bin")
_NO_LIMIT = 600.0  # seconds: however slow the machine, nothing stands in


@dataclass(frozen=True, slots=True)
class Row:
    """Ratios to the best known value, and the seconds that each took."""

    problem: Problem
    quick: float
    thorough: float
    direct: float
    rectpack: float
    seconds: tuple[float, ...]


def laid(problem: Problem, effort: str) -> float:
    """The engine's value, of a layout that the tests' own verifier has found right."""
    asked = problem.job("close", effort)
    layout = lay_out(asked, limit=_NO_LIMIT)
    assert wrong(asked, layout) == []
    assert not layout.stood_in
    assert layout.uncut == () or problem.kind == "knapsack"
    return problem.value(layout)


@cache
def measured(kind: str) -> list[Row]:
    """Every problem of a kind, once."""
    return [_row(problem) for problem in published(kind)]


def _row(problem: Problem) -> Row:
    ways: tuple[Callable[[Problem], float], ...] = (
        partial(laid, effort="quick"), partial(laid, effort="thorough"), directly, by_rectpack,
    )  # fmt: skip
    ratios, seconds = list[float](), list[float]()
    for way in ways:
        begun = perf_counter()
        ratios.append(way(problem) / problem.best_known)
        seconds.append(perf_counter() - begun)
    quick, thorough, direct, rectpack = ratios
    return Row(problem, quick, thorough, direct, rectpack, tuple(seconds))


def _shown(show: Show, kind: str, title: str) -> list[Row]:
    rows = measured(kind)
    lines: list[list[object]] = [
        [row.problem.name, row.quick, row.thorough, row.direct, row.rectpack, *(f"{s:.1f} s" for s in row.seconds)]
        for row in rows
    ]
    figures = list(zip(*((row.quick, row.thorough, row.direct, row.rectpack) for row in rows), strict=True))
    lines += [["mean", *map(mean, figures), *"    "], ["worst", *map(max, figures), *"    "]]
    show(title, ["", "quick", "thorough", "direct", "rectpack", "", "", "", ""], lines)
    return rows


def test_thorough_cutting_takes_no_more_of_a_strip_than_the_best_known(show: Show) -> None:
    """Quick cutting, for about a second, is about as good as the best of rectpack's variants: a little worse on average."""
    rows = _shown(show, "strip", "Strips: length to the best known, any cuts")
    assert mean(row.thorough for row in rows) <= 1.002
    assert mean(row.quick for row in rows) <= 1.06


def test_sheets_of_one_size_are_as_few_as_the_best_known(show: Show) -> None:
    rows = _shown(show, "bin", "Sheets of one size: how many to the best known, three stages of cuts")
    assert mean(row.thorough for row in rows) <= 1.01
    assert mean(row.quick for row in rows) <= 1.01


def test_sheets_of_several_sizes_take_hardly_more_area_than_the_best_known(show: Show) -> None:
    """Well below 1 is no discovery: the best known value holds for two stages of cuts, and `close` makes any."""
    rows = _shown(show, "variable-bin", "Sheets of several sizes: area to the best known, two stages of cuts")
    assert max(row.thorough for row in rows) <= 1.001


@pytest.mark.parametrize("kind", ["strip", "bin"])
def test_neither_effort_is_ever_worse_than_the_solver_asked_directly(kind: str) -> None:
    assert [row.problem.name for row in measured(kind) if max(row.quick, row.thorough) > row.direct] == []


def test_of_sheets_of_several_sizes_the_solver_asked_directly_opens_at_most_a_thousandth_less() -> None:
    """Short of what is aimed at, never worse: it opens as much of one problem, and 0.1 % less of the other."""
    assert max(row.thorough / row.direct for row in measured("variable-bin")) <= 1.001


@pytest.mark.parametrize("kind", KINDS)
def test_thorough_cutting_is_better_on_average_than_rectpack_and_worse_on_no_problem(kind: str) -> None:
    rows = measured(kind)
    assert mean(row.thorough for row in rows) < mean(row.rectpack for row in rows)
    assert [row.problem.name for row in rows if row.thorough > row.rectpack] == []


def test_of_what_does_not_all_fit_as_much_area_is_laid_as_is_known_to_go_on(show: Show) -> None:
    """Knapsacks by area only, as a shortage of cloth. Above 1: the best known holds for fewer stages of cuts than `close` makes."""
    rows = [
        (p.name, p.stages or "any", laid(p, "quick") / p.best_known, laid(p, "thorough") / p.best_known)
        for p in published("knapsack")
        if p.by_area
    ]
    show("Shortages: area laid to the best known", ["", "stages", "quick", "thorough"], rows)
    assert len(rows) == 6
    assert min(thorough for *_, thorough in rows) >= 0.999
    assert min(quick for *_, quick, _ in rows) >= 0.99
