"""Do all pages keep to the strict policy, and does a reader who goes wrong get a page that says so?"""

import re

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.test import Client, RequestFactory
from django.urls import reverse

TEMPLATES = sorted(
    str(path.relative_to(settings.BASE_DIR)) for path in (settings.BASE_DIR / "templates").rglob("*.html")
)


@pytest.mark.django_db
def test_every_page_comes_with_the_strict_policy(client: Client) -> None:
    policy = client.get(reverse("people:sign_in"))["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


@pytest.mark.parametrize("name", TEMPLATES)
def test_no_template_carries_what_the_policy_forbids(name: str) -> None:
    text = (settings.BASE_DIR / name).read_text()
    assert not re.search(r"\sstyle=|\son[a-z]+=|hx-on|js:|javascript:|<style", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)
    assert not re.search(r"(?:src|href|action)=\"https?:", text)


def test_an_address_that_is_nothing_gets_a_page_that_says_so(client: Client, db: None) -> None:
    answer = client.get("/there/is/no/such/page/")
    assert answer.status_code == 404
    assert "There is nothing of yours at this address." in answer.text


@pytest.mark.parametrize("code", ["400", "403", "403_csrf", "404", "500"])
def test_an_error_page_needs_nothing_to_be_written(code: str) -> None:
    text = render_to_string(f"{code}.html")
    assert re.search(r"<h1>[A-Z].+</h1>", text)
    assert 'href="/"' in text


def test_a_form_sent_without_its_token_is_answered_with_a_sentence(db: None) -> None:
    answer = Client(enforce_csrf_checks=True).post(reverse("people:sign_in"), {"username": "ada", "password": "x"})
    assert answer.status_code == 403
    assert "go back, open the page afresh and send it again" in answer.text


def test_a_page_has_a_way_past_the_navigation_and_a_small_picture_for_its_tab() -> None:
    text = render_to_string("base.html", request=RequestFactory().get("/"))
    assert '<a class="skip" href="#main">' in text
    assert 'rel="icon"' in text
    assert text.index('class="skip"') < text.index("<header")
