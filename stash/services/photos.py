"""Where does a photo of cloth go? Onto its fabric, with a small copy for the shelf; or aside for a day, while the form it came with
still has something wrong in it, or after another took its place. Photos are WebP bytes, as quiltbook.web.photos leaves them."""

from __future__ import annotations

import io
import re
import secrets
from collections import defaultdict
from datetime import datetime, timedelta
from functools import partial

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from PIL import Image

from quiltbook.people.models import Person
from stash.models import Fabric

THUMBNAIL = (480, 480)
ASIDE_FOR = timedelta(days=1)
_ASIDE = re.compile(r"[\w-]{22}\.webp", re.ASCII)


def put(*, fabric: Fabric, photo: bytes) -> None:
    """Give the fabric this photo instead of the one it has, in the caller's transaction; the fabric is not saved here."""
    drop(fabric=fabric)
    fabric.photo.save("photo.webp", ContentFile(photo), save=False)
    fabric.thumbnail.save("thumbnail.webp", ContentFile(_thumbnail(photo)), save=False)


def drop(*, fabric: Fabric) -> None:
    """Take its photo off the fabric; the files go once the transaction holds. The fabric is not saved here."""
    names = [file.name for file in (fabric.photo, fabric.thumbnail) if file.name]
    for name in names:
        transaction.on_commit(partial(default_storage.delete, name))
    fabric.photo = fabric.thumbnail = ""


def of(*, fabric: Fabric) -> bytes | None:
    """The fabric's photo as it is stored, or None."""
    name = fabric.photo.name
    if not name or not default_storage.exists(name):
        return None
    with default_storage.open(name) as file:
        return bytes(file.read())


def main_colour(photo: bytes) -> str:
    """The colour most of the cloth has, as #rrggbb: the middle of the commonest group of like colours."""
    with Image.open(io.BytesIO(photo)) as image:
        small = image.convert("RGB")
    small.thumbnail((96, 96))
    groups: dict[tuple[int, ...], list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for count, colour in small.getcolors(maxcolors=96 * 96) or []:
        assert isinstance(colour, tuple)  # noqa: S101, an RGB image has no other
        total = groups[tuple(part // 48 for part in colour)]
        total[:] = [total[0] + count, *(sum_ + part * count for sum_, part in zip(total[1:], colour, strict=True))]
    n, *sums = max(groups.values())
    return "#" + "".join(f"{round(part / n):02x}" for part in sums)


def set_aside(*, owner: Person, photo: bytes, now: datetime) -> str:
    """Keep a photo for a while; returns the name to ask for it by. Those set aside long ago are cleared away."""
    _clear(owner, before=now - ASIDE_FOR)
    name = f"{secrets.token_urlsafe(16)}.webp"
    default_storage.save(_aside(owner, name), ContentFile(photo))
    return name


def aside(*, owner: Person, name: str) -> bytes | None:
    """The photo set aside under this name, or None where there is none of hers."""
    if not _ASIDE.fullmatch(name) or not default_storage.exists(_aside(owner, name)):
        return None
    with default_storage.open(_aside(owner, name)) as file:
        return bytes(file.read())


def aside_url(*, owner: Person, name: str) -> str:
    return default_storage.url(_aside(owner, name))


def _aside(owner: Person, name: str) -> str:
    return f"{owner.pk}/aside/{name}"


def _clear(owner: Person, *, before: datetime) -> None:
    folder = f"{owner.pk}/aside"
    if not default_storage.exists(folder):
        return
    for name in default_storage.listdir(folder)[1]:
        if default_storage.get_modified_time(f"{folder}/{name}") < before:
            default_storage.delete(f"{folder}/{name}")


def _thumbnail(photo: bytes) -> bytes:
    out = io.BytesIO()
    with Image.open(io.BytesIO(photo)) as image:
        image.thumbnail(THUMBNAIL)
        image.save(out, "WEBP", quality=80)
    return out.getvalue()
