"""Does the cloth reserved for fussy cuts surely hold their motifs, wherever the print begins, and is no more of it reserved than that takes?"""

from collections.abc import Callable
from dataclasses import replace

import pytest

from quiltbook.yardage.cloths import Cloth, Flaw, Repeat
from quiltbook.yardage.cutting import CuttingError, Layout, Placement, Reserved, check, lay_out
from quiltbook.yardage.fussy import Lattice
from tests.engine.cutting_jobs import IN, cloth, flaw, job, join, largest, opened, patch, repeat, sound, wrong


def _shown(layout: Layout) -> list[tuple[str, int, int, int]]:
    return [(one.patch, one.count, one.across, one.rows) for laid in layout.cloths for one in laid.reserved]


def _kelp(width: float, length: float, of: Repeat, *flaws: Flaw) -> Cloth:
    return cloth("kelp", width, length, repeat=of, flaws=flaws)


def test_the_answer_says_how_many_whole_repeats_are_used() -> None:
    """Repeats of 8 in, a patch of 4 1/2 in: 5 repeats across would need 44 1/2 in, so 4 across in 2 rows, 20 1/2 in deep."""
    layout = sound(job([_kelp(42, 36, repeat(8, 8))], [patch("rose", 4.5, 4.5, 8, per_repeat=1)]))
    assert _shown(layout) == [("rose", 8, 4, 2)]
    assert layout.used_area == 8 * 4.5 * 4.5 * IN**2
    assert largest(layout) == 42 * 15.5 * IN**2


@pytest.mark.parametrize(("width", "length"), [(4, 3), (10, 3), (4, 9)])
def test_repeats_and_one_patch_each_way_are_enough_and_a_hair_less_is_not(width: float, length: float) -> None:
    rose = patch("rose", width, length, per_repeat=1)
    of = repeat(5, 4)
    across, along = Lattice(rose, of).size(1, 1)
    assert (across, along) == ((5 + width) * IN, (4 + length) * IN)
    assert not sound(job([Cloth("kelp", "kelp", across, along, repeat=of)], [rose])).uncut
    for short in ((across - 1, along), (across, along - 1)):
        assert sound(job([Cloth("kelp", "kelp", *short, repeat=of)], [rose])).uncut


def test_several_motifs_to_the_repeat_come_from_fewer_repeats() -> None:
    layout = sound(job([_kelp(42, 36, repeat(12, 12))], [patch("rose", 4.5, 4.5, 8, per_repeat=4)]))
    [(_, count, across, rows)] = _shown(layout)
    assert (count, across * rows) == (8, 2)


def test_where_patches_would_cut_into_each_other_a_repeat_gives_one() -> None:
    """Four patches of 7 in do not go side by side on 12 in: their motifs lie too close."""
    layout = sound(job([_kelp(42, 50, repeat(12, 12))], [patch("rose", 7, 7, 4, per_repeat=4)]))
    [(_, count, across, rows)] = _shown(layout)
    assert (count, across * rows) == (4, 4)


def test_a_patch_larger_than_the_repeat_takes_every_second_one() -> None:
    layout = sound(job([_kelp(42, 80, repeat(6, 6))], [patch("wreath", 9, 9, 12, per_repeat=2)]))
    assert _shown(layout) == [("wreath", 12, 3, 4)]
    [one] = [one for laid in layout.cloths for one in laid.reserved]
    assert (one.width, one.length) == (39 * IN, 51 * IN)  # 2 x 12 + 6 + 9 and 3 x 12 + 6 + 9


def test_other_patches_are_cut_from_what_is_left() -> None:
    patches = [patch("rose", 4.5, 4.5, 8, per_repeat=1), patch("A", 2.5, 2.5, 40)]
    for method in ("close", "strips"):
        layout = sound(job([_kelp(42, 36, repeat(8, 8))], patches, method))
        assert not layout.uncut
        assert sum(len(laid.placements) for laid in layout.cloths) == 40


def test_small_pieces_are_finished_first() -> None:
    scraps = [cloth(f"scrap {n}", 18, 22, repeat=repeat(12, 12)) for n in range(3)]
    layout = sound(job([_kelp(42, 36, repeat(12, 12)), *scraps], [patch("rose", 4.5, 4.5, 8, per_repeat=4)]))
    assert opened(layout) == 2 * 18 * 22 * IN**2
    assert sorted(count for _, count, _, _ in _shown(layout)) == [4, 4]


def test_flaws_are_not_reserved_and_smaller_rectangles_go_round_them() -> None:
    rose = patch("rose", 4, 4, 4, per_repeat=1)
    whole = job([_kelp(20, 20, repeat(8, 8))], [rose])
    assert _shown(sound(whole)) == [("rose", 4, 2, 2)]
    torn = replace(whole, cloths=(_kelp(20, 40, repeat(8, 8), flaw(0, 15, 20, 1)),))
    layout = sound(torn)
    assert sum(count for _, count, _, _ in _shown(layout)) == 4
    holed = replace(whole, cloths=(_kelp(20, 20, repeat(8, 8), flaw(9, 13, 1, 1)),))
    assert sum(count for _, count, _, _ in _shown(sound(holed))) == 2


def test_petals_of_one_flower_show_motifs_of_one_fabric() -> None:
    cloths = [cloth(f"{name}", 48, 13, fabric=name, repeat=repeat(8, 8)) for name in ("kelp", "sand")]
    layout = sound(job(cloths, [patch("petal", 4, 4, 8, per_repeat=1, alike=4)]))
    assert not layout.uncut
    assert sorted((laid.id, sum(r.count for r in laid.reserved)) for laid in layout.cloths) == [
        ("kelp", 4),
        ("sand", 4),
    ]
    six = sound(job(cloths, [patch("petal", 4, 4, 12, per_repeat=1, alike=6)]))
    assert [(row.patch, row.count) for row in six.uncut] == [("petal", 12)]  # each fabric gives five


