"""Is there thread, paper and adhesive enough, and no more than it takes?"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH, NM_PER_METRE, Size
from quiltbook.yardage.motifs import Motif, MotifsOnRound
from quiltbook.yardage.notions import (
    NotionsError,
    basting_adhesive,
    fusible_web,
    lengths_of,
    papered,
    papers,
    quilting_lines,
    sewing,
)
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.thread import KINDS, Stitch, ThreadError, thread
from quiltbook.yardage.tops import Panel, Round, Top, TopPlan, work_out

IN = NM_PER_INCH


def flowered_top() -> Top:
    """A 24 x 18 in panel and a 7 in border that carries ten flowers of 1 in hexagons with petals."""
    return work_out(
        TopPlan(
            centre=Panel(24 * IN, 18 * IN),
            rounds=(Round(7 * IN, "butted", motifs=MotifsOnRound("rosette", left=2, right=2, top=3, bottom=3)),),
            motifs={"rosette": Motif("rosette", IN, IN, 3 * IN // 8)},
            seam_allowance=IN // 4,
            round_up=IN // 8,
            cloth_width=42 * IN,
        )
    )


@given(
    line=st.integers(1, 10**6),
    ratio=st.fractions(Fraction(1), Fraction(30), max_denominator=20),
    waste=st.integers(0, 50),
    spool=st.integers(50, 1000),
)
def test_the_spools_hold_the_thread_and_one_fewer_does_not(line: int, ratio: Fraction, waste: int, spool: int) -> None:
    needed = thread(line * IN, [ratio], waste=waste, spool=spool * NM_PER_METRE)
    assert needed.length == line * IN * ratio
    assert needed.with_waste * 100 == needed.length * (100 + waste)
    assert (needed.spools - 1) * spool * NM_PER_METRE < needed.with_waste <= needed.spools * spool * NM_PER_METRE


@pytest.mark.parametrize("kind", KINDS)
def test_shorter_stitches_and_thicker_layers_take_more_thread(kind: str) -> None:
    usual = Stitch(kind, IN // 10, IN // 50, IN // 32)
    assert Stitch(kind, IN // 12, IN // 50, IN // 32).ratio > usual.ratio
    assert Stitch(kind, IN // 10, IN // 20, IN // 32).ratio > usual.ratio
    assert usual.ratio >= 1


def test_each_kind_of_sewing_has_its_own_thread_and_only_a_hand_s_needle_is_threaded_again() -> None:
    lines = {line.what: line for line in sewing({"seams": 100 * IN, "hand quilting": 100 * IN, "binding hem": 0})}
    assert set(lines) == {"seams", "hand quilting"}
    assert lines["seams"].needlefuls == 0
    quilting = lines["hand quilting"]
    assert quilting.stitches == 800
    assert (quilting.needlefuls - 1) * 18 * IN < quilting.thread.with_waste <= quilting.needlefuls * 18 * IN


def test_the_steps_of_thread_hold_its_figures() -> None:
    (line,) = sewing({"seams": 100 * IN}, waste=10)
    (step,) = line.thread.steps
    assert step.lengths["seams"] == 100 * IN
    assert step.lengths["thread"] == line.thread.length
    assert step.lengths["with waste"] == line.thread.with_waste
    assert step.counts == {"spools": line.thread.spools}


def test_a_top_says_how_much_of_it_is_sewn_in_which_way() -> None:
    """Ten flowers of twelve 1 in seams; butted borders of 18 in sides and 38 in ends; six half circles a flower."""
    lengths = lengths_of(flowered_top())
    assert lengths["seams"] == 2 * (18 + 38) * IN
    assert lengths["paper seams"] == 10 * 12 * IN
    assert float(lengths["applique"]) == pytest.approx(10 * 6 * 3.141592653589793 * IN)


def test_papers_are_counted_for_what_is_turned_over_papers_alone() -> None:
    found = papers(papered(flowered_top().patches), pack=25)
    assert [(paper.shape, paper.pieces, paper.papers, paper.packs) for paper in found] == [
        ("hexagon petal", 60, 60, 3),
        ("hexagon", 10, 10, 1),
    ]


@given(count=st.integers(1, 2000), uses=st.integers(1, 6), pack=st.integers(1, 200))
def test_there_are_papers_enough_and_not_one_too_many(count: int, uses: int, pack: int) -> None:
    (paper,) = papers([("hexagon", Size(IN, IN), count)], pack=pack, uses=uses)
    assert (paper.papers - 1) * uses < count <= paper.papers * uses
    assert (paper.packs - 1) * pack < paper.papers <= paper.packs * pack


def test_pieces_alike_share_their_papers() -> None:
    one = ("hexagon", Size(IN * 3**0.5, 2 * IN), 6)
    (paper,) = papers([one, one], uses=4)
    assert (paper.pieces, paper.papers) == (12, 3)


def test_crossed_lines_are_twice_those_one_way() -> None:
    size = Size(60 * IN, 80 * IN)
    assert quilting_lines(size, apart=2 * IN) == 2400 * IN
    assert quilting_lines(size, apart=2 * IN, ways=2) == 4800 * IN


def test_adhesive_covers_both_faces_of_the_wadding() -> None:
    found = basting_adhesive(Size(60 * IN, 80 * IN), covers=5000 * IN**2)
    assert (found.area, found.containers) == (9600 * IN**2, 2)


def test_web_is_bought_for_pieces_in_rows_the_way_that_takes_less() -> None:
    """Six of 5 x 3 in with a quarter inch round them: two rows of three that reach 3 1/2 in each, or of four that reach 5 1/2 in."""
    found = fusible_web([(Size(5 * IN, 3 * IN), 6)], width=17 * IN, margin=IN // 4, increment=IN)
    assert (found.pieces, found.length, found.to_buy) == (6, 7 * IN, 7 * IN)
    narrow = fusible_web([(Size(5 * IN, 3 * IN), 6)], width=4 * IN, margin=IN // 4, increment=IN)
    assert narrow.length == 6 * Fraction(11, 2) * IN


@pytest.mark.parametrize(
    ("refused", "field"),
    [
        (lambda: sewing({"knitting": IN}), "sewing.knitting"),
        (lambda: sewing({"seams": -IN}), "line"),
        (lambda: sewing({"seams": IN}, waste=101), "waste"),
        (lambda: sewing({"seams": IN}, spool=0), "spool"),
        (lambda: Stitch("lockstitch", 0, 0), "length"),
        (lambda: Stitch("lockstitch", 1, -1), "thickness"),
        (lambda: Stitch("knot", 1, 0), "kind"),
        (lambda: papers([], pack=0), "pack"),
        (lambda: papers([], uses=0), "uses"),
        (lambda: quilting_lines(Size(IN, IN), apart=0), "apart"),
        (lambda: quilting_lines(Size(IN, IN), apart=1, ways=3), "ways"),
        (lambda: basting_adhesive(Size(IN, IN), covers=0), "covers"),
        (lambda: fusible_web([(Size(IN, IN), 1)], width=IN // 2), "width"),
    ],
)
def test_what_makes_no_notions_is_refused_at_its_field(refused: object, field: str) -> None:
    assert callable(refused)
    with pytest.raises(Refusal) as caught:
        refused()
    assert isinstance(caught.value, NotionsError | ThreadError)
    assert caught.value.field == field
