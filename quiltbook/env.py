"""What does the environment say? A tiny typed reader of the variables that steer Quiltbook.

An empty variable counts as one that is not set. A value that cannot be read stops the start with a
sentence that names the variable, rather than being guessed at.
"""

import os
import secrets
from pathlib import Path

_YES = {"1", "yes", "true", "on"}
_NO = {"0", "no", "false", "off"}


class EnvError(ValueError):
    """A variable holds something that cannot be read; the message says which and what to write."""


def text(name: str, default: str) -> str:
    """The variable's text without surrounding space, or the default."""
    return os.environ.get(name, "").strip() or default


def flag(name: str, default: bool) -> bool:
    """The variable as yes or no, or the default."""
    value = text(name, "").lower()
    if not value:
        return default
    if value in _YES:
        return True
    if value in _NO:
        return False
    raise EnvError(f"{name} is {value!r}: write yes or no.")


def names(name: str, default: tuple[str, ...]) -> list[str]:
    """The variable as a list, split at commas, or the default."""
    return [part.strip() for part in text(name, ",".join(default)).split(",") if part.strip()]


def folder(name: str, default: Path) -> Path:
    """The variable as an absolute folder, or the default. It is made, for its owner only, where it is missing."""
    path = Path(text(name, str(default))).expanduser().resolve()
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def kept_secret(path: Path) -> str:
    """The secret in the file, written there the first time and readable by its owner only.

    Two processes may start at once: the secret is written beside the file and then linked into place, so
    that the first one wins and nobody reads half a secret.
    """
    if not path.exists():
        draft = path.with_name(f".{path.name}.{os.getpid()}")
        draft.unlink(missing_ok=True)
        draft.touch(mode=0o600)
        draft.write_text(secrets.token_urlsafe(48), encoding="ascii")
        try:
            path.hardlink_to(draft)
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    return path.read_text(encoding="ascii")
