"""What of the finishing may go on the shopping list, and in which words? Wadding off a roll or in packs, thread, papers, spray, web."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.text import slugify

from plans.models import Plan
from plans.queries.finishing import FinishingRows
from plans.queries.notions import NotionsRows, PaperRow
from plans.queries.says import show_length, show_size
from quiltbook.measures import System
from quiltbook.web.words import in_words


@dataclass(frozen=True, slots=True)
class Line:
    """A line for the shopping list; `role` is what it stands for there, so that it is there once. `length` in nm, of what is cut."""

    role: str
    what: str
    length: int | None = None


def lines(plan: Plan, rows: FinishingRows, notions: NotionsRows, system: System) -> dict[str, tuple[Line, ...]]:
    """The lines that each button of the page puts down, by the button's key."""
    found: dict[str, tuple[Line, ...]] = {}
    for roll in rows.wadding.roll:
        width = show_length(plan.wadding_roll, system=system)
        found[roll.key] = (Line("wadding", f"{in_words('Wadding')} off a roll {width} wide", roll.to_buy),)
    for pack in (*rows.wadding.packs, *rows.wadding.more_packs):
        size = show_size(pack.size, system=system)
        found[pack.key] = (Line("wadding", f"{in_words('Wadding')}, {_many(pack.packs, 'pack')} of {size}"),)
    found["thread"] = tuple(
        Line(
            f"thread {slugify(row.name)}",
            f"Thread, {_many(row.spools, 'spool')} of {notions.spool}: {row.name.lower()}",
        )
        for row in notions.thread
    )
    found["papers"] = tuple(
        Line(
            f"papers {slugify(row.shape)} {n}",
            f"Papers, {_many(row.packs, 'pack')}: {row.papers} {_paper(row, system)}",
        )
        for n, row in enumerate(notions.papers)
    )
    if notions.adhesive:
        found["spray"] = (Line("spray", f"Basting spray, {_many(notions.adhesive.containers, 'can')}"),)
    if notions.web and notions.web.to_buy and plan.web_width:
        width = show_length(plan.web_width, system=system)
        found["web"] = (Line("web", f"Fusible web {width} wide", notions.web.to_buy),)
    return found


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _paper(row: PaperRow, system: System) -> str:
    size = show_size(row.size, system=system)
    if row.side is not None:
        size = f"with sides of {show_length(row.side, system=system)}"
    return f"{row.shape.lower()} {size}"
