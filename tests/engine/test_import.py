"""What does importing the engine bring in? Its own modules and the standard library, and what is slow to load only where it is asked."""

import json
import subprocess
import sys
from pkgutil import iter_modules

import pytest

import quiltbook.yardage

MODULES = sorted(module.name for module in iter_modules(quiltbook.yardage.__path__, "quiltbook.yardage."))
ALWAYS_AT_HAND = [f"quiltbook.yardage.{name}" for name in ("buying", "cutting", "drawing", "target", "tops", "verbs")]


def brought_in(modules: list[str]) -> set[str]:
    """The packages that a fresh Python has loaded once it has imported those modules."""
    code = f"import importlib, json, sys\nfor name in {modules!r}: importlib.import_module(name)\nprint(json.dumps(list(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    return {name.split(".")[0] for name in json.loads(done.stdout)}


def test_every_module_of_the_engine_is_imported_without_django_or_a_database() -> None:
    assert {"quiltbook.yardage.tops", "quiltbook.yardage.cutting", "quiltbook.yardage.verbs"} <= set(MODULES)
    assert brought_in(MODULES).isdisjoint({"django", "sqlite3", "stash", "plans", "pint"})


def test_what_a_page_and_the_command_line_load_needs_nothing_but_the_standard_library() -> None:
    """The solver is loaded in its own process, numpy and shapely when a nesting or the check of a new block asks for them."""
    others = brought_in(ALWAYS_AT_HAND) - brought_in([]) - set(sys.stdlib_module_names)
    assert others == {"quiltbook"}


@pytest.mark.parametrize("name", ["quiltbook.yardage", "quiltbook.yardage.tops", "quiltbook.yardage.cutting"])
def test_a_module_can_be_imported_on_its_own(name: str) -> None:
    assert "quiltbook" in brought_in([name])
