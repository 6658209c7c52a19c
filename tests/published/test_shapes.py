"""Squares, triangles, hexagons, petals, clamshells and diamonds against the published figures."""

import math
from fractions import Fraction

import pytest

from quiltbook.measures import Length, round_up
from quiltbook.yardage import shapes
from quiltbook.yardage.motifs import Motif, flower
from tests.published.values import Entry, entries


def _cut(outline: shapes.Outline, entry: Entry, shape: str = "polygon", step: int = 1) -> shapes.ShapeResult:
    seam = entry.length("seam_allowance") if "seam_allowance" in entry.inputs else Fraction(entry.nm, 4)
    return shapes.work_out(outline, seam_allowance=seam, round_up_to=step, shape=shape)


def _constant(entry: Entry) -> float:
    """What the engine adds to a triangle of one unit to get its square."""
    name = "half square triangle" if entry.id.startswith("hst") else "quarter square triangle"
    make, _ = shapes.SHAPES[name]
    square = _cut(make(float(entry.nm)), entry, name).square
    assert square
    return square.exact - entry.nm


@pytest.mark.parametrize("entry", [e for e in entries("hst-const", "qst-const") if "-up" not in e.id], ids=repr)
def test_the_exact_triangle_constants_are_as_published(entry: Entry) -> None:
    assert entry.agrees(_constant(entry))


@pytest.mark.parametrize("entry", [e for e in entries("hst-const", "qst-const") if "-up" in e.id], ids=repr)
def test_the_triangle_constants_round_up_as_published(entry: Entry) -> None:
    assert entry.agrees(round_up(_constant(entry), int(entry.length("round_up_to"))))


@pytest.mark.parametrize("entry", [e for e in entries("hst-", "qst-") if e.topic.startswith("cut size")], ids=repr)
def test_triangles_are_cut_from_the_published_square(entry: Entry) -> None:
    name = "half square triangle" if entry.id.startswith("hst") else "quarter square triangle"
    make, _ = shapes.SHAPES[name]
    surplus = entry.length("trim_surplus") if "trim_surplus" in entry.inputs else 0
    outline = make(float(entry.length("finished")))
    square = shapes.work_out(
        outline, seam_allowance=Fraction(entry.nm, 4), round_up_to=entry.nm // 8, shape=name, surplus=surplus
    ).square
    assert square
    assert entry.agrees(square.cut)


@pytest.mark.parametrize("entry", entries("sq-add"), ids=repr)
def test_a_square_is_cut_as_published(entry: Entry) -> None:
    assert entry.agrees(_cut(shapes.square(float(entry.length("finished"))), entry).cut.size.width)


@pytest.mark.parametrize("entry", entries("rect-add"), ids=repr)
def test_a_rectangle_is_cut_as_published(entry: Entry) -> None:
    outline = shapes.rectangle(float(entry.length("finished_w")), float(entry.length("finished_h")))
    cut = _cut(outline, entry).cut.size
    assert entry.agrees(cut.width, "cut_w")
    assert entry.agrees(cut.length, "cut_h")


@pytest.mark.parametrize("entry", entries("hex-0", "hex-1", "hex-2"), ids=repr)
def test_a_hexagon_measures_as_published(entry: Entry) -> None:
    outline = shapes.hexagon(float(entry.length("side")))
    assert entry.agrees(outline.size.width, "flat_to_flat")
    assert entry.agrees(outline.size.length, "point_to_point")
    assert entry.agrees(outline.perimeter, "perimeter")
    assert entry.near(outline.area / entry.nm**2, entry.expected["area"])


@pytest.mark.parametrize("entry", entries("hex-read-"), ids=repr)
def test_a_hexagon_agrees_with_what_was_printed(entry: Entry) -> None:
    outline = shapes.hexagon(float(entry.length("side")))
    if isinstance(entry.expected, dict):
        assert entry.agrees(outline.size.length, "point_to_point")
        assert entry.agrees(outline.size.width, "flat_to_flat")
    elif entry.unit == "sq in":
        assert entry.near(outline.area / entry.nm**2, entry.expected)
    else:
        assert entry.agrees(outline.size.width)


@pytest.mark.parametrize("entry", entries("hexfab-"), ids=repr)
def test_a_hexagon_is_cut_as_published(entry: Entry) -> None:
    result = _cut(shapes.hexagon(float(entry.length("side"))), entry)
    assert entry.agrees(result.cut.edges[0].length, "fabric_side")
    assert entry.agrees(result.cut.size.width, "fabric_flat_to_flat")
    assert entry.agrees(result.cut.size.length, "fabric_point_to_point")
    assert entry.agrees(result.rough_cut.width, "rectangle_min_h")
    assert entry.agrees(result.rough_cut.length, "rectangle_min_w")


