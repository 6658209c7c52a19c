"""Does the command line answer one JSON object, or exit 2 with one line that names the field, whatever it is given?"""

import json
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.yardage import verbs
from quiltbook.yardage.__main__ import main
from quiltbook.yardage.jsonface import dump, load
from quiltbook.yardage.patches import Refusal

ROOT = Path(__file__).parents[2]
SIZE = {"width": 60, "length": 80}
BLOCK = {
    "name": "mine",
    "grid": [2, 3],
    "cells": [
        {"kind": "goose", "x": 0, "y": 0, "width": 2, "towards": "up", "roles": ["goose", "sky"]},
        {"kind": "half square", "x": 0, "y": 1, "towards": "top left", "roles": ["a", "b"]},
        {"kind": "quarter square", "x": 1, "y": 1, "roles": ["a", "b", "a", "b"]},
        {"x": 0, "y": 2, "roles": ["a"]},
        {"kind": "polygon", "points": [[1, 2], [2, 2], [2, 3], [1, 3]], "roles": ["b"]},
    ],
}
PIECED = {"designs": ["flying geese", BLOCK], "unit": 4, "coping": "each way", "corner": "pinwheel"}
# tops of other kinds than the example's, to be spoilt likewise
TOPS: dict[str, dict[str, Any]] = {
    "blocks": {
        "unit": "in",
        "centre": {
            "kind": "blocks",
            "block": 9,
            "across": 2,
            "down": 3,
            "on_point": False,
            "sashing": {"width": 1, "outer": True},
            "cornerstones": True,
            "designs": ["pinwheel", {"design": "nine patch", "roles": {"dark": "blades"}}, BLOCK],
        },
        "rounds": [{"width": 3, "pieced": PIECED}, {"width": 8, "motifs": {"name": "rosette", "corners": True}}],
        "motifs": {"rosette": {"side": 1, "petal_rise": 1}},
        "target": {"width": 50, "length": 60},
    },
    "field": {
        "unit": "in",
        "centre": {"kind": "hexagon field", "side": 1, "rows": 6, "columns": 7, "edge": "applied", "background": SIZE},
        "rounds": [{"width": 2, "measured": {"width": 65, "length": 84}}, {"width": 3, "corners": "mitred"}],
        "target": {"width": 80, "length": 90},
    },
    "sewn": {
        "unit": "cm",
        "centre": {"kind": "top", "top": {"unit": "in", "centre": {"kind": "whole cloth", "width": 50, "length": 60}}},
        "rounds": [{"width": 10}],
    },
}
GOOD: dict[str, dict[str, Any]] = {
    "top": {
        "unit": "in",
        "seam_allowance": "1/4 in",
        "round_up": "1/8 in",
        "cloth_width": 42,
        "centre": {
            "kind": "panel",
            "width": 24,
            "length": 18,
            "printed": {"width": 26, "length": 20},
            "printed_seam": 0.5,
        },
        "rounds": [
            {"width": 2, "corners": "butted", "first": "ends", "measured": {"width": 28, "length": 22}},
            {
                "width": 7,
                "corners": "cornerstones",
                "motifs": {"name": "rosette", "left": 3, "top": 4, "applied": "after"},
            },
            {
                "width": 7,
                "corners": "mitred",
                "cut_long": 1,
                "motifs": {"name": "rosette", "top": 5, "rule": "aligned"},
            },
        ],
        "motifs": {"rosette": {"kind": "hexagon flower", "side": 1, "petal_rise": 1, "seam_allowance": "3/8 in"}},
        "mitre_extra": 4,
        "join": "diagonal",
    },
    "shape": {
        "unit": "cm",
        "shape": "hexagon petal",
        "size": {"side": 2, "rise": 2},
        "seam_allowance": "1 cm",
        "round_up": 0.1,
    },
    "setting": {
        "unit": "in",
        "block": 12,
        "across": 4,
        "down": 5,
        "on_point": True,
        "sashing": {"width": 2, "outer": True},
        "cornerstones": True,
        "surplus": "1/2 in",
    },
    "spacing": {
        "unit": "mm",
        "length": 1500,
        "motif": 100,
        "rule": "aligned",
        "align_to": [100, 300, 500],
        "align_shift": -20,
    },
    "backing": {
        "unit": "in",
        "top": SIZE,
        "overage": 4,
        "cloth_width": 42,
        "seam_allowance": 0.5,
        "increment": "1/8 yd",
    },
    "binding": {"unit": "in", "top": SIZE, "extra": 10, "strip_width": 2.5, "cloth_width": 42, "join": "bias square"},
    "wadding": {
        "unit": "cm",
        "top": SIZE,
        "overage": 8,
        "packs": [{"name": "mine", "width": 90, "length": 120}],
        "roll_width": "2.4 m",
        "increment": "10 cm",
    },
    "notions": {
        "unit": "in",
        "sewing": {"paper seams": "10 yd", "hand quilting": 600},
        "stitches": {"hand quilting": {"kind": "running stitch", "length": 0.125, "thickness": 0.06, "bite": 0}},
        "waste": 12.5,
        "spool": "200 m",
        "papers": [{"shape": "hexagon", "width": 1.732051, "length": 2, "count": 210}],
        "pack": 50,
        "uses": 2,
    },
    "bed": {"unit": "cm", "mattress": {"width": 135, "length": 190}, "drop": 30, "head": 25},
    "buy": {
        "unit": "in",
        "width": 42,
        "increment": "1/8 yd",
        "patches": [{"id": "a", "width": 3, "length": 5, "count": 4}],
    },
    "nest": {"unit": "in", "width": 18, "length": 21, "shapes": [{"id": "p", "shape": "hexagon", "size": {"side": 1}}]},
    "washing": {"unit": "cm", "needed": SIZE, "shrinkage": {"width": 2, "length": 4.5}},
}


