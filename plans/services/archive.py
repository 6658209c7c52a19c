"""How does everything of one person leave, and come in elsewhere? The stash's tables and the plans' in one archive.

Left out: who she is (an account is made where she signs up), and what only says how far a search in the background is."""

from __future__ import annotations

import re
from datetime import datetime
from typing import IO

from plans.models import (
    Allotment,
    CuttingSheet,
    Miscut,
    NotionChoice,
    Plan,
    PrintWish,
    Round,
    SheetCloth,
    SheetLine,
    SheetOffcut,
    ShoppingLine,
    Sitting,
    Stage,
)
from plans.queries.says import PARTS
from plans.queries.sheets import layout_of
from plans.services.rows import marked_on
from quiltbook.people.models import Person
from stash.services import archive, archive_loading
from stash.services.archive import AFTER_PLANS, BEFORE_PLANS, ArchiveError, Table
from stash.services.archive_loading import Mention
from stash.services.archive_reading import opened

_ROLE = frozenset({"role"})
TABLES = (
    *BEFORE_PLANS,
    Table(Plan, "owner"),
    Table(Round, "plan__owner"),
    Table(Allotment, "plan__owner", mentions=_ROLE),
    Table(PrintWish, "plan__owner", mentions=_ROLE),
    Table(Stage, "plan__owner", mentions=frozenset({"key"})),
    Table(Sitting, "stage__plan__owner"),
    Table(ShoppingLine, "owner", mentions=_ROLE),
    Table(CuttingSheet, "plan__owner", mentions=frozenset({"uncut"})),
    *AFTER_PLANS,
    Table(NotionChoice, "plan__owner"),
    Table(SheetCloth, "sheet__plan__owner", mentions=frozenset({"layout"})),
    Table(SheetLine, "cloth__sheet__plan__owner", mentions=_ROLE),
    Table(SheetOffcut, "cloth__sheet__plan__owner"),
    Table(Miscut, "line__cloth__sheet__plan__owner"),
)
# Roles and stages name a round by its row ("round-7-petals"), movements and holds the page that made them ("/plans/3/sheets/5/").
MENTIONS = (
    Mention(re.compile(r"(?<=\bround-)[0-9]{1,19}(?=-)"), "plans.round"),
    Mention(re.compile(r"(?<=/plans/)[0-9]{1,19}(?=/)"), "plans.plan"),
    Mention(re.compile(r"(?<=/sheets/)[0-9]{1,19}(?=/)"), "plans.cuttingsheet"),
)


def write(*, owner: Person, now: datetime) -> IO[bytes]:
    """Everything of hers as one open ZIP file, at its beginning. Raises ArchiveError."""
    return archive.write(owner=owner, tables=TABLES, now=now)


def load(*, owner: Person, file: IO[bytes], size: int) -> dict[str, int]:
    """Load an archive of `size` bytes into an account with nothing in it, and say how many rows of each table came. Raises ArchiveError, and
    then nothing was loaded."""
    with opened(file, size=size) as contents:
        return archive_loading.load(
            owner=owner, tables=TABLES, mentions=MENTIONS, contents=contents, check=_sheets_can_be_drawn
        )


def _sheets_can_be_drawn(owner: Person) -> None:
    """What is kept as JSON has no columns for the database to check, and a page would fall over it."""
    sheets = CuttingSheet.objects.of(owner).prefetch_related("cloths__lines")
    try:
        sound = all(_readable(sheet) for sheet in sheets)
    except (KeyError, TypeError, ValueError, AttributeError):
        sound = False
    if not sound:
        raise ArchiveError("A cutting sheet in that archive cannot be read, so nothing of it was loaded.")


def _readable(sheet: CuttingSheet) -> bool:
    wanted = [(one.width, one.length, one.count) for one in sheet.uncut_wanted()]
    rectangles: list[tuple[object, ...]] = []
    for cloth in sheet.cloths.all():
        layout = layout_of(cloth)
        rectangles += [(one.x, one.y, one.width, one.length) for one in layout.placements]
        rectangles += [(one.x, one.y, one.width, one.length) for one in layout.offcuts]
        rectangles += [(one.x, one.y, one.width, one.length, one.count) for one in layout.reserved]
        rectangles += [tuple(cloth.ticks), (cloth.layout["width"], cloth.layout["length"])]
        letters = marked_on(cloth)
        if any(p.patch not in letters for p in layout.placements) or any(
            n.part not in PARTS for n in cloth.lines.all()
        ):
            return False
    parts = all(row["part"] in PARTS and isinstance(row["role"], str) for row in sheet.uncut)
    return parts and all(type(side) is int for one in (*wanted, *rectangles) for side in one)
