"""How do tests drive a real Chromium? A page that fails on any console complaint, signing in, and axe.

Every test in this folder is marked `browser` and sees the database as the live server does. Without a Chromium
they do not run, loudly; under CI that is a failure.
"""

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Protocol

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, expect
from pytest_django.live_server_helper import LiveServer

from quiltbook.people.models import Person

# Playwright keeps an event loop going in this thread, which Django takes for asynchronous code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

HERE = Path(__file__).parent
CHROMIUM = os.environ.get("QUILTBOOK_CHROMIUM") or shutil.which("chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# Two busy cores may take seconds for what is instant otherwise: waiting longer costs nothing where all is well.
PATIENCE = 15_000
expect.set_options(timeout=PATIENCE)
NO_CHROMIUM = "no Chromium was found: install one, or name it in QUILTBOOK_CHROMIUM"


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.django_db(transaction=True))
            if not CHROMIUM and not os.environ.get("CI"):
                item.add_marker(pytest.mark.skip(reason=NO_CHROMIUM))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not CHROMIUM:
        terminalreporter.section("BROWSER TESTS DID NOT RUN", red=True, bold=True)
        terminalreporter.line(NO_CHROMIUM, red=True)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    if not CHROMIUM:
        pytest.fail(NO_CHROMIUM)
    return {"executable_path": CHROMIUM, "args": FLAGS}


@pytest.fixture
def context(browser: Browser, live_server: LiveServer) -> Iterator[BrowserContext]:
    """A browser with no history, whose addresses may be written without the server: page.goto("/stash/")."""
    context = browser.new_context(base_url=live_server.url)
    context.set_default_timeout(PATIENCE)
    yield context
    context.close()


@pytest.fixture
def expected_complaints() -> list[str]:
    """Patterns of what the console may say in this test, such as "status of 404"."""
    return []


@pytest.fixture
def page(context: BrowserContext, expected_complaints: list[str]) -> Iterator[Page]:
    """A fresh page. The test fails where the console said anything that was not expected."""
    complaints: list[str] = []

    def listen(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            complaints.append(f"{message.type}: {message.text}")

    def watch(page: Page) -> None:
        page.on("console", listen)
        page.on("pageerror", lambda error: complaints.append(f"uncaught: {error}"))

    context.on("page", watch)
    yield context.new_page()
    unexpected = [text for text in complaints if not any(re.search(known, text) for known in expected_complaints)]
    assert unexpected == []


@pytest.fixture
def sign_in(context: BrowserContext, live_server: LiveServer) -> Callable[[Person], None]:
    """Sign somebody in without walking the form: sign_in(person), before or after the page is open."""

    def sign_in(person: Person) -> None:
        client = Client()
        client.force_login(person)
        cookie = client.cookies[settings.SESSION_COOKIE_NAME]
        context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": live_server.url}])

    return sign_in


@pytest.fixture
def wait_for_htmx() -> Callable[[Page], None]:
    """Wait until nothing that htmx asked for is under way: wait_for_htmx(page)."""

    def wait_for_htmx(page: Page) -> None:
        expect(page.locator(".htmx-request, .htmx-swapping, .htmx-settling")).to_have_count(0)

    return wait_for_htmx


class AxeCheck(Protocol):
    def __call__(self, page: Page) -> None: ...


@pytest.fixture(scope="session")
def assert_accessible() -> AxeCheck:
    """Fail, saying which rules and where, unless axe finds nothing wrong: assert_accessible(page)."""
    axe = Axe()

    def assert_accessible(page: Page) -> None:
        results = axe.run(page)
        assert results.violations_count == 0, results.generate_report()

    return assert_accessible