def run(verb: str, text: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "quiltbook.yardage", verb, "-"]
    return subprocess.run(command, input=text, capture_output=True, text=True, cwd=ROOT, timeout=60, check=False)


def test_a_good_input_answers_one_json_object_and_nothing_else() -> None:
    done = run("top", json.dumps(GOOD["top"]))
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["finished"] == {"width": 56, "length": 50}


def test_a_bad_input_exits_2_with_one_line_that_names_the_field() -> None:
    done = run("top", json.dumps(GOOD["top"] | {"rounds": [{"width": "3 kg\nor so"}]}))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("rounds[0].width: ")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("verb", GOOD)
def test_a_file_is_read_and_every_verb_answers(verb: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "input.json"
    file.write_text(json.dumps(GOOD[verb]), encoding="utf-8")
    assert main([verb, str(file)]) == 0
    printed = capsys.readouterr()
    assert json.loads(printed.out)["unit"] == GOOD[verb]["unit"]
    assert printed.err == ""


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        ([], "arguments"),
        (["top"], "arguments"),
        (["top", "a", "b"], "arguments"),
        (["knit", "-"], "verb"),
        (["top", "/no/such/file"], "file"),
        (["top", str(ROOT)], "file"),
        (["top", "a\0b"], "file"),
        (["top", sys.executable], "file"),
    ],
)
def test_what_cannot_be_run_exits_2_and_says_why(
    arguments: list[str], field: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"{field}: ")
    assert printed.err.count("\n") == 1


def test_every_verb_of_this_face_is_in_the_examples() -> None:
    assert set(GOOD) == set(verbs.VERBS)


