"""How does a template come to speak its reader's words? As it is loaded, each of them that stands in its text becomes `{% word "…" %}`.

Only text that is read: not the inside of HTML tags (classes, ids, addresses), and not of template tags, where a word may be a name."""

import re

from django.template.base import Origin
from django.template.loaders import filesystem

from quiltbook.web.words import ANY_WORD

_TEMPLATE_TAG = r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}"
_NOT_READ = re.compile(rf"({_TEMPLATE_TAG}|<(?:{_TEMPLATE_TAG}|[^<>{{]|\{{(?![%{{#]))*>)", re.DOTALL)


def spoken(source: str) -> str:
    """The source of a template, its words as tags."""
    parts = _NOT_READ.split(source)  # what is read, what is not, what is read, …
    parts[::2] = [ANY_WORD.sub(r'{% word "\g<0>" %}', part) for part in parts[::2]]
    return "".join(parts)


class Loader(filesystem.Loader):
    """Templates from the folders of the settings, their words as tags."""

    def get_contents(self, origin: Origin) -> str:
        return spoken(super().get_contents(origin))
