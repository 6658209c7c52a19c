"""What a length of cloth gives, what a wash takes of it, and the beds and packs it is bought for, against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import Size, round_up
from quiltbook.yardage import wadding
from quiltbook.yardage.beds import MATTRESSES_UK, MATTRESSES_US, quilt_for
from quiltbook.yardage.handbook import Sized, strip_arithmetic, yield_of
from quiltbook.yardage.shrinkage import Shrinkage, after_washing, before_washing, dimensional_change
from tests.published.values import NM, Entry, entries, entry

STRIPS_IN_A_YARD = entry("strips-yard-2p5")
STRIPS_OF_THE_HANDOUT = entry("strips-yard-handout")
CHANGE = entry("shrink-iso")
MAGAZINE = entry("shrink-magazine")
COTS = {"cot": entry("cp-cot-uk"), "cot bed": entry("cp-cotbed-uk")}


@pytest.mark.parametrize("entry", entries("yard-4", "fq-", "f8-"), ids=repr)
def test_a_piece_of_cloth_gives_as_many_squares_as_published(entry: Entry) -> None:
    metric = "cut_cm" in entry.inputs
    unit, end = ("cm", "_cm") if metric else ("in", "")
    width, length = ("usable_width", "length") if "usable_width" in entry.inputs else (f"w{end}", f"h{end}")
    side = entry.length(f"cut{end}", unit)
    cloth = Size(entry.length(width, unit), entry.length(length, unit))
    assert yield_of(cloth, Size(side, side)).patches == entry.expected


def test_a_yard_gives_as_many_strips_as_published() -> None:
    strip = STRIPS_IN_A_YARD.length("cut", "in")
    cloth = Size(42 * NM["in"], STRIPS_IN_A_YARD.length("length", "in"))
    assert yield_of(cloth, Size(cloth.width, strip)).strips == STRIPS_IN_A_YARD.expected


def test_a_yard_less_an_inch_to_straighten_it_gives_as_many_strips_as_the_handout() -> None:
    """The handout gives the length it allows itself; the inch is what that leaves off a yard."""
    off = NM["yd"] - STRIPS_OF_THE_HANDOUT.length("usable_length", "in")
    cloth = Size(42 * NM["in"], NM["yd"])
    found = [
        yield_of(cloth, Size(cloth.width, Fraction(cut) * NM["in"]), straightening=off).strips
        for cut in STRIPS_OF_THE_HANDOUT.inputs["cuts"]
    ]
    assert found == STRIPS_OF_THE_HANDOUT.expected


@pytest.mark.parametrize("entry", entries("patches-"), ids=repr)
def test_patches_take_as_much_cloth_as_published(entry: Entry) -> None:
    side, width = int(entry.length("cut")), int(entry.length("usable_width"))
    book = strip_arithmetic(width, [Sized("squares", side, side, entry.inputs["count"], turn=True)])
    (line,) = book.lines
    assert line.per_strip == entry.expected["per_width"]
    assert line.strips == entry.expected["widths" if "widths" in entry.expected else "strips"]
    assert entry.agrees(book.length, "length_in")
    if "metres" in entry.expected:
        assert entry.agrees(book.length, "yards", "yd")
        assert entry.agrees(book.length, "metres", "m")
    else:
        bought = round_up(book.length, int(entry.length("round_up_to_yd", "yd")))
        assert entry.agrees(bought, "yards_up_eighth", "yd")


# --- washing ---------------------------------------------------------------------------------------------------------


def test_the_dimensional_change_is_as_published() -> None:
    change = dimensional_change(CHANGE.inputs["before"], CHANGE.inputs["after"])
    assert CHANGE.near(change, CHANGE.expected)


def _lost(entry: Entry) -> Shrinkage:
    share = Fraction(entry.inputs["shrinkage_percent"], 100)
    return Shrinkage(share, share)


@pytest.mark.parametrize("entry", entries("shrink-pre-"), ids=repr)
def test_enough_is_left_of_the_published_length_after_the_wash(entry: Entry) -> None:
    needed = Size(entry.inputs["needed"], entry.inputs["needed"])
    bought = before_washing(needed, _lost(entry)).size
    assert entry.near(bought.length, entry.expected)
    assert entry.near(bought.width, entry.expected)
    assert after_washing(bought, _lost(entry)) == needed


def test_the_rule_a_magazine_prints_leaves_too_little() -> None:
    needed = MAGAZINE.inputs["needed"]
    assert before_washing(Size(needed, needed), _lost(MAGAZINE)).size.length > MAGAZINE.expected
    assert after_washing(Size(MAGAZINE.expected, MAGAZINE.expected), _lost(MAGAZINE)).length < needed


# --- beds and wadding ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("entry", entries("drop-"), ids=repr)
def test_the_quilt_for_a_bed_is_as_large_as_published(entry: Entry) -> None:
    mattress = Size(entry.length("mattress_w"), entry.length("mattress_l"))
    head = entry.length("head") if "head" in entry.inputs else 0
    size = quilt_for(mattress, drop=entry.length("drop"), head=head)
    assert entry.agrees(size.width, "w")
    assert entry.agrees(size.length, "l")


@pytest.mark.parametrize("entry", entries("uk-", "us-"), ids=repr)
def test_a_quilt_without_a_drop_is_as_large_as_the_published_mattress(entry: Entry) -> None:
    named = MATTRESSES_UK if entry.id.startswith("uk") else MATTRESSES_US
    size = quilt_for(named[entry.inputs["name"].replace("-", " ")], drop=0)
    assert entry.agrees(size.width, "w")
    assert entry.agrees(size.length, "l")


@pytest.mark.parametrize("name", COTS)
def test_a_quilt_without_a_drop_is_as_large_as_a_cot(name: str) -> None:
    published = COTS[name]
    size = quilt_for(MATTRESSES_UK[name], drop=0)
    assert [size.width, size.length] == [Fraction(side) * published.nm for side in published.expected]


@pytest.mark.parametrize("entry", entries("wad-pack-"), ids=repr)
def test_the_pack_chosen_for_its_least_size_is_the_published_one(entry: Entry) -> None:
    name = {"baby": "crib"}.get(entry.inputs["name"], entry.inputs["name"])
    least = Size(*(Fraction(entry.expected[side] - entry.tolerance) * entry.nm for side in ("w", "l")))
    best = wadding.to_buy(least, increment=NM["yd"] // 8).packs[0]
    assert (best.pack.name, best.packs) == (name, 1)
    assert entry.agrees(best.pack.size.width, "w")
    assert entry.agrees(best.pack.size.length, "l")
