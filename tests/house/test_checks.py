"""Is the code itself in order? The linters, the strict types, the import contracts and the migrations."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.template.loader import get_template
from django.test import override_settings

TOOLS = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        pytest.param(["ruff", "check", "."], id="ruff finds nothing"),
        pytest.param(["ruff", "format", "--check", "."], id="the code is formatted"),
        pytest.param(["mypy"], id="the types are strict and hold"),
        pytest.param(["lint-imports", "--no-logo"], id="the import contracts are kept"),
    ],
)
def test_a_checker_finds_nothing_wrong(command: list[str]) -> None:
    tool, *arguments = command
    result = subprocess.run(
        [TOOLS / tool, *arguments],
        cwd=settings.BASE_DIR,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    assert result.returncode == 0, result.stdout


@pytest.mark.django_db
def test_no_migration_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    try:
        call_command("makemigrations", "--check", "--dry-run")
    except SystemExit:
        pytest.fail(f"the models have moved on from the migrations:\n{capsys.readouterr().out}")


def test_static_files_refer_only_to_files_that_are_there() -> None:
    """Collecting with hashed names fails on a stylesheet or module that names a missing file."""
    with override_settings(
        STORAGES={**settings.STORAGES, "staticfiles": {"BACKEND": "quiltbook.web.staticfiles.HashedStaticFiles"}}
    ):
        call_command("collectstatic", interactive=False, verbosity=0)


def test_templates_name_only_static_files_that_are_there() -> None:
    named = {
        name
        for template in (settings.BASE_DIR / "templates").rglob("*.html")
        for name in re.findall(r"""\{%\s*static\s+["']([^"']+)["']""", template.read_text(encoding="utf-8"))
    }
    assert named
    assert [name for name in sorted(named) if not finders.find(name)] == []


def test_every_template_can_be_read() -> None:
    """A slip in a template that no test renders is found here all the same."""
    folder = settings.BASE_DIR / "templates"
    names = [str(path.relative_to(folder)) for path in folder.rglob("*.html")]
    assert names
    for name in names:
        get_template(name)
