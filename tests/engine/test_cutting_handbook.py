"""Is the handbook's strip arithmetic that of the handbooks? Held against published counts, recomputed where a chart is wrong."""

import pytest

from quiltbook.yardage.cutting import handbook, lay_out
from quiltbook.yardage.handbook import Sized, strip_arithmetic
from tests.engine.cutting_jobs import IN, cloth, job, join, nm, patch

HOHN = "Marcia Hohn, quilters' math charts, 17 Jun 2002, quilterscache.com/M/MathChartsPage.html: squares from one yard, 44 in usable"
DERIVED = "floor(width / cut) x floor(36 / cut)"
CRISWELL = "Chester Criswell Quilt, 11 Aug 2012: 36 squares of 14 in from 44 in cloth take 12 widths, 168 in"
SQUARES = [
    # cut, usable width, squares, source
    (1.5, 44, 696, HOHN),
    (2.5, 44, 238, HOHN),
    (2.875, 44, 180, HOHN),
    (3.5, 44, 120, HOHN),
    (6.5, 44, 30, HOHN),
    (8.5, 44, 20, HOHN),
    (12, 44, 9, HOHN),
    (2.5, 40, 224, DERIVED),
    (5, 40, 56, DERIVED),
    (10, 40, 12, DERIVED),
    (2.5, 42, 224, DERIVED),
]


@pytest.mark.parametrize(("cut", "width", "squares", "source"), SQUARES)
def test_a_yard_gives_the_published_number_of_squares(cut: float, width: float, squares: int, source: str) -> None:
    yard = 36 * IN
    all_of_them = strip_arithmetic(nm(width), [Sized("A", nm(cut), nm(cut), squares, False)])
    assert all_of_them.length <= yard, source
    assert strip_arithmetic(nm(width), [Sized("A", nm(cut), nm(cut), squares + 1, False)]).length > yard, source


def test_thirty_six_squares_of_14_inches_take_168_inches_as_published() -> None:
    book = strip_arithmetic(44 * IN, [Sized("A", 14 * IN, 14 * IN, 36, True)])
    assert (book.lines[0].per_strip, book.lines[0].strips, book.length / IN) == (3, 12, 168), CRISWELL


def test_each_figure_says_where_it_comes_from() -> None:
    """4 strips of 2 1/2 in: 17 squares a strip, 64 needed."""
    [line] = strip_arithmetic(44 * IN, [Sized("A", nm(2.5), nm(2.5), 64, False)]).lines
    assert (line.strips, line.strip / IN, line.per_strip, line.needed, line.length / IN) == (4, 2.5, 17, 64, 10)


def test_a_patch_that_may_turn_is_counted_the_way_that_takes_less() -> None:
    turned, straight = (
        strip_arithmetic(42 * IN, [Sized("A", 10 * IN, 3 * IN, 14, turn)]).length / IN for turn in (True, False)
    )
    assert (turned, straight) == (10, 12)


def test_a_border_longer_than_the_cloth_takes_full_strips_and_shared_rests() -> None:
    book = strip_arithmetic(42 * IN, [Sized("border", 58 * IN, nm(2.5), 4, False, IN // 2)])
    assert (book.lines[0].lengths, book.lines[0].strips, book.length / IN) == (2, 6, 15)


def test_what_does_not_go_across_is_named_and_left_out() -> None:
    book = strip_arithmetic(42 * IN, [Sized("wide", 50 * IN, 60 * IN, 1, True), Sized("A", IN, IN, 42, False)])
    assert (book.too_wide, book.length) == (("wide",), IN)


def test_the_job_is_held_against_its_widest_cloth() -> None:
    asked = job(
        [cloth("scrap", 10, 10), cloth("kelp", 42, 18)],
        [patch("A", 2.5, 2.5, 20), patch("B", 2, 58, join=join(0.5, 8))],
    )
    book = handbook(asked)
    assert book is not None
    assert (book.width, [line.strips for line in book.lines]) == (42 * IN, [2, 2])
    assert lay_out(asked).handbook == book
    assert handbook(job([], [patch("A", 1, 1)])) is None
