"""Is an upload kept only if it is a photo, upright, bare of metadata and no larger than it need be?"""

import io
import struct
import zlib
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.datastructures import MultiValueDict
from PIL import Image, ImageCms

from quiltbook.web.fields import PhotoField
from quiltbook.web.photos import LONGEST_SIDE, MOST_BYTES, MOST_PIXELS, PhotoError, tidy

ORIENTATION, GPS, MAKE = 0x0112, 0x8825, 0x010F


def picture(kind: str = "JPEG", size: tuple[int, int] = (80, 40), mode: str = "RGB", **options: Any) -> bytes:
    """Left half red, right half blue."""
    image = Image.new(mode, size, (200, 20, 20) if mode == "RGB" else 90)
    if mode == "RGB":
        image.paste((20, 20, 200), (size[0] // 2, 0, size[0], size[1]))
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def upload(data: bytes, name: str = "cloth.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, "image/jpeg")


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_kind_of_photo_is_kept_as_webp(kind: str) -> None:
    photo = tidy(upload(picture(kind)))
    image = opened(photo.data)
    assert (image.format, image.size) == ("WEBP", (80, 40))
    assert (photo.width, photo.height) == (80, 40)


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK", "LA", "RGBA", "I;16"])
def test_a_picture_in_any_colours_is_taken(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    out = io.BytesIO()
    Image.new(mode, (30, 20)).save(out, kind)
    assert tidy(upload(out.getvalue())).width == 30


def test_a_photo_taken_sideways_is_turned_upright() -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # the camera was turned: the top of the scene is at the right
    photo = tidy(upload(picture(exif=exif)))
    assert (photo.width, photo.height) == (40, 80)
    red, _, blue = opened(photo.data).convert("RGB").getpixel((20, 5))  # type: ignore[misc]
    assert red > blue


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_place_maker_comment_and_profile_stay_behind(kind: str) -> None:
    exif = Image.Exif()
    exif[MAKE] = "A camera"
    exif.get_ifd(GPS)[1] = "N"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    options: dict[str, Any] = {"exif": exif, "icc_profile": profile}
    if kind == "JPEG":
        options["comment"] = b"taken at home"
    data = picture(kind, **options)
    assert b"A camera" in data
    kept = tidy(upload(data)).data
    image = opened(kept)
    assert not image.getexif()
    assert not {"exif", "icc_profile", "comment", "xmp"} & set(image.info)
    assert b"A camera" not in kept
    assert b"taken at home" not in kept


def test_a_large_photo_is_made_as_small_as_a_screen_needs() -> None:
    photo = tidy(upload(picture(size=(5000, 1000))))
    assert (photo.width, photo.height) == (LONGEST_SIDE, LONGEST_SIDE // 5)


def bomb(width: int, height: int) -> bytes:
    """The first bytes of a PNG that says it has so many dots, and then has none of them."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")
    )


NOT_A_PHOTO = "That is not a photo we can read. Choose a JPEG, PNG or WebP."
DAMAGED = "That photo is damaged or only part of it arrived. Try sending it again."
BOMB = "That picture has more dots than we can take in. Choose a smaller one."

HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "text": (lambda: b"this is no picture" * 100, NOT_A_PHOTO),
    "a drawing": (lambda: b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", NOT_A_PHOTO),
    "a gif": (lambda: picture("GIF"), NOT_A_PHOTO),
    "a bitmap": (lambda: picture("BMP"), NOT_A_PHOTO),
    "noise behind a jpeg's first bytes": (lambda: b"\xff\xd8\xff\xe0" + Random(1).randbytes(4000), DAMAGED),  # noqa: S311
    "half a jpeg": (lambda: picture(size=(900, 900))[:5000], DAMAGED),
    "half a png": (lambda: picture("PNG", size=(900, 900))[:1500], DAMAGED),
    "half a webp": (lambda: picture("WEBP", size=(900, 900))[:500], DAMAGED),
    "far too many dots": (lambda: bomb(100_000, 100_000), BOMB),
    "somewhat too many dots": (lambda: bomb(MOST_PIXELS // 1000 + 1, 1000), BOMB),
    "no dots": (lambda: bomb(2000, 2000), DAMAGED),
    "nothing": (lambda: b"", "That file is empty. Choose a photo."),
    "a heavy file": (lambda: b"\0" * (MOST_BYTES + 1), "That photo is larger than 15 MB. Choose a smaller one."),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_whole_photo_is_refused_in_a_sentence(name: str) -> None:
    data, sentence = HOSTILE[name]
    with pytest.raises(PhotoError) as refused:
        tidy(upload(data()))
    assert str(refused.value) == sentence


class PhotoForm(forms.Form):
    photo = PhotoField(required=False)


def test_the_field_says_at_the_field_what_is_wrong_with_a_photo() -> None:
    form = PhotoForm({}, MultiValueDict({"photo": [upload(b"no picture")]}))
    assert form.errors["photo"] == [NOT_A_PHOTO]


def test_the_field_hands_over_a_tidied_photo_or_none() -> None:
    form = PhotoForm({}, MultiValueDict({"photo": [upload(picture())]}))
    assert form.is_valid()
    assert form.cleaned_data["photo"].width == 80
    bare = PhotoForm({}, MultiValueDict())
    assert bare.is_valid()
    assert bare.cleaned_data["photo"] is None
