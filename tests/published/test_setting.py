"""Settings of blocks, on point and with sashing, against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Length
from quiltbook.yardage.setting import Setting, SettingResult, work_out_setting
from tests.published.values import Entry, entries


def _on_point(entry: Entry, *, across: int = 4, down: int = 4, step: Length = 1) -> SettingResult:
    seam = entry.length("seam_allowance") if "seam_allowance" in entry.inputs else Fraction(entry.nm, 4)
    setting = Setting(entry.length("block_finished"), across, down, on_point=True)
    return work_out_setting(setting, seam_allowance=seam, round_up_to=int(step))


@pytest.mark.parametrize("entry", entries("setting-exact", "setting-cm"), ids=repr)
def test_the_exact_squares_of_setting_triangles_are_as_published(entry: Entry) -> None:
    result = _on_point(entry)
    assert result.side_square is not None
    assert result.corner_square is not None
    assert entry.agrees(result.side_square.exact, "side_square")
    assert entry.agrees(result.corner_square.exact, "corner_square")


@pytest.mark.parametrize("entry", entries("setting-up8", "setting-moonlight"), ids=repr)
def test_the_squares_of_setting_triangles_round_up_as_published(entry: Entry) -> None:
    result = _on_point(entry, step=Fraction(entry.nm, 8))
    assert result.side_square is not None
    assert result.corner_square is not None
    assert entry.agrees(result.side_square.cut, "side_square")
    assert entry.agrees(result.corner_square.cut, "corner_square")


@pytest.mark.parametrize("entry", entries("setting-pine"), ids=repr)
def test_a_corner_square_rounds_up_as_published(entry: Entry) -> None:
    corner = _on_point(entry, step=Fraction(entry.nm, 8)).corner_square
    assert corner is not None
    assert entry.agrees(corner.cut)


@pytest.mark.parametrize("entry", entries("setting-table"), ids=repr)
def test_the_published_table_gives_at_least_the_exact_squares_and_hardly_more(entry: Entry) -> None:
    result = _on_point(entry)
    assert result.side_square is not None
    assert result.corner_square is not None
    for square, key in ((result.side_square, "side_square"), (result.corner_square, "corner_square")):
        exact = Fraction(square.exact) / entry.nm
        assert exact <= entry.expected[key]
        assert entry.near(exact, entry.expected[key])


@pytest.mark.parametrize("entry", entries("setting-phoebe"), ids=repr)
def test_a_published_square_that_is_too_small_is_told_from_the_exact_one(entry: Entry) -> None:
    side = _on_point(entry).side_square
    assert side is not None
    assert entry.agrees(entry.length("published_side_square") - Fraction(side.exact))


@pytest.mark.parametrize("entry", entries("onpoint-count"), ids=repr)
def test_blocks_on_point_count_as_published(entry: Entry) -> None:
    setting = Setting(6, entry.inputs["across"], entry.inputs["down"], on_point=True)
    result, expected = work_out_setting(setting, seam_allowance=0, round_up_to=1), entry.expected
    assert result.blocks == expected["blocks"]
    assert result.side_triangles == expected["side_triangles"]
    assert result.corner_triangles == expected["corner_triangles"]
    assert result.side_squares == expected["side_squares_to_cut"]
    assert result.corner_squares == expected["corner_squares_to_cut"]


@pytest.mark.parametrize("entry", entries("onpoint-size"), ids=repr)
def test_blocks_on_point_finish_as_published(entry: Entry) -> None:
    result = _on_point(entry, across=entry.inputs["across"], down=entry.inputs["down"])
    assert entry.agrees(result.finished.width, "width")
    assert entry.agrees(result.finished.length, "length")


@pytest.mark.parametrize("entry", entries("onpoint-once", "onpoint-twice"), ids=repr)
def test_a_medallion_turned_on_point_grows_as_published(entry: Entry) -> None:
    side: Length = entry.length("block_finished")
    for _ in range(2 if "twice" in entry.id else 1):
        setting = Setting(side, 1, 1, on_point=True)
        side = work_out_setting(setting, seam_allowance=0, round_up_to=1).finished.width
    assert entry.agrees(side)


@pytest.mark.parametrize("entry", entries("diag-"), ids=repr)
def test_a_block_s_diagonal_is_as_published(entry: Entry) -> None:
    assert entry.agrees(_on_point(entry, across=1, down=1).finished.width)


@pytest.mark.parametrize("entry", entries("sash-outer", "sash-inner"), ids=repr)
def test_sashes_and_cornerstones_count_as_published(entry: Entry) -> None:
    inputs = entry.inputs
    setting = Setting(6, inputs["cols"], inputs["rows"], sashing=1, outer=inputs["outer"], cornerstones=True)
    result = work_out_setting(setting, seam_allowance=0, round_up_to=1)
    assert result.sashes == entry.expected["sashes"]
    assert result.cornerstones == entry.expected["cornerstones"]


@pytest.mark.parametrize("entry", entries("sash-size"), ids=repr)
def test_a_sashed_top_finishes_as_published(entry: Entry) -> None:
    inputs = entry.inputs
    setting = Setting(
        entry.length("block_finished"), inputs["cols"], inputs["rows"],
        sashing=entry.length("sash_finished"), outer=inputs["outer"],
    )  # fmt: skip
    finished = work_out_setting(setting, seam_allowance=0, round_up_to=1).finished
    assert entry.agrees(finished.width, "width")
    assert entry.agrees(finished.length, "length")
