"""How can the triangles and strips of blocks be sewn many at a time? The engine's ways as sentences in her own measures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plans.queries.says import show_length, show_size
from quiltbook.measures import NM_PER_MM, Length, Size, System
from quiltbook.yardage.units import Units

CALLED = {"half square": "half square", "quarter square": "hourglass", "goose": "goose"}
MANY = {"half square": "half squares", "quarter square": "hourglasses", "goose": "geese"}
# Less than this is not worth a word at the mat: a common-practice figure, no source.
LEAST_TRIMMED = NM_PER_MM // 4


@dataclass(frozen=True, slots=True)
class WaysRow:
    """Units that can be sewn many at a time: what they are, and each way to make them, in sentences."""

    words: str
    ways: tuple[str, ...]


def ways(units: Iterable[Units], seam_allowance: Length, system: System) -> tuple[WaysRow, ...]:
    """The engine's ways, those that make the same units together."""
    found: dict[str, list[str]] = {}
    for one in units:
        found.setdefault(_words(one, system), []).append(_way(one, seam_allowance, system))
    return tuple(WaysRow(words, tuple(told)) for words, told in found.items())


def _words(units: Units, system: System) -> str:
    """What is made: "24 half squares of star and background, 2 in finished"."""
    lengths = units.steps[0].lengths
    if units.kind == "strip set":
        segment = show_length(lengths["segment"], system=system)
        return f"{units.needed} strips of {_listed(units.roles)} in a row, each {segment} wide"
    called = (CALLED if units.needed == 1 else MANY)[units.kind]
    if units.kind == "goose":
        width, height = (show_length(lengths[f"finished {side}"], system=system) for side in ("width", "height"))
        return f"{units.needed} {called} of {_listed(units.roles)}, {width} wide and {height} high finished"
    return (
        f"{units.needed} {called} of {_listed(units.roles)}, {show_length(lengths['finished'], system=system)} finished"
    )


def _way(units: Units, seam: Length, system: System) -> str:
    if units.kind == "strip set":
        return _strips(units, system)
    squares = [(piece.count, show_length(piece.cut, system=system), piece.role) for piece in units.pieces]
    if units.kind == "goose":
        told = " and ".join(f"{_squares(count, side)} of {role}" for count, side, role in squares)
    else:
        told = f"{_squares(*squares[0][:2])} of each"
    told = f"{units.way.capitalize()}: {told}."
    if units.made > units.needed:
        told += f" That makes {units.made}."
    if units.trim > LEAST_TRIMMED:
        told += f" They come out a little large: trim each to {_trimmed(units, seam, system)}, seams included."
    if units.bias_edges:
        told += " Their outer edges lie on the bias and stretch."
    return told


def _trimmed(units: Units, seam: Length, system: System) -> str:
    lengths, both = units.steps[0].lengths, 2 * float(seam)
    if units.kind == "goose":
        sides = (float(lengths[f"finished {side}"]) + both for side in ("width", "height"))
        return show_size(Size(*sides), system=system)
    return show_length(lengths["finished"] + both, system=system)


def _strips(units: Units, system: System) -> str:
    step, sets = units.steps[0], units.pieces[0].count
    strips = _listed([f"{piece.role} {show_length(piece.cut, system=system)}" for piece in units.pieces])
    segment = show_length(step.lengths["segment"], system=system)
    each = step.counts["segments a set"]
    many = f"{sets} such {'set gives' if sets == 1 else 'sets give'} {units.made}"
    return f"Sew strips across the cloth side by side, {strips} wide; cut {segment} off at a time, {each} to a set: {many}."


def _squares(count: int, side: str) -> str:
    return f"{count} {'square' if count == 1 else 'squares'} of {side}"


def _listed(words: Sequence[str]) -> str:
    """ "a, b and c"."""
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]