@pytest.mark.parametrize(
    ("verb", "change", "field"),
    [
        ("top", {"centre": None}, "centre"),
        ("top", {"centre": {"kind": "star", "width": 1, "length": 1}}, "centre.kind"),
        ("top", {"centre": {"width": 1}}, "centre.length"),
        ("top", {"rounds": {}}, "rounds"),
        ("top", {"rounds": [3]}, "rounds[0]"),
        ("top", {"rounds": [{"width": 2, "corners": "round"}]}, "rounds[0].corners"),
        ("top", {"rounds": [{"width": 2, "measured": {"width": 30}}]}, "rounds[0].measured.length"),
        ("top", {"rounds": [{"width": 2, "motifs": {"name": "rose", "left": 1}}]}, "rounds[0].motifs.name"),
        ("top", {"rounds": [{"width": 2, "motifs": {"name": "rosette", "left": 1.5}}]}, "rounds[0].motifs.left"),
        ("top", {"motifs": {"rosette": {"side": 1, "petal_rise": 3}}}, "motifs.rosette.petal_rise"),
        ("top", {"motifs": {"rosette": {}}}, "motifs.rosette.side"),
        ("top", {"round_up": -1}, "round_up"),
        ("top", {"centre": {"kind": "blocks", "block": 9, "across": 2, "down": 2}}, "centre.designs"),
        ("top", {"centre": TOPS["blocks"]["centre"] | {"designs": ["star"]}}, "centre.designs[0]"),
        (
            "top",
            {"centre": TOPS["blocks"]["centre"] | {"designs": [BLOCK | {"grid": [2, 4]}]}},
            "centre.designs[0].cells",
        ),
        ("top", {"centre": TOPS["blocks"]["centre"] | {"on_point": True, "sashing": None}}, "centre.cornerstones"),
        ("top", {"centre": TOPS["field"]["centre"] | {"rows": 0}}, "centre.rows"),
        ("top", {"centre": TOPS["field"]["centre"] | {"background": {"width": 2, "length": 9}}}, "centre.background"),
        ("top", {"centre": {"kind": "top", "top": {"centre": {"width": 1}}}}, "centre.top.centre.length"),
        ("top", {"centre": {"kind": "top", "top": {"centre": {"kind": "top", "top": {}}}}}, "centre.top.centre.top"),
        ("top", {"rounds": [{"width": 3, "pieced": PIECED | {"unit": 0}}]}, "rounds[0].pieced.unit"),
        ("top", {"rounds": [{"width": 3, "pieced": PIECED | {"coping": "even"}}]}, "rounds[0].pieced.coping"),
        ("top", {"target": {"width": 0, "length": 9}}, "target.width"),
        ("setting", {"block": 0}, "block"),
        ("setting", {"sashing": {"width": 2}}, "sashing.outer"),
        ("shape", {"shape": "kite", "size": {"long": 4, "short": 1, "angle": 90}}, "short"),
        ("shape", {"shape": "polygon", "size": {"points": [[0, 0], [1, 0], [1, 1]], "rises": [1]}}, "rises"),
        ("shape", {"shape": "heart"}, "shape"),
        ("shape", {"size": {"side": 2}}, "size.rise"),
        ("shape", {"shape": "diamond", "size": {"side": 2, "angle": 180}}, "size.angle"),
        ("shape", {"shape": "polygon", "size": {"points": [[0, 0], [1, 1], "x"]}}, "size.points[2]"),
        ("shape", {"shape": "clamshell", "size": {"width": 1}}, "seam_allowance"),
        ("spacing", {"length": 0}, "length"),
        ("spacing", {"motif": float("nan")}, "motif"),
        ("shape", {"shape": "diamond", "size": {"side": 2, "angle": float("inf")}}, "size.angle"),
        ("spacing", {"rule": "loose"}, "rule"),
        ("spacing", {"count": 0}, "count"),
        ("spacing", {"align_to": ["a"]}, "align_to[0]"),
        ("backing", {"top": 3}, "top"),
        ("backing", {"cloth_width": 1}, "cloth_width"),
        ("binding", {"join": "knot"}, "join"),
        ("backing", {"repeat": -3}, "repeat"),
        ("backing", {"round_each": "yes"}, "round_each"),
        ("binding", {"finished": 0}, "finished"),
        ("wadding", {"packs": [{"name": "mine", "width": 0, "length": 3}]}, "packs[0].width"),
        ("notions", {"sewing": {"knitting": 3}}, "sewing.knitting"),
        ("notions", {"sewing": {"seams": -3}}, "sewing.seams"),
        ("notions", {"stitches": {"seams": {"kind": "knot", "length": 1}}}, "stitches.seams.kind"),
        ("notions", {"waste": 200}, "waste"),
        ("notions", {"papers": [{"shape": "hexagon", "width": 1, "length": 2, "count": 0}]}, "papers[0].count"),
        ("bed", {"drop": None}, "drop"),
        ("washing", {"shrinkage": {"width": 51}}, "shrinkage.width"),
        ("washing", {"shrinkage": {"width": "a lot"}}, "shrinkage.width"),
        ("binding", {"unit": "yd"}, "unit"),
    ],
)
def test_each_field_at_fault_is_the_one_named(verb: str, change: dict[str, Any], field: str) -> None:
    with pytest.raises(Refusal) as refused:
        verbs.VERBS[verb](load(json.dumps(GOOD[verb] | change)))
    assert refused.value.field == field
    assert refused.value.problem


