"""Do stripes run along a patch or across it as asked, whichever way they are printed, and is that found where it takes trying?"""

from dataclasses import replace

import pytest

from quiltbook.yardage.cutting import Layout, check, lay_out
from tests.engine.brute import Striped, least_opened_of_striped
from tests.engine.cutting_jobs import IN, cloth, job, join, opened, patch, sound, wrong

BOTH = ("along", "across")


def _lying(layout: Layout) -> list[tuple[str, float, float]]:
    return [(laid.id, p.width / IN, p.length / IN) for laid in layout.cloths for p in laid.placements]


@pytest.mark.parametrize("method", ["close", "strips"])
@pytest.mark.parametrize("printed", BOTH)
@pytest.mark.parametrize("asked", BOTH)
def test_a_patch_lies_so_that_the_stripes_run_as_asked(printed: str, asked: str, method: str) -> None:
    layout = sound(job([cloth("ticking", 42, 42, stripes=printed)], [patch("bar", 3, 11, 4, stripes=asked)], method))
    as_it_is = ("ticking", 3, 11) if printed == asked else ("ticking", 11, 3)
    assert _lying(layout) == [as_it_is] * 4


def test_each_of_two_cloths_has_its_own_way() -> None:
    cloths = [cloth("upright", 4, 11, stripes="along"), cloth("level", 11, 4, stripes="across")]
    layout = sound(job(cloths, [patch("bar", 3, 11, 2, stripes="along")]))
    assert sorted(_lying(layout)) == [("level", 11, 3), ("upright", 3, 11)]


def test_cloth_on_which_the_patch_would_only_fit_the_wrong_way_is_not_used() -> None:
    short = cloth("short", 42, 10, stripes="along")
    asked = job([short], [patch("bar", 3, 11, 2, stripes="along")])
    assert sound(asked).uncut[0].count == 2
    assert not sound(replace(asked, cloths=(replace(short, stripes="across"),))).uncut


@pytest.mark.parametrize(("one_way", "turn"), [(True, True), (False, False)], ids=["the cloth", "the patch"])
def test_a_patch_that_would_have_to_turn_is_left_where_turning_is_forbidden_by(one_way: bool, turn: bool) -> None:
    right = cloth("right", 42, 42, stripes="along", one_way=one_way)
    wrong_way = replace(right, stripes="across")
    bars = [
        patch("bar", 3, 11, 2, stripes="along", turn=turn),
        patch("square", 3, 3, 2, stripes="along", turn=turn),
    ]
    assert not sound(job([right], bars)).uncut
    assert [(row.patch, row.count) for row in sound(job([wrong_way], bars)).uncut] == [("bar", 2), ("square", 2)]


def test_a_square_can_be_sewn_either_way_and_lies_anywhere() -> None:
    for printed in BOTH:
        assert not sound(job([cloth("ticking", 9, 6, stripes=printed)], [patch("A", 3, 3, 6, stripes="along")])).uncut


def test_on_cloth_without_stripes_the_wish_changes_nothing() -> None:
    cloths = [cloth("kelp", 42, 20), cloth("sand", 12, 9, one_way=True)]
    patches = [patch("bar", 3, 11, 9), patch("A", 2.5, 2.5, 20)]
    striped = [replace(one, stripes="across") for one in patches]
    assert lay_out(job(cloths, striped)) == lay_out(job(cloths, patches))


def test_patches_without_a_wish_turn_freely_on_striped_cloth() -> None:
    assert not sound(job([cloth("ticking", 11, 3, stripes="along")], [patch("bar", 3, 11)])).uncut


@pytest.mark.parametrize(("asked", "sizes"), [("along", {(3, 40), (3, 18.5)}), ("across", {(30, 3), (28.5, 3)})])
def test_the_lengths_of_a_joined_strip_all_have_the_stripes_one_way(
    asked: str, sizes: set[tuple[float, float]]
) -> None:
    """58 long with 1/2 in lost in the join: of lengths 40 along the cloth, or of 30 across it."""
    border = patch("border", 3, 58, join=join(0.5, 8), stripes=asked)
    layout = sound(job([cloth("ticking", 30, 40, stripes="along")], [border]))
    assert {(width, length) for _, width, length in _lying(layout)} == sizes


