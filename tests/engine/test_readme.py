"""Do the engine's documented examples run, and give the answers that are printed beside them?"""

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import quiltbook.yardage
from quiltbook.yardage.__main__ import VERBS
from quiltbook.yardage.jsonface import load

TEXT = (Path(quiltbook.yardage.__path__[0]) / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```json (\w+)\n(.*?)^```", TEXT, re.MULTILINE | re.DOTALL)
EXAMPLES = [(verb, asked, answer) for (verb, asked), (kind, answer) in pairwise(BLOCKS) if kind == "answer"]


def differences(shown: Any, real: Any, path: str = "") -> list[str]:
    """Where the answer shown, which may leave keys out, differs from the real one."""
    if isinstance(shown, dict) and isinstance(real, dict):
        return [found for key, value in shown.items() for found in differences(value, real.get(key), f"{path}.{key}")]
    if isinstance(shown, list) and isinstance(real, list) and len(shown) == len(real):
        return [found for n, value in enumerate(shown) for found in differences(value, real[n], f"{path}[{n}]")]
    return [] if shown == real else [f"{path}: {shown} is {real}"]


def test_every_verb_has_an_example_and_every_block_is_one() -> None:
    assert {verb for verb, _, _ in EXAMPLES} == set(VERBS)
    assert len(BLOCKS) == 2 * len(EXAMPLES)
    assert TEXT.count("```json") == len(BLOCKS)


@pytest.mark.parametrize(("verb", "asked", "answer"), EXAMPLES)
def test_a_documented_example_gives_the_answer_beside_it(verb: str, asked: str, answer: str) -> None:
    real = json.loads(json.dumps(VERBS[verb](load(asked))))
    assert differences(json.loads(answer), real) == []
