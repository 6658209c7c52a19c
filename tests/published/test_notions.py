"""Thread, stitches, quilting lines and rosettes against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Size
from quiltbook.yardage.notions import USUAL_STITCHES, quilting_lines
from quiltbook.yardage.rosettes import rosette
from quiltbook.yardage.thread import (
    OVERSEWN,
    RATIOS,
    SPOOLS,
    Stitch,
    denier_of_tex,
    length_on_spool,
    needlefuls,
    tex_of_cotton_count,
    thread,
)
from tests.published.values import NM, Entry, entries, entry

IN = NM["in"]
SEAM = entry("thread-301-seam")
MEASURED = entry("thread-401-measured")
COTTON_COUNT = entry("thread-tex-ne")
DENIER = entry("thread-tex-denier")
SPOOL = entry("thread-spool-len")
SPOOLS_SOLD = entry("cp-spool")
NEEDLEFUL = entry("cp-needle-thread")
OF_A_TOP = entry("stitch-count-guild")
OF_A_QUILTING = entry("stitch-count-card")
PIECING = entry("cp-spi-piecing")
HAND_QUILTING = entry("cp-spi-handquilt")
PRINTED_ROSETTE = entry("rosette-read-19")


@pytest.mark.parametrize("entry", entries("thread-ratio-"), ids=repr)
def test_each_stitch_of_the_standard_takes_the_published_thread(entry: Entry) -> None:
    ratio = RATIOS[entry.inputs["stitch_type"]]
    assert entry.near(Fraction(thread(NM["m"], [ratio]).length) / NM["m"], entry.expected)


def _stitch(entry: Entry, kind: str) -> Stitch:
    return Stitch(
        kind,
        Fraction(IN, entry.inputs["stitches_per_in"]),
        entry.length("thickness_in", "in"),
        entry.length("bite_in", "in") if "bite_in" in entry.inputs else 0,
    )


@pytest.mark.parametrize(
    ("kind", "entry"),
    [
        (kind, found)
        for kind, prefixes in {
            "lockstitch": ("thread-301-das", "thread-301-quiltpiece"),
            "chainstitch": ("thread-101-das",),
            "running stitch": ("thread-run-",),
            "back stitch": ("thread-backstitch",),
            OVERSEWN: ("thread-whip",),
        }.items()
        for found in entries(*prefixes)
    ],
    ids=repr,
)
def test_a_stitch_takes_as_much_thread_as_published(kind: str, entry: Entry) -> None:
    assert entry.near(_stitch(entry, kind).ratio, entry.expected)


def test_a_seam_takes_as_much_thread_as_published() -> None:
    published = SEAM
    result = thread(published.length("seam_m", "m"), [published.inputs["ratio"]], waste=0)
    assert published.agrees(result.length)


def test_thread_measured_on_a_machine_is_as_published_with_its_waste() -> None:
    published = MEASURED
    factors = [Fraction(published.inputs[name]) for name in ("needle_factor", "looper_factor")]
    result = thread(published.length("seam_cm", "cm"), factors, waste=published.inputs["waste_percent"])
    assert published.agrees(result.length, "total")
    assert published.agrees(result.with_waste, "with_waste")


def test_thread_of_a_cotton_count_is_as_fine_as_published() -> None:
    assert COTTON_COUNT.near(tex_of_cotton_count(COTTON_COUNT.inputs["Ne"]), COTTON_COUNT.expected)
    assert DENIER.near(denier_of_tex(DENIER.inputs["tex"]), DENIER.expected)


def test_a_spool_holds_as_much_as_published() -> None:
    assert SPOOL.agrees(length_on_spool(SPOOL.inputs["mass_g"], SPOOL.inputs["tex"]))


def test_the_usual_spools_are_those_the_trade_sells() -> None:
    assert [Fraction(spool) / NM["m"] for spool in SPOOLS] == [Fraction(metres) for metres in SPOOLS_SOLD.expected]


def test_the_usual_needleful_is_the_trade_s() -> None:
    published = Fraction(NEEDLEFUL.expected) * NEEDLEFUL.nm
    assert (needlefuls(published), needlefuls(published + 1)) == (1, 2)


def test_the_stitches_in_a_top_are_as_many_as_published() -> None:
    stitch = Stitch("lockstitch", Fraction(IN, OF_A_TOP.inputs["stitches_per_in"]), 0)
    assert stitch.times(OF_A_TOP.length("seam_in", "in")) == OF_A_TOP.expected


def test_the_stitches_in_a_quilting_are_as_many_as_published() -> None:
    stitch = Stitch("running stitch", Fraction(IN, OF_A_QUILTING.inputs["stitches_per_in"]), 0)
    lengths = OF_A_QUILTING.inputs["thread_yd"]
    assert [stitch.times(yards * NM["yd"]) for yards in lengths] == OF_A_QUILTING.expected


@pytest.mark.parametrize(("what", "entry"), [("seams", PIECING), ("hand quilting", HAND_QUILTING)], ids=repr)
def test_the_usual_stitches_are_within_what_the_trade_sews(what: str, entry: Entry) -> None:
    fewest, most = entry.expected
    assert fewest <= USUAL_STITCHES[what].times(IN) <= most


@pytest.mark.parametrize("entry", entries("crosshatch-"), ids=repr)
def test_the_length_of_crossed_quilting_lines_is_as_published(entry: Entry) -> None:
    size = Size(entry.length("w"), entry.length("l"))
    assert entry.agrees(quilting_lines(size, apart=entry.length("spacing"), ways=2))


@pytest.mark.parametrize("entry", entries("rosette-2", "rosette-4"), ids=repr)
def test_a_rosette_of_several_rings_measures_as_published(entry: Entry) -> None:
    result = rosette(entry.inputs["rings"], entry.length("side"))
    assert result.pieces == entry.expected["pieces"]
    assert result.seams == entry.expected["seams"]
    assert result.free_sides == entry.expected["outer_edges"]
    assert entry.agrees(result.across_flats, "across_flats")
    assert entry.agrees(result.across_points, "across_points")


def test_the_hexagons_in_an_old_quilt_of_rosettes_are_as_many_as_printed() -> None:
    pieces = rosette(PRINTED_ROSETTE.inputs["rings"], IN).pieces
    assert pieces == PRINTED_ROSETTE.expected["per_flower"]
    assert pieces * PRINTED_ROSETTE.inputs["flowers"] == PRINTED_ROSETTE.expected["total"]
