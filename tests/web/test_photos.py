"""Is an upload kept only if it is a photo, upright, bare of metadata and no larger than it need be?"""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.datastructures import MultiValueDict
from PIL import Image, ImageCms, PngImagePlugin

from quiltbook.web.fields import PhotoField, PhotosField
from quiltbook.web.photos import LONGEST_SIDE, MOST_BYTES, MOST_PIXELS, PhotoError, tidy, written
from tests.photographs import (
    CAMERA,
    HEIC,
    SIDEWAYS,
    exif_of_a_phone,
    opened,
    photograph,
    says_nothing_of_its_maker,
    scene,
)


def upload(data: bytes, name: str = "cloth.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, "image/jpeg")


KINDS = {"JPEG": photograph, "PNG": photograph, "WEBP": photograph, "AVIF": photograph}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_photo_is_kept_as_webp(kind: str) -> None:
    photo = tidy(upload(photograph(kind)))
    image = opened(photo.data)
    assert (image.format, image.size) == ("WEBP", (80, 40))
    assert (photo.width, photo.height) == (80, 40)


def red_then_blue(image: Image.Image, *points: tuple[int, int]) -> bool:
    (red, _, _), (_, _, blue) = (image.convert("RGB").getpixel(point) for point in points)  # type: ignore[misc]
    return bool(red > 150 and blue > 150)


def test_a_heic_of_a_phone_is_kept_as_webp_upright_and_bare() -> None:
    photo = tidy(upload(HEIC, "IMG_0001.HEIC"))
    assert CAMERA.encode() in HEIC
    assert (photo.width, photo.height) == (64, 96)
    assert red_then_blue(opened(photo.data), (32, 10), (32, 86))
    assert says_nothing_of_its_maker(photo.data)


def test_heic_is_read_and_never_written() -> None:
    assert "HEIF" in Image.OPEN
    assert "HEIF" not in Image.SAVE


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK", "LA", "RGBA", "I;16"])
def test_a_picture_in_any_colours_is_taken(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert tidy(upload(photograph(kind, Image.new(mode, (30, 20))))).width == 30


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_taken_sideways_is_turned_upright(kind: str) -> None:
    photo = tidy(upload(photograph(kind, exif=exif_of_a_phone(SIDEWAYS))))
    assert (photo.width, photo.height) == (40, 80)
    assert red_then_blue(opened(photo.data), (20, 10), (20, 70))


XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><place>54.5 N, A camera</place></x:xmpmeta>'


@pytest.mark.parametrize("kind", KINDS)
def test_place_maker_comment_and_profile_stay_behind(kind: str) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    options: dict[str, Any] = {"exif": exif_of_a_phone(), "icc_profile": profile}
    if kind != "PNG":
        options["xmp"] = XMP
    if kind == "JPEG":
        options["comment"] = b"taken at home"
    data = photograph(kind, **options)
    assert not says_nothing_of_its_maker(data)
    kept = tidy(upload(data)).data
    assert says_nothing_of_its_maker(kept)
    assert b"taken at home" not in kept
    assert b"xmpmeta" not in kept


def test_what_a_phone_hangs_on_behind_a_photo_is_left_behind() -> None:
    """A short film, as phones send one along with a photo."""
    film = b"\0\0\0\x18ftypmp42" + Random(2).randbytes(5000)  # noqa: S311
    kept = tidy(upload(photograph() + film)).data
    assert b"mp42" not in kept
    assert opened(kept).size == (80, 40)


@pytest.mark.parametrize("size", [(5000, 1000), (4001, 801), (4032, 3024)])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_large_photo_is_made_as_small_as_a_screen_needs(kind: str, size: tuple[int, int]) -> None:
    photo = tidy(upload(photograph(kind, scene(size))))
    assert photo.width == LONGEST_SIDE
    assert abs(photo.height - LONGEST_SIDE * size[1] / size[0]) <= 1


def test_a_picture_is_written_no_larger_than_it_is_and_no_larger_than_asked() -> None:
    assert opened(written(scene((900, 300)), 240)).size == (240, 80)
    assert opened(written(scene((90, 30)), 240)).size == (90, 30)


def bomb(width: int, height: int) -> bytes:
    """The first bytes of a PNG that says it has so many dots, and then has none of them."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")
    )


def and_an_archive(picture: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("page.html", "<script>1</script>")
    return picture + out.getvalue()


def heic_that_lies(width: int, height: int) -> bytes:
    """A HEIC whose container says it is of another size than it is."""
    size = b"ispe\0\0\0\0" + struct.pack(">II", 96, 64)
    assert size in HEIC
    return HEIC.replace(size, b"ispe\0\0\0\0" + struct.pack(">II", width, height))


NOT_A_PHOTO = "That is not a photo we can read. Choose a JPEG, PNG, WebP, AVIF or HEIC."
TWO_IN_ONE = "That file is a photo and something else in one. Save the picture alone, and choose that."
DAMAGED = "That photo is damaged or only part of it arrived. Try sending it again."
BOMB = "That picture has more dots than we can take in. Choose a smaller one."


def said_in_png(words: str) -> PngImagePlugin.PngInfo:
    info = PngImagePlugin.PngInfo()
    info.add_text("Comment", words)
    return info


HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "text": (lambda: b"this is no picture" * 100, NOT_A_PHOTO),
    "a drawing": (lambda: b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", NOT_A_PHOTO),
    "a gif": (lambda: photograph("GIF"), NOT_A_PHOTO),
    "a bitmap": (lambda: photograph("BMP"), NOT_A_PHOTO),
    "noise behind a jpeg's first bytes": (lambda: b"\xff\xd8\xff\xe0" + Random(1).randbytes(4000), DAMAGED),  # noqa: S311
    "half a jpeg": (lambda: photograph(image=scene((900, 900)))[:5000], DAMAGED),
    "half a png": (lambda: photograph("PNG", scene((900, 900)))[:1500], DAMAGED),
    "half a webp": (lambda: photograph("WEBP", scene((900, 900)))[:500], DAMAGED),
    "half an avif": (lambda: photograph("AVIF", scene((900, 900)))[:-300], DAMAGED),
    "half a heic": (lambda: HEIC[:-60], DAMAGED),
    "a heic of another size": (lambda: heic_that_lies(40, 64), DAMAGED),
    "a heic of far too many dots": (lambda: heic_that_lies(20_000, 20_000), BOMB),
    "a photo and an archive": (lambda: and_an_archive(photograph()), TWO_IN_ONE),
    "a heic and an archive": (lambda: and_an_archive(HEIC), TWO_IN_ONE),
    "a photo and a page": (lambda: photograph(comment=b"<html><script>1</script>"), TWO_IN_ONE),
    "a photo and a document": (lambda: photograph(comment=b"%PDF-1.7"), TWO_IN_ONE),
    "a photo and a program": (lambda: photograph("PNG", pnginfo=said_in_png("<?php 1;")), TWO_IN_ONE),
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


class PhotosForm(forms.Form):
    photos = PhotosField(most=3)


def test_the_field_says_at_the_field_what_is_wrong_with_a_photo() -> None:
    form = PhotoForm({}, MultiValueDict({"photo": [upload(b"no picture")]}))
    assert form.errors["photo"] == [NOT_A_PHOTO]


def test_the_field_hands_over_a_tidied_photo_or_none() -> None:
    form = PhotoForm({}, MultiValueDict({"photo": [upload(photograph())]}))
    assert form.is_valid()
    assert form.cleaned_data["photo"].width == 80
    bare = PhotoForm({}, MultiValueDict())
    assert bare.is_valid()
    assert bare.cleaned_data["photo"] is None


@pytest.mark.parametrize(
    ("count", "sentence"), [(0, "Choose one photo or more."), (4, "Choose at most 3 photos at a time: that was 4.")]
)
def test_too_few_or_too_many_photos_are_told_at_their_field(count: int, sentence: str) -> None:
    form = PhotosForm({}, MultiValueDict({"photos": [upload(b"x")] * count}))
    assert form.errors["photos"] == [sentence]


def test_several_photos_arrive_as_they_were_sent() -> None:
    form = PhotosForm({}, MultiValueDict({"photos": [upload(b"one"), upload(b"two")]}))
    assert form.is_valid()
    assert [sent.read() for sent in form.cleaned_data["photos"]] == [b"one", b"two"]
