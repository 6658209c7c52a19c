"""Is every published figure used by a test, and does each say where it comes from?"""

import pkgutil
from importlib import import_module

import pytest

import tests.published
from tests.published.values import USED, Entry, every

KINDS = {"read", "derived", "from memory, of a published source", "common practice, no source"}


def test_every_published_figure_is_used_by_a_test() -> None:
    for module in pkgutil.iter_modules(tests.published.__path__):
        import_module(f"tests.published.{module.name}")
    assert {entry.id for entry in every()} == USED


@pytest.mark.parametrize("entry", every(), ids=repr)
def test_every_published_figure_says_where_it_comes_from(entry: Entry) -> None:
    assert entry.source
    assert entry.kind in KINDS
    assert ("no single source" in entry.source) == (entry.kind == "common practice, no source")
