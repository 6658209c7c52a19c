"""How does a template show a figure, a field, an icon or a place in the navigation?

Lengths, sizes, amounts and areas are written in the reader's own system, which the context holds as
`system` (see web/context.py). They are tags and not filters, because a filter cannot see the context
and `length` is a filter of Django's own.
"""

import re
from typing import Any

from django import template
from django.forms import BoundField
from django.template import Context
from django.templatetags.static import static
from django.utils.html import format_html
from django.utils.safestring import SafeString

from quiltbook.measures import Size, System, show_amount, show_area, show_length, show_size

register = template.Library()

_NONE = "–"
# A figure, and what belongs to it: the fraction after a whole number, the unit, the other side of a size.
_BROKEN = re.compile(r"(?<=[0-9]) (?=[0-9]+/[0-9]|(?:in|yd|mm|cm|m)\b|[x×] )|(?<=[0-9] [x×]) (?=[0-9])")


def _system(context: Context) -> System:
    return System(context["system"]) if "system" in context else System.INCHES


def _whole(figure: str) -> str:
    """With spaces that do not break: a line that ended in "2" and went on "1/2 in" would be misread."""
    return figure.replace(" ", "\u00a0")


@register.filter(is_safe=True)
def unbroken(words: str) -> str:
    """`{{ field.help_text|unbroken }}`: a sentence in which no figure breaks over a line."""
    return _BROKEN.sub("\u00a0", str(words))


@register.simple_tag(takes_context=True)
def length(context: Context, nm: int | None, step: int | None = None) -> str:
    """`{% length piece.width %}`: a length in nm, or a dash where there is none."""
    return _NONE if nm is None else _whole(show_length(nm, system=_system(context), step=step))


@register.simple_tag(takes_context=True)
def amount(context: Context, nm: int | None) -> str:
    """`{% amount line.length %}`: a length of cloth in nm, in yards or metres."""
    return _NONE if nm is None else _whole(show_amount(nm, system=_system(context)))


@register.simple_tag(takes_context=True)
def size(context: Context, width: Size | int | None, long: int | None = None) -> str:
    """`{% size patch.cut %}` or `{% size piece.width piece.length %}`: a width by a length, in nm."""
    if width is None:
        return _NONE
    both = width if isinstance(width, Size) else Size(width, 0 if long is None else long)
    return _whole(show_size(both, system=_system(context)))


@register.simple_tag(takes_context=True)
def area(context: Context, mm2: int | None) -> str:
    """`{% area fabric.free_area %}`: an area in mm²."""
    return _NONE if mm2 is None else _whole(show_area(mm2, system=_system(context)))


@register.simple_tag
def icon(name: str) -> SafeString:
    """`{% icon "shelf" %}`: a drawing from static/icons.svg. It says nothing by itself: put words beside it."""
    return format_html(
        '<svg class="icon" aria-hidden="true" focusable="false"><use href="{}#{}"/></svg>', static("icons.svg"), name
    )


@register.inclusion_tag("components/field.html")
def field(bound: BoundField, suffix: str = "") -> dict[str, Any]:
    """`{% field form.name %}`: label, control, help and error of one field; `suffix` stands after the control."""
    return {"field": bound, "suffix": suffix}


@register.inclusion_tag("components/nav_link.html", takes_context=True)
def nav_link(context: Context, url: str, words: str, picture: str) -> dict[str, Any]:
    """One place in the navigation, marked where the reader stands in or under it."""
    path = context["request"].path if "request" in context else ""
    here = path == url if url == "/" else path.startswith(url)
    return {"url": url, "words": words, "picture": picture, "here": bool(url) and here}


@register.inclusion_tag("components/progress.html")
def progress(done: float, total: float, words: str = "done", unit: str = "") -> dict[str, Any]:
    """`{% progress 17 28 "motifs sewn" %}`: a count in words and as a bar."""
    return {"done": done, "total": total, "words": words, "unit": unit, "whole": done >= total > 0}


@register.inclusion_tag("components/swatch.html")
def swatch(name: str, colour: str = "", photo: str = "", big: bool = False) -> dict[str, Any]:
    """`{% swatch fabric.name colour=fabric.colour photo=fabric.photo_url %}`: cloth as it looks."""
    return {"name": name, "colour": colour, "photo": photo, "big": big}


@register.inclusion_tag("components/confirm.html")
def confirm(words: str, url: str, sentence: str, do: str = "") -> dict[str, Any]:
    """`{% confirm "Remove" url "Its sizes go with it." do="Remove this round" %}`: asked once, in place."""
    return {"words": words, "url": url, "sentence": sentence, "do": do or words}
