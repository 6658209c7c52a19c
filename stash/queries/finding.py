"""Which of her cloth is she looking for? By words, colour, value, print, kind, amount really free, place, tags and rest, all together.

What the database can tell it tells; nearness of colours is reckoned for all her cloth at once (stash.colour)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
from django.db.models import Count, ExpressionWrapper, F, FloatField, Max, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Cast, Least

from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash import colour
from stash.models import Fabric, Hold, Movement, MovementLine, Photo, Piece, Tag
from stash.queries.shelf import FabricRow, rows

MOST_WORDS = 12
RESTING = timedelta(days=365)
# CIEDE2000: farther than this nobody would call one colour like the other, nor one cloth, by all its colours. With none so near, the few
# nearest are shown.
NEAR, ALIKE, FEW = 20.0, 12.0, 6
# A cloth without photos is all of its colour.
_WHOLE = 1000
STRIPED = "stripes"
NAME, NEWEST, MOST, LEAST_USED, HUE = "name", "newest", "most", "rest", "hue"


@dataclass(frozen=True, slots=True)
class Sought:
    """What she asks for; what is left empty is not asked. `sizes`: so much must be free in all, or with `in_one` in whole pieces; a size as
    wide as her usual width is a length off the bolt. `near`: a colour; `like`: a fabric of hers. `sort`: "" is by name, or nearest first."""

    words: str = ""
    near: str = ""
    like: int | None = None
    hue: str = ""
    value: str = ""
    scale: str = ""
    direction: str = ""
    kind: str = ""
    place: str = ""
    sizes: tuple[Size, ...] = ()
    in_one: bool = False
    tags: tuple[str, ...] = ()
    resting: bool = False
    to_fill_in: bool = False
    free: bool = False
    used_up: bool = False
    sort: str = ""


@dataclass(frozen=True, slots=True)
class Near:
    """How near a cloth comes: CIEDE2000 from the colour asked for, and how much of the cloth is of it, in hundredths (None: all compared)."""

    difference: float
    share: int | None

    @property
    def words(self) -> str:
        steps = ((2, "The same to the eye"), (6, "Very near"), (12, "Near"), (NEAR, "Not far"))
        return next((words for most, words in steps if self.difference <= most), "Some way off")


@dataclass(frozen=True, slots=True)
class Cloth:
    row: FabricRow
    near: Near | None


@dataclass(frozen=True, slots=True)
class Found:
    """The cloths shown, and of all that were found how many fabrics and pieces there are and how much of them is free (mm²)."""

    cloths: tuple[Cloth, ...]
    count: int
    pieces: int
    free_mm2: int


def find(*, owner: Person, sought: Sought, today: date, first: int = 0, end: int = 60) -> Found:
    """The cloths from `first` to before `end` of those found, in her order. Raises Fabric.DoesNotExist where she has no fabric `like`."""
    found = _ordered(_narrowed(owner, sought, today), owner, sought.sort)
    by_eye: list[tuple[int, Near | None]] | None = None
    if sought.near or sought.like or sought.hue or sought.sort == HUE:
        by_eye = _by_eye(found, owner, sought)
    page: list[tuple[int, Near | None]]
    if by_eye is None:
        count, page = found.count(), [(pk, None) for pk in found.values_list("pk", flat=True)[first:end]]
    else:
        count, page = len(by_eye), by_eye[first:end]
    pieces, free = _totals(owner, found, None if by_eye is None else {pk for pk, _ in by_eye})
    shown = rows([pk for pk, _ in page])
    return Found(tuple(Cloth(row, near) for row, (_, near) in zip(shown, page, strict=True)), count, pieces, free)


def used_up(*, owner: Person) -> int:
    """Of how many fabrics nothing is left."""
    return _there(Fabric.objects.of(owner), owner, used_up=True).count()


def tags(*, owner: Person) -> tuple[str, ...]:
    return tuple(Tag.objects.filter(owner=owner, fabrics__isnull=False).distinct().values_list("name", flat=True))


# --- what the database can tell --------------------------------------------------------------------------------------


def _narrowed(owner: Person, sought: Sought, today: date) -> QuerySet[Fabric]:
    found = _there(Fabric.objects.of(owner), owner, used_up=sought.used_up)
    for word in sought.words.split()[:MOST_WORDS]:
        here = Piece.objects.of(owner).on_shelf().filter(Q(place__icontains=word) | Q(label__icontains=word))
        tagged = Tag.objects.filter(owner=owner, name__icontains=word)
        found = found.filter(
            Q(name__icontains=word)
            | Q(note__icontains=word)
            | Q(pk__in=here.values("fabric"))
            | Q(pk__in=tagged.values("fabrics"))
        )
    columns = {"kind": sought.kind, "value": sought.value, "print_scale": sought.scale}
    found = found.filter(**{name: said for name, said in columns.items() if said})
    if sought.direction:
        striped = sought.direction == STRIPED
        found = found.exclude(stripes="") if striped else found.filter(print_direction=sought.direction)
    if sought.place:
        found = found.filter(pk__in=Piece.objects.of(owner).on_shelf().filter(place=sought.place).values("fabric"))
    for tag in sought.tags:
        found = found.filter(pk__in=Tag.objects.filter(owner=owner, name=tag).values("fabrics"))
    if sought.to_fill_in:
        found = found.filter(to_fill_in=True)
    if sought.free or sought.sizes:
        found = found.filter(pk__in=_with_enough(owner, sought))
    return found.exclude(_used_since(owner, today - RESTING)) if sought.resting else found


def _there(found: QuerySet[Fabric], owner: Person, *, used_up: bool) -> QuerySet[Fabric]:
    """Fabrics with cloth on the shelf or to come, or still to be filled in; with `used_up` the others."""
    living = Piece.objects.of(owner).filter(Q(on_shelf=True) | Q(expected=True))
    here = Q(pk__in=living.values("fabric")) | Q(to_fill_in=True)
    return found.exclude(here) if used_up else found.filter(here)


def _free(owner: Person) -> QuerySet[Piece]:
    """Pieces that can be taken off the shelf now."""
    return Piece.objects.of(owner).on_shelf().exclude(pk__in=Hold.objects.of(owner).live().values("piece"))


def _mm2() -> ExpressionWrapper[Any]:
    """The area of a piece; in floating point, since a few pieces in nm² are more than a database's whole numbers hold."""
    width, length = (Cast(side, FloatField()) / 1e6 for side in ("width", "length"))
    return ExpressionWrapper(width * length, output_field=FloatField())


