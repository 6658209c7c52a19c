"""`manage.py test [pytest's arguments]`: every test, the browser's and the checks of the code itself included.

Finds a Chromium for the browser tests, or gets one, and then becomes pytest, whose closing line ends the output.
"""

import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand

from quiltbook import env

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
PLAYWRIGHT = [sys.executable, "-m", "playwright", "install", "chromium"]
DEBIAN = ["apt-get", "-qq", "-y", "--no-install-recommends", "install", "chromium", "fonts-dejavu-core"]


class Command(BaseCommand):
    help = "Run every test; what follows is handed to pytest."

    def run_from_argv(self, argv: list[str]) -> None:
        """Hand every argument to pytest, unread."""
        if not find_spec("pytest"):
            raise SystemExit("The tests need the packages of requirements-dev.txt, which this Python does not have.")
        # The tests have settings of their own, named in pyproject.toml.
        environment = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
        environment["QUILTBOOK_CHROMIUM"] = self.chromium()
        os.chdir(settings.BASE_DIR)
        sys.stdout.flush()
        os.execve(sys.executable, [sys.executable, "-m", "pytest", *argv[2:]], environment)  # noqa: S606 (no shell)

    def chromium(self) -> str:
        """Where a Chromium is; one is got where there is none. Empty where that fails too: pytest says so."""
        named = [env.text("QUILTBOOK_CHROMIUM", ""), *(shutil.which(name) or "" for name in NAMES)]
        return next(filter(None, named), "") or self.playwrights() or self.debians()

    def playwrights(self) -> str:
        """Playwright's own Chromium, fetched where it is not there yet."""
        from playwright.sync_api import sync_playwright

        with sync_playwright() as playwright:
            path = Path(playwright.chromium.executable_path)
        if not path.exists():
            self.get(PLAYWRIGHT)
        return str(path) if path.exists() else ""

    def debians(self) -> str:
        """The distribution's Chromium, installed as root."""
        if os.geteuid() == 0 and shutil.which("apt-get"):
            self.get(["apt-get", "-qq", "update"])
            self.get(DEBIAN)
        return shutil.which("chromium") or ""

    def get(self, command: list[str]) -> None:
        """Run an installer, saying so; it failing is found out by looking for what it should have brought."""
        self.stderr.write(f"The browser tests need Chromium: {' '.join(command)}")
        subprocess.run(command, stdout=sys.stderr, check=False, timeout=600)  # noqa: S603 (the lists above, no shell)
