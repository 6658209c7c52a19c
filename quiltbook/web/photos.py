"""Is this upload a photo we can keep, and what of it do we keep?

JPEG, PNG and WebP only. What is kept is turned upright, no larger than a screen can use, and
written afresh as WebP, so that place, camera and comments stay with whoever took it.
"""

import io
import warnings
from dataclasses import dataclass
from typing import IO, Any

from django.core.files.base import File
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 2000
_KINDS = ("JPEG", "PNG", "WEBP")

# Pillow itself then refuses a picture of more dots, from its first bytes and before it unpacks any.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS
warnings.simplefilter("error", Image.DecompressionBombWarning)


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
    try:
        image = _read(upload.file)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as wrong:
        raise PhotoError("That picture has more dots than we can take in. Choose a smaller one.") from wrong
    except UnidentifiedImageError as wrong:
        raise PhotoError("That is not a photo we can read. Choose a JPEG, PNG or WebP.") from wrong
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError) as wrong:
        raise PhotoError("That photo is damaged or only part of it arrived. Try sending it again.") from wrong
    return _write(image)


def _read(file: IO[bytes]) -> Image.Image:
    file.seek(0)
    with Image.open(file, formats=_KINDS) as image:
        image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        image.load()
        upright = ImageOps.exif_transpose(image)
    plain = _true_colours(upright).convert("RGBA" if upright.has_transparency_data else "RGB")
    plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return plain


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


def _write(image: Image.Image) -> Photo:
    # A fresh image carries nothing but the dots: no EXIF, no comment, no profile.
    bare = Image.new(image.mode, image.size)
    bare.paste(image)
    out = io.BytesIO()
    bare.save(out, "WEBP", quality=82, method=4)
    return Photo(out.getvalue(), bare.width, bare.height)