def _with_enough(owner: Person, sought: Sought) -> QuerySet[Piece, Any]:
    """Fabrics with so much free: all of it together, or in as many whole pieces as were asked for."""
    free, usual = _free(owner), owner.settings.usable_width
    if sought.sizes and sought.in_one:
        one = sought.sizes[0]
        wide = Least(one.width, F("fabric__usable_width")) if one.width == usual else one.width
        holds = Q(width__gte=wide, length__gte=one.length) | Q(width__gte=one.length, length__gte=wide)
        many = free.filter(holds).values("fabric").annotate(many=Count("pk"))
        return many.filter(many__gte=len(sought.sizes)).values("fabric")
    # A length off the bolt is as wide as the cloth is.
    off_bolt = sum(int(size.length) for size in sought.sizes if size.width == usual)
    other = sum(size.width * size.length for size in sought.sizes if size.width != usual) / 1e12
    width = Cast(Least(usual, F("fabric__usable_width")), FloatField())
    need = ExpressionWrapper(width / 1e6 * (off_bolt / 1e6) + float(other), output_field=FloatField())
    areas = free.values("fabric", "fabric__usable_width").annotate(area=Sum(_mm2()))
    # Whole lengths of cloth must not fall short by a rounding of floating point.
    return areas.filter(area__gte=need - 0.5, area__gt=0).values("fabric")


def _used_since(owner: Person, day: date) -> Q:
    """Fabrics bought, cut or held since that day; cuts taken back do not count."""
    taken = [Movement.Kind.BOUGHT, Movement.Kind.CUT]
    lines = MovementLine.objects.filter(_stands("movement"), movement__owner=owner, movement__kind__in=taken)
    held = Hold.objects.of(owner).filter(Q(released_at=None) | Q(released_at__date__gte=day))
    return Q(pk__in=lines.filter(movement__day__gte=day).values("piece__fabric")) | Q(
        pk__in=held.values("piece__fabric")
    )


def _stands(movement: str) -> Q:
    """It was not reversed, or its reversal was."""
    undone = f"{movement}__reversed_by"
    return Q(**{f"{undone}__isnull": True}) | Q(**{f"{undone}__reversed_by__isnull": False})


