"""Does the command line's `cut` read its job and write the layout as documented, in every unit, and the same every time?"""

import json
import subprocess
import sys
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from quiltbook.yardage.cloths import Flaw
from quiltbook.yardage.cutjson import cut, read_job
from quiltbook.yardage.jsonface import Reader, dump, load
from quiltbook.yardage.patches import Join, Refusal
from tests.engine.verifier import faults

ROOT = Path(__file__).parents[2]
JOB: dict[str, Any] = {
    "unit": "in",
    "method": "close",
    "effort": "quick",
    "least_offcut": 2,
    "cloths": [
        {
            "id": "kelp-1",
            "fabric": "kelp",
            "width": 42,
            "length": 18,
            "count": 1,
            "one_way": False,
            "flaws": [{"x": 3, "y": 2, "width": 1, "length": 1}],
        },
        {"id": "scrap", "fabric": "sand", "width": "18 in", "length": "22 in", "count": 2},
    ],
    "patches": [
        {"id": "A", "width": "2 1/2 in", "length": 2.5, "count": 70, "turn": True},
        {"id": "B", "width": 2.5, "length": 58, "count": 2, "turn": False, "join": {"loss": "1/2 in", "least": 8}},
        {"id": "petal", "width": 3, "length": 1.75, "count": 12, "alike": 6},
        {"id": "wide", "width": 50, "length": 50, "count": 1},
    ],
}
EIGHTHS = 8 * 10**6


def answer(job: dict[str, Any]) -> dict[str, Any]:
    result: dict[str, Any] = json.loads(dump(cut(load(json.dumps(job)))))
    return result


@cache
def found_for_job() -> dict[str, Any]:
    return answer(JOB)


