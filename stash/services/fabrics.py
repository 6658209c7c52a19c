"""How is a cloth made known, and what is said of it corrected? Facts and the photo; how much of it there is comes through the ledger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import IntegrityError, transaction

from quiltbook.measures import Size
from quiltbook.people.models import Person
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


def add(*, owner: Person, facts: Facts, now: datetime, photo: bytes | None = None) -> Fabric:
    """A fabric with no cloth of it yet. Raises StashError when she has one of that name."""
    ready = photos.pictures(photo) if photo else None
    with transaction.atomic():
        fabric = _written(Fabric(owner=owner, created_at=now), facts)
        if ready:
            photos.add(fabric=fabric, photo=ready, now=now)
    return fabric


@transaction.atomic
def change(*, fabric: Fabric, facts: Facts) -> Fabric:
    """Say other things of a fabric. Raises StashError when another has that name."""
    return _written(fabric, facts)


@transaction.atomic
def arrive(*, fabric: Fabric, arrival: Arrival, now: datetime) -> Movement:
    """Cloth of a known fabric, bought, or counted for the first time; what was still to be said of it is said."""
    if fabric.to_fill_in:
        fabric.to_fill_in = False
        fabric.save(update_fields=["to_fill_in"])
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


def log(*, owner: Person, facts: Facts, arrival: Arrival, now: datetime, photo: bytes | None = None) -> Movement:
    """A new fabric and its first cloth, both or neither."""
    ready = photos.pictures(photo) if photo else None
    with transaction.atomic():
        fabric = add(owner=owner, facts=facts, now=now)
        movement = arrive(fabric=fabric, arrival=arrival, now=now)
        if ready:
            photos.add(fabric=fabric, photo=ready, now=now)
    return movement


def _written(fabric: Fabric, facts: Facts) -> Fabric:
    fabric.name, fabric.kind, fabric.note = facts.name, facts.kind, facts.note
    fabric.usable_width, fabric.print_direction = facts.usable_width, facts.print_direction
    fabric.colour, fabric.colour_by_hand = facts.colour or fabric.colour or UNDYED, bool(facts.colour)
    fabric.value, fabric.value_by_hand = facts.value or fabric.value, bool(facts.value)
    face = fabric.photos.first() if fabric.pk else None
    photos.take_colours(fabric, [(one, share) for one, share in face.palette] if face else [])
    fabric.print_scale = facts.print_scale
    fabric.printed_width = int(facts.printed.width) if facts.printed else None
    fabric.printed_length = int(facts.printed.length) if facts.printed else None
    fabric.printed_seam = facts.printed_seam if facts.printed else None
    fabric.stripes = facts.stripes
    fabric.repeat_width = int(facts.repeat.width) if facts.repeat else None
    fabric.repeat_length = int(facts.repeat.length) if facts.repeat else None
    save_named(fabric=fabric)
    _tag(fabric, facts.tags)
    return fabric


def save_named(*, fabric: Fabric) -> None:
    """Save a fabric under the name it has now. Raises StashError when another of hers has it."""
    try:
        with transaction.atomic():
            fabric.save()
    except IntegrityError as clash:
        if not Fabric.objects.of(fabric.owner).filter(name=fabric.name).exclude(pk=fabric.pk).exists():
            raise
        raise StashError(f"You have a fabric called {fabric.name} already.") from clash


def _tag(fabric: Fabric, names: Sequence[str]) -> None:
    """Give the fabric these tags and no others; a tag that no fabric has any more is forgotten."""
    known = {tag.name.casefold(): tag for tag in Tag.objects.filter(owner=fabric.owner)}
    wanted = {name.casefold(): name for name in names}
    new = [Tag(owner=fabric.owner, name=name) for key, name in wanted.items() if key not in known]
    known |= {tag.name.casefold(): tag for tag in Tag.objects.bulk_create(new)}
    fabric.tags.set([known[key] for key in wanted])
    Tag.objects.filter(owner=fabric.owner, fabrics=None).delete()
