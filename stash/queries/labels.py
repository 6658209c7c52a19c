"""What stands on a label of a piece, and which piece does a code mean?

A code is the piece's number in Crockford's base 32 with his check symbol: no I, L, O or U to misread, and one wrong or two swapped
characters are found out."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q

from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash.models import Movement, MovementLine, Piece

DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CHECKS = DIGITS + "*~$=U"
SHORTEST = 3  # characters before the check symbol, so that codes are alike to the eye
_MOST_CHARACTERS = 14  # more than any row's number takes
_LIKE = str.maketrans("OIL", "011")
# Beyond this a printer runs out of labels, and the page of patience.
MOST = 240


@dataclass(frozen=True, slots=True)
class Label:
    """What is printed of one piece."""

    piece_id: int
    code: str
    fabric: str
    name: str
    size: Size
    place: str
    colour: str
    thumbnail_url: str

    @property
    def words(self) -> str:
        return f"{self.fabric} {self.name}"


def code_of(number: int) -> str:
    """`number`, not negative, with its check symbol: 1234 is 016JD. By D. Crockford's "Base 32"."""
    digits, rest = "", number
    while rest or len(digits) < SHORTEST:
        rest, digit = divmod(rest, len(DIGITS))
        digits = DIGITS[digit] + digits
    return digits + CHECKS[number % len(CHECKS)]


def number_of(code: str) -> int | None:
    """The number a code means, however it is typed: in small letters, with hyphens, O for 0, I or L for 1. None where it is none."""
    typed = code.upper().replace("-", "").translate(_LIKE)
    if not 2 <= len(typed) <= _MOST_CHARACTERS or any(char not in DIGITS for char in typed[:-1]):
        return None
    number = 0
    for char in typed[:-1]:
        number = number * len(DIGITS) + DIGITS.index(char)
    return number if CHECKS[number % len(CHECKS)] == typed[-1] else None


def labels(
    *,
    owner: Person,
    pieces: list[int] | None = None,
    fabric: int | None = None,
    place: str | None = None,
) -> tuple[tuple[Label, ...], int]:
    """Labels of pieces on the shelf, by place and fabric: at most MOST, and how many more there are. Of those `pieces` alone, of one
    `fabric`, of one `place` ("" is nowhere in particular), or of everything."""
    found = Piece.objects.of(owner).on_shelf()
    if pieces is not None:
        found = found.filter(pk__in=pieces)
    if fabric is not None:
        found = found.filter(fabric_id=fabric)
    if place is not None:
        found = found.filter(place=place)
    rows = found.select_related("fabric").order_by("place", "fabric__name", "fabric_id", "number")
    return tuple(_label(piece) for piece in rows[:MOST]), max(0, rows.count() - MOST)


def piece_now(*, owner: Person, code: str) -> int | None:
    """The id of the piece a label is on. Cloth that was washed or measured again has kept its label, so that is the piece it became.
    None where she has no such piece."""
    number = number_of(code)
    if number is None or number >= 2**63 or not Piece.objects.of(owner).filter(pk=number).exists():
        return None
    seen = {number}
    while (onward := _became(number)) is not None and onward not in seen:
        number = onward
        seen.add(number)
    return number


def _became(piece_id: int) -> int | None:
    """The one piece that washing or measuring made of it, where that stands."""
    if Piece.objects.filter(pk=piece_id, on_shelf=True).exists():
        return None
    last = (
        MovementLine.objects.filter(piece=piece_id, change=-1)
        .filter(Q(movement__kind__in=[Movement.Kind.WASHED, Movement.Kind.COUNTED, Movement.Kind.REVERSED]))
        .select_related("movement__reverses")
        .order_by("-pk")
        .first()
    )
    if last is None or last.movement.root.kind not in (Movement.Kind.WASHED, Movement.Kind.COUNTED):
        return None
    came = list(last.movement.lines.filter(change=1).values_list("piece_id", flat=True))
    return came[0] if len(came) == 1 else None


def _label(piece: Piece) -> Label:
    return Label(
        piece_id=piece.pk,
        code=code_of(piece.pk),
        fabric=piece.fabric.name,
        name=piece.name,
        size=piece.size,
        place=piece.place,
        colour=piece.fabric.colour,
        thumbnail_url=piece.fabric.thumbnail_url,
    )
