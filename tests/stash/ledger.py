"""What must be true of every movement, and of what the shelf shows, whatever was done?"""

from collections.abc import Iterable

from django.db.models import Sum

from stash.models import Movement, Piece


def lines(movement: Movement) -> list[tuple[int, int]]:
    """(piece, change) of each line, in the order written."""
    return [(line.piece_id, line.change) for line in movement.lines.all()]


def balances(movement: Movement) -> bool:
    """Area ended = area begun + patches + waste + difference, in whole mm²."""
    ended = sum(line.piece.area_mm2 for line in movement.lines.all() if line.change == -1)
    begun = sum(line.piece.area_mm2 for line in movement.lines.all() if line.change == 1)
    return ended == begun + movement.patches_mm2 + movement.waste_mm2 + movement.difference_mm2


def shelf_mm2(pieces: Iterable[Piece]) -> int:
    return sum(piece.area_mm2 for piece in pieces if piece.on_shelf)


def came_in_mm2(movements: Iterable[Movement]) -> int:
    """What the shelf must hold if every movement is to be believed: −Σ(patches + waste + difference)."""
    return -sum(m.patches_mm2 + m.waste_mm2 + m.difference_mm2 for m in movements)


def told_by_the_lines() -> dict[int, int]:
    """Of every piece, the sum of its lines: 1 on the shelf, 0 not."""
    told = Piece.objects.annotate(told=Sum("lines__change", default=0))
    return dict(told.values_list("pk", "told"))
