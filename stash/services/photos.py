"""Where does a photo of cloth go? Among its fabric's photos, the first of which is its face; or aside for a day, while the form it came with
still has something wrong in it, or after it was taken off. Photos are WebP bytes, as quiltbook.web.photos leaves them."""

from __future__ import annotations

import io
import re
import secrets
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F, Max
from django.db.models.fields.files import FieldFile
from PIL import Image

from quiltbook.people.models import Person
from quiltbook.web.photos import MEDIUM, SMALL, written
from stash import colour
from stash.models import Fabric, Photo
from stash.services.errors import StashError

type Box = tuple[int, int, int, int]

MOST = 12
ASIDE_FOR = timedelta(days=1)
_ASIDE = re.compile(r"[\w-]{22}\.webp", re.ASCII)
_OUT_OF_THE_WAY = 1000


@dataclass(frozen=True, slots=True)
class Pictures:
    """A photo ready to be stored: the whole of it, and the part within `box` (left, top, right, bottom, in dots) twice, smaller, with its
    colours."""

    whole: bytes
    width: int
    height: int
    box: Box
    medium: bytes
    small: bytes
    palette: colour.Palette


@dataclass(frozen=True, slots=True)
class TakenOff:
    """All that brings back a photo that was taken off: the name it is set aside by, and how it was shown."""

    name: str
    box: Box
    shows: int | None
    order: tuple[int, ...]
    was: int


def pictures(whole: bytes, box: Box | None = None) -> Pictures:
    """Cut a photo to its sizes: slow, so that it is done before anything is locked. Raises StashError if it cannot be read."""
    try:
        with Image.open(io.BytesIO(whole), formats=("WEBP",)) as image:
            image.load()
    except (OSError, SyntaxError, ValueError) as damaged:
        raise StashError("That photo can no longer be read. Take it off, and add it again.") from damaged
    everything = (0, 0, image.width, image.height)
    part = image.crop(box or everything)
    part.thumbnail((MEDIUM, MEDIUM))
    return Pictures(
        whole=whole,
        width=image.width,
        height=image.height,
        box=box or everything,
        medium=written(part, MEDIUM),
        small=written(part, SMALL),
        palette=colour.palette(part),
    )


def add(*, fabric: Fabric, photo: bytes | Pictures, now: datetime) -> Photo:
    """One more photo of the fabric, after those it has. Raises StashError where it has as many as it may."""
    ready = photo if isinstance(photo, Pictures) else pictures(photo)
    with _undone_together() as stored, transaction.atomic():
        if fabric.photos.count() >= MOST:
            raise StashError(f"{fabric.name} has {MOST} photos, which is as many as it can have. Take one off first.")
        last = fabric.photos.aggregate(last=Max("position"))["last"]
        made = Photo(owner=fabric.owner, fabric=fabric, position=0 if last is None else last + 1, added_at=now)
        made.width, made.height = ready.width, ready.height
        _store(made.whole, "whole.webp", ready.whole, stored)
        _show(made, ready, stored)
        made.save()
        show_face(fabric=fabric)
    return made


def recut(*, photo: Photo, box: Box, shows: int | None) -> None:
    """Show another part of it: `shows` is how much cloth that part is wide, in nm. Raises StashError if it cannot be read."""
    if box == photo.box:
        photo.shows = shows
        photo.save(update_fields=["shows"])
        return
    whole = read(photo)
    if whole is None:
        raise StashError("That photo is no longer here. Take it off, and add it again.")
    ready = pictures(whole, box)
    with _undone_together() as stored, transaction.atomic():
        _delete_later({photo.medium.name, photo.small.name} - {photo.whole.name})
        photo.shows = shows
        _show(photo, ready, stored)
        photo.save()
        show_face(fabric=photo.fabric)


@transaction.atomic
def put_in_order(*, fabric: Fabric, ids: Sequence[int]) -> None:
    """Show the photos in this order, the face first; those not named come after."""
    known = list(fabric.photos.values_list("pk", flat=True))
    wanted = [*(pk for pk in dict.fromkeys(ids) if pk in known), *(pk for pk in known if pk not in ids)]
    # Two photos may not share a position even for a moment.
    fabric.photos.update(position=F("position") + _OUT_OF_THE_WAY)
    for position, pk in enumerate(wanted):
        fabric.photos.filter(pk=pk).update(position=position)
    show_face(fabric=fabric)


def make_face(*, photo: Photo) -> None:
    """Show it first, and as the fabric wherever the fabric is shown."""
    put_in_order(fabric=photo.fabric, ids=[photo.pk])


