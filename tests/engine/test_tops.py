"""Does a top grow as sewn, are its pieces cut to fit, and is a plan that cannot be sewn refused at its field?"""

from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given

from quiltbook.measures import Size
from quiltbook.yardage.motifs import Motif, MotifsOnRound
from quiltbook.yardage.tops import BorderPiece, Panel, Round, RoundResult, TopError, TopPlan, border_name, work_out
from tests.engine.tops import IN, inches, plan, plans


def piece(result: RoundResult, part: str) -> BorderPiece:
    return next(piece for piece in result.pieces if piece.part == part)


def test_sides_first_makes_the_ends_the_longer_pair() -> None:
    result = work_out(plan(Round(2 * IN, "butted"))).rounds[0]
    assert inches(piece(result, "side").finished) == (2, 18)
    assert inches(piece(result, "end").finished) == (28, 2)
    assert inches(piece(result, "side").cut) == (2.5, 18.5)
    assert [piece.part for piece in result.pieces] == ["side", "end"]
    assert inches(result.finished) == (28, 22)


def test_ends_first_makes_the_sides_the_longer_pair() -> None:
    result = work_out(plan(Round(2 * IN, "butted", "ends"))).rounds[0]
    assert inches(piece(result, "side").finished) == (2, 22)
    assert inches(piece(result, "end").finished) == (24, 2)
    assert [piece.part for piece in result.pieces] == ["end", "side"]


def test_cornerstones_are_square_and_strips_as_long_as_the_top_inside() -> None:
    result = work_out(plan(Round(3 * IN, "cornerstones"))).rounds[0]
    assert inches(piece(result, "side").finished) == (3, 18)
    assert inches(piece(result, "end").finished) == (24, 3)
    assert inches(piece(result, "cornerstone").cut) == (3.5, 3.5)
    assert piece(result, "cornerstone").count == 4


def test_mitred_strips_are_cut_the_least_that_makes_the_mitre_and_the_extra() -> None:
    for extra in (0, 4 * IN):
        side = piece(work_out(plan(Round(3 * IN, "mitred"), mitre_extra=extra)).rounds[0], "side")
        assert abs(float(side.exact.length) - ((18 + 6 + 0.5 * (1 + sqrt(2))) * IN + extra)) < 1
        assert inches(side.finished) == (3, 24)


def test_strips_cut_long_are_longer_by_that_much() -> None:
    short, long = (work_out(plan(Round(2 * IN, "butted", cut_long=by))).rounds[0] for by in (0, IN))
    for before, after in zip(short.pieces, long.pieces, strict=True):
        assert before.finished == after.finished
        assert max(after.cut.width, after.cut.length) - max(before.cut.width, before.cut.length) == IN


def test_a_measured_centre_or_round_feeds_the_rounds_after_it() -> None:
    centre = Panel(24 * IN, 18 * IN, measured=Size(20 * IN, 17 * IN))
    top = work_out(
        plan(
            Round(2 * IN, "butted"),
            Round(2 * IN, "butted", measured=Size(30 * IN, 26 * IN)),
            Round(IN, "butted"),
            centre=centre,
        )
    )
    assert inches(top.centre.finished) == (20, 17)
    assert inches(top.centre.cut) == (24.5, 18.5)
    assert inches(top.rounds[0].finished) == (24, 21)
    assert inches(top.rounds[1].planned) == (28, 25)
    assert inches(piece(top.rounds[2], "side").finished) == (1, 26)
    assert inches(top.finished) == (32, 28)


def test_a_strip_longer_than_the_cloth_is_joined_of_the_fewest_lengths() -> None:
    straight = work_out(plan(Round(2 * IN, "butted", "ends"), width=84, length=40)).rounds[0]
    assert piece(straight, "end").strips_joined == 3  # 84 1/2 in of 42 in lengths, half an inch lost at each join
    assert piece(straight, "side").strips_joined == 2
    exact = work_out(plan(Round(2 * IN, "butted", "ends"), width=83, length=40)).rounds[0]
    assert piece(exact, "end").strips_joined == 2  # 83 1/2 in is just what two lengths give
    diagonal = work_out(plan(Round(2 * IN, "butted", "ends"), width=83, length=40, join="diagonal")).rounds[0]
    assert piece(diagonal, "end").strips_joined == 3
    free = work_out(plan(Round(2 * IN, "butted", "ends"), width=83, length=40, join_loss=0)).rounds[0]
    assert piece(free, "end").join is not None
    assert piece(free, "end").strips_joined == 2