def test_prints_with_other_repeats_give_what_they_have() -> None:
    cloths = [_kelp(42, 80, repeat(6, 6)), cloth("sand", 42, 80, fabric="sand", repeat=repeat(10, 10))]
    layout = sound(job(cloths, [patch("wreath", 9, 9, 30, per_repeat=2)]))
    assert not layout.uncut
    assert len(layout.cloths) == 2


@pytest.mark.parametrize(
    "kelp",
    [
        cloth("kelp", 42, 36),
        cloth("kelp", 42, 36, repeat=repeat(43, 8)),
        cloth("kelp", 42, 36, repeat=repeat(8, 37)),
        cloth("kelp", 42, 36, repeat=repeat(8, 8), stripes="across"),
    ],
    ids=["no repeat", "a repeat wider than it", "a repeat longer than it", "stripes the other way"],
)
def test_cloth_gives_no_fussy_cuts_that_has(kelp: Cloth) -> None:
    rose = patch("rose", 4, 4, 3, per_repeat=1, stripes="along")
    layout = sound(job([kelp], [rose, patch("A", 3, 3, 2)]))
    assert [(row.patch, row.count) for row in layout.uncut] == [("rose", 3)]


def test_a_motif_is_never_turned() -> None:
    """The patch may turn where it is plain: 30 x 3 goes on cloth 12 wide. The print does not."""
    asked = job([cloth("kelp", 12, 60, repeat=repeat(8, 8))], [patch("bar", 30, 3, per_repeat=1)])
    assert sound(asked).uncut
    assert not sound(replace(asked, patches=(patch("bar", 30, 3),))).uncut


def test_it_cannot_be_joined() -> None:
    with pytest.raises(CuttingError) as refused:
        lay_out(job([_kelp(42, 36, repeat(8, 8))], [patch("A", 2, 90, per_repeat=1, join=join(0.5, 8))]))
    assert refused.value.field == "patches[0].join"


def test_the_handbook_counts_repeats() -> None:
    """4 repeats of 8 in across 42, so 3 strips of 8 for 9 roses, and 4 1/2 in for where the print begins."""
    book = lay_out(job([_kelp(42, 60, repeat(8, 8))], [patch("rose", 4.5, 4.5, 9, per_repeat=1)])).handbook
    assert book is not None
    [line] = book.lines
    assert (line.per_strip, line.strips, line.strip / IN, line.begin / IN, book.length / IN) == (4, 3, 8, 4.5, 28.5)
    plain = lay_out(job([cloth("kelp", 42, 60)], [patch("rose", 4.5, 4.5, 9, per_repeat=1)])).handbook
    assert plain is not None
    assert plain.too_wide == ("rose",)


# --- faults ------------------------------------------------------------------------------------------------------------

JOB = job(
    [_kelp(42, 36, repeat(8, 8), flaw(40, 34, 1, 1))],
    [patch("rose", 4.5, 4.5, 8, per_repeat=1), patch("A", 2.5, 2.5, 12)],
)
GOOD = lay_out(JOB)


def _spoilt(change: Callable[[Reserved], Reserved]) -> Layout:
    [laid] = GOOD.cloths
    return replace(GOOD, cloths=(replace(laid, reserved=tuple(change(one) for one in laid.reserved)),))


SPOILT: dict[str, Layout] = {
    "too many are to come from it": _spoilt(lambda one: replace(one, count=9)),
    "fewer are to come from it": _spoilt(lambda one: replace(one, count=7)),
    "more repeats are said to lie across": _spoilt(lambda one: replace(one, across=one.across + 1)),
    "more rows are said": _spoilt(lambda one: replace(one, rows=one.rows + 1)),
    "none are said": _spoilt(lambda one: replace(one, rows=0)),
    "it is moved off its cuts": _spoilt(lambda one: replace(one, y=one.y + 1)),
    "it lies over a flaw": _spoilt(lambda one: replace(one, x=10 * IN, y=18 * IN)),
    "it is for a plain patch": _spoilt(lambda one: replace(one, patch="A")),
    "it is for nothing": _spoilt(lambda one: replace(one, patch="stray")),
    "it is laid like a plain patch": replace(
        GOOD,
        cloths=tuple(
            replace(c, placements=(*c.placements, Placement("rose", None, 0, 0, 9 * IN // 2, 9 * IN // 2)), reserved=())
            for c in GOOD.cloths
        ),
    ),
    "the used area leaves it out": replace(
        GOOD, used_area=GOOD.used_area - 8 * 81 * IN**2 // 4, waste_area=GOOD.waste_area + 8 * 81 * IN**2 // 4
    ),
}


@pytest.mark.parametrize("spoilt", SPOILT.values(), ids=SPOILT.keys())
def test_a_fault_is_seen_by_the_check_and_by_the_verifier_when(spoilt: Layout) -> None:
    assert check(JOB, GOOD) == wrong(JOB, GOOD) == []
    assert check(JOB, spoilt)
    assert wrong(JOB, spoilt)


@pytest.mark.parametrize(
    "of", [None, repeat(8.5, 8), repeat(8, 9), repeat(4, 4)], ids=["none", "wider", "longer", "finer"]
)
def test_a_layout_for_another_repeat_is_not_sound(of: Repeat | None) -> None:
    asked = replace(JOB, cloths=(replace(JOB.cloths[0], repeat=of),))
    assert bool(check(asked, GOOD)) == bool(wrong(asked, GOOD)) == (of != repeat(4, 4))
