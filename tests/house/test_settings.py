"""Do the settings that guard data and pages hold in earnest?"""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client

from quiltbook import env


@pytest.mark.django_db
def test_a_page_that_does_not_exist_still_carries_the_strict_policies(client: Client) -> None:
    response = client.get("/no-such-page/")
    assert response.status_code == 404
    policy = response["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["X-Frame-Options"] == "DENY"


@pytest.mark.django_db
def test_a_stranger_is_sent_to_the_sign_in_page(client: Client) -> None:
    response = client.get("/")
    assert response.status_code == 302
    assert response["Location"].startswith("/you/")


@pytest.mark.django_db(transaction=True)
def test_the_database_writes_ahead_and_checks_foreign_keys() -> None:
    with connection.cursor() as cursor:
        assert cursor.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert cursor.execute("PRAGMA foreign_keys").fetchone() == (1,)
        assert connection.settings_dict["OPTIONS"]["transaction_mode"] == "IMMEDIATE"


def test_the_secret_is_made_once_and_read_by_its_owner_only(tmp_path: Path) -> None:
    first = env.kept_secret(tmp_path / "secret")
    assert len(first) >= 50
    assert env.kept_secret(tmp_path / "secret") == first
    assert stat.S_IMODE((tmp_path / "secret").stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["secret"]


@pytest.mark.parametrize(("text", "value"), [("", True), ("yes", True), ("1", True), ("No", False), (" off ", False)])
def test_a_flag_is_read_as_people_write_it(text: str, value: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUILTBOOK_SIGN_UP", text)
    assert env.flag("QUILTBOOK_SIGN_UP", True) is value


def test_a_flag_that_cannot_be_read_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUILTBOOK_SIGN_UP", "perhaps")
    with pytest.raises(env.EnvError, match="QUILTBOOK_SIGN_UP is 'perhaps': write yes or no"):
        env.flag("QUILTBOOK_SIGN_UP", True)


def test_a_list_is_split_at_commas(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUILTBOOK_HOSTS", "quilts.example, 127.0.0.1,")
    assert env.names("QUILTBOOK_HOSTS", ()) == ["quilts.example", "127.0.0.1"]


def test_the_environment_moves_the_data_and_turns_sign_up_off(tmp_path: Path) -> None:
    script = (
        "from django.conf import settings as s; print(s.SIGN_UP_OPEN, s.MEDIA_ROOT, s.DATABASES['default']['NAME'])"
    )
    answer = subprocess.run(
        [sys.executable, "-c", script],
        cwd=settings.BASE_DIR,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "quiltbook.settings",
            "QUILTBOOK_DATA": str(tmp_path / "quilts"),
            "QUILTBOOK_SIGN_UP": "no",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    place = tmp_path / "quilts"
    assert answer.stdout.split() == ["False", str(place / "media"), str(place / "quiltbook.sqlite3")]
    assert stat.S_IMODE(place.stat().st_mode) == 0o700
