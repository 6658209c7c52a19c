"""Does what is written down of somebody's cloth add up? Told again from its first movement, the ledger must give the shelf as it is shown."""

from __future__ import annotations

from collections import defaultdict

from quiltbook.measures import mm2
from quiltbook.people.models import Person
from stash.models import Hold, Movement, MovementLine, Piece


def what_does_not_add_up(*, owner: Person) -> str:
    """A sentence that says what is wrong with her ledger; "" where it is sound. Four queries, however much there is."""
    pieces = {piece.pk: piece for piece in Piece.objects.of(owner).select_related("fabric")}
    areas = {key: mm2(piece.width, piece.length) for key, piece in pieces.items()}
    shelf: dict[int, str] = {}
    gone: dict[int, int] = defaultdict(int)
    lines = MovementLine.objects.filter(movement__owner=owner).order_by("movement_id", "pk")
    for moved, key, change, place in lines.values_list("movement_id", "piece_id", "change", "place"):
        gone[moved] -= change * areas[key]
        if change == 1 and key not in shelf:
            shelf[key] = place
        elif change == -1 and shelf.get(key) == place:
            del shelf[key]
        else:
            return f"{pieces[key].full_name} comes or goes where it cannot."
    for movement in Movement.objects.of(owner):
        stated = movement.patches_mm2 + movement.waste_mm2 + movement.difference_mm2
        if gone[movement.pk] != stated:
            return f"what was {movement.get_kind_display().lower()} on {movement.day:%d %b %Y} leaves cloth over or takes it from nowhere."
    for piece in pieces.values():
        if piece.on_shelf != (piece.pk in shelf) or (piece.on_shelf and piece.place != shelf[piece.pk]):
            return f"{piece.full_name} does not lie where its movements put it."
    if stray := Hold.objects.of(owner).live().filter(piece__on_shelf=False, piece__expected=False).first():
        return f"{stray.piece.full_name} is held, but is not there."
    return ""