def in_numbers(job: dict[str, Any]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """The job's cloths and patches with bare numbers of its unit."""
    text = json.dumps(job)
    for said, number in (('"2 1/2 in"', "2.5"), ('"1/2 in"', "0.5"), ('"18 in"', "18"), ('"22 in"', "22")):
        text = text.replace(said, number)
    bare = json.loads(text)
    return bare["cloths"], bare["patches"]


def test_the_answer_can_be_cut_and_has_every_key_of_the_design() -> None:
    found = found_for_job()
    cloths, patches = in_numbers(JOB)
    assert faults(cloths, patches, 2, found, slack=3e-6) == []
    assert set(found) >= {
        "unit", "method", "effort", "stood_in", "cloths", "uncut", "used_area", "offcut_area", "waste_area", "handbook"
    }  # fmt: skip
    assert (found["unit"], found["method"], found["effort"], found["stood_in"]) == ("in", "close", "quick", False)
    assert found["uncut"] == [{"patch": "wide", "count": 1}]
    laid = found["cloths"][0]
    assert set(laid) >= {"id", "copy", "placements", "cuts", "offcuts"}
    assert set(laid["placements"][0]) >= {"patch", "part", "x", "y", "width", "length"}
    assert set(laid["cuts"][0]) >= {"number", "direction", "at", "start", "end", "depth", "kind", "strip", "setting"}


def test_the_parts_of_a_joined_patch_are_numbered_and_whole_ones_have_none() -> None:
    placements = [p for laid in found_for_job()["cloths"] for p in laid["placements"]]
    assert {p["part"] for p in placements if p["patch"] == "A"} == {None}
    assert sorted(p["part"] for p in placements if p["patch"] == "B" and p["whole"] == 1) == [
        1,
        2,
        3,
    ]  # 2 x 22 - 1/2 is too short for 58


def test_the_handbook_stands_beside_it_in_the_same_unit() -> None:
    book = found_for_job()["handbook"]
    assert book["width"] == 42
    assert book["sizes"][0] == {
        "patch": "A", "needed": 70, "strip": 2.5, "across": 2.5, "per_strip": 16, "strips": 5, "lengths": 1,
        "begin": 0, "length": 12.5,
    }  # fmt: skip
    assert book["too_wide"] == ["wide"]


@pytest.mark.parametrize("method", ["close", "strips"])
def test_metric_answers_are_in_the_unit_asked_for_and_exact(method: str) -> None:
    job: dict[str, Any] = {
        "unit": "cm",
        "method": method,
        "cloths": [{"id": "k", "width": 107, "length": 50}],
        "patches": [{"id": "A", "width": 6.5, "length": "65 mm", "count": 96}],
    }
    found = answer(job)
    cloths, patches = [{**job["cloths"][0], "fabric": ""}], [{**job["patches"][0], "length": 6.5}]
    assert faults(cloths, patches, 5, found, slack=3e-6) == []
    assert found["used_area"] == 96 * Fraction("42.25")
    [laid] = found["cloths"]
    assert max(p["y"] + p["length"] for p in laid["placements"]) == 39  # 16 across, 6 strips


def test_copies_of_a_cloth_are_counted_from_one_and_uncut_ones_are_not_listed() -> None:
    job = {
        "unit": "in",
        "cloths": [{"id": "square", "width": 10, "length": 10, "count": 9}],
        "patches": [{"id": "A", "width": 10, "length": 5, "count": 6}],
    }
    assert [(laid["id"], laid["copy"]) for laid in answer(job)["cloths"]] == [
        ("square", 1),
        ("square", 2),
        ("square", 3),
    ]


def test_what_is_not_a_whole_nanometre_is_never_rounded_towards_too_little() -> None:
    """A third of an inch is 8,466,666.67 nm: cloth goes down, patches, flaws and what a join takes go up."""
    third = "1/3 in"
    asked = {
        "unit": "in",
        "cloths": [{"id": "k", "width": third, "length": third, "flaws": [{"x": third, "y": third, "width": third, "length": third}]}],
        "patches": [{"id": "A", "width": third, "length": third, "join": {"loss": third, "least": third}}],
    }  # fmt: skip
    job = read_job(Reader.of(load(json.dumps(asked))))
    down, up = 8_466_666, 8_466_667
    [cloth], [patch] = job.cloths, job.patches
    assert (cloth.width, cloth.length) == (down, down)
    far = 16_933_334  # two thirds are 16,933,333.33 nm
    assert cloth.flaws == (Flaw(down, down, far - down, far - down),)
    assert (patch.width, patch.length, patch.join) == (up, up, Join(up, up))


def test_an_empty_job_is_no_error() -> None:
    found = answer({"unit": "in", "cloths": [], "patches": []})
    assert (found["cloths"], found["uncut"], found["handbook"]) == ([], [], None)
    assert found["used_area"] == found["offcut_area"] == found["waste_area"] == 0
    no_cloth = answer({"unit": "in", "cloths": [], "patches": [{"id": "A", "width": 1, "length": 1, "count": 3}]})
    assert no_cloth["uncut"] == [{"patch": "A", "count": 3}]
    no_patch = answer({"unit": "in", "cloths": [{"id": "k", "width": 1, "length": 1}], "patches": []})
    assert (no_patch["cloths"], no_patch["uncut"]) == ([], [])


def _said(tmp_path: Path, seed: str, *, cwd: Path) -> str:
    file = tmp_path / "job.json"
    file.write_text(json.dumps(JOB))
    done = subprocess.run(
        [sys.executable, "-m", "quiltbook.yardage", "cut", str(file)],
        cwd=cwd,
        env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert done.stderr == ""
    return done.stdout


def test_the_same_job_gives_the_same_answer_whatever_the_hash_seed_and_the_folder(tmp_path: Path) -> None:
    assert _said(tmp_path, "1", cwd=ROOT) == _said(tmp_path, "4242", cwd=tmp_path) == dump(found_for_job()) + "\n"


# --- bad input ---------------------------------------------------------------------------------------------------------


def _spoilt(path: str, value: Any) -> dict[str, Any]:
    job: Any = json.loads(json.dumps(JOB))
    *way, last = [int(key) if key.isdigit() else key for key in path.split(".")]
    thing = job
    for key in way:
        thing = thing[key]
    if value is _MISSING:
        del thing[last]
    else:
        thing[last] = value
    return job  # type: ignore[no-any-return]


_MISSING = object()
BAD = [
    ("unit", "furlong", "unit"),
    ("method", "laser", "method"),
    ("effort", "heroic", "effort"),
    ("least_offcut", -1, "least_offcut"),
    ("cloths", _MISSING, "cloths"),
    ("cloths", "kelp", "cloths"),
    ("cloths.0", 7, "cloths[0]"),
    ("cloths.0.id", _MISSING, "cloths[0].id"),
    ("cloths.0.id", "", "cloths[0].id"),
    ("cloths.1.id", "kelp-1", "cloths[1].id"),
    ("cloths.0.width", 0, "cloths[0].width"),
    ("cloths.0.width", -42, "cloths[0].width"),
    ("cloths.0.width", "wide", "cloths[0].width"),
    ("cloths.0.width", 10**30, "cloths[0].width"),
    ("cloths.0.length", None, "cloths[0].length"),
    ("cloths.0.length", True, "cloths[0].length"),
    ("cloths.0.count", -1, "cloths[0].count"),
    ("cloths.0.count", 1.5, "cloths[0].count"),
    ("cloths.0.count", 10**12, "cloths[0].count"),
    ("cloths.0.one_way", "yes", "cloths[0].one_way"),
    ("cloths.0.flaws.0.width", 0, "cloths[0].flaws[0].width"),
    ("cloths.0.flaws.0.width", -1, "cloths[0].flaws[0].width"),
    ("cloths.0.flaws.0.x", -1, "cloths[0].flaws[0].x"),
    ("cloths.0.stripes", "diagonal", "cloths[0].stripes"),
    ("cloths.0.stripes", 1, "cloths[0].stripes"),
    ("cloths.0.repeat", 8, "cloths[0].repeat"),
    ("cloths.0.repeat", {"width": 8}, "cloths[0].repeat.length"),
    ("cloths.0.repeat", {"width": -8, "length": 8}, "cloths[0].repeat.width"),
    ("cloths.0.repeat", {"width": 8, "length": 0}, "cloths[0].repeat.length"),
    ("cloths.0.repeat", {"width": 8, "length": float("nan")}, "cloths[0].repeat.length"),
    ("cloths.0.repeat", {"width": "wide", "length": 8}, "cloths[0].repeat.width"),
    ("cloths.0.washed", "no", "cloths[0].washed"),
    ("cloths.0.raw_ends", 3, "cloths[0].raw_ends"),
    ("cloths.0.raw_ends", -1, "cloths[0].raw_ends"),
    ("cloths.0.raw_ends", True, "cloths[0].raw_ends"),
    ("shrinkage", 3, "shrinkage"),
    ("shrinkage", {"width": 3, "length": 51}, "shrinkage.length"),
    ("shrinkage", {"width": "3 %"}, "shrinkage.width"),
    ("shrinkage", {"width": float("nan")}, "shrinkage.width"),
    ("straightening", -1, "straightening"),
    ("straightening", float("nan"), "straightening"),
    ("straightening", "a bit", "straightening"),
    ("patches.0.stripes", "up", "patches[0].stripes"),
    ("patches.0.per_repeat", 0, "patches[0].per_repeat"),
    ("patches.0.per_repeat", -2, "patches[0].per_repeat"),
    ("patches.0.per_repeat", 1.5, "patches[0].per_repeat"),
    ("patches.0.per_repeat", "two", "patches[0].per_repeat"),
    ("patches.0.per_repeat", float("nan"), "patches[0].per_repeat"),
    ("patches.1.per_repeat", 1, "patches[1].join"),
    ("cloths.0.flaws", [{"x": 1, "y": 1, "width": 1, "length": 1}] * 201, "cloths[0].flaws"),
    ("patches", _MISSING, "patches"),
    ("patches.0.width", "3 kg", "patches[0].width"),
    ("patches.0.length", 0, "patches[0].length"),
    ("patches.0.count", -3, "patches[0].count"),
    ("patches.0.count", "many", "patches[0].count"),
    ("patches.0.count", 99_999, "patches"),
    ("patches.0.alike", 0, "patches[0].alike"),
    ("patches.0.turn", 1, "patches[0].turn"),
    ("patches.1.id", "A", "patches[1].id"),
    ("patches.1.join", "yes", "patches[1].join"),
    ("patches.1.join", {"loss": -1, "least": 8}, "patches[1].join.loss"),
    ("patches.1.join", {"loss": 1}, "patches[1].join.least"),
]


@pytest.mark.parametrize(("path", "value", "field"), BAD)
def test_bad_input_names_the_field_and_says_what_is_wrong(path: str, value: Any, field: str) -> None:
    with pytest.raises(Refusal) as refused:
        cut(load(json.dumps(_spoilt(path, value))))
    assert refused.value.field == field
    assert refused.value.problem.endswith(".")


def test_not_a_number_is_refused() -> None:
    with pytest.raises(Refusal):
        cut(load(json.dumps(_spoilt("cloths.0.width", float("nan")))))


def test_prints_shrinkage_and_raw_ends_are_read_and_shown_in_the_unit_asked_for() -> None:
    asked: dict[str, Any] = {
        "unit": "cm",
        "method": "close",
        "shrinkage": {"width": 2, "length": 5},
        "straightening": 2,
        "cloths": [
            {"id": "raw", "width": 100, "length": 100, "washed": False, "raw_ends": 2, "repeat": {"width": 20, "length": 20},
             "one_way": True, "stripes": "across"},
            {"id": "stripe", "width": 30, "length": 22, "stripes": "across"},
        ],
        "patches": [
            {"id": "rose", "width": 10, "length": 10, "count": 12, "per_repeat": 1},
            {"id": "bar", "width": 5, "length": 28, "count": 4, "stripes": "along"},
        ],
    }  # fmt: skip
    found = answer(asked)
    cloths = [{"fabric": "", **cloth} for cloth in asked["cloths"]]
    shares = {"width": 0.02, "length": 0.05}
    assert faults(cloths, asked["patches"], 5, found, slack=3e-6, shrinkage=shares, straightening=2) == []
    laid = {cloth["id"]: cloth for cloth in found["cloths"]}
    assert laid["raw"]["usable"] == {"x": 0, "y": 2, "width": 98, "length": 91}
    [rose] = laid["raw"]["reserved"]
    assert (rose["patch"], rose["count"], rose["across"], rose["rows"]) == ("rose", 12, 3, 4)
    assert {(p["width"], p["length"]) for p in laid["stripe"]["placements"]} == {(28, 5)}
    assert laid["stripe"]["cuts"][0]["kind"] == "straighten"


# --- jobs that could hurt the solver -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "job",
    [
        {"cloths": [{"id": "k", "width": 42, "length": 36_000}], "patches": [{"id": "A", "width": 1, "length": 1, "count": 5}]},
        {"cloths": [{"id": "k", "width": "999 m", "length": "999 m"}], "patches": [{"id": "A", "width": "998 m", "length": "1 mm"}]},
        {"cloths": [{"id": "k", "width": 42, "length": 1, "count": 100_000}], "patches": [{"id": "A", "width": 42, "length": 1, "count": 3}]},
        {"cloths": [{"id": "k", "width": "0.001 mm", "length": "0.001 mm"}], "patches": [{"id": "A", "width": "0.001 mm", "length": "0.001 mm"}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7, "flaws": [{"x": 0, "y": 0, "width": 7, "length": 7}]}], "patches": [{"id": "A", "width": 1, "length": 1}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7, "count": 0}], "patches": [{"id": "A", "width": 1, "length": 1, "count": 0}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7}], "patches": [{"id": "A", "width": 8, "length": 1, "count": 900}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7, "repeat": {"width": 8, "length": 1}}], "patches": [{"id": "A", "width": 1, "length": 1, "count": 900, "per_repeat": 1}]},
        {"cloths": [{"id": "k", "width": 42, "length": 36, "repeat": {"width": "0.001 mm", "length": "0.001 mm"}}], "patches": [{"id": "A", "width": 1, "length": 1, "count": 20_000, "per_repeat": 100_000}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7}], "patches": [{"id": "A", "width": 1, "length": 1, "per_repeat": 1}]},
        {"cloths": [{"id": "k", "width": 7, "length": 7, "raw_ends": 2}], "straightening": "999 m", "patches": [{"id": "A", "width": 1, "length": 1}]},
        {"cloths": [{"id": "k", "width": 1.0000001, "length": 3.3333333}], "patches": [{"id": "A", "width": 0.3333333, "length": 1.1111111, "count": 9}]},
    ],
)  # fmt: skip
def test_no_extreme_job_crashes_it_or_brings_in_the_stand_in(job: dict[str, Any]) -> None:
    found = answer({"unit": "in", **job})
    assert not found["stood_in"]
    asked = job["patches"][0].get("count", 1)
    cut_out = sum(len(laid["placements"]) + sum(r["count"] for r in laid["reserved"]) for laid in found["cloths"])
    assert cut_out + sum(row["count"] for row in found["uncut"]) == asked
