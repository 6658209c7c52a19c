"""What is said of photos: which ones are sent, which part of one is shown, and how much cloth that part shows."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from quiltbook.measures import NM_PER_METRE, System
from quiltbook.web.fields import LengthField, NumberField, PhotosField
from quiltbook.web.photos import KINDS, PhotoError, tidy
from stash.models import Photo
from stash.services.photos import Box

MOST_AT_ONCE = 30
LEAST_LEFT = 20  # of a side: a twentieth
_SIDES = ("left", "top", "right", "bottom")


class PhotosForm(forms.Form):
    """Several photos at once. Valid, it gives `each()`."""

    photos = PhotosField(
        most=MOST_AT_ONCE,
        label="Photos",
        help_text=f"{KINDS[:1].upper()}{KINDS[1:]} each, up to 15 MB; at most {MOST_AT_ONCE} at a time.",
    )

    def each(self) -> Iterator[tuple[str, bytes | None, str]]:
        """One after another: the name it was sent under, and the tidied photo, or None and a sentence that says why not."""
        for upload in self.cleaned_data["photos"]:
            try:
                yield sent_as(upload), tidy(upload).data, ""
            except PhotoError as wrong:
                yield sent_as(upload), None, str(wrong)


def sent_as(upload: UploadedFile[Any]) -> str:
    """The name a file was sent under, short enough to say; no file is ever stored under it."""
    name = "".join(char for char in upload.name or "" if char.isprintable())
    return name if len(name) <= 40 else f"{name[:25]}…{name[-12:]}"


class CutForm(forms.Form):
    """How much is left out on each side, in hundredths of the picture, and how much cloth the rest is wide. Valid, it gives `box()` in dots
    and `shows()` in nm."""

    def __init__(self, *args: Any, photo: Photo, system: System, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.photo = photo
        out = _left_out(photo)
        for side in _SIDES:
            self.fields[side] = _PercentField(label=f"Left out on the {side}", initial=out[side])
        self.fields["top"].label, self.fields["bottom"].label = "Left out at the top", "Left out at the bottom"
        self.fields["shows"] = LengthField(
            system=system,
            most=5 * NM_PER_METRE,
            required=False,
            initial=photo.shows,
            label="How much cloth this part shows, across",
            help_text="Measure it on the cloth, or lay a ruler beside it for the photo. Quilts are then drawn in it true to scale.",
        )

    def clean(self) -> None:
        super().clean()
        for one, other, size in (("left", "right", self.photo.width), ("top", "bottom", self.photo.height)):
            if not {one, other} & self.errors.keys() and self._end(other, size) - self._start(one) < size / LEAST_LEFT:
                self.add_error(other, ValidationError("That leaves nothing to see: leave out less.", code="nothing"))

    def box(self) -> Box:
        return (
            self._start("left"),
            self._start("top"),
            self._end("right", self.photo.width),
            self._end("bottom", self.photo.height),
        )

    def shows(self) -> int | None:
        """As typed; where only the part was changed, what was said of the old part holds for the new one in proportion."""
        said: int | None = self.cleaned_data["shows"]
        left, _, right, _ = self.box()
        if said is None or said != self.photo.shows:
            return said
        return max(1, said * (right - left) // (self.photo.right - self.photo.left))

    def _start(self, side: str) -> int:
        return self._dots(side, getattr(self.photo, side), self.photo.width if side == "left" else self.photo.height)

    def _end(self, side: str, size: int) -> int:
        return size - self._dots(side, size - getattr(self.photo, side), size)

    def _dots(self, side: str, now: int, size: int) -> int:
        """What is left alone stays to the dot, however it was rounded to be shown."""
        return round(self.cleaned_data[side] * size / 100) if side in self.changed_data else now


class _PercentField(NumberField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_value=95, max_digits=4, decimal_places=1, **kwargs)
        sentence = "Write how much of it to leave out, from 0 to 95."
        self.error_messages |= {
            "required": sentence,
            "invalid": sentence,
            "min_value": sentence,
            "max_value": sentence,
            "max_digits": sentence,
            "max_whole_digits": sentence,
            "max_decimal_places": "Use at most one figure after the point.",
        }


def _left_out(photo: Photo) -> dict[str, Decimal]:
    out = {
        "left": (photo.left, photo.width),
        "top": (photo.top, photo.height),
        "right": (photo.width - photo.right, photo.width),
        "bottom": (photo.height - photo.bottom, photo.height),
    }
    return {side: (Decimal(100 * dots) / size).quantize(Decimal("0.1")) for side, (dots, size) in out.items()}
