"""Is this upload an archive of ours that may be read in? Everything is checked before anything of it is believed: how large it is and would
become, which names are in it, its format, and that each picture is one.

Nothing is ever unpacked onto the disk by the names the archive gives."""

from __future__ import annotations

import io
import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, Any

from PIL import Image, UnidentifiedImageError

from stash.services.archive import FORMAT, PICTURES, RECORDS, ArchiveError

MEGABYTE = 1024 * 1024
MOST_BYTES = 1024 * MEGABYTE
MOST_RECORDS = 128 * MEGABYTE
MOST_PICTURE = 15 * MEGABYTE
MOST_UNPACKED = 2048 * MEGABYTE
MOST_ENTRIES = 50_000
# What deflate makes of a quilter's records is a fifteenth or so; a thousandth is a trap.
MOST_RATIO = 200
_NAME = re.compile(rf"{PICTURES}[\w-]{{1,60}}\.webp", re.ASCII)
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED = 1
_TRAP = "That archive would unpack to far more than it should: it is not one that Quiltbook made."
_DAMAGED = "That archive is damaged or only part of it arrived. Make it again, or try sending it again."

type Rows = list[dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Contents:
    """An archive that was opened: the rows of its tables as they were written, and its pictures by name."""

    tables: dict[str, Rows]
    _archive: zipfile.ZipFile
    _pictures: frozenset[str]

    def picture(self, name: str) -> bytes:
        """The bytes of a picture, sure to be WebP. Raises ArchiveError where it is missing or none."""
        if name not in self._pictures:
            raise ArchiveError("A picture is missing from that archive, so nothing of it was loaded.")
        data = _read(self._archive, name)
        try:
            with Image.open(io.BytesIO(data), formats=["WEBP"]) as image:
                image.verify()
        except (
            UnidentifiedImageError,
            OSError,
            SyntaxError,
            ValueError,
            Image.DecompressionBombError,
            Image.DecompressionBombWarning,
        ) as wrong:
            raise ArchiveError(
                "One of the pictures in that archive is not a picture, so nothing was loaded."
            ) from wrong
        return data


@contextmanager
def opened(file: IO[bytes], *, size: int) -> Iterator[Contents]:
    """What an upload of `size` bytes holds, as long as it is open. Raises ArchiveError."""
    if size > MOST_BYTES:
        raise ArchiveError("That archive is larger than 1 GB, which is more than can be taken in here.")
    try:
        with zipfile.ZipFile(file) as archive:
            pictures = _checked(archive)
            yield Contents(_tables(_read(archive, RECORDS)), archive, pictures)
    except (zipfile.BadZipFile, EOFError, zlib.error, NotImplementedError) as wrong:
        raise ArchiveError(_DAMAGED if size else "That file is empty. Choose an archive.") from wrong


def _checked(archive: zipfile.ZipFile) -> frozenset[str]:
    """The names of the pictures, after every entry has been looked at. Their stated sizes hold: no more than that is read of any."""
    entries = archive.infolist()
    names = [entry.filename for entry in entries]
    if len(entries) > MOST_ENTRIES or sum(entry.file_size for entry in entries) > MOST_UNPACKED:
        raise ArchiveError(_TRAP)
    if RECORDS not in names:
        raise ArchiveError(
            "That is not an archive of Quiltbook: choose the ZIP file that was downloaded here or elsewhere."
        )
    if len(set(names)) < len(names) or any(name != RECORDS and not _NAME.fullmatch(name) for name in names):
        raise ArchiveError("There are files in that archive that Quiltbook never puts there, so nothing was loaded.")
    for entry in entries:
        most = MOST_RECORDS if entry.filename == RECORDS else MOST_PICTURE
        if entry.file_size > most or entry.file_size > MOST_RATIO * max(entry.compress_size, 1):
            raise ArchiveError(_TRAP)
        if entry.flag_bits & _ENCRYPTED or entry.compress_type not in _PACKED:
            raise ArchiveError(
                "That archive is locked or packed in a way that cannot be read here: send it as it was made."
            )
    return frozenset(names) - {RECORDS}


def _read(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as entry:
        return entry.read()


def _tables(data: bytes) -> dict[str, Rows]:
    try:
        records = json.loads(data.decode())
    except (ValueError, RecursionError) as wrong:
        raise ArchiveError(_DAMAGED) from wrong
    if not isinstance(records, dict) or type(records.get("format")) is not int:
        raise ArchiveError(_DAMAGED)
    if records["format"] != FORMAT:
        raise ArchiveError(
            f"That archive is of format {records['format']}; this Quiltbook reads format {FORMAT}. Load it where it was made, or in a newer one."
        )
    tables = records.get("tables")
    if not isinstance(tables, dict) or not all(
        isinstance(rows, list) and all(isinstance(row, dict) for row in rows) for rows in tables.values()
    ):
        raise ArchiveError(_DAMAGED)
    return tables
