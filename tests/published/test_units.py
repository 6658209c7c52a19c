"""Units, rounding and usual allowances against the published figures."""

from fractions import Fraction

import pytest

from quiltbook.measures import NM_PER_INCH, System, read_length, round_up
from quiltbook.yardage.verbs import VERBS
from tests.published.values import NM, Entry, entries, entry

SEAM = entry("cp-seam")
SEAM_METRIC = entry("cp-seam-metric")
BACKING_SEAM = entry("cp-backing-seam")
USABLE = entry("cp-usable")
COUNTER = entry("cp-counter-us")
COUNTER_METRIC = entry("cp-counter-m")


@pytest.mark.parametrize("entry", entries("unit-"), ids=repr)
def test_a_length_reads_as_the_published_one(entry: Entry) -> None:
    typed = " ".join(word for word in entry.inputs["rule"].split() if word not in ("wide", "fabric"))
    assert entry.agrees(read_length(typed, system=System.INCHES))


@pytest.mark.parametrize("entry", entries("round-"), ids=repr)
def test_a_length_rounds_up_to_the_counter_as_published(entry: Entry) -> None:
    step = int(entry.length("step"))
    assert entry.agrees(round_up(float(entry.length("length")), step))


def _default_seam(unit: str) -> Fraction:
    answer = VERBS["shape"]({"unit": unit, "shape": "square", "size": {"side": 1}})
    cut = answer["cut"]
    assert isinstance(cut, dict)
    return (Fraction(str(cut["width"])) - 1) / 2


def test_the_usual_seam_allowance_is_one_the_trade_uses() -> None:
    inches, metric = SEAM, SEAM_METRIC
    assert inches.near(_default_seam("in"), inches.expected)
    assert any(metric.near(_default_seam("cm"), choice) for choice in metric.expected)


def _default_backing(unit: str) -> dict[str, Fraction]:
    answer = VERBS["backing"]({"unit": unit, "top": {"width": 100, "length": 100}})
    options = answer["options"]
    assert isinstance(options, list)
    two = options[0]
    lost = next(step["lengths"]["lost at a seam"] for step in two["steps"])
    width = next(step["lengths"]["cloth width"] for step in two["steps"])
    return {"seam": Fraction(str(lost)) / 2, "width": Fraction(str(width)), "to_buy": Fraction(str(two["to_buy"]))}


def test_the_usual_backing_seam_and_usable_width_are_ones_the_trade_uses() -> None:
    seam, width = BACKING_SEAM, USABLE
    assert any(seam.near(_default_backing("in")["seam"], choice) for choice in seam.expected)
    assert any(width.near(_default_backing("in")["width"], choice) for choice in width.expected)


def test_the_usual_step_of_a_shop_is_one_the_trade_uses() -> None:
    inches, metric = COUNTER, COUNTER_METRIC
    assert _default_backing("in")["to_buy"] * NM_PER_INCH % (Fraction(inches.expected) * NM["yd"]) == 0
    assert any(
        _default_backing("cm")["to_buy"] * NM["cm"] % (Fraction(choice) * NM["m"]) == 0 for choice in metric.expected
    )
