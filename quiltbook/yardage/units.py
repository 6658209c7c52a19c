"""How are the triangles of blocks sewn many at a time, and what is cut for so many units?

Formulas with f the finished side and s the seam: two halves f + s(2 + √2); four √2(f + 2s) + 2s; eight twice the first; geese, four at
a time, w + 2s(1 + √2) and h + s(2 + √2); hourglasses f + 2s(1 + √2). Units are made at least this large and trimmed.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from quiltbook.measures import Length, round_up
from quiltbook.yardage.patches import Step
from quiltbook.yardage.shapes import ROOT2


@dataclass(frozen=True, slots=True)
class UnitPiece:
    """`count` squares (or strips, across the cloth) of one role; `exact`, and `cut` up to the step."""

    role: str
    count: int
    exact: float
    cut: int


@dataclass(frozen=True, slots=True)
class Units:
    """One way to make `needed` units of a `kind`: `made` come out, before trimming larger than needed by `trim`.

    `kind`: "half square", "quarter square", "goose" or "strip set". `way`: "two at a time", "four at a time", "eight at a
    time" or "strips". `bias_edges`: their outer edges are on the bias, and stretch.
    """

    kind: str
    way: str
    roles: tuple[str, ...]
    needed: int
    made: int
    pieces: tuple[UnitPiece, ...]
    trim: float = 0.0
    bias_edges: bool = False
    steps: tuple[Step, ...] = ()


def half_square_cut(finished: Length, seam: Length, at_a_time: int) -> float:
    """The squares, one of each cloth, that give two, four or eight half-square units."""
    f, s = float(finished), float(seam)
    if at_a_time == 4:
        return ROOT2 * (f + 2 * s) + 2 * s
    return (f + s * (2 + ROOT2)) * (2 if at_a_time == 8 else 1)


def half_square_unit(cut: Length, seam: Length, at_a_time: int) -> float:
    """How large half-square units come out of squares of that cut size, seams still on."""
    c, s = float(cut), float(seam)
    return (c - 2 * s) / ROOT2 if at_a_time == 4 else c / (2 if at_a_time == 8 else 1) - s * ROOT2


def goose_cuts(width: Length, height: Length, seam: Length) -> tuple[float, float]:
    """One large square of the goose and four small ones of the sky give four geese, `width` long and `height` high."""
    s = float(seam)
    return float(width) + 2 * s * (1 + ROOT2), float(height) + s * (2 + ROOT2)


def hourglass_cut(finished: Length, seam: Length) -> float:
    """The squares, one of each cloth, that give two quarter-square units."""
    return float(finished) + 2 * float(seam) * (1 + ROOT2)


def strip_set_width(strips: Sequence[Length], seam: Length) -> float:
    """How wide strips of those cut widths are once they are sewn together, seams left at both edges."""
    return float(sum(strips)) - 2 * float(seam) * (len(strips) - 1)


def half_squares(
    roles: tuple[str, str], finished: float, needed: int, seam: Length, step: int, surplus: Length = 0
) -> list[Units]:
    """The three ways to sew half-square units of two roles; `surplus` is added to each unit, to be trimmed off."""
    ways = []
    for each, name in ((2, "two at a time"), (4, "four at a time"), (8, "eight at a time")):
        exact = half_square_cut(finished + float(surplus), seam, each)
        cut, squares = round_up(exact, step), -(-needed // each)
        unit = half_square_unit(cut, seam, each)
        ways.append(
            Units(
                kind="half square",
                way=name,
                roles=roles,
                needed=needed,
                made=each * squares,
                pieces=tuple(UnitPiece(role, squares, exact, cut) for role in roles),
                trim=max(0.0, unit - finished - 2 * float(seam)),
                bias_edges=each == 4,
                steps=(
                    Step(
                        f"half squares {name}",
                        {"finished": finished, "seam allowance": seam, "exact": exact, "cut": cut, "unit": unit},
                        {"units": needed, "pairs of squares": squares},
                    ),
                ),
            )
        )
    return ways


def hourglasses(
    roles: tuple[str, str], finished: float, needed: int, seam: Length, step: int, surplus: Length = 0
) -> Units:
    """Quarter-square units of two roles, each twice, two at a time."""
    exact = hourglass_cut(finished, seam) + float(surplus)
    cut, squares = round_up(exact, step), -(-needed // 2)
    figures = {"finished": finished, "seam allowance": seam, "exact": exact, "cut": cut}
    return Units(
        kind="quarter square",
        way="two at a time",
        roles=roles,
        needed=needed,
        made=2 * squares,
        pieces=tuple(UnitPiece(role, squares, exact, cut) for role in roles),
        trim=cut - hourglass_cut(finished, seam),
        steps=(Step("quarter squares two at a time", figures, {"units": needed, "pairs of squares": squares}),),
    )


def geese(
    roles: tuple[str, str], width: float, height: float, needed: int, seam: Length, step: int, surplus: Length = 0
) -> Units:
    """Geese (goose, sky) four at a time."""
    large, small = (cut + float(surplus) for cut in goose_cuts(width, height, seam))
    sets = -(-needed // 4)
    pieces = (
        UnitPiece(roles[0], sets, large, round_up(large, step)),
        UnitPiece(roles[1], 4 * sets, small, round_up(small, step)),
    )
    figures = {
        "finished width": width,
        "finished height": height,
        "seam allowance": seam,
        "large": large,
        "small": small,
    }
    return Units(
        kind="goose",
        way="four at a time",
        roles=roles,
        needed=needed,
        made=4 * sets,
        pieces=pieces,
        trim=pieces[0].cut - large + float(surplus),
        steps=(Step("geese four at a time", figures, {"geese": needed, "sets": sets}),),
    )


def strip_set(
    roles: tuple[str, ...],
    widths: Sequence[float],
    segment: float,
    needed: int,
    seam: Length,
    cloth_width: Length,
    step: int,
) -> Units | None:
    """Strips across the cloth sewn side by side and cut into `needed` segments; None where the cloth is too narrow for one."""
    both = 2 * float(seam)
    cut = round_up(segment + both, step)
    a_set = int(float(cloth_width) // cut)
    if not a_set:
        return None
    sets = -(-needed // a_set)
    cuts = [round_up(width + both, step) for width in widths]
    return Units(
        kind="strip set",
        way="strips",
        roles=roles,
        needed=needed,
        made=sets * a_set,
        pieces=tuple(
            UnitPiece(role, sets, width + both, one) for role, width, one in zip(roles, widths, cuts, strict=True)
        ),
        steps=(
            Step(
                "strip sets",
                {"segment": cut, "cloth width": cloth_width, "set": strip_set_width([w + both for w in widths], seam)},
                {"segments": needed, "segments a set": a_set, "sets": sets},
            ),
        ),
    )
