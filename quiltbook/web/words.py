"""Whose words are used: British or American? The trade calls a few things differently on either side, and a page says them her way.

What stands in a template is turned as the template is loaded (web/loader.py); a sentence made in Python goes through `in_words` where it
is made, or `worded` where it is made before anybody reads it. What she typed herself is never touched. Whose words they are is known as
long as a request lasts, as the time zone would be: the middleware says so, and `speaking` says so elsewhere."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils.functional import lazy

UK, US = "uk", "us"

# British, American. Basting spray is called that everywhere.
PAIRS = (
    ("wadding", "batting"),
    ("waddings", "battings"),
    ("selvedge", "selvage"),
    ("selvedges", "selvages"),
    ("tack", "baste"),
    ("tacks", "bastes"),
    ("tacked", "basted"),
    ("tacking", "basting"),
    ("metreage", "yardage"),
)
_SAME = r"(?!\s+spray)"


def _finder(words: Mapping[str, str]) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(words)})\b{_SAME}", re.IGNORECASE)


_TURNED: Mapping[str, Mapping[str, str]] = {
    UK: {american: british for british, american in PAIRS},
    US: dict(PAIRS),
}
_FOUND = {words: _finder(turned) for words, turned in _TURNED.items()}
ANY_WORD = re.compile(rf"\b(?:{'|'.join(word for pair in PAIRS for word in pair)})\b{_SAME}", re.IGNORECASE)

_words: ContextVar[Callable[[], str]] = ContextVar("words", default=lambda: UK)


def in_words(text: str, words: str | None = None) -> str:
    """`text` in British ("uk") or American ("us") words, those of the reader where nothing is said; capitals stay as they are."""
    said = _words.get()() if words is None else words
    turned = _TURNED[said]
    return _FOUND[said].sub(lambda found: _like(found[0], turned[found[0].lower()]), str(text))


# For what is said when the program starts, such as the name of a choice: it is turned each time it is shown.
worded = lazy(in_words, str)


@contextmanager
def speaking(words: Callable[[], str]) -> Iterator[None]:
    """Within it, `words()` says whose words are used; it is asked only where one of them comes up."""
    token = _words.set(words)
    try:
        yield
    finally:
        _words.reset(token)


def of_request(request: HttpRequest) -> str:
    """The words of whoever is signed in, British for anybody else."""
    usual = getattr(getattr(request, "user", None), "settings", None)
    return UK if usual is None else str(usual.words)


class WordsMiddleware:
    """Pages speak as their reader does. Stands after the one that knows who is signed in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> Any:
        with speaking(lambda: of_request(request)):
            return self.get_response(request)


def _like(model: str, word: str) -> str:
    """`word` with the capitals of `model`."""
    if model.isupper():
        return word.upper()
    return word.capitalize() if model[0].isupper() else word