def test_a_printed_panel_is_trimmed_to_the_finished_size_and_two_allowances() -> None:
    centre = Panel(24 * IN, 18 * IN, printed=Size(26 * IN, 19 * IN), printed_seam=IN // 2)
    result = work_out(plan(centre=centre)).centre
    assert inches(result.cut) == (24.5, 18.5)
    assert result.trim is not None
    assert inches(result.trim) == (0.75, 0.25)
    assert result.blank is not None
    assert inches(result.blank) == (0, 0)


def test_a_printed_seam_left_to_show_is_told() -> None:
    centre = Panel(24 * IN, 18 * IN, printed=Size(25 * IN, 19 * IN), printed_seam=IN)
    blank = work_out(plan(centre=centre)).centre.blank
    assert blank is not None
    assert inches(blank) == (0.5, 0.5)


def test_flowers_are_counted_with_their_petals_seams_and_edges() -> None:
    on = MotifsOnRound("rosette", left=3, right=3, top=4, bottom=4)
    top = work_out(plan(Round(7 * IN, "cornerstones", motifs=on)))
    assert (top.flowers, top.petals) == (14, 84)
    assert round(float(top.piecing_seam_length) / IN, 6) == 14 * 12
    assert round(float(top.edge_length) / IN, 3) == round(14 * 6 * 3.14159265, 3)
    assert top.border_seam_length == (2 * 18 + 2 * (24 + 14) + 4 * 7) * IN
    centres, petals = (next(p for p in top.patches if p.part == part) for part in ("flower centre", "petal"))
    assert (centres.role, centres.count, centres.alike) == ("first border flower centres", 14, 1)
    assert (petals.role, petals.count, petals.alike) == ("first border petals", 84, 6)
    assert inches(centres.cut) == (2.5, 2.75)
    assert inches(petals.cut) == (2.75, 2.625)


@pytest.mark.parametrize("corners", ["butted", "cornerstones", "mitred"])
def test_marks_from_the_raw_edges_lie_alike_from_both_ends_of_the_cut_strip(corners: str) -> None:
    result = work_out(plan(Round(7 * IN, corners, motifs=MotifsOnRound("plain", left=2, top=3)))).rounds[0]
    assert result.motifs is not None
    left, top = (side.spacing.from_raw_edge for side in result.motifs.sides)
    assert abs(float(left[0] + left[-1] - piece(result, "side").exact.length)) < 1
    assert abs(float(top[0] + top[-1] - piece(result, "end").exact.width)) < 1


def test_a_mitred_border_s_seams_run_round_the_top_and_across_each_corner() -> None:
    seams = work_out(plan(Round(2 * IN, "mitred"))).border_seam_length
    assert abs(float(seams) / IN - (2 * 24 + 2 * 18 + 4 * 2 * sqrt(2))) < 1e-6


def test_a_motif_without_petals_has_six_hexagons_round_its_centre() -> None:
    top = work_out(plan(Round(7 * IN, "butted", motifs=MotifsOnRound("plain", top=2))))
    hexagons = next(p for p in top.patches if p.part == "petal hexagon")
    assert (hexagons.shape, hexagons.count, hexagons.alike) == ("hexagon", 12, 6)


@pytest.mark.parametrize(("width", "fits"), [(5 * IN, True), (5 * IN - IN // 8, False)])
def test_a_border_narrower_than_its_flower_does_not_fit_it(width: int, fits: bool) -> None:
    """A flower of inch hexagons stands five inches high."""
    motifs = work_out(plan(Round(width, "butted", motifs=MotifsOnRound("plain", top=2)))).rounds[0].motifs
    assert motifs is not None
    assert motifs.fits == fits


def test_too_many_flowers_for_a_side_do_not_fit() -> None:
    motifs = (
        work_out(plan(Round(7 * IN, "cornerstones", motifs=MotifsOnRound("plain", top=4, bottom=5)))).rounds[0].motifs
    )
    assert motifs is not None
    assert [side.fits for side in motifs.sides] == [True, False]


def test_aligned_flowers_stand_over_those_of_the_inner_round() -> None:
    inner = Round(7 * IN, "cornerstones", motifs=MotifsOnRound("plain", top=3))
    outer = Round(7 * IN, "cornerstones", motifs=MotifsOnRound("plain", top=5, rule="aligned"))
    first, second = (result.motifs for result in work_out(plan(inner, outer)).rounds)
    assert first is not None
    assert second is not None
    assert second.sides[0].spacing.from_centre[1:4] == first.sides[0].spacing.from_centre


@pytest.mark.parametrize(
    ("faulty", "field"),
    [
        (plan(Round(0, "butted")), "rounds[0].width"),
        (plan(Round(IN, "butted"), Round(-IN, "butted")), "rounds[1].width"),
        (plan(Round(IN, "rounded")), "rounds[0].corners"),
        (plan(Round(IN, "butted", "top")), "rounds[0].first"),
        (plan(Round(IN, "butted", cut_long=-1)), "rounds[0].cut_long"),
        (plan(Round(IN, "butted", measured=Size(24 * IN, 30 * IN))), "rounds[0].measured"),
        (plan(Round(IN, "butted", measured=Size(0, 0))), "rounds[0].measured"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("daisy"))), "rounds[0].motifs.name"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("plain", rule="loose"))), "rounds[0].motifs.rule"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("plain", top=1, rule="aligned"))), "rounds[0].motifs.rule"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("plain", applied="never"))), "rounds[0].motifs.applied"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("plain", left=-1))), "rounds[0].motifs.left"),
        (plan(Round(IN, "butted", motifs=MotifsOnRound("plain", left=10**9))), "rounds[0].motifs.left"),
        (plan(motifs={"big": Motif("big", IN, 2 * IN, 0)}), "motifs.big.petal_rise"),
        (plan(motifs={"no": Motif("no", 0, None, 0)}), "motifs.no.side"),
        (plan(width=0), "centre.width"),
        (plan(seam_allowance=-1), "seam_allowance"),
        (plan(round_up=0), "round_up"),
        (plan(cloth_width=0), "cloth_width"),
        (plan(Round(2 * IN, "butted"), cloth_width=IN // 4), "cloth_width"),
        (plan(join="glued"), "join"),
        (plan(*[Round(IN, "butted")] * 51), "rounds"),
        (plan(centre=Panel(24 * IN, 18 * IN, printed=Size(24 * IN, 30 * IN))), "centre.printed"),
        (plan(centre=Panel(24 * IN, 18 * IN, printed_seam=IN // 8)), "centre.printed_seam"),
        (plan(centre=Panel(24 * IN, 18 * IN, measured=Size(0, IN))), "centre.measured"),
    ],
)
def test_a_plan_that_cannot_be_sewn_is_refused_at_its_field(faulty: TopPlan, field: str) -> None:
    with pytest.raises(TopError) as refused:
        work_out(faulty)
    assert refused.value.field == field
    assert str(refused.value)[-1] == "."


def test_borders_are_named_by_their_place() -> None:
    assert [border_name(n) for n in (0, 1, 9, 10)] == ["first border", "second border", "tenth border", "border 11"]


@given(random=plans())
def test_what_is_sewn_round_a_top_covers_exactly_what_it_grows_by(random: TopPlan) -> None:
    top = work_out(random)
    size = top.centre.finished
    for round_, result in zip(random.rounds, top.rounds, strict=True):
        area = sum(
            (piece.count * Fraction(piece.finished.width) * Fraction(piece.finished.length) for piece in result.pieces),
            Fraction(0),
        )
        if result.corners == "mitred":  # each corner square is counted in two strips, and half of it cut off each
            area -= 4 * Fraction(round_.width) ** 2
        grown = Fraction(result.finished.width) * Fraction(result.finished.length)
        assert area == grown - Fraction(size.width) * Fraction(size.length)
        assert result.inner == size
        size = result.finished


@given(random=plans())
def test_every_cut_is_on_the_step_and_big_enough_by_less_than_a_step(random: TopPlan) -> None:
    top = work_out(random)
    for result in top.rounds:
        for piece in result.pieces:
            for cut, exact, finished in zip(sides(piece.cut), sides(piece.exact), sides(piece.finished), strict=True):
                assert cut % random.round_up == 0
                assert 0 <= cut - exact + Fraction(random.round_up, 10**9) < random.round_up * (1 + Fraction(2, 10**9))
                assert exact >= finished + 2 * Fraction(random.seam_allowance)


@given(random=plans())
def test_joined_strips_are_long_enough_and_one_length_fewer_is_not(random: TopPlan) -> None:
    across = Fraction(random.cloth_width)
    for result in work_out(random).rounds:
        for piece in result.pieces:
            if piece.join:
                n, long = piece.strips_joined, long_side(piece)
                assert n * across - (n - 1) * piece.join.loss >= long
                assert n == 1 or (n - 1) * across - (n - 2) * piece.join.loss < long


def long_side(piece: BorderPiece) -> Fraction:
    return Fraction(piece.cut.length if piece.part == "side" else piece.cut.width)


def sides(size: Size) -> tuple[Fraction, Fraction]:
    return Fraction(size.width), Fraction(size.length)


@given(random=plans())
def test_the_patches_are_the_pieces_and_the_flowers_and_nothing_else(random: TopPlan) -> None:
    top = work_out(random)
    pieces = sum(piece.count for result in top.rounds for piece in result.pieces)
    assert sum(patch.count for patch in top.patches) == 1 + pieces + 7 * top.flowers
    assert len({(patch.role, patch.part) for patch in top.patches}) == len(top.patches)
    assert all(isinstance(side, int) for patch in top.patches for side in (patch.cut.width, patch.cut.length))
