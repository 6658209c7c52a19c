"""Does each import contract fire when it is broken? A contract that guards nothing looks just like one that is kept."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

PACKAGES = "Arrows between packages run one way"
INSIDE = "Arrows inside an app run one way"
PURE = "The engine and the measures are pure"
STASHS = "The stash's views and forms are its own"
PLANS = "The plans' views and forms are their own"
PEOPLES = "The people's views and forms are their own"
CIRCLES = "No package goes round in a circle"


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The code without its templates and tests, free to be spoilt."""
    place = tmp_path_factory.mktemp("layers")
    shutil.copy(settings.BASE_DIR / "pyproject.toml", place)
    for package in ("quiltbook", "stash", "plans"):
        shutil.copytree(settings.BASE_DIR / package, place / package, ignore=shutil.ignore_patterns("__pycache__"))
    return place


def broken_contracts(place: Path) -> set[str]:
    tool = Path(sys.executable).with_name("lint-imports")
    result = subprocess.run([tool, "--no-logo", "--no-cache"], cwd=place, capture_output=True, text=True, check=False)
    assert "Contracts:" in result.stdout, result.stdout + result.stderr
    return set(re.findall(r"^(.+) BROKEN$", result.stdout, re.MULTILINE))


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        ("stash/models/__init__.py", "import plans.models", PACKAGES),
        ("quiltbook/web/fields.py", "import quiltbook.people.models", PACKAGES),
        ("plans/models/__init__.py", "import quiltbook.settings", PACKAGES),
        ("stash/models/__init__.py", "import stash.queries", INSIDE),
        ("plans/queries/__init__.py", "import plans.services", INSIDE),
        ("plans/services/__init__.py", "import plans.forms", INSIDE),
        ("stash/helpers.py", "", INSIDE),
        ("quiltbook/yardage/patches.py", "import django", PURE),
        ("quiltbook/yardage/patches.py", "import os", PURE),
        ("quiltbook/yardage/patches.py", "import random", PURE),
        ("quiltbook/yardage/patches.py", "import sqlite3", PURE),
        ("quiltbook/measures.py", "import datetime", PURE),
        ("plans/services/__init__.py", "import stash.forms", STASHS),
        ("quiltbook/urls.py", "import plans.views", PLANS),
        ("stash/services/__init__.py", "import quiltbook.people.forms", PEOPLES),
        ("quiltbook/measures.py", "import quiltbook.yardage", CIRCLES),
    ],
)
def test_a_contract_fires_when_it_is_broken(module: str, line: str, contract: str, copy: Path) -> None:
    spoilt = copy / module
    before = spoilt.read_text(encoding="utf-8") if spoilt.exists() else None
    spoilt.write_text(f"{before or ''}\n{line}\n", encoding="utf-8")
    try:
        assert contract in broken_contracts(copy)
    finally:
        spoilt.unlink() if before is None else spoilt.write_text(before, encoding="utf-8")
