"""Which block? One of those the engine knows, each a card with a small drawing of it and its name."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

from quiltbook.web.blocks_svg import block_svg
from quiltbook.yardage.traditional import TRADITIONAL


class BlockField(forms.ChoiceField):
    """The name of a block, as the engine knows it. `none`: what to call no block at all, which may then be chosen: it cleans to ""."""

    def __init__(self, *, none: str = "", **kwargs: Any) -> None:
        empty = [("", format_html("<span>{}</span>", none))] if none else []
        super().__init__(
            choices=[*empty, *((name, _card(name)) for name in TRADITIONAL)],
            required=not none,
            widget=forms.RadioSelect(attrs={"class": "block-cards"}),
            **kwargs,
        )
        self.error_messages["required"] = "Choose a block."
        self.error_messages["invalid_choice"] = "That is none of the blocks here. Choose another."


def _card(name: str) -> SafeString:
    return format_html("{}<span>{}</span>", block_svg(TRADITIONAL[name]), called(name))


def called(name: str) -> str:
    """A block's name as it begins a line."""
    return name[:1].upper() + name[1:]
