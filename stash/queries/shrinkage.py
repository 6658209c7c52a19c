"""How much does her cloth lose in the wash? What her own washes show, a kind of cloth, each way; and which pieces were washed already.

A wash counts where it is not undone and the cloth had not been washed before: what has shrunk once shrinks little. By ISO 5077, see
`quiltbook.yardage.shrinkage`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import QuerySet

from quiltbook.measures import NM_PER_INCH, NM_PER_MM, Size, System, show_size
from quiltbook.people.models import Person
from quiltbook.yardage.shrinkage import Shrinkage, ShrinkageError, after_washing, measured
from stash.models import Fabric, Movement, MovementLine, Piece

# What the trade reckons with where nothing is known. Common practice, no source.
USUAL = Shrinkage(Fraction(3, 100), Fraction(3, 100))
# ISO 5077 tests three specimens where it can: fewer washes of hers are not yet trusted to be the most there is.
ENOUGH_WASHES = 3
HARD_SPACE = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Learned:
    """What the washes of one kind of cloth show, as shares lost (1/20 is five per cent, negative where cloth grew): their mean, and
    the least and the most of them, each way by itself."""

    kind: str
    washes: int
    mean: Shrinkage
    least: Shrinkage
    most: Shrinkage

    @property
    def kind_name(self) -> str:
        return str(Fabric.Kind(self.kind).label)


def learned(*, owner: Person, kind: str) -> Learned | None:
    """None where she has washed no cloth of that kind for the first time."""
    return learned_by_kind(owner=owner, kinds=[kind]).get(kind)


def learned_by_kind(*, owner: Person, kinds: Iterable[str] | None = None) -> dict[str, Learned]:
    washes = Movement.objects.of(owner).filter(kind=Movement.Kind.WASHED)
    if kinds is not None:
        washes = washes.filter(lines__piece__fabric__kind__in=list(kinds)).distinct()
    lines = _lines_by_movement(MovementLine.objects.filter(movement__in=_standing(washes)))
    before_any = washed_pieces(fabrics={line.piece.fabric_id for both in lines.values() for line in both})
    shown: dict[str, list[Shrinkage]] = defaultdict(list)
    for both in lines.values():
        out, into = (next(line.piece for line in both if line.change == change) for change in (-1, 1))
        if out.pk not in before_any:
            with suppress(ShrinkageError):  # lost by half: that was cut, not washed away
                share = measured(out.size, into.size)
                shown[out.fabric.kind].append(share)
    return {kind: _of(kind, shares) for kind, shares in shown.items()}


def told(known: Learned) -> str:
    """ "Quilting cotton of yours shrank 3 % along and 2 % across in 5 washes, between 2 and 4 % along …"."""
    washes = "one wash" if known.washes == 1 else f"{known.washes} washes"
    along, across = _shrank(known.mean.length), _shrank(known.mean.width)
    mean = f"{along} along and {across.removeprefix(along.split()[0]).lstrip()} across"
    sentence = f"{known.kind_name} of yours {mean} in {washes}"
    if known.washes == 1:
        return f"{sentence}."
    along = _between(known.least.length, known.most.length)
    across = _between(known.least.width, known.most.width)
    return f"{sentence}: {along} along, {across} across."


def to_expect(known: Learned | None, size: Size, system: System) -> str:
    """What a piece of that size may measure once washed, in a sentence; "" where nothing is learned yet."""
    if known is None:
        return ""
    left = after_washing(size, known.mean)
    step = NM_PER_INCH // 8 if system is System.INCHES else NM_PER_MM
    about = Size(round(left.width / step) * step, round(left.length / step) * step)
    return f"By them it comes out about {show_size(about, system=system)}."


def _shrank(share: Fraction) -> str:
    return f"{'grew' if share < 0 else 'shrank'} {percent(abs(share))}"


def _between(least: Fraction, most: Fraction) -> str:
    low, high = percent(least), percent(most)
    return low if low == high else f"{low.removesuffix(f'{HARD_SPACE}%')} to {high}"


def percent(share: Fraction) -> str:
    """To a tenth of a per cent, with a space that does not break."""
    tenths = f"{float(round(share * 100, 1)):.1f}".removesuffix(".0")
    return f"{tenths.replace('-', '−')}{HARD_SPACE}%"


def to_reckon_with(known: Learned | None) -> Shrinkage:
    """What to expect of cloth to be bought or laid out, so that it is not short: the most any of hers lost, and while she has washed
    but little of it no less than is usual. That cloth may grow is never counted on."""
    if known is None:
        return USUAL
    floor = USUAL if known.washes < ENOUGH_WASHES else Shrinkage(Fraction(0), Fraction(0))
    return Shrinkage(max(known.most.width, floor.width), max(known.most.length, floor.length))


def washed_pieces(*, fabrics: Iterable[int]) -> set[int]:
    """The ids of the pieces of these fabrics that were washed, or come of one that was."""
    made_of = (
        MovementLine.objects.filter(piece__fabric__in=list(fabrics))
        .exclude(movement__kind__in=[Movement.Kind.MOVED, Movement.Kind.REVERSED])
        .order_by("movement_id", "pk")
    )
    standing = set(_standing(Movement.objects.filter(pk__in=made_of.order_by().values("movement"))))
    children: dict[int, set[int]] = defaultdict(set)
    washed: set[int] = set()
    for movement, both in _lines_by_movement(made_of).items():
        if movement not in standing:
            continue
        into = {line.piece_id for line in both if line.change == 1}
        for line in both:
            if line.change == -1:
                children[line.piece_id] |= into
        if both[0].movement.kind == Movement.Kind.WASHED:
            washed |= into
    return _with_all_that_came_of(washed, children)


def is_washed(piece: Piece) -> bool:
    return piece.pk in washed_pieces(fabrics=[piece.fabric_id])


def _with_all_that_came_of(pieces: set[int], children: Mapping[int, set[int]]) -> set[int]:
    found, new = set(pieces), set(pieces)
    while new:
        new = {child for piece in new for child in children.get(piece, ())} - found
        found |= new
    return found


def _standing(movements: Iterable[Movement]) -> list[int]:
    """The ids of those that are not undone: not reversed, or by a reversal that is undone itself."""
    ids = [movement.pk for movement in movements]
    by: dict[int, int] = {}
    asked = ids
    while asked:
        found = dict(Movement.objects.filter(reverses__in=asked).values_list("reverses_id", "pk"))
        by |= found
        asked = list(found.values())

    def undone(pk: int) -> bool:
        return pk in by and not undone(by[pk])

    return [pk for pk in ids if not undone(pk)]


def _lines_by_movement(lines: QuerySet[MovementLine]) -> dict[int, list[MovementLine]]:
    by_movement: dict[int, list[MovementLine]] = defaultdict(list)
    for line in lines.select_related("movement", "piece__fabric"):
        by_movement[line.movement_id].append(line)
    return by_movement


def _of(kind: str, shares: list[Shrinkage]) -> Learned:
    widths, lengths = [share.width for share in shares], [share.length for share in shares]
    n = len(shares)
    return Learned(
        kind=kind,
        washes=n,
        mean=Shrinkage(sum(widths, Fraction(0)) / n, sum(lengths, Fraction(0)) / n),
        least=Shrinkage(min(widths), min(lengths)),
        most=Shrinkage(max(widths), max(lengths)),
    )
