"""Are pictures to scale, whole XML that the pages' policy lets through, and readable without colour?"""

import re
from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element, fromstring

import pytest

from quiltbook.measures import NM_PER_CM, NM_PER_INCH, Size, System
from quiltbook.web.pictures import Given, layout_svg, quilt_svg
from quiltbook.web.svg import NO_COLOUR, Look
from quiltbook.yardage.cloths import Flaw
from quiltbook.yardage.cutting import ClothLayout, Cut, Offcut, Placement
from quiltbook.yardage.motifs import Motif
from quiltbook.yardage.tops import MotifsOnRound, Panel, Round, Top, TopPlan, drawn, work_out

INCH = NM_PER_INCH
SVG = "{http://www.w3.org/2000/svg}"
SEA, KELP = Look("North sea", "#2f4b7c"), Look("Kelp & <wrack>", "#4f6b58", "/media/1/kelp.webp")


def a_top() -> Top:
    rounds = (
        Round(2 * INCH, "butted", "ends"),
        Round(7 * INCH, "cornerstones", motifs=MotifsOnRound("rosette", 3, 3, 4, 4)),
        Round(3 * INCH, "mitred"),
    )
    rosette = Motif("rosette", INCH, INCH, 3 * INCH // 8)
    return work_out(TopPlan(Panel(24 * INCH, 18 * INCH), rounds, {"rosette": rosette}, INCH // 4, INCH // 8, 42 * INCH))


def quilt(given: Mapping[str, Sequence[Given]] | None = None) -> Element:
    top = a_top()
    return fromstring(  # noqa: S314, our own drawing
        quilt_svg(
            drawn(top),
            finished=top.finished,
            given=given or {},
            key="q",
            title="Harbour <medallion>",
            system=System.INCHES,
        )
    )


def layout(**options: object) -> Element:
    placements = (
        Placement("4711", None, 0, 0, 9 * INCH, 6 * INCH),
        Placement("4712", None, 0, 6 * INCH, INCH // 4, 12 * INCH),
    )
    cuts = (Cut(1, "across", 6 * INCH, 0, 42 * INCH), Cut(2, "along", 9 * INCH, 0, 6 * INCH))
    cloth = ClothLayout("kelp", 1, placements, cuts, (Offcut(9 * INCH, 0, 33 * INCH, 6 * INCH),))
    given: dict[str, object] = {"labels": {"4711": "A", "4712": "B"}, "ticks": (), "flaws": (), **options}
    svg = layout_svg(
        cloth,
        cloth=Size(42 * INCH, 18 * INCH),
        look=KELP,
        key="c",
        title="Kelp 1",
        system=System.INCHES,
        **given,  # type: ignore[arg-type]
    )
    return fromstring(svg)  # noqa: S314, our own drawing


def classes(picture: Element, name: str) -> list[Element]:
    return [part for part in picture.iter() if name in (part.get("class") or "").split()]


@pytest.mark.parametrize("picture", [quilt(), quilt({"panel": [Given(KELP)]}), layout(), layout(ticks={1})])
def test_no_picture_carries_a_style_or_a_script_and_every_reference_has_its_target(picture: Element) -> None:
    ids = {part.get("id") for part in picture.iter()} - {None}
    for part in picture.iter():
        assert part.tag not in (f"{SVG}style", f"{SVG}script")
        assert not [name for name in part.attrib if name == "style" or name.startswith("on")]
        for target in re.findall(r"url\(#([^)]+)\)", " ".join(part.attrib.values())):
            assert target in ids
    assert set(picture.get("aria-labelledby", "").split()) <= ids


def test_a_quilt_is_drawn_to_scale_in_centimetres() -> None:
    # 24 by 18 in and borders of 2, 7 and 3 in: 48 by 42 in, each 2.54 cm
    left, top, width, length = (float(side) for side in quilt().get("viewBox", "").split())
    assert width + 2 * left == pytest.approx(48 * 2.54, abs=0.01)
    assert length + 2 * top == pytest.approx(42 * 2.54, abs=0.01)


def test_a_quilt_says_its_name_its_size_and_its_cloths_in_words() -> None:
    picture = quilt({"panel": [Given(KELP)], "first border": [Given(SEA)]})
    assert picture.findtext(f"{SVG}title") == "Harbour <medallion>"
    desc = picture.findtext(f"{SVG}desc") or ""
    assert desc.startswith("48 × 42 in finished. Panel: Kelp & <wrack>. First border: North sea.")
    assert "Third border: no cloth chosen yet." in desc
    assert [group.findtext(f"{SVG}title") for group in classes(picture, "role")][:2] == [
        "Panel: Kelp & <wrack>",
        "First border: North sea",
    ]


def test_petals_are_true_arcs() -> None:
    petals = next(group for group in classes(quilt(), "role") if "petals" in (group.findtext(f"{SVG}title") or ""))
    d = petals[1].get("d", "")
    # side 1 in, rise 1 in over a chord of 2 in: a half circle of radius 1 in
    assert d.count("A2.54 2.54 0 ") == 6


def test_a_role_without_cloth_is_bare_and_a_role_with_two_shares_them_out_in_order() -> None:
    picture = quilt({"second border petals": [Given(SEA, 8), Given(KELP)]})
    petals = [group for group in classes(picture, "role") if "petals" in (group.findtext(f"{SVG}title") or "")]
    shown = {SEA.name: 0, KELP.name: 0}
    for group in petals:
        shown[(group.findtext(f"{SVG}title") or "").partition(": ")[2]] += group[1].get("d", "").count("M")
    assert shown == {SEA.name: 8, KELP.name: 14 * 6 - 8}
    bare = next(group for group in classes(picture, "bare"))
    assert bare[1].get("fill") == NO_COLOUR


def test_cloths_differ_by_more_than_their_colour() -> None:
    twins = [Look(f"Twin {n}", "#4f6b58") for n in range(4)]
    roles = ["panel", "first border", "second border", "third border"]
    picture = quilt({role: [Given(twin)] for role, twin in zip(roles, twins, strict=True)})
    marks = [part.find(f"{SVG}path").get("d") for part in picture.iter(f"{SVG}pattern")]  # type: ignore[union-attr]
    assert len(set(marks)) == 4


def test_a_colour_that_is_none_is_never_written_into_a_picture() -> None:
    picture = quilt({"panel": [Given(Look("Odd", 'red" onload="x'))]})
    assert "onload" not in "".join(value for part in picture.iter() for value in part.attrib.values())


def test_a_patch_on_cloth_carries_its_letter_and_size_where_they_fit() -> None:
    wide, narrow = classes(layout(), "placed")
    assert wide.findtext(f"{SVG}title") == "A, 9 × 6 in"
    assert [line.text for line in wide.iter(f"{SVG}tspan")] == ["A", "9 × 6 in"]
    assert narrow.findtext(f"{SVG}title") == "B, 1/4 × 12 in"
    assert not list(narrow.iter(f"{SVG}tspan"))


def test_a_patch_lies_where_it_is_cut() -> None:
    rect = classes(layout(), "placed")[0].find(f"{SVG}rect")
    assert rect is not None
    assert [rect.get(name) for name in ("x", "y", "width", "height")] == ["0", "0", "22.86", "15.24"]


def test_cuts_are_numbered_those_made_are_marked_and_the_next_stands_out() -> None:
    first, second = classes(layout(), "cut")
    assert (first.findtext(f"{SVG}text"), second.findtext(f"{SVG}text")) == ("1", "2")
    assert (first.get("class"), second.get("class")) == ("cut next", "cut")
    first, second = classes(layout(ticks={1}), "cut")
    assert (first.get("class"), second.get("class")) == ("cut done", "cut next")


def test_offcuts_and_flaws_are_shown_and_said() -> None:
    picture = layout(flaws=[Flaw(10 * NM_PER_CM, 20 * NM_PER_CM, NM_PER_CM, NM_PER_CM)])
    assert classes(picture, "offcut")[0].findtext(f"{SVG}title") == "Offcut, 33 × 6 in"
    assert classes(picture, "flaw")[0].findtext(f"{SVG}title") == "A flaw: nothing is cut from here"


def test_a_printed_panel_is_drawn_as_one_picture_in_its_place() -> None:
    panel = Look("Heron", "#7f9aa5", "/media/1/heron.webp")
    svg = quilt({"panel": [Given(panel)]})
    image = svg.find(f"{SVG}g/{SVG}image")
    assert image is not None
    assert image.get("href") == "/media/1/heron.webp"
    # a 24 x 18 in panel in the middle of 48 x 42 in
    inches = [float(image.get(name, "nan")) / 2.54 for name in ("x", "y", "width", "height")]
    assert inches == pytest.approx([12, 12, 24, 18], abs=1e-4)