def test_an_answer_is_the_same_in_any_unit() -> None:
    inches = verbs.VERBS["backing"](load(json.dumps(GOOD["backing"])))
    text = {"width": "60 in", "length": "80 in"}
    other = {"unit": "cm", "top": text, "overage": "4 in", "cloth_width": "42 in", "seam_allowance": "1/2 in"}
    metric = verbs.VERBS["backing"](load(json.dumps(GOOD["backing"] | other)))
    assert (inches["best"], inches["need"]) == ("lengthwise", {"width": 68, "length": 88})
    assert (metric["best"], metric["need"]) == ("lengthwise", {"width": 172.72, "length": 223.52})


# --- anything at all -------------------------------------------------------------------------------------------------

odd = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.integers(-3, 300),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(
        [
            "2 1/2 in",
            "1/0",
            "1 yd 9 in",
            "even",
            "aligned",
            "mitred",
            "bias square",
            "polygon",
            "rosette",
            1e-4,
            999999,
            10**70,
        ]
    ),
    st.lists(st.integers(-9, 99), max_size=4),
    st.lists(st.lists(st.integers(-9, 99), max_size=3), max_size=6),
    st.just({}),
    st.dictionaries(st.sampled_from(["width", "length", "side", "name"]), st.integers(-1, 50), max_size=3),
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a JSON value, as the keys that lead there."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for key, inner in items for place in places(inner, (*path, key)))]


def changed(value: Any, path: tuple[Any, ...], new: Any) -> Any:
    if not path:
        return new
    copy = dict(value) if isinstance(value, dict) else list(value)
    copy[path[0]] = changed(copy[path[0]], path[1:], new)
    return copy


@st.composite
def spoilt(draw: st.DrawFn, good: dict[str, Any]) -> Any:
    data = good
    for _ in range(draw(st.integers(1, 3))):
        data = changed(data, draw(st.sampled_from(places(data))), draw(odd))
    return data


def answered_or_refused(verb: str, data: Any) -> None:
    with suppress(Refusal):
        answer = verbs.VERBS[verb](load(json.dumps(data)))
        assert json.loads(dump(answer))["unit"] in ("in", "cm", "mm")


@pytest.mark.parametrize("verb", GOOD)
@given(data=st.data())
def test_a_spoilt_input_is_answered_or_refused_at_a_field(verb: str, data: st.DataObject) -> None:
    for _ in range(6):
        answered_or_refused(verb, data.draw(spoilt(GOOD[verb])))


@pytest.mark.parametrize("kind", TOPS)
@given(data=st.data())
def test_a_spoilt_top_of_another_kind_is_answered_or_refused_at_a_field(kind: str, data: st.DataObject) -> None:
    answered_or_refused("top", TOPS[kind])
    for _ in range(2):
        answered_or_refused("top", data.draw(spoilt(TOPS[kind])))


anything = st.recursive(
    odd,
    lambda inner: st.dictionaries(st.text(max_size=8), inner, max_size=4) | st.lists(inner, max_size=4),
    max_leaves=12,
)


@pytest.mark.parametrize("verb", GOOD)
@given(data=anything)
def test_any_json_at_all_is_answered_or_refused_at_a_field(verb: str, data: Any) -> None:
    answered_or_refused(verb, data)
    answered_or_refused(
        verb, {"unit": "in", "top": data, "centre": data, "size": data, "rounds": [data], "length": data}
    )
