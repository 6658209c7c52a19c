"""What is one line of a list of pieces to cut? How many, of which sizes, and how they came about."""

from __future__ import annotations

from dataclasses import dataclass

from quiltbook.measures import Size


@dataclass(frozen=True, slots=True)
class PieceRow:
    """`count` pieces to cut alike; `lengths` of cloth are joined for each, 1 for a whole one. `how`: where the size comes from."""

    words: str
    count: int
    finished: Size
    cut: Size
    lengths: int
    how: str
