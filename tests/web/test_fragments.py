"""Does a request get the whole page or the part it asked for, with what was said along the way?"""

from collections.abc import Iterator

import pytest
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.sessions.backends.signed_cookies import SessionStore
from django.http import HttpRequest
from django.template import engines
from django.test import RequestFactory
from django_htmx.middleware import HtmxDetails
from pytest_django import Settings as Site

from quiltbook.web.fragments import go, page, wants_fragment
from quiltbook.web.notices import say, warn

PAGE = "<main>{% include 'components/notices.html' %}{% partialdef rows inline %}<ol>{{ what }}</ol>{% endpartialdef %}</main>"


@pytest.fixture(autouse=True)
def _one_template(settings: Site) -> Iterator[None]:
    """A page of one partial, read from memory beside the project's own templates."""
    own = settings.TEMPLATES[0]
    loaders = [
        ("django.template.loaders.locmem.Loader", {"one.html": PAGE}),
        "django.template.loaders.filesystem.Loader",
    ]
    settings.TEMPLATES = [{**own, "APP_DIRS": False, "OPTIONS": {**own["OPTIONS"], "loaders": loaders}}]
    yield
    engines.__dict__.pop("templates", None)


def request(**headers: str) -> HttpRequest:
    asked = RequestFactory().get("/", headers={name.replace("_", "-"): value for name, value in headers.items()})
    asked.session = SessionStore()
    asked._messages = FallbackStorage(asked)  # type: ignore[attr-defined]
    asked.htmx = HtmxDetails(asked)  # type: ignore[attr-defined]
    return asked


@pytest.mark.parametrize(
    ("headers", "part"),
    [
        ({}, False),
        ({"HX_Request": "true"}, True),
        ({"HX_Request": "true", "HX_Boosted": "true"}, False),
        ({"HX_Request": "true", "HX_History_Restore_Request": "true"}, False),
    ],
)
def test_only_a_request_for_a_part_gets_a_part(headers: dict[str, str], part: bool) -> None:
    asked = request(**headers)
    assert wants_fragment(asked) is part
    answer = page(asked, "one.html", {"what": "kelp"}, fragment="rows")
    assert answer.text.startswith("<ol>kelp</ol>" if part else "<main>")
    assert answer["Vary"].startswith("HX-Request")


def test_a_page_without_parts_is_whole_whoever_asks() -> None:
    assert page(request(HX_Request="true"), "one.html").text.startswith("<main>")


def test_what_was_said_comes_along_with_a_part_and_its_undo() -> None:
    asked = request(HX_Request="true")
    say(asked, "Took 2 yd off the shelf.", undo="/undo/7/")
    warn(asked, "Only 1 yd is left.")
    text = page(asked, "one.html", {"what": "kelp"}, fragment="rows").text
    assert 'hx-swap-oob="true"' in text
    assert "Took 2 yd off the shelf." in text
    assert 'action="/undo/7/"' in text
    assert text.count("<form") == 1


def test_nothing_comes_along_where_nothing_was_said() -> None:
    assert page(request(HX_Request="true"), "one.html", {"what": "x"}, fragment="rows").text == "<ol>x</ol>"


def test_after_a_form_the_reader_goes_on_by_a_redirect_or_by_the_script() -> None:
    plain = go(request(), "/plans/")
    assert (plain.status_code, plain["Location"]) == (302, "/plans/")
    scripted = go(request(HX_Request="true"), "/plans/")
    assert (scripted.status_code, scripted["HX-Redirect"]) == (200, "/plans/")
