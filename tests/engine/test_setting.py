"""Settings of blocks: counts, sizes, what they refuse, and the verb's answer."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.yardage.patches import Refusal
from quiltbook.yardage.setting import Setting, SettingError, work_out_setting
from quiltbook.yardage.settingjson import setting

few = st.integers(1, 9)


def test_the_verb_answers_for_blocks_on_point() -> None:
    answer: Any = setting({"unit": "in", "block": 12, "across": 4, "down": 5, "on_point": True, "round_up": "1/8 in"})
    assert [answer[key] for key in ("blocks", "side_triangles", "corner_triangles", "side_squares", "corner_squares")] == [
        32, 14, 4, 4, 2,
    ]  # fmt: skip
    assert answer["side_square"] == {"exact": 18.17767, "cut": 18.25}
    assert answer["finished"] == {"width": 67.882251, "length": 84.852814}
    assert (answer["sashes"], answer["cornerstones"]) == (0, 0)


def test_the_verb_answers_for_straight_sashing() -> None:
    asked = {
        "unit": "in",
        "block": 12,
        "across": 4,
        "down": 5,
        "sashing": {"width": 2, "outer": True},
        "cornerstones": True,
    }
    answer: Any = setting(asked)
    assert (answer["sashes"], answer["cornerstones"]) == (49, 30)
    assert answer["finished"] == {"width": 58, "length": 72}
    assert answer["side_square"] is None


def test_without_cornerstones_whole_strips_run_between_the_rows() -> None:
    result = work_out_setting(Setting(12 * IN, 4, 5, sashing=2 * IN), seam_allowance=IN // 4, round_up_to=IN // 8)
    uprights, level = result.patches
    assert (uprights.count, level.count) == (15, 4)
    assert level.cut.width == 54 * IN + IN // 2


def test_a_surplus_is_added_to_the_squares_of_setting_triangles() -> None:
    plain, more = (
        work_out_setting(Setting(12 * IN, 2, 2, on_point=True, surplus=surplus), seam_allowance=IN // 4, round_up_to=1)
        for surplus in (0, IN)
    )
    assert plain.side_square is not None
    assert more.side_square is not None
    assert more.side_square.exact - plain.side_square.exact == IN
    assert more.finished == plain.finished


@given(
    across=few, down=few, block=st.integers(1, 30), sash=st.integers(1, 6), outer=st.booleans(), stones=st.booleans()
)
def test_the_patches_of_a_straight_setting_fill_it(
    across: int, down: int, block: int, sash: int, outer: bool, stones: bool
) -> None:
    result = work_out_setting(
        Setting(block, across, down, sashing=sash, outer=outer, cornerstones=stones), seam_allowance=0, round_up_to=1
    )
    filled = result.blocks * block**2 + sum(p.count * p.finished.width * p.finished.length for p in result.patches)
    assert filled == result.finished.width * result.finished.length


@given(across=few, down=few, block=st.integers(1, 30), sash=st.integers(0, 6))
def test_the_patches_on_point_fill_the_top(across: int, down: int, block: int, sash: int) -> None:
    framed = bool(sash)
    result = work_out_setting(
        Setting(block, across, down, on_point=True, sashing=sash, outer=framed, cornerstones=framed),
        seam_allowance=0,
        round_up_to=1,
    )
    filled = float(result.blocks * block**2)
    for patch in result.patches:
        whole = float(patch.finished.width) * float(patch.finished.length)
        filled += patch.count * whole / (2 if "triangle" in patch.shape else 1)
    assert filled == pytest.approx(float(result.finished.width) * float(result.finished.length))


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        (Setting(0, 1, 1), "block"),
        (Setting(1, 0, 1), "across"),
        (Setting(1, 1, 999), "across"),
        (Setting(1, 1, 1, cornerstones=True), "cornerstones"),
        (Setting(1, 1, 1, sashing=-1), "sashing.width"),
        (Setting(1, 2, 2, on_point=True, sashing=1), "sashing.outer"),
        (Setting(1, 2, 2, on_point=True, sashing=1, outer=True), "cornerstones"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_by_name(asked: Setting, field: str) -> None:
    with pytest.raises(SettingError) as refused:
        work_out_setting(asked, seam_allowance=0, round_up_to=1)
    assert refused.value.field == field


@pytest.mark.parametrize(
    "bad", [{}, {"block": -1}, {"block": 1, "across": "x"}, {"block": 1, "across": 1, "down": 1.5}]
)
def test_bad_input_to_the_verb_names_its_field(bad: dict[str, object]) -> None:
    with pytest.raises(Refusal) as refused:
        setting({"unit": "in", **bad})
    assert refused.value.field in ("block", "across", "down")
