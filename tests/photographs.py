"""Photos as phones take them: of every kind, sideways, with the place they were taken at."""

import base64
import io
from pathlib import Path
from typing import Any

from django.db.models.fields.files import FieldFile
from PIL import Image

CAMERA = "A camera"
MAKE, ORIENTATION, GPS = 0x010F, 0x0112, 0x8825
SIDEWAYS = 6  # the camera was turned: the top of the scene is at the right

# 96 by 64 dots before it is turned upright, left half red, right half blue, with CAMERA and a place. Made for this test with pillow-heif 1.8
# (whose encoder we may not ship): Image.save("…", exif=exif_of_a_phone(orientation=SIDEWAYS), quality=50).
HEIC = base64.b64decode(
    "AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAaFtZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAAADRpbG9jAA"
    "AAAERAAAIAAQAAAAABxQABAAAAAAAAAHQAAgAAAAACOQABAAAAAAAAAKwAAAA4aWluZgAAAAAAAgAAABVpbmZlAgAAAAABAABodmMxAAAAABVp"
    "bmZlAgAAAQACAABFeGlmAAAAAA5waXRtAAAAAAABAAAA4GlwcnAAAADAaXBjbwAAAHhodmNDAQNwAAAAkAAAAAAAHvAA/P34+AAADwNgAAEAGE"
    "ABDAH//wNwAAADAJAAAAMAAAMAHroCQGEAAQArQgEBA3AAAAMAkAAAAwAAAwAeoDCBBZbqSSmubgIaDAgAAAMAyAAAAwAIQGIAAQAHRAHBcrAi"
    "QAAAABNjb2xybmNseAABAA0ABoAAAAAUaXNwZQAAAAAAAABgAAAAQAAAABBwaXhpAAAAAAMICAgAAAAJaXJvdAMAAAAYaXBtYQAAAAAAAAABAA"
    "EFgQIDBIUAAAAaaXJlZgAAAAAAAAAOY2RzYwACAAEAAQAAAShtZGF0AAAAcCgBrxOAeNWFyL//+MhR/+8jnh+QBDwSz/6Xqffkx9f+PmnwFVem"
    "YoOiUnk+/65VuTGctG06I07Gzol2qcnAltAlJSx4eEcH/tvUZn+2FBpkuzaRpWL8gLfc06Q+Nf0QxpcA+uUgWabgF0Niqa19EuwAAAAGRXhpZg"
    "AATU0AKgAAAAgAAwEPAAIAAAAJAAAAMgESAAMAAAABAAYAAIglAAQAAAABAAAAPAAAAABBIGNhbWVyYQAAAAQAAQACAAAAAk4AAAAAAgAFAAAA"
    "AwAAAHIAAwACAAAAAlcAAAAABAAFAAAAAwAAAIoAAAAAAAAANgAAAAEAAAAeAAAAAQAAAA8AAAABAAAAAwAAAAEAAAAKAAAAAQAAABQAAAAB"
)


def scene(size: tuple[int, int] = (80, 40)) -> Image.Image:
    """Left half red, right half blue."""
    image = Image.new("RGB", size, (200, 20, 20))
    image.paste((20, 20, 200), (size[0] // 2, 0, *size))
    return image


def exif_of_a_phone(orientation: int = 1) -> Image.Exif:
    """Who made the camera, how it was held, and where: 54°30'15" N, 3°10'20" W."""
    exif = Image.Exif()
    exif[MAKE], exif[ORIENTATION] = CAMERA, orientation
    place = exif.get_ifd(GPS)
    place[1], place[2], place[3], place[4] = "N", (54.0, 30.0, 15.0), "W", (3.0, 10.0, 20.0)
    return exif


def photograph(kind: str = "JPEG", image: Image.Image | None = None, **options: Any) -> bytes:
    """The scene, or another image, as a file of that kind."""
    out = io.BytesIO()
    (image or scene()).save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def stored_in(file: FieldFile) -> bytes:
    """What lies on disk, with nothing left open."""
    return Path(file.path).read_bytes()


def says_nothing_of_its_maker(data: bytes) -> bool:
    """Whether a stored picture is bare: no EXIF, no place, no profile, no comment, nor the words themselves."""
    image = opened(data)
    said = {"exif", "xmp", "icc_profile", "comment", "XML:com.adobe.xmp"} & set(image.info)
    chunks = any(mark in data for mark in (b"EXIF", b"XMP ", b"ICCP", b"Exif\0\0"))
    return not (said or chunks or image.getexif() or image.getexif().get_ifd(GPS) or CAMERA.encode() in data)
