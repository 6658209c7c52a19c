"""Is this upload a photo we can keep, and what of it do we keep?

JPEG, PNG, WebP, AVIF and HEIC. What is kept is turned upright, no larger than a screen can use, and
written afresh as WebP, so that place, camera and comments stay with whoever took it.
"""

import io
import threading
import warnings
import zipfile
from dataclasses import dataclass
from typing import IO, Any

from django.core.files.base import File
from pi_heif import HeifImageFile
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
# The longest side of what is kept, of what a page shows of it, and of what a list shows, in dots.
LONGEST_SIDE, MEDIUM, SMALL = 2000, 800, 240
KINDS = "a JPEG, PNG, WebP, AVIF or HEIC"
DAMAGED = "That photo is damaged or only part of it arrived. Try sending it again."
_FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "HEIF")
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"mif1")

# Pillow itself then refuses a picture of more dots, from its first bytes and before it unpacks any.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS
warnings.simplefilter("error", Image.DecompressionBombWarning)
# Registered by hand, since the library's own way would have Pillow write HEIC too.
Image.register_open("HEIF", HeifImageFile, lambda head: head[4:8] == b"ftyp" and head[8:12] in _HEIF_BRANDS)

# A browser that guesses what a file is looks no further than this; a PDF may begin this late.
_LOOKED_AT = 1445
_OTHER_THINGS = (b"%pdf-", b"<!doctype", b"<html", b"<script", b"<svg", b"<?php", b"<?xml-")
# A photo of MOST_PIXELS takes some 400 MB while it is unpacked: never two at once.
_one_at_a_time = threading.Lock()


class PhotoError(ValueError):
    """The upload cannot be kept; the message says why in a sentence."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A tidied picture: its WebP bytes, and its size in pixels."""

    data: bytes
    width: int
    height: int


def tidy(upload: "File[Any]") -> Photo:
    """Return `upload` as an upright WebP without metadata, at most LONGEST_SIDE pixels long.

    Raises PhotoError.
    """
    if upload.file is None or not upload.size:
        raise PhotoError("That file is empty. Choose a photo.")
    if upload.size > MOST_BYTES:
        raise PhotoError("That photo is larger than 15 MB. Choose a smaller one.")
    upload.file.seek(0)
    begins_like_one = _begins_like_a_photo(upload.file.read(12))
    if begins_like_one:
        _refuse_two_in_one(upload.file)
    try:
        with _one_at_a_time:
            image = _read(upload.file)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as wrong:
        raise PhotoError("That picture has more dots than we can take in. Choose a smaller one.") from wrong
    except UnidentifiedImageError as wrong:
        raise PhotoError(DAMAGED if begins_like_one else f"That is not a photo we can read. Choose {KINDS}.") from wrong
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError, RuntimeError) as wrong:
        raise PhotoError(DAMAGED) from wrong
    return Photo(written(image, LONGEST_SIDE), image.width, image.height)


def written(image: Image.Image, longest: int) -> bytes:
    """The picture as WebP with nothing but its dots, at most `longest` of them on a side."""
    small = image.copy()
    small.thumbnail((longest, longest))
    # A fresh image has no EXIF, no comment, no profile.
    bare = Image.new(small.mode, small.size)
    bare.paste(small)
    out = io.BytesIO()
    bare.save(out, "WEBP", quality=82, method=4)
    return out.getvalue()


def _begins_like_a_photo(head: bytes) -> bool:
    in_a_box = head[4:8] == b"ftyp" and head[8:12] in (*_HEIF_BRANDS, b"avif")
    return in_a_box or head.startswith((b"\xff\xd8\xff", b"\x89PNG", b"RIFF"))


def _refuse_two_in_one(file: IO[bytes]) -> None:
    """A file that is a picture to one program and a page, a script or an archive to another was made so on purpose. (What a phone hangs on
    behind, such as a short film, is no such thing: it is left behind.)"""
    file.seek(0)
    head = file.read(_LOOKED_AT).lower()
    if any(other in head for other in _OTHER_THINGS) or zipfile.is_zipfile(file):
        raise PhotoError("That file is a photo and something else in one. Save the picture alone, and choose that.")


def _read(file: IO[bytes]) -> Image.Image:
    file.seek(0)
    with Image.open(file, formats=_FORMATS) as image:
        # A JPEG is unpacked at half or a quarter of its size where that is still enough.
        less = max(1.0, max(image.size) / LONGEST_SIDE)
        image.draft("RGB", (int(image.width / less), int(image.height / less)))
        image.load()
        plain = image if image.mode in {"RGB", "RGBA", "L"} else image.convert(_mode(image))
        # Made small before anything else: each step copies what there is.
        plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        upright = ImageOps.exif_transpose(plain)
    return _true_colours(upright).convert(_mode(upright))


def _mode(image: Image.Image) -> str:
    return "RGBA" if image.has_transparency_data else "RGB"


def _true_colours(image: Image.Image) -> Image.Image:
    """The picture in the colours of a screen: a telephone's wider ones go dull when their profile is dropped."""
    profile = image.info.get("icc_profile")
    if not profile or image.mode != "RGB":
        return image
    try:
        converted = ImageCms.profileToProfile(
            image, ImageCms.ImageCmsProfile(io.BytesIO(profile)), ImageCms.createProfile("sRGB")
        )
    except ImageCms.PyCMSError:
        return image
    return converted or image
