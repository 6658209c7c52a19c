"""Are many patches spread over cloths of several sizes together, and only where the solver is known to come to an end soon?"""

import math

import pytest

from quiltbook.yardage.boxes import Box
from quiltbook.yardage.packing import Way, mix, mixing_effort
from quiltbook.yardage.search import LADDER, MIXES, Search
from quiltbook.yardage.tasks import Bundle, Kind, Length, Sheet, Task
from tests.engine.cutting_jobs import IN, cloth, job, opened, patch, sound

PLATES = [(250, 250), (275, 225), (300, 200)]
ITEMS = [
    (167, 184, 90), (114, 118, 75), (167, 152, 71), (83, 140, 13), (70, 86, 39),
    (143, 166, 79), (120, 160, 63), (66, 148, 93), (87, 141, 61), (69, 165, 85),
]  # fmt: skip
BEST_KNOWN = 14_871_875
SOURCE = (
    "gcut1d: Cintra et al. (2008) EJOR 191(1):61-85, several plate sizes; best known value: Furini, Malaguti, Medina Duran, Persiani, Toth "
    "(2012) EJOR 218(1):251-260, as in github.com/fontanf/packingsolver commit f1ec896, data_variable_sized_bin_packing_2nho_cintra2008.csv"
)
SHEETS = [Sheet(w, h, False, (), "-", 669) for w, h in PLATES]
KINDS = [Kind(w, h, False) for w, h, _ in ITEMS]
COUNTS = tuple(n for _, _, n in ITEMS)


def test_a_published_problem_of_three_plates_comes_within_a_thousandth_of_the_best_known() -> None:
    packed = mix(SHEETS, KINDS, COUNTS, MIXES[0])
    assert sum(len(puts) for _, puts in packed) == sum(COUNTS)
    assert sum(SHEETS[n].area for n, _ in packed) <= 1.001 * BEST_KNOWN, SOURCE
    assert packed == mix(SHEETS, KINDS, COUNTS, MIXES[0])


def test_a_quick_layout_opens_as_little_as_mixing_alone_does() -> None:
    """Six of the published sizes, twelve of each, on the published plates in tenths of an inch."""
    plates = [cloth(f"plate {n}", w / 10, h / 10, 99) for n, (w, h) in enumerate(PLATES)]
    items = [patch(f"item {n}", w / 10, h / 10, 12, turn=False) for n, (w, h, _) in enumerate(ITEMS[:6])]
    layout = sound(job(plates, items))
    packed = mix(SHEETS, KINDS[:6], (12,) * 6, MIXES[0])
    assert not layout.uncut
    assert 100 * opened(layout) <= sum(SHEETS[n].area for n, _ in packed) * IN**2


def test_what_may_take_minutes_is_not_begun() -> None:
    way = Way(3, "H", 16, columns=True)
    assert mixing_effort(SHEETS, KINDS, COUNTS, way) < 1000
    assert mixing_effort(SHEETS, [Kind(20, 20, True)], (900,), way) == math.inf
    assert mixing_effort(SHEETS, KINDS * 4, COUNTS * 4, way) > 1800


@pytest.mark.parametrize(
    "sheets",
    [
        [SHEETS[0]._replace(flaws=(Box(1, 1, 2, 2),)), SHEETS[1]],
        [SHEETS[0], SHEETS[1]._replace(one_way=True)],
        [SHEETS[0]._replace(stripes="along"), SHEETS[1]._replace(stripes="across")],
        [SHEETS[0]._replace(width=250 + n) for n in range(9)],
        [SHEETS[0]._replace(width=25_000)],
    ],
    ids=["a flaw", "one way", "stripes both ways", "many sizes", "one large cloth"],
)
def test_cloths_are_not_mixed_with(sheets: list[Sheet]) -> None:
    kinds = (Kind(167, 184, True, "along"), Kind(114, 118, True, "along"))
    bundles = tuple(Bundle(n, 1, (Length(n, None),), 20) for n in range(2))
    assert _mixed(Task(tuple(SHEETS), kinds, bundles))
    assert not _mixed(Task(tuple(sheets), kinds, bundles))


def _mixed(task: Task) -> bool:
    search = Search(task, LADDER["close", "thorough"][-1])
    search.packer.left = 12_000
    copies = {n: sheet.copies for n, sheet in enumerate(task.sheets)}
    return any(search._mixed(copies, task.counts(), task.area(task.counts())))
