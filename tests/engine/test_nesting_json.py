"""Does the command line nest, and answer bad input with one line that names the field?"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from quiltbook.yardage.__main__ import main
from quiltbook.yardage.jsonface import load
from quiltbook.yardage.verbs import VERBS

SHAPE: dict[str, Any] = {"id": "petal", "shape": "hexagon petal", "size": {"side": 1, "rise": 1}, "count": 6}


def test_an_answer_tells_where_every_shape_lies_in_the_unit_asked_for() -> None:
    square = {
        "id": "square",
        "shape": "square",
        "size": {"side": 7},
        "seam_allowance": "5 mm",
        "count": 5,
        "turns": "none",
    }
    asked = load(json.dumps({"unit": "cm", "width": 25, "shapes": [square]}))
    answer: dict[str, Any] = VERBS["nest"](asked)
    assert (answer["length"], answer["laid"]) == (16, [{"id": "square", "count": 5}])
    lying = [(one["y"], one["x"] % 8, one["turn"]) for one in answer["placed"]]
    assert sorted(lying) == [(0, 0, 0)] * 3 + [(8, 0, 0)] * 2
    assert answer["utilisation"] == pytest.approx(5 * 64 / (25 * 16))


@pytest.mark.parametrize(
    ("asked", "line"),
    [
        ({"width": -1}, "width: it must not be negative."),
        ({"width": "wide"}, "width: "),
        ({"length": 0}, "length: it must be more than 0."),
        ({"spacing": 43}, "spacing: It must be from 0 to the width of the cloth."),
        ({"cloths": 0}, "cloths: "),
        ({"shapes": []}, "shapes: There must be from 1 to 40 kinds of shape."),
        ({"shapes": [SHAPE, SHAPE]}, "shapes: Each shape must have an id of its own."),
        ({"shapes": [SHAPE | {"count": 0.5}]}, "shapes[0].count: it must be a whole number."),
        ({"shapes": [SHAPE | {"count": None}]}, "shapes[0].count: It may be left out"),
        ({"shapes": [SHAPE | {"turns": "often"}]}, "shapes[0].turns: it must be one of: any quarter, half, none."),
        ({"shapes": [SHAPE | {"size": {"side": 1}}]}, "shapes[0].size.rise: it is missing."),
        ({"shapes": [SHAPE | {"shape": "blob"}]}, "shapes[0].shape: "),
    ],
)
def test_bad_input_is_told_in_one_line(
    asked: dict[str, Any], line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "job.json"
    file.write_text(json.dumps({"unit": "in", "shapes": [SHAPE]} | asked))
    assert main(["nest", str(file)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(line)
    assert told.err.count("\n") == 1


def test_not_a_number_is_no_width(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "job.json"
    file.write_text(json.dumps({"unit": "in", "width": float("nan"), "shapes": [SHAPE]}))
    assert main(["nest", str(file)]) == 2
    assert capsys.readouterr().err == "width: it is too large, too fine, or not a number.\n"


def test_other_verbs_do_not_wait_for_numpy_and_shapely() -> None:
    asked = "import sys, quiltbook.yardage.__main__; print(sorted({'numpy', 'shapely'} & set(sys.modules)))"
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert told.stdout == "[]\n"
