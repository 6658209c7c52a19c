"""What is a real piece of cloth to the engine? A rectangle with its selvedges off, the flaws in it, and whether it may be turned.

`x` and `width` run across the grain from the left edge, `y` and `length` along it. Lengths are whole nm.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Flaw:
    """A rectangle of the cloth on which no patch may lie. What of it lies outside the cloth does not matter."""

    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class Cloth:
    """`count` pieces of cloth alike. On `one_way` cloth (a directional print, a nap) no patch is turned."""

    id: str
    fabric: str
    width: int
    length: int
    count: int = 1
    one_way: bool = False
    flaws: tuple[Flaw, ...] = ()