def test_the_handbook_has_the_stripes_right_too() -> None:
    """Along the cloth 14 bars go across a strip 11 deep; across it 3 go across a strip 3 deep."""
    ticking = cloth("ticking", 42, 42, stripes="along")
    for asked, per_strip, strip in (("along", 14, 11), ("across", 3, 3)):
        book = lay_out(job([ticking], [patch("bar", 3, 11, 4, stripes=asked)])).handbook
        assert book is not None
        assert (book.lines[0].per_strip, book.lines[0].strip) == (per_strip, strip * IN)
    never = lay_out(job([replace(ticking, one_way=True)], [patch("bar", 3, 11, 4, stripes="across")])).handbook
    assert never is not None
    assert never.too_wide == ("bar",)


def test_stripes_the_wrong_way_are_seen_by_the_check_and_by_the_verifier() -> None:
    free = job(
        [cloth("ticking", 42, 42)], [patch("bar", 3, 11, 4, turn=False), patch("border", 3, 60, join=join(0.5, 8))]
    )
    layout = lay_out(free)
    assert not layout.uncut
    striped = replace(free, cloths=(replace(free.cloths[0], stripes="along"),))
    for n in range(2):
        patches = [replace(one, stripes="along") for one in free.patches]
        upright = [p for c in layout.cloths for p in c.placements if p.patch == patches[n].id and p.length > p.width]
        patches[n] = replace(patches[n], stripes="across" if upright else "along", turn=True)
        asked = replace(striped, patches=tuple(one if k == n else free.patches[k] for k, one in enumerate(patches)))
        assert check(asked, layout)
        assert wrong(asked, layout)


_TINY: list[tuple[tuple[Striped, ...], tuple[Striped, ...]]] = [
    (((6, 5, "along"),), ((2, 5, "along"), (4, 2, "along"), (4, 3, None))),
    (((6, 5, "across"),), ((2, 5, "along"), (4, 2, "along"), (1, 1, None))),
    (((6, 6, "along"), (5, 4, "across")), ((2, 4, "along"), (2, 4, "across"), (3, 3, "along"))),
    (((4, 4, "along"), (6, 3, "across"), (5, 5, None)), ((1, 4, "along"), (1, 4, "across"), (2, 6, "along"), (2, 2, None))),
    (((7, 3, "across"), (3, 7, "along")), ((2, 7, "across"), (1, 7, "along"))),
    (((5, 5, "along"), (5, 5, "across")), ((2, 3, "along"), (2, 3, "along"), (2, 3, "across"), (2, 3, "across"))),
]  # fmt: skip


@pytest.mark.parametrize(("cloths", "patches"), _TINY)
def test_on_tiny_striped_jobs_it_opens_as_little_as_trying_everything_does(
    cloths: tuple[Striped, ...], patches: tuple[Striped, ...]
) -> None:
    layout = sound(
        job(
            [cloth(f"c{n}", w, h, stripes=run) for n, (w, h, run) in enumerate(cloths)],
            [patch(f"p{n}", w, h, stripes=run) for n, (w, h, run) in enumerate(patches)],
            least_offcut=IN,
        )
    )
    least = least_opened_of_striped(cloths, patches)
    assert (None if layout.uncut else opened(layout) // IN**2) == least


def test_trying_everything_minds_the_stripes() -> None:
    """The yardstick itself."""
    assert least_opened_of_striped(((2, 5, "along"),), ((2, 5, "along"),)) == 10
    assert least_opened_of_striped(((2, 5, "across"),), ((2, 5, "along"),)) is None
    assert least_opened_of_striped(((2, 5, "across"), (5, 2, "across")), ((2, 5, "along"),)) == 10