@transaction.atomic
def take_off(*, photo: Photo, now: datetime) -> TakenOff | None:
    """Take a photo off its fabric and set it aside for a day; None where its file is lost, so that there is nothing to bring back."""
    fabric, whole, gone = photo.fabric, read(photo), None
    if whole is not None:
        gone = TakenOff(
            name=set_aside(owner=photo.owner, photo=whole, now=now),
            box=photo.box,
            shows=photo.shows,
            order=tuple(fabric.photos.values_list("pk", flat=True)),
            was=photo.pk,
        )
    _delete_later(_files(photo))
    photo.delete()
    show_face(fabric=fabric)
    return gone


def put_back(*, fabric: Fabric, gone: TakenOff, now: datetime) -> Photo:
    """Give the fabric back a photo that was taken off, where it was. Raises StashError when it is set aside no longer."""
    whole = aside(owner=fabric.owner, name=gone.name)
    if whole is None:
        raise StashError("That photo is no longer here: add it again.")
    ready = pictures(whole, gone.box)
    with transaction.atomic():
        back = add(fabric=fabric, photo=ready, now=now)
        back.shows = gone.shows
        back.save(update_fields=["shows"])
        put_in_order(fabric=fabric, ids=[back.pk if pk == gone.was else pk for pk in gone.order])
    return back


def show_face(*, fabric: Fabric) -> None:
    """Write down of a fabric what follows from its first photo: its picture, and its colours where she has not said them."""
    face = fabric.photos.first()
    fabric.photo = (face.medium.name or "") if face else ""
    fabric.thumbnail = (face.small.name or "") if face else ""
    take_colours(fabric, [(one, share) for one, share in face.palette] if face else [])
    fabric.save(update_fields=["photo", "thumbnail", "colour", "value"])


def take_colours(fabric: Fabric, palette: colour.Palette) -> None:
    """Let a photo of these colours say the fabric's colour and value, each where she has not; the fabric is not saved."""
    seen = [] if fabric.colour_by_hand else palette
    if seen:
        fabric.colour = colour.main_of(seen)
    if not fabric.value_by_hand:
        fabric.value = colour.value_of_print(seen) if seen else colour.value_of(fabric.colour)


def forget(*, fabrics: Iterable[Fabric]) -> None:
    """Delete the pictures of fabrics that are about to go, once they have gone."""
    for fabric in fabrics:
        _delete_later({fabric.photo.name, fabric.thumbnail.name})
        for photo in fabric.photos.all():
            _delete_later(_files(photo))


def read(photo: Photo) -> bytes | None:
    """The whole photo as it is stored, or None where its file is lost."""
    return _read(str(photo.whole.name))


def _show(photo: Photo, ready: Pictures, stored: list[str]) -> None:
    photo.left, photo.top, photo.right, photo.bottom = ready.box
    photo.palette = [[one, share] for one, share in ready.palette]
    _store(photo.medium, "medium.webp", ready.medium, stored)
    _store(photo.small, "small.webp", ready.small, stored)


def _store(field: FieldFile, name: str, data: bytes, stored: list[str]) -> None:
    field.save(name, ContentFile(data), save=False)
    stored.append(str(field.name))


@contextmanager
def _undone_together() -> Iterator[list[str]]:
    """Files that are stored meanwhile go again if anything goes wrong."""
    stored: list[str] = []
    try:
        yield stored
    except BaseException:
        for name in stored:
            default_storage.delete(name)
        raise


def _files(photo: Photo) -> set[str | None]:
    return {photo.whole.name, photo.medium.name, photo.small.name}


def _delete_later(names: Iterable[str | None]) -> None:
    for name in names:
        if name:
            transaction.on_commit(partial(default_storage.delete, name))


def _read(name: str) -> bytes | None:
    if not default_storage.exists(name):
        return None
    with default_storage.open(name) as file:
        return bytes(file.read())


# --- set aside -------------------------------------------------------------------------------------------------------


def set_aside(*, owner: Person, photo: bytes, now: datetime) -> str:
    """Keep a photo for a while; returns the name to ask for it by. Those set aside long ago are cleared away."""
    clear_aside(owner_id=owner.pk, before=now - ASIDE_FOR)
    name = f"{secrets.token_urlsafe(16)}.webp"
    default_storage.save(_aside(owner, name), ContentFile(photo))
    return name


def aside(*, owner: Person, name: str) -> bytes | None:
    """The photo set aside under this name, or None where there is none of hers."""
    return _read(_aside(owner, name)) if _ASIDE.fullmatch(name) else None


def aside_url(*, owner: Person, name: str) -> str:
    return default_storage.url(_aside(owner, name))


def clear_aside(*, owner_id: int, before: datetime | None = None) -> None:
    """Delete what was set aside before then, or all of it."""
    folder = f"{owner_id}/aside"
    if not default_storage.exists(folder):
        return
    for name in default_storage.listdir(folder)[1]:
        if before is None or default_storage.get_modified_time(f"{folder}/{name}") < before:
            default_storage.delete(f"{folder}/{name}")


def _aside(owner: Person, name: str) -> str:
    return f"{owner.pk}/aside/{name}"
