"""Do the lock files hold what they should, and nothing of the machine they were made on?"""

import re
import tomllib

import pytest
from django.conf import settings
from packaging.requirements import Requirement

LOCKS = ["requirements.txt", "requirements-dev.txt"]


def locked(lock: str) -> dict[str, str]:
    """Name to pinned version."""
    text = (settings.BASE_DIR / lock).read_text(encoding="utf-8")
    return dict(re.findall(r"^([a-z0-9-]+)==([^ ;]+)", text, re.MULTILINE))


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_names_no_host_and_no_path(lock: str) -> None:
    text = (settings.BASE_DIR / lock).read_text(encoding="utf-8")
    assert not re.search(r"://|file:|--(index|extra|find|trusted)|/(root|home|opt|usr|tmp)/", text)


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_package_has_a_hash(lock: str) -> None:
    text = (settings.BASE_DIR / lock).read_text(encoding="utf-8")
    entries = re.split(r"^(?=[a-z0-9-]+==)", text, flags=re.MULTILINE)[1:]
    assert len(entries) == len(locked(lock))
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


def test_the_working_lock_holds_the_other_one_whole() -> None:
    assert locked("requirements.txt").items() <= locked("requirements-dev.txt").items()


def test_the_locks_meet_what_the_project_asks_for() -> None:
    project = tomllib.loads((settings.BASE_DIR / "pyproject.toml").read_text(encoding="utf-8"))
    asked = {"requirements.txt": project["project"]["dependencies"]}
    asked["requirements-dev.txt"] = asked["requirements.txt"] + project["dependency-groups"]["dev"]
    for lock, wishes in asked.items():
        versions = locked(lock)
        for wish in map(Requirement, wishes):
            assert wish.specifier.contains(versions[wish.name]), f"{wish} in {lock}"
