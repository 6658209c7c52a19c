"""Does the command line's `buy` read its job and write its answer as documented, and say what is wrong in one line?"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from quiltbook.yardage.buyjson import to_buy
from quiltbook.yardage.jsonface import dump, load
from quiltbook.yardage.patches import Refusal
from tests.engine.verifier import faults

ROOT = Path(__file__).parents[2]
JOB: dict[str, Any] = {
    "unit": "in",
    "method": "strips",
    "effort": "quick",
    "width": 42,
    "increment": "1/8 yd",
    "straightening": "1/2 in",
    "shrinkage": {"width": 0, "length": 5},
    "patches": [
        {"id": "A", "width": "2 1/2 in", "length": 2.5, "count": 70},
        {"id": "B", "width": 2.5, "length": 58, "count": 2, "join": {"loss": "1/2 in", "least": 8}},
        {"id": "wide", "width": 50, "length": 50},
    ],
}


def answer(job: dict[str, Any]) -> dict[str, Any]:
    result: dict[str, Any] = json.loads(dump(to_buy(load(json.dumps(job)))))
    return result


def test_the_answer_has_every_key_of_the_design_and_a_layout_of_what_is_bought() -> None:
    found = answer(JOB)
    assert set(found) >= {"length", "to_buy", "handbook_length", "layout", "steps"}
    assert (found["length"], found["to_buy"], found["handbook_length"]) == (20, 22.5, 20)  # 20.5 / 0.95 = 21.6
    assert [step["what"] for step in found["steps"]] == [
        "handbook", "length found", "straightening", "before washing", "to buy"
    ]  # fmt: skip
    layout = found["layout"]
    assert (layout["unit"], layout["method"], layout["effort"]) == ("in", "strips", "quick")
    assert layout["uncut"] == [{"patch": "wide", "count": 1}]
    cloth = {"id": "bolt", "fabric": "bolt", "width": 42, "length": found["to_buy"], "washed": False}
    patches = json.loads(json.dumps(JOB["patches"]).replace('"2 1/2 in"', "2.5").replace('"1/2 in"', "0.5"))
    shares = {"width": 0, "length": 0.05}
    assert faults([cloth], patches, 2, layout, 3e-6, shrinkage=shares, straightening=0.5) == []


def test_metric_answers_are_in_the_unit_asked_for_and_exact() -> None:
    job = {
        "unit": "cm",
        "width": 107,
        "patches": [{"id": "A", "width": 6.5, "length": "65 mm", "count": 96}],
    }
    found = answer(job)
    assert (found["length"], found["to_buy"]) == (
        39,
        40,
    )  # 16 across, 6 strips; the shop cuts 10 cm unless told otherwise
    assert answer({**job, "increment": 0})["to_buy"] == 39


def test_the_print_of_the_cloth_is_read() -> None:
    job = {
        "unit": "in",
        "method": "strips",
        "width": 42,
        "one_way": True,
        "stripes": "along",
        "repeat": {"width": 8, "length": 8},
        "patches": [{"id": "sash", "width": 3, "length": 20}, {"id": "rose", "width": 4, "length": 4, "per_repeat": 1}],
    }
    found = answer(job)
    assert found["length"] == 20
    assert found["layout"]["cloths"][0]["reserved"][0]["patch"] == "rose"


_MISSING = object()


@pytest.mark.parametrize(
    ("key", "value", "field"),
    [
        ("unit", _MISSING, "unit"),
        ("width", _MISSING, "width"),
        ("width", 0, "width"),
        ("width", -42, "width"),
        ("width", "wide", "width"),
        ("width", 10**30, "width"),
        ("width", float("nan"), "width"),
        ("increment", -1, "increment"),
        ("increment", [], "increment"),
        ("method", "laser", "method"),
        ("effort", 3, "effort"),
        ("one_way", "yes", "one_way"),
        ("stripes", "zigzag", "stripes"),
        ("repeat", {"width": 8}, "repeat.length"),
        ("straightening", -1, "straightening"),
        ("shrinkage", {"length": 51}, "shrinkage.length"),
        ("shrinkage", 5, "shrinkage"),
        ("least_offcut", -1, "least_offcut"),
        ("patches", _MISSING, "patches"),
        ("patches", [], "patches"),
        ("patches", "all", "patches"),
        ("patches", [{"id": "A", "width": 1, "length": 1, "count": 0}], "patches"),
        ("patches", [{"id": "A", "width": 1, "length": 1, "count": 99_999}], "patches"),
        ("patches", [{"id": "A", "width": 1, "length": 0}], "patches[0].length"),
        ("patches", [{"id": "A", "width": 1}], "patches[0].length"),
    ],
)
def test_bad_input_names_the_field_and_says_what_is_wrong(key: str, value: Any, field: str) -> None:
    job = {**JOB, key: value}
    if value is _MISSING:
        del job[key]
    with pytest.raises(Refusal) as refused:
        to_buy(load(json.dumps(job)))
    assert refused.value.field == field
    assert refused.value.problem.endswith(".")


def test_a_process_answers_on_standard_output_or_with_one_line_and_2() -> None:
    def run(job: dict[str, Any]) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "quiltbook.yardage", "buy", "-"]
        return subprocess.run(
            command, input=json.dumps(job), cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
        )

    done = run(JOB)
    assert (done.returncode, done.stderr, json.loads(done.stdout)) == (0, "", answer(JOB))
    refused = run({**JOB, "patches": []})
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr == "patches: there must be at least one to cut.\n"
