"""Why can cloth not be changed? Each rule has one sentence, said when a change is refused and before it is tried."""

from __future__ import annotations

from stash.models.hold import Hold
from stash.models.piece import Piece


def held(hold: Hold) -> str:
    return f"{hold.piece.full_name} is held for {hold.reason}: release it there first."


def moved_since(piece: Piece) -> str:
    return f"{piece.full_name} has been moved or cut since, so this can no longer be undone."


def not_on_shelf(piece: Piece) -> str:
    return f"{piece.full_name} is not on the shelf."


def elsewhere() -> str:
    return "This was done on a plan's page: undo it there."
