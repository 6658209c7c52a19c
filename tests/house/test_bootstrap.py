"""Does manage.py find its way from any Python 3 to one that will do?"""

import ast
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from quiltbook import bootstrap


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout of its own, with lock files and no .venv."""
    for name in (bootstrap.FOR_USE, bootstrap.FOR_WORK):
        (tmp_path / name).write_text(f"# {name}\n")
    monkeypatch.setattr(bootstrap, "HERE", tmp_path)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(bootstrap, "VENV_PYTHON", tmp_path / ".venv" / "bin" / "python")
    monkeypatch.setattr(bootstrap, "STAMP", tmp_path / ".venv" / "installed-from")
    return tmp_path


@pytest.fixture
def steps(house: Path, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """What would be run, in order. Making an environment leaves an interpreter where it belongs."""
    taken: list[list[str]] = []

    def run(what: str, command: list[str]) -> None:
        taken.append(command)
        if command[-1] == str(bootstrap.VENV):
            write_script(bootstrap.VENV_PYTHON, "exit 0")

    monkeypatch.setattr(bootstrap, "_run", run)
    return taken


@pytest.fixture
def entered(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that would have replaced this process."""
    taken: list[list[str]] = []
    monkeypatch.setattr("os.execv", lambda path, argv: taken.append(argv))
    return taken


def write_script(path: Path, body: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"#!/bin/sh\n{body}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


def too_old(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bootstrap, "_will_do", lambda: False)


@pytest.mark.parametrize("name", ["manage.py", "quiltbook/bootstrap.py", "quiltbook/__init__.py"])
def test_what_an_old_python_reads_is_in_the_grammar_of_3_8(name: str) -> None:
    source = (settings.BASE_DIR / name).read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 8))


def test_the_bootstrap_imports_the_standard_library_only() -> None:
    tree = ast.parse((settings.BASE_DIR / "quiltbook" / "bootstrap.py").read_text(encoding="utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.partition(".")[0] for name in names} <= sys.stdlib_module_names


def test_nothing_is_done_where_the_right_django_can_be_imported(
    steps: list[list[str]], entered: list[list[str]]
) -> None:
    bootstrap.enter(["manage.py", "start"])
    assert (steps, entered) == ([], [])


def test_an_old_python_makes_an_environment_and_runs_the_same_command_there(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    monkeypatch.setattr(bootstrap, "_find_python", lambda: "/somewhere/python3.13")
    bootstrap.enter(["manage.py", "start", "--port", "8123"])
    making, installing = steps
    assert making == ["/somewhere/python3.13", "-m", "venv", str(house / ".venv")]
    assert installing[-3:] == ["--require-hashes", "-r", str(house / "requirements.txt")]
    assert entered == [[str(house / ".venv/bin/python"), "manage.py", "start", "--port", "8123"]]


def test_the_second_time_nothing_is_installed(
    steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    monkeypatch.setattr(bootstrap, "_find_python", lambda: "/somewhere/python3.13")
    bootstrap.enter(["manage.py", "start"])
    steps.clear()
    bootstrap.enter(["manage.py", "start"])
    assert steps == []
    assert len(entered) == 2


def test_testing_installs_the_working_lock_which_serves_for_starting_too(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    monkeypatch.setattr(bootstrap, "_find_python", lambda: "/somewhere/python3.13")
    bootstrap.enter(["manage.py", "test"])
    assert steps[-1][-1] == str(house / "requirements-dev.txt")
    steps.clear()
    bootstrap.enter(["manage.py", "start"])
    assert steps == []


def test_a_changed_lock_is_installed_again(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    monkeypatch.setattr(bootstrap, "_find_python", lambda: "/somewhere/python3.13")
    bootstrap.enter(["manage.py", "start"])
    steps.clear()
    (house / "requirements.txt").write_text("# something newer\n")
    bootstrap.enter(["manage.py", "start"])
    assert [step[-1] for step in steps] == [str(house / "requirements.txt")]


def test_an_environment_whose_installation_was_interrupted_is_completed(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    write_script(house / ".venv/bin/python", "exit 0")
    (house / ".venv/installed-from").write_text("unfinished\n")
    bootstrap.enter(["manage.py", "start"])
    assert [step[-1] for step in steps] == [str(house / "requirements.txt")]


def test_an_environment_that_has_fallen_behind_its_lock_is_completed_from_inside(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    write_script(house / ".venv/bin/python", "exit 0")
    (house / ".venv/installed-from").write_text("another lock\n")
    monkeypatch.setattr(sys, "prefix", str(house / ".venv"))
    bootstrap.enter(["manage.py", "start"])
    assert [step[-1] for step in steps] == [str(house / "requirements.txt")]
    assert len(entered) == 1


def test_a_damaged_environment_is_named_rather_than_entered_for_ever(
    house: Path,
    steps: list[list[str]],
    entered: list[list[str]],
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    too_old(monkeypatch)
    write_script(house / ".venv/bin/python", "exit 0")
    monkeypatch.setattr(sys, "prefix", str(house / ".venv"))
    with pytest.raises(SystemExit):
        bootstrap.enter(["manage.py", "start"])
    assert f"{house / '.venv'} is damaged" in capfd.readouterr().err
    assert entered == []


def test_an_environment_made_by_hand_is_left_alone(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    write_script(house / ".venv/bin/python", "exit 0")
    bootstrap.enter(["manage.py", "start"])
    assert steps == []
    assert len(entered) == 1


def test_a_python_that_exists_and_fails_is_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A version manager's stand-in for a version that is not chosen does just that."""
    shims = tmp_path / "shims"
    write_script(shims / "python3", 'echo "does not fit"')
    write_script(shims / "python3.13", 'echo "fits"; exit 127')
    good = write_script(tmp_path / "pyenv/versions/3.12.1/bin/python3", "echo fits")
    monkeypatch.setattr(sys, "executable", str(shims / "python3"))
    monkeypatch.setenv("PATH", str(shims))
    monkeypatch.setenv("PYENV_ROOT", str(tmp_path / "pyenv"))
    assert bootstrap._find_python() == str(good)


def test_this_python_says_of_itself_that_it_fits() -> None:
    answer = subprocess.run([sys.executable, "-c", bootstrap.PROBE], capture_output=True, text=True, check=True)
    assert answer.stdout == "fits\n"


def test_uv_is_asked_where_no_python_fits(
    house: Path, steps: list[list[str]], entered: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    too_old(monkeypatch)
    monkeypatch.setattr(bootstrap, "_find_python", lambda: None)
    bootstrap.enter(["manage.py", "start"])
    assert steps[1][-1] == "uv"
    assert steps[2][-3:] == ["--python", "3.13", str(house / ".venv")]
    assert len(entered) == 1


def test_a_python_without_venv_is_told_which_package_brings_it(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        bootstrap._run("Making .venv", ["false", "-m", "venv", "somewhere"])
    out, err = capfd.readouterr()
    assert stopped.value.code == 1
    assert "python3-venv" in err
    assert out == ""


def test_what_a_step_prints_goes_to_standard_error(capfd: pytest.CaptureFixture[str]) -> None:
    bootstrap._run("Greeting", ["echo", "hello"])
    out, err = capfd.readouterr()
    assert "hello" in err
    assert out == ""
