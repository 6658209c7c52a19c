"""The tables of the benchmarks, printed together below the tests whether they passed or not."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.benchmarks.tables import Show, table

_TABLES = pytest.StashKey[list[str]]()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything here measures: `pytest -m benchmark` runs it alone."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.benchmark)


@pytest.fixture(scope="session")
def show(pytestconfig: pytest.Config) -> Show:
    """Keep a table (title, columns, rows) for the end."""

    def keep(title: str, columns: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
        pytestconfig.stash.setdefault(_TABLES, []).append(table(title, columns, rows))

    return keep


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    for text in config.stash.get(_TABLES, []):
        terminalreporter.write_line("")
        terminalreporter.write_line(text)