def _ordered(found: QuerySet[Fabric], owner: Person, sort: str) -> QuerySet[Fabric]:
    if sort == NEWEST:
        return found.order_by("-created_at", "-pk")
    if sort == MOST:
        areas = _free(owner).filter(fabric=OuterRef("pk")).order_by().values("fabric").annotate(area=Sum(_mm2()))
        return found.annotate(area=Subquery(areas.values("area"))).order_by(F("area").desc(nulls_last=True), "name")
    if sort == LEAST_USED:
        cuts = MovementLine.objects.filter(piece__fabric=OuterRef("pk"), movement__kind=Movement.Kind.CUT)
        last = cuts.order_by().values("piece__fabric").annotate(last=Max("movement__day"))
        return found.annotate(cut=Subquery(last.values("last"))).order_by(F("cut").asc(nulls_first=True), "name")
    return found.order_by("name", "pk")


def _totals(owner: Person, found: QuerySet[Fabric], only: set[int] | None) -> tuple[int, int]:
    """Pieces on the shelf, and mm² of them free."""
    here = Piece.objects.of(owner).on_shelf().filter(fabric__in=found.order_by().values("pk"))
    area = Sum(_mm2(), filter=~Q(pk__in=Hold.objects.of(owner).live().values("piece")))
    if only is None:
        sums = here.aggregate(pieces=Count("pk"), area=area)
        return sums["pieces"], round(sums["area"] or 0)
    sums_of = here.values("fabric").annotate(pieces=Count("pk"), area=area)
    each = [sums for sums in sums_of if sums["fabric"] in only]
    return sum(sums["pieces"] for sums in each), round(sum(sums["area"] or 0 for sums in each))


# --- what the eye can tell -------------------------------------------------------------------------------------------


def palettes(*, owner: Person, known: Iterable[tuple[int, str]]) -> list[colour.Palette]:
    """The colours of each fabric (id, main colour): those of its photos with their shares, and the main one if they lack it."""
    seen: dict[int, list[colour.Palette]] = {}
    for fabric, of_photo in Photo.objects.of(owner).exclude(palette=[]).values_list("fabric", "palette"):
        seen.setdefault(fabric, []).append([(one, share) for one, share in of_photo])
    return [_together(main, seen.get(pk, [])) for pk, main in known]


def _together(main: str, photos: Sequence[colour.Palette]) -> colour.Palette:
    all_of_them = [(one, share // len(photos)) for photo in photos for one, share in photo]
    if any(one == main for one, _ in all_of_them):
        return all_of_them
    # What she calls its colour is what its face shows most of.
    return [(main, photos[0][0][1] if photos else _WHOLE), *all_of_them]


def _by_eye(found: QuerySet[Fabric], owner: Person, sought: Sought) -> list[tuple[int, Near | None]]:
    known = list(found.values_list("pk", "colour"))
    if sought.hue:
        families = colour.hues_of([main for _, main in known]) if known else []
        known = [one for one, hue in zip(known, families, strict=True) if hue == sought.hue]
    if not known:
        return []
    if sought.near or sought.like:
        ranked = _ranked(known, owner, sought)
        if sought.sort in ("", HUE):
            return ranked
        near = dict(ranked)
        return [(pk, near[pk]) for pk, _ in known if pk in near]
    if sought.sort == HUE:
        known = [known[n] for n in colour.by_hue([main for _, main in known])]
    return [(pk, None) for pk, _ in known]


def _ranked(known: list[tuple[int, str]], owner: Person, sought: Sought) -> list[tuple[int, Near | None]]:
    """Nearest first. Differences that no eye sees count as none: then the cloth with more of the colour comes first."""
    if sought.like:
        model = Fabric.objects.of(owner).get(pk=sought.like)
        known = [one for one in known if one[0] != model.pk]
        if not known:
            return []
        *others, own = palettes(owner=owner, known=[*known, (model.pk, model.colour)])
        apart, shares, enough = colour.alike(colour.cloths(others), own), None, ALIKE
        order = apart.argsort(kind="stable")
    else:
        apart, shares = colour.nearest(colour.cloths(palettes(owner=owner, known=known)), sought.near)
        enough = NEAR
        order = np.lexsort((-shares, apart.round()))
    near_enough = int((apart <= enough).sum()) or FEW
    return [
        (known[n][0], Near(float(apart[n]), None if shares is None else min(100, round(100 * float(shares[n])))))
        for n in order[:near_enough].tolist()
    ]
