"""How does a template say a word the reader's way? Built in: no template needs to load it."""

from django import template

from quiltbook.web import words

register = template.Library()


@register.simple_tag
def word(text: str) -> str:
    """`{% word "wadding" %}`: needed by hand only inside an HTML tag; elsewhere web/loader.py does it."""
    return words.in_words(text)


@register.filter(is_safe=True)
def in_words(text: object) -> str:
    """`{{ field.label|in_words }}`: a sentence of ours that came as a variable; never what she typed."""
    return words.in_words(str(text))
