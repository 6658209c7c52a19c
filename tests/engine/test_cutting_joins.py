"""Are strips that are longer than any cloth made of the fewest lengths, and do patches that belong together share a fabric?"""

from collections import Counter

import pytest

from quiltbook.yardage.cutting import Layout
from tests.engine.cutting_jobs import IN, cloth, job, join, opened, patch, sound


def lengths(layout: Layout, name: str = "border") -> dict[int | None, list[float]]:
    """The inches of each part, by which of the joined patches they belong to."""
    found: dict[int | None, list[tuple[int, float]]] = {}
    for laid in layout.cloths:
        for p in laid.placements:
            if p.patch == name and p.part:
                found.setdefault(p.whole, []).append((p.part, max(p.width, p.length) / IN))
    return {whole: [inches for _, inches in sorted(parts)] for whole, parts in found.items()}


def test_a_border_longer_than_the_cloth_is_made_of_two_lengths_and_each_join_is_allowed_for() -> None:
    layout = sound(job([cloth("kelp", 42, 36)], [patch("border", 58, 2.5, 2, turn=False, join=join(0.5, 8))]))
    assert layout.uncut == ()
    assert [len(parts) for parts in lengths(layout).values()] == [2, 2]
    assert {sum(parts) for parts in lengths(layout).values()} == {58.5}


def test_a_border_along_the_cloth_that_must_not_turn_takes_as_many_lengths_as_the_cloth_is_short() -> None:
    layout = sound(job([cloth("kelp", 42, 18)], [patch("border", 2.5, 58, 2, turn=False, join=join(0.5, 8))]))
    assert layout.uncut == ()
    assert [len(parts) for parts in lengths(layout).values()] == [4, 4]  # 3 x 18 - 2 x 1/2 = 53: too short


def test_a_border_that_two_lengths_only_miss_by_the_join_takes_three() -> None:
    asked = job([cloth("kelp", 42, 36)], [patch("border", 83.75, 2.5, 1, turn=False, join=join(0.5, 8))])
    layout = sound(asked)  # 2 x 42 - 1/2 = 83 1/2
    assert [len(parts) for parts in lengths(layout).values()] == [3]
    assert layout.handbook is not None
    assert [line.lengths for line in layout.handbook.lines] == [3]


def test_no_length_is_below_the_least() -> None:
    layout = sound(job([cloth("kelp", 42, 36)], [patch("border", 45, 2.5, 3, turn=False, join=join(0.5, 10))]))
    assert all(min(parts) >= 10 and sum(parts) == 45.5 for parts in lengths(layout).values())


def test_a_patch_that_some_cloth_takes_whole_is_not_joined() -> None:
    cloths = [cloth("short", 42, 36), cloth("long", 42, 60)]
    layout = sound(job(cloths, [patch("border", 2.5, 58, 4, join=join(0.5, 8))]))
    assert lengths(layout) == {}
    assert [laid.id for laid in layout.cloths] == ["long"]


def test_when_the_long_cloth_is_used_up_the_rest_is_joined_of_what_is_left() -> None:
    cloths = [cloth("narrow", 2.5, 58), cloth("short", 42, 10)]
    layout = sound(job(cloths, [patch("border", 2.5, 58, 3, join=join(0.5, 8))]))
    assert layout.uncut == ()
    assert sorted(len(parts) for parts in lengths(layout).values()) == [2, 2]


def test_without_leave_to_join_a_long_border_is_uncut() -> None:
    assert [row.count for row in sound(job([cloth("kelp", 42, 36)], [patch("border", 2.5, 58, 2)])).uncut] == [2]


@pytest.mark.parametrize("asked", [join(50, 8), join(0.5, 40)])
def test_joins_that_cannot_be_made_leave_the_border_uncut(asked: object) -> None:
    layout = sound(job([cloth("kelp", 42, 36)], [patch("border", 2.5, 58, 2, join=asked)]))
    assert [(row.patch, row.count) for row in layout.uncut] == [("border", 2)]
    assert layout.cloths == ()


def test_joined_lengths_do_not_cost_more_strips_than_full_lengths_and_rests_do() -> None:
    """Four borders of 58 in: four full strips and four rests of 16 1/2 in, two to a strip: six strips of 2 1/2 in."""
    layout = sound(job([cloth("kelp", 42, 15)], [patch("border", 2.5, 58, 4, join=join(0.5, 8))], "strips"))
    assert layout.uncut == ()


def test_the_lengths_of_one_border_come_from_one_fabric() -> None:
    cloths = [cloth("kelp", 42, 2.5, fabric="kelp"), cloth("sand", 42, 2.5, fabric="sand")]
    layout = sound(job(cloths, [patch("border", 2.5, 58, 1, join=join(0.5, 8))]))
    assert [row.count for row in layout.uncut] == [1]
    assert opened(layout) == 0


# --- alike -------------------------------------------------------------------------------------------------------------


def by_fabric(layout: Layout, name: str) -> Counter[str]:
    return Counter(laid.id.split()[0] for laid in layout.cloths for p in laid.placements if p.patch == name)


def test_petals_come_six_at_a_time_from_one_fabric() -> None:
    cloths = [
        cloth("kelp 1", 6, 4, fabric="kelp"),
        cloth("sand 1", 6, 4, fabric="sand"),
        cloth("rust 1", 6, 8, fabric="rust"),
    ]
    assert by_fabric(sound(job(cloths, [patch("petal", 2, 2, 24, alike=6)])), "petal") == {
        "kelp": 6,
        "sand": 6,
        "rust": 12,
    }
    odd = sound(job(cloths, [patch("petal", 2, 2, 20, alike=6)]))  # three sixes, and two that are alike as well
    assert sorted(n % 6 for n in by_fabric(odd, "petal").values()) in ([0, 0, 2], [0, 2])
    assert odd.uncut == ()


def test_petals_that_make_no_whole_six_are_not_cut() -> None:
    cloths = [cloth("kelp 1", 8, 4, fabric="kelp"), cloth("sand 1", 8, 4, fabric="sand")]  # eight each
    layout = sound(job(cloths, [patch("petal", 2, 2, 18, alike=6)]))
    assert by_fabric(layout, "petal") == {"kelp": 6, "sand": 6}
    assert [row.count for row in layout.uncut] == [6]


def test_what_the_sixes_leave_goes_to_patches_that_may_be_of_any_fabric() -> None:
    cloths = [cloth("kelp 1", 8, 4, fabric="kelp"), cloth("sand 1", 8, 4, fabric="sand")]
    layout = sound(job(cloths, [patch("petal", 2, 2, 12, alike=6), patch("square", 2, 2, 4)]))
    assert layout.uncut == ()


def test_one_fabric_in_two_pieces_is_one_fabric() -> None:
    cloths = [cloth("kelp 1", 6, 2), cloth("kelp 2", 6, 2)]
    layout = sound(job(cloths, [patch("petal", 2, 2, 6, alike=6)]))
    assert layout.uncut == ()
