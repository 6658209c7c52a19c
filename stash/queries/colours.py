"""Which colours lie on her shelf: all of it by hue and by value, the colours of one cloth's photos, and what goes with it?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from quiltbook.people.models import Person
from stash import colour
from stash.models import Fabric, Photo, Piece
from stash.queries.shelf import FabricRow, rows

MOST_IN_A_CELL = 24
MOST_SUGGESTED = 6

_SAYS: Mapping[str, tuple[str, str]] = {
    colour.LIGHTER: ("Lighter", "The same hue, lighter: patches that differ and still belong together."),
    colour.DARKER: ("Darker", "The same hue, darker: depth and shade."),
    colour.NEIGHBOUR: ("Neighbours", "The hues next to it: calm beside it, none stands out."),
    colour.OPPOSITE: ("Opposite", "From the far side of the circle of hues: each makes the other stand out."),
    colour.NEUTRALS: ("Neutrals", "Without a hue of their own: a ground on which it shows."),
}
_BESIDE_A_NEUTRAL = ("Colours", "It has no hue of its own, so that every colour shows on it: the strongest first.")


@dataclass(frozen=True, slots=True)
class Chip:
    """A cloth no larger than a thumb: `photo_url` may be empty."""

    id: int
    name: str
    colour: str
    photo_url: str


@dataclass(frozen=True, slots=True)
class Cell:
    """The cloths of one hue and value, or the first of them, and how many there are."""

    value: str
    words: str
    cloths: tuple[Chip, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Family:
    hue: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Swatch:
    """One colour of a photo, in words, with the hundredths of it that are of that colour."""

    colour: str
    words: str
    share: int


@dataclass(frozen=True, slots=True)
class Seen:
    """A photo with its colours, the commonest first."""

    id: int
    url: str
    swatches: tuple[Swatch, ...]


@dataclass(frozen=True, slots=True)
class Going:
    """Cloths that go with another by one plain relation of colours."""

    title: str
    sentence: str
    cloths: tuple[FabricRow, ...]


def laid_out(*, owner: Person) -> tuple[Family, ...]:
    """All cloth that is there, by family of hue and by value; families of which there is none are left out."""
    known = list(_there(owner).order_by("name", "pk").only("pk", "name", "colour", "value", "photo", "thumbnail"))
    hues = colour.hues_of([cloth.colour for cloth in known]) if known else []
    cells: dict[tuple[str, str], list[Fabric]] = defaultdict(list)
    for cloth, hue in zip(known, hues, strict=True):
        cells[hue, cloth.value].append(cloth)
    return tuple(
        Family(hue, tuple(_cell(value, cells[hue, value]) for value in Fabric.Value))
        for hue in colour.HUES
        if hue in hues
    )


def _cell(value: Fabric.Value, cloths: list[Fabric]) -> Cell:
    shown = tuple(Chip(one.pk, one.name, one.colour, one.thumbnail_url) for one in cloths[:MOST_IN_A_CELL])
    return Cell(value.value, str(value.label), shown, len(cloths))


def photos_of(*, owner: Person, fabric: Fabric) -> tuple[Seen, ...]:
    """The fabric's photos, its face first."""
    return tuple(
        Seen(photo.pk, photo.medium.url, tuple(Swatch(one, colour.said(one), round(share / 10)) for one, share in photo.palette))
        for photo in Photo.objects.of(owner).filter(fabric=fabric)
    )  # fmt: skip


def panels(*, owner: Person) -> tuple[Chip, ...]:
    """Printed panels with a photo, to take colours from."""
    found = Fabric.objects.of(owner).filter(kind=Fabric.Kind.PANEL, photos__isnull=False).distinct()
    return tuple(Chip(one.pk, one.name, one.colour, one.thumbnail_url) for one in found[:MOST_IN_A_CELL])


def goes_with(*, owner: Person, fabric: Fabric) -> tuple[Going, ...]:
    """Cloth that is there and goes with it, a few by each relation: the likeliest first, of nearly the same colour only one."""
    known = list(_there(owner).exclude(pk=fabric.pk).order_by("pk").values_list("pk", "colour"))
    others = [main for _, main in known]
    by_relation: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for one, relation in zip(known, colour.relations(fabric.colour, others), strict=True):
        by_relation[relation].append(one)
    chosen = {
        relation: [found[n][0] for n in colour.a_few([main for _, main in found], fabric.colour, MOST_SUGGESTED)]
        for relation in colour.RELATIONS
        if (found := by_relation[relation])
    }
    shown = {row.id: row for row in rows([pk for ids in chosen.values() for pk in ids])}
    plain = colour.is_neutral(fabric.colour)
    return tuple(
        Going(*(_BESIDE_A_NEUTRAL if plain and relation == colour.OPPOSITE else _SAYS[relation]), tuple(shown[pk] for pk in ids))
        for relation, ids in chosen.items()
    )  # fmt: skip


def _there(owner: Person) -> QuerySet[Fabric]:
    living = Piece.objects.of(owner).filter(Q(on_shelf=True) | Q(expected=True))
    return Fabric.objects.of(owner).filter(pk__in=living.values("fabric"))
