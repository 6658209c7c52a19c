"""What is a real piece of cloth to the engine? A rectangle with its selvedges off, its flaws, its print, and whether it may be turned.

`x` and `width` run across the grain from the left edge, `y` and `length` along it. Lengths are whole nm.
"""

from dataclasses import dataclass

STRIPES = ("along", "across")


@dataclass(frozen=True, slots=True)
class Flaw:
    """A rectangle of the cloth on which no patch may lie. What of it lies outside the cloth does not matter."""

    x: int
    y: int
    width: int
    length: int


@dataclass(frozen=True, slots=True)
class Repeat:
    """After how much the print begins again, across the cloth and along it. Where on the cloth a repeat begins is not known."""

    width: int
    length: int


@dataclass(frozen=True, slots=True)
class Cloth:
    """`count` pieces of cloth alike. On `one_way` cloth (a directional print, a nap) no patch is turned.

    `stripes`: how the print's stripes run, "along" the selvedge or "across". `repeat`: of the print. `washed`: its size does not change
    any more. `raw_ends`: at how many of its two ends it has yet to be squared up; one of them is at y = 0.
    """

    id: str
    fabric: str
    width: int
    length: int
    count: int = 1
    one_way: bool = False
    flaws: tuple[Flaw, ...] = ()
    stripes: str | None = None
    repeat: Repeat | None = None
    washed: bool = True
    raw_ends: int = 1


def ways(*, turn: bool, stripes: str | None, one_way: bool, cloth_stripes: str | None) -> tuple[bool, ...]:
    """How a patch may lie on a cloth: as it is asked for (False), turned by a quarter (True), either way, or not at all.

    Stripes settle it where both have them: those of the patch run "along" its length or "across" it.
    """
    allowed = (False, True) if turn and not one_way else (False,)
    if stripes and cloth_stripes:
        return tuple(turned for turned in allowed if turned == (stripes != cloth_stripes))
    return allowed
