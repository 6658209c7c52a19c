"""Borders, cornerstones, mitres and motifs along a border against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Length
from quiltbook.yardage.borders import BorderPiece, lengths_needed
from quiltbook.yardage.motifs import spacing
from quiltbook.yardage.tops import Panel, Round, RoundResult, TopPlan, work_out
from tests.published.values import NM, Entry, entries


def _border(
    entry: Entry, *, width: Length, length: Length, border: Length, corners: str, seam: Length, extra: Length = 0
) -> RoundResult:
    plan = TopPlan(
        centre=Panel(width, length),
        rounds=(Round(border, corners),),
        motifs={},
        seam_allowance=seam,
        round_up=1,
        cloth_width=42 * entry.nm,
        mitre_extra=extra,
    )
    return work_out(plan).rounds[0]


def _piece(result: RoundResult, part: str) -> BorderPiece:
    return next(piece for piece in result.pieces if piece.part == part)


@pytest.mark.parametrize("entry", entries("border-grow"), ids=repr)
def test_a_top_grows_by_its_border_as_published(entry: Entry) -> None:
    result = _border(
        entry, width=entry.length("top_w"), length=entry.length("top_l"), border=entry.length("border_finished"),
        corners="butted", seam=0,
    )  # fmt: skip
    assert entry.agrees(result.finished.width, "w")
    assert entry.agrees(result.finished.length, "l")


@pytest.mark.parametrize("entry", entries("border-butted-", "border-corner-"), ids=repr)
def test_border_strips_are_cut_as_published(entry: Entry) -> None:
    corners = "butted" if "butted" in entry.id else "cornerstones"
    result = _border(
        entry, width=entry.length("top_w_finished"), length=entry.length("top_l_finished"),
        border=entry.length("border_finished"), corners=corners, seam=entry.length("seam_allowance"),
    )  # fmt: skip
    side, end = _piece(result, "side"), _piece(result, "end")
    assert entry.agrees(side.cut.length, "side_cut_length")
    assert entry.agrees(end.cut.width, "end_cut_length")
    if corners == "cornerstones":
        stone = _piece(result, "cornerstone")
        assert entry.agrees(stone.cut.width, "cornerstone_cut")
        assert stone.count == entry.expected["cornerstones"]
        return
    assert entry.agrees(side.cut.width, "cut_width")
    assert entry.agrees(result.finished.width, "new_w")
    assert entry.agrees(result.finished.length, "new_l")
    total = sum(
        (Fraction(piece.count * max(piece.cut.width, piece.cut.length)) for piece in result.pieces), Fraction(0)
    )
    assert entry.agrees(total, "total_length")
    strips = lengths_needed(total, entry.length("usable_width"), Fraction(0))
    assert strips is not None
    assert strips == entry.expected["strips"]
    assert entry.agrees(strips * Fraction(side.cut.width), "fabric_in")


@pytest.mark.parametrize("entry", entries("mitre-min-"), ids=repr)
def test_the_least_mitred_strip_is_as_published(entry: Entry) -> None:
    side = entry.length("side_finished")
    result = _border(
        entry, width=side, length=side, border=entry.length("border_finished"), corners="mitred",
        seam=entry.length("seam_allowance"),
    )  # fmt: skip
    assert entry.agrees(_piece(result, "side").exact.length)
    assert entry.agrees(_piece(result, "end").cut.width)


@pytest.mark.parametrize("entry", entries("mitre-book", "mitre-mag"), ids=repr)
def test_a_mitred_strip_with_the_trade_s_extra_is_as_published(entry: Entry) -> None:
    """The handbooks' extra covers the seams, so the seam allowance is none."""
    side = Fraction(entry.inputs["side"] or 40) * NM["in"]
    result = _border(
        entry, width=side, length=side, border=entry.length("border"), corners="mitred", seam=0, extra=entry.length("extra"),
    )  # fmt: skip
    strip = Fraction(_piece(result, "side").cut.length)
    assert entry.agrees(strip if entry.inputs["side"] else strip - side)


@pytest.mark.parametrize("entry", entries("motif-75-3", "motif-39-"), ids=repr)
def test_as_many_motifs_fit_a_border_as_published(entry: Entry) -> None:
    result = spacing(entry.inputs["border"], entry.inputs["motif"], rule="cells")
    if not isinstance(entry.expected, dict):
        assert result.count == entry.expected
        return
    assert result.count == entry.expected["repeats"]
    assert result.gap is not None
    assert entry.near(result.gap, entry.expected["gap"])
    assert entry.near(Fraction(result.centres[1]) - Fraction(result.centres[0]), entry.expected["pitch"])
    assert entry.near(Fraction(result.centres[0]) - Fraction(entry.inputs["motif"], 2), entry.expected["each_side"])


@pytest.mark.parametrize("entry", entries("motif-endmargin", "motif-equal"), ids=repr)
def test_the_gap_between_motifs_is_as_published(entry: Entry) -> None:
    margin = entry.inputs.get("end_margin")
    result = spacing(
        entry.inputs["border"], entry.inputs["motif"], count=entry.inputs["motifs"],
        rule="even" if margin is None else "margins", end_margin=margin or 0,
    )  # fmt: skip
    assert result.gap is not None
    assert entry.near(result.gap, entry.expected)


@pytest.mark.parametrize("entry", entries("motif-centre"), ids=repr)
def test_motifs_in_equal_cells_are_centred_as_published(entry: Entry) -> None:
    result = spacing(entry.inputs["border"], 1, count=entry.inputs["motifs"], rule="cells")
    assert entry.near(result.centres[0], entry.expected["first_centre"])
    assert entry.near(Fraction(result.centres[1]) - Fraction(result.centres[0]), entry.expected["pitch"])


@pytest.mark.parametrize("entry", entries("border-total-"), ids=repr)
def test_the_strips_of_a_border_are_together_as_long_as_a_lesson_says(entry: Entry) -> None:
    seam = Fraction(entry.nm, 4)  # the lesson gives the cut width alone
    result = _border(
        entry, width=entry.length("top_w"), length=entry.length("top_l"), border=entry.length("border_cut") - 2 * seam,
        corners="butted", seam=seam,
    )  # fmt: skip
    assert entry.agrees(sum(piece.count * max(piece.cut.width, piece.cut.length) for piece in result.pieces))
