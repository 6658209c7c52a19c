"""Walks every page of the demonstration, as a British and as an American reader, and finds no word of the other side."""

import re
from html.parser import HTMLParser

import pytest
from django.test import Client

from quiltbook.people.models import Person
from quiltbook.people.services import change_settings
from quiltbook.web.words import PAIRS
from tests.plans.shown import demo

__all__ = ["demo"]

pytestmark = pytest.mark.django_db

# The choice itself names both.
BOTH = ("British: wadding, tacking, selvedge", "American: batting, basting, selvage")
# Pages whose addresses differ only in a number are alike: so many of each are read.
ALIKE = 3
SPOKEN = {"alt", "aria-label", "placeholder", "title", "content", "data-label"}


class Page(HTMLParser):
    """What is read or heard of a page, and where it leads."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.links: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if value and name in SPOKEN:
                self.words.append(value)
            if value and value.startswith("/") and (name == "hx-get" or (tag, name) == ("a", "href")):
                self.links.add(value.partition("#")[0])

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def walk(client: Client) -> dict[str, str]:
    """The text of the pages that can be reached by links, by address."""
    found: dict[str, str] = {}
    seen: dict[str, int] = {}
    ahead = ["/"]
    while ahead:
        address = ahead.pop(0)
        kind = re.sub(r"\d+", "#", address)
        if address in found or seen.get(kind, 0) >= ALIKE or address.startswith(("/media/", "/static/")):
            continue
        answer = client.get(address, follow=True)
        seen[kind] = seen.get(kind, 0) + 1
        if not answer["Content-Type"].startswith("text/html"):
            continue
        assert answer.status_code == 200, address
        page = Page(answer.text)
        found[address] = " ".join(page.words)
        ahead += sorted(page.links)
    return found


@pytest.mark.parametrize(("words", "other"), [("uk", 1), ("us", 0)])
def test_no_page_says_a_word_of_the_other_side(client: Client, demo: Person, words: str, other: int) -> None:
    change_settings(owner=demo, changes={"words": words})
    client.force_login(demo)
    foreign = re.compile(rf"\b(?:{'|'.join(pair[other] for pair in PAIRS)})\b(?!\s+spray)", re.IGNORECASE)
    own = re.compile(rf"\b(?:{'|'.join(pair[1 - other] for pair in PAIRS)})\b", re.IGNORECASE)
    pages = walk(client)
    texts = {address: text.replace(BOTH[0], "").replace(BOTH[1], "") for address, text in pages.items()}
    said = {address: foreign.findall(text) for address, text in texts.items()}
    assert {address: hits for address, hits in said.items() if hits} == {}
    # The walk has come far enough to hear each of them.
    heard = {hit.lower() for text in texts.values() for hit in own.findall(text)}
    needed = [("wadding", "selvedge", "selvedges", "tack"), ("batting", "selvage", "selvages", "baste")][1 - other]
    assert heard >= set(needed)
    assert len(pages) > 50
