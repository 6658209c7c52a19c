"""Every way there is to cut a few small rectangles edge to edge, tried one by one: slow, and right."""

from functools import cache
from itertools import combinations, product

type Rectangles = tuple[tuple[int, int], ...]


@cache
def can_be_cut(width: int, length: int, patches: Rectangles, turn: bool) -> bool:
    """Whether all the patches can be cut edge to edge from one cloth. Sizes are small whole numbers."""
    if not patches:
        return True
    if sum(w * h for w, h in patches) > width * length:
        return False
    if len(patches) == 1:
        [(w, h)] = patches
        return (w <= width and h <= length) or (turn and h <= width and w <= length)
    for some in _splits(patches):
        rest = _without(patches, some)
        for at in range(1, width):
            if can_be_cut(at, length, some, turn) and can_be_cut(width - at, length, rest, turn):
                return True
        for at in range(1, length):
            if can_be_cut(width, at, some, turn) and can_be_cut(width, length - at, rest, turn):
                return True
    return False


def least_opened(cloths: tuple[tuple[int, int], ...], patches: Rectangles, turn: bool) -> int | None:
    """The least area of cloths from which all the patches can be cut; None where they can't be."""
    areas = [
        sum(w * h for w, h in some)
        for n in range(1, len(cloths) + 1)
        for some in combinations(sorted(cloths), n)
        if _spread(some, patches, turn)
    ]
    return min(areas, default=None)


type Striped = tuple[int, int, str | None]  # width, length, and how the stripes run


def least_opened_of_striped(cloths: tuple[Striped, ...], patches: tuple[Striped, ...]) -> int | None:
    """The same where stripes must run along the patches ("along") or across them, and patches without a wish may turn."""
    areas = [
        sum(w * h for w, h, _ in some)
        for n in range(1, len(cloths) + 1)
        for some in combinations(cloths, n)
        if any(_all_cut(some, patches, goes) for goes in product(range(n), repeat=len(patches)))
    ]
    return min(areas, default=None)


def _all_cut(cloths: tuple[Striped, ...], patches: tuple[Striped, ...], goes: tuple[int, ...]) -> bool:
    """Whether the patches can be cut, each from the cloth it goes to."""
    for n, (width, length, run) in enumerate(cloths):
        here = [patch for patch, cloth in zip(patches, goes, strict=True) if cloth == n]
        ways = [_lying(patch, run) for patch in here]
        if not any(can_be_cut(width, length, tuple(sorted(lying)), False) for lying in product(*ways)):
            return False
    return True


def _lying(patch: Striped, run: str | None) -> list[tuple[int, int]]:
    width, length, asked = patch
    if asked and run:
        return [(width, length)] if asked == run else [(length, width)]
    return [(width, length), (length, width)]


def _spread(cloths: tuple[tuple[int, int], ...], patches: Rectangles, turn: bool) -> bool:
    if len(cloths) == 1:
        return can_be_cut(*cloths[0], tuple(sorted(patches)), turn)
    return any(
        can_be_cut(*cloths[0], some, turn) and _spread(cloths[1:], _without(patches, some), turn)
        for n in range(len(patches) + 1)
        for some in {tuple(sorted(chosen)) for chosen in combinations(patches, n)}
    )


def _splits(patches: Rectangles) -> set[Rectangles]:
    return {tuple(sorted(some)) for n in range(1, len(patches)) for some in combinations(patches, n)}


def _without(patches: Rectangles, some: Rectangles) -> Rectangles:
    rest = list(patches)
    for patch in some:
        rest.remove(patch)
    return tuple(sorted(rest))
