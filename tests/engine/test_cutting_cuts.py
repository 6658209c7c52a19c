"""In what order are the cuts made? The rough cut and the strips first, cross cuts next, trims last, and leftovers in large pieces."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quiltbook.yardage.boxes import Box
from quiltbook.yardage.cutting import Layout
from quiltbook.yardage.guillotine import ACROSS, ALONG, Cutter, Item, NotEdgeToEdge, Part, numbered, tidied
from tests.engine.cutting_jobs import IN, cloth, job, largest, patch, sound


def cuts(layout: Layout) -> list[tuple[int, str, str, float, int | None]]:
    [laid] = layout.cloths
    return [(cut.depth, cut.kind, cut.direction, cut.setting / IN, cut.strip) for cut in laid.cuts]


def test_a_job_of_two_strips_is_cut_in_the_order_a_person_would() -> None:
    layout = sound(job([cloth("kelp", 10, 30)], [patch("A", 5, 4, 2), patch("B", 3, 3, 3)], "strips"))
    assert cuts(layout) == [
        (1, "rough", "across", 7, None),
        (1, "strip", "across", 4, None),
        (2, "cross", "along", 5, 1),
        (2, "cross", "along", 3, 2),
        (2, "cross", "along", 3, 2),
        (2, "trim", "along", 3, 2),
    ]


def test_what_is_too_high_for_its_strip_is_trimmed_last() -> None:
    layout = sound(job([cloth("kelp", 10, 4)], [patch("A", 5, 4), patch("B", 5, 3)], "strips"))
    assert cuts(layout) == [(1, "strip", "along", 5, None), (2, "trim", "across", 3, 2)]


@pytest.mark.parametrize("method", ["strips", "close"])
def test_cuts_are_numbered_by_depth(method: str) -> None:
    layout = sound(
        job([cloth("kelp", 42, 30)], [patch("A", 5, 4, 9), patch("B", 3, 2.5, 31), patch("C", 7, 1, 5)], method)
    )
    [laid] = layout.cloths
    assert [cut.number for cut in laid.cuts] == list(range(1, len(laid.cuts) + 1))
    assert [cut.depth for cut in laid.cuts] == sorted(cut.depth for cut in laid.cuts)


def test_strips_means_strips_across_then_cross_cuts_then_trims_and_nothing_more() -> None:
    layout = sound(
        job([cloth("kelp", 42, 90)], [patch("A", 5, 4, 29), patch("B", 3, 2.5, 61), patch("C", 7, 9, 7)], "strips")
    )
    [laid] = layout.cloths
    assert {(cut.depth, cut.direction) for cut in laid.cuts} <= {(1, "across"), (2, "along"), (3, "across")}
    assert {cut.direction for cut in laid.cuts if cut.depth == 1} == {"across"}


def test_close_cutting_keeps_the_leftover_of_several_strips_in_one_piece() -> None:
    """Three strips of 2 in and 5 in left at the end of each: one offcut of 6 by 5 in."""
    layout = sound(job([cloth("kelp", 20, 6)], [patch("A", 15, 2, 3, turn=False)]))
    assert largest(layout) == 6 * 5 * IN**2
    assert layout.waste_area == 0


def test_what_is_below_the_least_is_waste() -> None:
    layout = sound(job([cloth("kelp", 20, 6)], [patch("A", 19, 6)], least_offcut=2 * IN))
    assert (layout.offcut_area, layout.waste_area) == (0, 6 * IN**2)
    layout = sound(job([cloth("kelp", 20, 6)], [patch("A", 18, 6)], least_offcut=2 * IN))
    assert (layout.offcut_area, layout.waste_area) == (12 * IN**2, 0)


def test_with_no_least_every_rest_is_kept() -> None:
    layout = sound(job([cloth("kelp", 20, 6)], [patch("A", 19, 5)], least_offcut=0))
    assert layout.waste_area == 0


# --- the parts a cloth is cut into --------------------------------------------------------------------------------------


def items(*boxes: tuple[int, int, int, int]) -> list[Item]:
    return [Item(Box(*box), n) for n, box in enumerate(boxes)]


PINWHEEL = items((0, 0, 2, 3), (2, 0, 5, 2), (3, 2, 5, 5), (0, 3, 3, 5))


def test_a_pinwheel_is_refused() -> None:
    with pytest.raises(NotEdgeToEdge):
        Cutter((), 1, merge=True).cut_up(Box(0, 0, 5, 5), PINWHEEL, ACROSS)
    with pytest.raises(NotEdgeToEdge):
        tidied(PINWHEEL, ALONG, fullest_first=True)


def test_boxes_that_overlap_or_stick_out_are_refused() -> None:
    for wrong in (
        items((0, 0, 3, 3), (2, 2, 5, 5)),
        items((0, 0, 3, 3), (0, 0, 3, 3)),
        items((3, 3, 6, 5)),
        items((-1, 0, 3, 5)),
    ):
        with pytest.raises(NotEdgeToEdge):
            Cutter((), 1, merge=False).cut_up(Box(0, 0, 5, 5), wrong, ACROSS)


def test_a_cloth_filled_by_one_box_needs_no_cut() -> None:
    part = Cutter((), 1, merge=True).cut_up(Box(0, 0, 5, 5), items((0, 0, 5, 5)), ACROSS)
    assert (part.what, part.tag, numbered(part)) == ("patch", 0, [])


@st.composite
def cut_apart(draw: st.DrawFn) -> tuple[Box, list[Item], tuple[Box, ...]]:
    """A box cut apart at random; some of the pieces are items, some have a flaw, the rest are left."""
    boxes = [Box(0, 0, draw(st.integers(4, 40)), draw(st.integers(4, 40)))]
    whole = boxes[0]
    for _ in range(draw(st.integers(0, 25))):
        box = boxes.pop(draw(st.integers(0, len(boxes) - 1)))
        across = draw(st.booleans())
        side = box.length if across else box.width
        if side < 2:
            boxes.append(box)
            continue
        at = (box.y0 if across else box.x0) + draw(st.integers(1, side - 1))
        boxes += [box._replace(y1=at), box._replace(y0=at)] if across else [box._replace(x1=at), box._replace(x0=at)]
    kinds = [draw(st.sampled_from(["item", "item", "flaw", "left"])) for _ in boxes]
    placed = [Item(box, n) for n, box in enumerate(b for b, kind in zip(boxes, kinds, strict=True) if kind == "item")]
    flaws = tuple(box for box, kind in zip(boxes, kinds, strict=True) if kind == "flaw")
    return whole, placed, flaws


@settings(max_examples=150, deadline=None)
@given(cut_apart(), st.integers(0, 4), st.booleans(), st.sampled_from([ACROSS, ALONG]))
def test_whatever_was_cut_apart_is_found_to_come_apart(
    case: tuple[Box, list[Item], tuple[Box, ...]], least: int, merge: bool, first: str
) -> None:
    whole, placed, flaws = case
    part = Cutter(flaws, least, merge).cut_up(whole, placed, first)
    leaves = list(part.leaves())
    assert sum(leaf.box.area for leaf in leaves) == whole.area
    assert sorted((leaf.box, leaf.tag) for leaf in leaves if leaf.what == "patch") == sorted(placed)
    for leaf in leaves:
        if leaf.what == "offcut":
            assert min(leaf.box.width, leaf.box.length) >= max(least, 1)
            assert not any(
                f.x0 < leaf.box.x1 and leaf.box.x0 < f.x1 and f.y0 < leaf.box.y1 and leaf.box.y0 < f.y1 for f in flaws
            )
    assert [cut.number for cut in numbered(part)] == list(range(1, len(leaves)))


@settings(max_examples=100, deadline=None)
@given(cut_apart(), st.booleans(), st.sampled_from([ACROSS, ALONG]))
def test_closing_up_keeps_every_box_and_takes_no_more_room(
    case: tuple[Box, list[Item], tuple[Box, ...]], fullest_first: bool, first: str
) -> None:
    whole, placed, _ = case
    if not placed:
        return
    moved = tidied(placed, first, fullest_first=fullest_first)
    assert sorted((box.width, box.length, tag) for box, tag in moved) == sorted(
        (box.width, box.length, tag) for box, tag in placed
    )
    assert max(box.x1 for box, _ in moved) <= whole.width
    assert max(box.y1 for box, _ in moved) <= whole.length
    part: Part = Cutter((), 1, merge=True).cut_up(whole, moved, first)
    assert sum(leaf.what == "patch" for leaf in part.leaves()) == len(placed)
