"""How is a printed panel cut? It is allotted, not laid out: the picture stays in the middle and is trimmed on all four sides."""

from __future__ import annotations

from collections.abc import Sequence

from plans.queries.needs import Need
from quiltbook.yardage.cutting import ClothLayout, Cut, Layout, Placement, Uncut
from stash.models import Piece


def lay_out_panel(*, pieces: Sequence[Piece], need: Need, label: str) -> Layout:
    """The smallest piece that holds the trimmed panel, cut round its middle; trimmings are waste. Without such a piece: uncut."""
    width, length = int(need.patch.size.width), int(need.patch.size.length)
    fitting = [piece for piece in pieces if piece.width >= width and piece.length >= length]
    if not fitting:
        return _layout([], [Uncut(label, need.count)], 0, 0)
    piece = min(fitting, key=lambda p: (p.width * p.length, p.pk))
    left, top = (piece.width - width) // 2, (piece.length - length) // 2
    cuts = _trims(piece, left, top, left + width, top + length)
    cloth = ClothLayout(str(piece.pk), 1, (Placement(label, None, left, top, width, length),), cuts, ())
    return _layout([cloth], [], width * length, piece.width * piece.length - width * length)


def _trims(piece: Piece, left: int, top: int, right: int, bottom: int) -> tuple[Cut, ...]:
    """Top and bottom first across the cloth, then the sides of what is left."""
    sides = [
        ("across", top, 0, piece.width, top > 0),
        ("across", bottom, 0, piece.width, bottom < piece.length),
        ("along", left, top, bottom, left > 0),
        ("along", right, top, bottom, right < piece.width),
    ]
    wanted = [side for side in sides if side[4]]
    return tuple(
        Cut(number, direction, at, start, end) for number, (direction, at, start, end, _) in enumerate(wanted, 1)
    )


def _layout(cloths: list[ClothLayout], uncut: list[Uncut], used: int, waste: int) -> Layout:
    return Layout(
        method="close",
        effort="quick",
        stood_in=False,
        cloths=tuple(cloths),
        uncut=tuple(uncut),
        used_area=used,
        offcut_area=0,
        waste_area=waste,
        handbook=None,
    )
