"""Is there thread, paper and adhesive enough, and no more than it takes?"""

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH, NM_PER_METRE, Length, Size
from quiltbook.yardage import fields
from quiltbook.yardage.blocks import Block, Cell
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
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.thread import KINDS, Stitch, ThreadError, thread
from quiltbook.yardage.topplan import Centre
from quiltbook.yardage.tops import (
    Blocks,
    Panel,
    PaperField,
    Pieced,
    Round,
    SewnTop,
    Top,
    TopPlan,
    WholeCloth,
    work_out,
)
from quiltbook.yardage.traditional import TRADITIONAL
from tests.engine.tops import plan, plans

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


def sewn(centre: Centre, *rounds: Round) -> dict[str, Length]:
    return lengths_of(work_out(plan(*rounds, centre=centre)))


def blocks(name: str, across: int, down: int, *, sashing: int = 0, on_point: bool = False) -> Blocks:
    """Blocks of 3 in, sashed without cornerstones."""
    return Blocks((TRADITIONAL[name],), Setting(3 * IN, across, down, on_point, sashing))


@pytest.mark.parametrize(
    ("centre", "seams"),
    [
        (Panel(3 * IN, 3 * IN), 0),
        # Two seams of 3 in each way.
        (blocks("nine patch", 1, 1), 12),
        # Four of those, and two of 6 in that join them.
        (blocks("nine patch", 2, 2), 4 * 12 + 12),
        # A sash of 3 in within each row has two seams, that of 7 in between the rows two.
        (blocks("nine patch", 2, 2, sashing=IN), 4 * 12 + 2 * 2 * 3 + 2 * 7),
        # Four diagonals of half the block, and two seams across it.
        (blocks("pinwheel", 1, 1), 4 * 1.5 * 2**0.5 + 2 * 3),
        # One block on point: a corner triangle on each side.
        (blocks("nine patch", 1, 1, on_point=True), 12 + 4 * 3),
        # 100 in across cloth 42 in wide: three panels, two seams.
        (WholeCloth(100 * IN, 60 * IN), 2 * 60),
        (SewnTop(60 * IN, 60 * IN), 0),
    ],
)
def test_the_seams_of_a_centre_are_those_counted_by_hand(centre: Centre, seams: float) -> None:
    lengths = sewn(centre)
    assert float(lengths["seams"]) == pytest.approx(seams * IN, abs=1)
    assert (lengths["paper seams"], lengths["applique"]) == (0, 0)


def test_a_pieced_border_has_the_seams_of_its_units_and_those_that_join_it() -> None:
    """Round a 6 in square, two units of 3 x 1 in a side and squares at the corners.

    Each unit is a goose: two seams √(1.5² + 1²). One seam joins the two units of a side, two the corners of an end; then the sides are
    joined on along 6 in, the ends along 8 in.
    """
    geese = Block("geese", 2, 1, (Cell("goose", 0, 0, 2, 1, ("goose", "sky"), "up"),))
    lengths = sewn(Panel(6 * IN, 6 * IN), Round(IN, "cornerstones", pieced=Pieced((geese,), 3 * IN, coping="none")))
    units, within = 8 * 2 * (1.5**2 + 1) ** 0.5, 4 * 1 + 2 * 2 * 1
    assert float(lengths["seams"]) == pytest.approx((units + within + 2 * 6 + 2 * 8) * IN, abs=1)


@pytest.mark.parametrize(
    ("shape", "shared", "free"),
    [("hexagon", 5, 4 * 6 - 2 * 5), ("diamond", 3, 4 * 4 - 2 * 3)],
)
def test_a_field_of_two_rows_of_two_has_so_many_seams_over_papers_and_so_much_edge(
    shape: str, shared: int, free: int
) -> None:
    """Hexagons: one seam in each row and three between them. Diamonds: three between the rows."""
    field = PaperField(shape, 2 * IN, 2, 2, IN // 4, "applied")
    assert sewn(field) == {"seams": 0, "paper seams": shared * 2 * IN, "applique": free * 2 * IN}


@given(st.sampled_from(["hexagon", "diamond"]), st.integers(2, 6), st.integers(2, 6))
def test_the_seams_and_the_edge_of_a_field_are_those_of_its_pieces_where_they_lie(
    shape: str, rows: int, columns: int
) -> None:
    found = fields.field(shape, IN, rows, columns)
    middles = Counter(
        tuple(round((a + b) / 2 / 1000) for a, b in zip(edge.start, edge.end, strict=True))
        for outline in found.outlines()
        for edge in outline.edges
    )
    lengths = sewn(PaperField(shape, IN, rows, columns, IN // 4, "applied"))
    assert lengths["paper seams"] == sum(times == 2 for times in middles.values()) * IN
    assert lengths["applique"] == sum(times == 1 for times in middles.values()) * IN


def test_a_field_cut_straight_is_one_patch_to_the_border_round_it() -> None:
    top = work_out(plan(Round(IN, "butted"), centre=PaperField("hexagon", IN, 4, 4, IN // 4)))
    lengths = lengths_of(top)
    inner = top.centre.finished
    around = 2 * float(inner.length) + 2 * (float(inner.width) + 2 * IN)
    assert float(lengths["seams"]) == pytest.approx(around, abs=2)
    assert (lengths["paper seams"], lengths["applique"]) == ((4 * 3 + 3 * 7) * IN, 0)


@given(plans())
@settings(max_examples=60)
def test_seams_counted_from_what_is_drawn_are_those_of_the_borders_one_by_one(asked: TopPlan) -> None:
    top = work_out(asked)
    assert float(lengths_of(top)["seams"]) == pytest.approx(float(top.border_seam_length), rel=1e-9, abs=4)


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
