"""How is a cloth made known, and what is said of it corrected? Facts and the photo; how much of it there is comes through the ledger."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import IntegrityError, transaction
from PIL import Image

from quiltbook.measures import Size
from quiltbook.people.models import Person
from stash import colour
from stash.models import Fabric, Movement, Tag
from stash.services import cloth, photos
from stash.services.cloth import Paid
from stash.services.errors import StashError

UNDYED = "#b7ae9f"


@dataclass(frozen=True, slots=True)
class Facts:
    """What is said of a cloth. Lengths in nm; `colour` as #rrggbb, empty: taken from the photo; `value`, empty: by its colour; `printed` only
    of a printed panel; `repeat`: after how much the print begins again."""

    name: str
    usable_width: int
    kind: str = Fabric.Kind.COTTON
    print_direction: str = Fabric.PrintDirection.ANY
    colour: str = ""
    printed: Size | None = None
    printed_seam: int = 0
    stripes: str = Fabric.Stripes.NONE
    repeat: Size | None = None
    note: str = ""
    value: str = ""
    print_scale: str = Fabric.PrintScale.UNKNOWN
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Arrival:
    """Cloth that came: its pieces, where they were put, and what was paid (None: it lay there already)."""

    sizes: Sequence[Size]
    day: date
    paid: Paid | None = None
    place: str = ""
    label: str = ""


@transaction.atomic
def add(*, owner: Person, facts: Facts, now: datetime, photo: bytes | None = None) -> Fabric:
    """A fabric with no cloth of it yet. Raises StashError when she has one of that name."""
    return _written(Fabric(owner=owner, created_at=now), facts, photo)


@transaction.atomic
def change(*, fabric: Fabric, facts: Facts, photo: bytes | None = None, without_photo: bool = False) -> Fabric:
    """Say other things of a fabric, with another photo if one is given. Raises StashError when another has that name."""
    if without_photo:
        photos.drop(fabric=fabric)
    return _written(fabric, facts, photo)


@transaction.atomic
def give_photo(*, fabric: Fabric, photo: bytes) -> None:
    photos.put(fabric=fabric, photo=photo)
    fabric.save(update_fields=["photo", "thumbnail"])


@transaction.atomic
def arrive(*, fabric: Fabric, arrival: Arrival, now: datetime) -> Movement:
    """Cloth of a known fabric, bought, or counted for the first time."""
    if arrival.paid is None:
        return cloth.find(
            fabric=fabric,
            sizes=arrival.sizes,
            place=arrival.place,
            label=arrival.label,
            day=arrival.day,
            now=now,
        )
    return cloth.buy(
        fabric=fabric,
        sizes=arrival.sizes,
        paid=arrival.paid,
        place=arrival.place,
        label=arrival.label,
        day=arrival.day,
        now=now,
    )


@transaction.atomic
def log(*, owner: Person, facts: Facts, arrival: Arrival, now: datetime, photo: bytes | None = None) -> Movement:
    """A new fabric and its first cloth, both or neither."""
    return arrive(fabric=add(owner=owner, facts=facts, now=now, photo=photo), arrival=arrival, now=now)


def _written(fabric: Fabric, facts: Facts, photo: bytes | None) -> Fabric:
    fabric.name, fabric.kind, fabric.note = facts.name, facts.kind, facts.note
    fabric.usable_width, fabric.print_direction = facts.usable_width, facts.print_direction
    seen = [] if facts.colour else _seen(fabric, photo)
    fabric.colour = facts.colour or (colour.main_of(seen) if seen else fabric.colour or UNDYED)
    fabric.value = facts.value or (colour.value_of_print(seen) if seen else colour.value_of(fabric.colour))
    fabric.colour_by_hand, fabric.value_by_hand = bool(facts.colour), bool(facts.value)
    fabric.print_scale = facts.print_scale
    fabric.printed_width = int(facts.printed.width) if facts.printed else None
    fabric.printed_length = int(facts.printed.length) if facts.printed else None
    fabric.printed_seam = facts.printed_seam if facts.printed else None
    fabric.stripes = facts.stripes
    fabric.repeat_width = int(facts.repeat.width) if facts.repeat else None
    fabric.repeat_length = int(facts.repeat.length) if facts.repeat else None
    try:
        with transaction.atomic():
            fabric.save()
    except IntegrityError as clash:
        if not Fabric.objects.of(fabric.owner).filter(name=fabric.name).exclude(pk=fabric.pk).exists():
            raise
        raise StashError(f"You have a fabric called {fabric.name} already.") from clash
    if photo:
        give_photo(fabric=fabric, photo=photo)
    _tag(fabric, facts.tags)
    return fabric


def _seen(fabric: Fabric, photo: bytes | None) -> colour.Palette:
    """The colours of its new photo, else of the one that is its face; empty where it has none."""
    if photo:
        with Image.open(io.BytesIO(photo)) as image:
            return colour.palette(image)
    face = fabric.photos.first() if fabric.pk else None
    return [(one, share) for one, share in face.palette] if face else []


def _tag(fabric: Fabric, names: Sequence[str]) -> None:
    """Give the fabric these tags and no others; a tag that no fabric has any more is forgotten."""
    known = {tag.name.casefold(): tag for tag in Tag.objects.filter(owner=fabric.owner)}
    wanted = {name.casefold(): name for name in names}
    new = [Tag(owner=fabric.owner, name=name) for key, name in wanted.items() if key not in known]
    known |= {tag.name.casefold(): tag for tag in Tag.objects.bulk_create(new)}
    fabric.tags.set([known[key] for key in wanted])
    Tag.objects.filter(owner=fabric.owner, fabrics=None).delete()
