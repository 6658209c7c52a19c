"""What a browser would send of a page's forms, if she changed only what a test says."""

from collections.abc import Iterable
from typing import Any, Protocol

from django import forms

from plans.forms.finishing import FiguresForm
from plans.forms.top import TopForm
from plans.models import Plan

# What somebody may type into any field at all, and none of it may fell the page.
NONSENSE = {
    "unreadable": "about so wide",
    "zero": "0",
    "negative": "-3 in",
    "two kilometres": "2 km",
    "wrong kind of unit": "3 kg",
    "division by zero": "1/0 in",
    "overlong": "7" * 10_000,
    "emoji": "🧵🪡 3",
    "markup": "<script>alert(1)</script>",
    "a null": "3\x00in",
}


class Answer(Protocol):
    """A response of the test client."""

    @property
    def content(self) -> bytes: ...


def soft(text: str) -> str:
    """A sentence with plain spaces: figures keep their unit on the same line with a hard one."""
    return text.replace("\xa0", " ")


def words(response: Answer) -> str:
    """A page's text with plain spaces."""
    return soft(response.content.decode())


def top_data(plan: Plan, **changes: str) -> dict[str, str]:
    """The top page as it stands, with `changes` by field name ("centre-width")."""
    system = plan.owner.settings.measures
    form = TopForm(plan=plan, rows=list(plan.rounds.standing()), system=system)
    return data_of(form) | changes


def figures_data(plan: Plan, **changes: str) -> dict[str, str]:
    """The figures of the finishing page, with `changes`."""
    return data_of([FiguresForm(plan=plan, system=plan.owner.settings.measures)]) | changes


def data_of(parts: Iterable[forms.Form]) -> dict[str, str]:
    """Every field with what it shows; ticks that are off are not sent."""
    shown: dict[str, Any] = {bound.html_name: bound.value() for form in parts for bound in form}
    return {name: _sent(value) for name, value in shown.items() if value is not False}


def _sent(value: Any) -> str:
    return "on" if value is True else "" if value is None else str(value)
