"""What a browser sends from the stash's forms: everything filled in rightly, for a test to spoil one field of."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Response

LOG: Mapping[str, str] = {
    "name": "Kelp",
    "amount": "1 1/2 yd",
    "place": "Blue box",
    "label": "",
    "came": "bought",
    "price": "21.50",
    "currency": "USD",
    "bought_from": "Market stall",
    "day": "2024-11-20",
    "kind": "cotton",
    "usable_width": "42 in",
    "print_direction": "any",
    "picked": "#b7ae9f",
    "colour": "",
    "printed_width": "",
    "printed_length": "",
    "printed_seam": "1/4 in",
    "note": "",
}
FACTS: Mapping[str, str] = {
    name: LOG[name]
    for name in ("name", "kind", "usable_width", "print_direction", "picked", "colour", "printed_seam", "note")
}


def log(browser: Client, **said: Any) -> Response:
    """Send the form for a new fabric."""
    return browser.post("/stash/log/", {**LOG, **said})


def photo(kind: str = "JPEG", colour: str = "#9c2c2b", size: tuple[int, int] = (60, 40)) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, kind)
    return SimpleUploadedFile(f"IMG_0001.{kind.lower()}", out.getvalue(), f"image/{kind.lower()}")


def errors(response: Response) -> dict[str, list[str]]:
    """The sentences at the fields of a form that was shown again."""
    assert response.status_code == 200, response.status_code
    form = response.context["form"]
    return {name: [str(sentence) for sentence in sentences] for name, sentences in form.errors.items()}


def words(response: Response) -> str:
    """The page in plain words."""
    return plain(response.content.decode())


def plain(text: str) -> str:
    """The spaces that hold a figure and its unit together, made ordinary ones."""
    return text.replace("\xa0", " ")