@pytest.mark.parametrize("entry", entries("hexstrip-"), ids=repr)
def test_hexagons_come_from_a_strip_of_the_published_width(entry: Entry) -> None:
    rough = _cut(shapes.hexagon(float(entry.length("side"))), entry).rough_cut
    assert entry.agrees(rough.width, "strip_width")
    assert entry.agrees(round_up(rough.width, entry.nm // 8), "strip_width_up8")


@pytest.mark.parametrize("entry", entries("flower-", "rosette-1"), ids=repr)
def test_a_flower_of_hexagons_measures_as_published(entry: Entry) -> None:
    motif = Motif("flower", entry.length("side"), None, 0)
    one = flower(motif)
    expected = entry.expected
    assert len(one.outer) + 1 == expected["pieces"]
    assert entry.near(one.seam_length / float(motif.side), expected["seams"])
    assert entry.near(one.edge_length / float(motif.side), expected["outer_edges"])
    assert entry.agrees(one.size.width, "across_flats")
    assert entry.agrees(one.size.length, "across_points")
    if "area" in expected:
        assert entry.agrees(one.seam_length, "seam_length")
        assert entry.agrees(one.edge_length, "outer_perimeter")
        assert entry.near((one.centre.area + sum(piece.area for piece in one.outer)) / entry.nm**2, expected["area"])
        corners = [math.hypot(*edge.start) for piece in one.outer for edge in piece.edges]
        assert entry.agrees(2 * max(corners), "circumscribed_diameter")


@pytest.mark.parametrize("entry", entries("petal-A", "petal-B", "petal-C"), ids=repr)
def test_a_hexagon_petal_measures_as_published(entry: Entry) -> None:
    side, rise = float(entry.length("side")), float(entry.length("sagitta"))
    petal = shapes.hexagon_petal(side, rise)
    arc, *straight = petal.edges
    assert entry.agrees(arc.radius, "radius")
    assert entry.near(math.degrees(arc.angle), entry.expected["arc_angle_deg"])
    assert entry.agrees(arc.length, "arc_length")
    assert entry.agrees(sum(edge.length for edge in straight), "straight_length")
    assert entry.agrees(petal.perimeter, "perimeter")
    assert entry.near(petal.area / entry.nm**2, entry.expected["area"])
    assert entry.agrees(petal.size.length, "depth")
    one = flower(Motif("flower", side, rise, 0))
    assert entry.agrees(one.size.width / 2, "six_petal_flower_reach")


@pytest.mark.parametrize("entry", entries("petal-D"), ids=repr)
def test_a_half_hexagon_with_its_short_side_curved_measures_as_published(entry: Entry) -> None:
    rise = float(entry.expected["sagitta"]) * entry.nm
    plain = shapes.half_hexagon(float(entry.length("side")))
    curved = shapes.ring([edge.start for edge in plain.edges], {0: rise})
    arc, *straight = curved.edges
    assert arc.chord == entry.length("chord")
    assert _within(entry, arc.radius, "radius")
    assert _within(entry, arc.length, "arc_length")
    assert entry.agrees(sum(edge.length for edge in straight), "straight_length")
    assert _within(entry, curved.perimeter, "perimeter")


def _within(entry: Entry, actual: Length, key: str) -> bool:
    """The printed rise has six decimals, and the rest follows from it that coarsely."""
    return abs(float(actual) / entry.nm - float(entry.expected[key])) <= 10 * float(entry.tolerance)


@pytest.mark.parametrize("entry", entries("clam-count"), ids=repr)
def test_as_many_clamshells_cover_an_area_as_published(entry: Entry) -> None:
    whole = float(entry.inputs["area_w"] * entry.inputs["area_l"])
    assert entry.near(round(whole / shapes.clamshell(2 * float(entry.inputs["r"])).area, 9), entry.expected)


@pytest.mark.parametrize("entry", [e for e in entries("clam-") if e.id != "clam-count"], ids=repr)
def test_a_clamshell_measures_as_published(entry: Entry) -> None:
    shell = shapes.clamshell(2 * float(entry.length("r")))
    assert entry.near(shell.area / entry.nm**2, entry.expected["area"])
    assert entry.agrees(shell.perimeter, "perimeter")
    assert entry.agrees(shell.size.length, "height")
    assert entry.agrees(shell.size.width, "column_pitch")


@pytest.mark.parametrize("entry", entries("dia60-", "dia45-"), ids=repr)
def test_a_diamond_measures_as_published(entry: Entry) -> None:
    angle = 60 if entry.id.startswith("dia60") else 45
    outline = shapes.diamond(float(entry.length("side")), angle)
    assert entry.agrees(outline.size.width, "short_diagonal")
    assert entry.agrees(outline.size.length, "long_diagonal")
    assert entry.near(outline.area / entry.nm**2, entry.expected["area"])
    lying = outline.moved(0, 0, math.radians(90 - angle / 2))
    assert entry.agrees(lying.size.length, "height")
