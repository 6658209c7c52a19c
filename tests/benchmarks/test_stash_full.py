"""How quick is a full stash? The list, searches by colour and filters over 5,000 fabrics, 8,000 pieces and 60,000 movements.

Each as a multiple of a bare Django view that reads and renders as many plain rows, behind the same middleware and sign-in. The bounds are
several times what was measured, so that only a change of kind breaks them.
"""

from collections.abc import Callable
from datetime import timedelta
from functools import partial
from random import Random

import pytest
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.template import Context, Engine
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import include, path

from quiltbook.measures import NM_PER_INCH
from quiltbook.people.models import Person
from stash.colour import value_of
from stash.forms.search import PER_PAGE
from stash.models import Fabric, Hold, Movement, MovementLine, Photo, Piece, Tag
from tests.benchmarks.clock import medians
from tests.benchmarks.tables import Show
from tests.factories import NOW, TODAY

FABRICS, PIECES, MOVEMENTS, HELD, PHOTOS = 5_000, 8_000, 60_000, 400, 5_000
TIMES = 3
PAGES = {
    "list": ("/stash/", 60),
    "list, all filters": ("/stash/?words=cloth&value=dark&kind=cotton&place=Box+3&tags=tag+1&free=on", 60),
    "amount": ("/stash/?amount=1/2+yd", 80),
    "amount in one piece": ("/stash/?amount=1/2+yd&in_one=on", 80),
    "not used for a year": ("/stash/?resting=on", 100),
    "most cloth": ("/stash/?sort=most", 100),
    "longest since cut": ("/stash/?sort=rest", 150),
    "by hue": ("/stash/?sort=hue", 120),
    "near a colour": ("/stash/?near=%232f4b7c", 300),
    "near, with amount": ("/stash/?near=%232f4b7c&amount=1/2+yd&value=dark", 250),
    "like a cloth": ("/stash/?like={fabric}", 300),
    "laid out by hue": ("/stash/colours/", 200),
}
ROWS = Engine().from_string("<ul>{% for row in rows %}<li>{{ row.0 }}, {{ row.1 }}, {{ row.2 }}</li>{% endfor %}</ul>")


def bare(request: HttpRequest) -> HttpResponse:
    """As many plain rows as a page of the shelf has."""
    assert isinstance(request.user, Person)
    rows = Fabric.objects.of(request.user).values_list("name", "kind", "colour")[:PER_PAGE]
    return HttpResponse(ROWS.render(Context({"rows": rows})))


urlpatterns = [path("bare/", bare), path("", include("quiltbook.urls"))]


@pytest.fixture
def full(owner: Person) -> Fabric:
    """Fills the stash as years would; returns one of the fabrics."""
    chance = Random(4)  # noqa: S311, it fills a stash
    colours = [f"#{chance.randrange(1 << 24):06x}" for _ in range(2_000)]
    fabrics = Fabric.objects.bulk_create(
        Fabric(
            owner=owner,
            name=f"Cloth {n:04}",
            usable_width=42 * NM_PER_INCH,
            colour=(main := chance.choice(colours)),
            value=value_of(main),
            created_at=NOW - timedelta(days=n),
        )
        for n in range(FABRICS)
    )
    pieces = Piece.objects.bulk_create(
        Piece(
            owner=owner,
            fabric=fabrics[n % FABRICS],
            number=n // FABRICS + 1,
            width=42 * NM_PER_INCH,
            length=chance.randint(4, 80) * NM_PER_INCH,
            place=f"Box {chance.randint(1, 40)}",
            on_shelf=n % 10 != 0,
        )
        for n in range(PIECES)
    )
    kinds = [Movement.Kind.BOUGHT, Movement.Kind.CUT, Movement.Kind.MOVED, Movement.Kind.WASHED]
    movements = Movement.objects.bulk_create(
        Movement(owner=owner, kind=chance.choice(kinds), day=TODAY - timedelta(days=n // 12), recorded_at=NOW)
        for n in range(MOVEMENTS)
    )
    MovementLine.objects.bulk_create(
        MovementLine(movement=movement, piece=chance.choice(pieces), change=1) for movement in movements
    )
    Hold.objects.bulk_create(
        Hold(owner=owner, piece=piece, reason="Medallion", link="/plans/1/", held_at=NOW)
        for piece in chance.sample(pieces, HELD)
    )
    Photo.objects.bulk_create(
        Photo(
            owner=owner,
            fabric=fabric,
            position=0,
            width=9,
            height=9,
            right=9,
            bottom=9,
            palette=[[fabric.colour, 500], *([chance.choice(colours), 100] for _ in range(4))],
            added_at=NOW,
        )
        for fabric in fabrics[:PHOTOS]
    )
    tags = Tag.objects.bulk_create(Tag(owner=owner, name=f"tag {n}") for n in range(20))
    tagged = Fabric.tags.through
    tagged.objects.bulk_create(tagged(fabric=fabric, tag=tags[n % 20]) for n, fabric in enumerate(fabrics))
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    return fabrics[FABRICS // 2]


@pytest.mark.urls(__name__)
def test_a_full_stash_is_read_in_a_small_multiple_of_a_bare_view(at_home: Client, full: Fabric, show: Show) -> None:
    pages = {name: address.format(fabric=full.pk) for name, (address, _) in PAGES.items()}

    def read(address: str) -> None:
        assert at_home.get(address).status_code == 200

    def queries(doing: Callable[[], None]) -> int:
        with CaptureQueriesContext(connection) as seen:
            doing()
        return len(seen)

    counts = {name: queries(partial(read, address)) for name, address in pages.items()}
    bare_seconds, *seconds = medians([partial(read, "/bare/"), *(partial(read, one) for one in pages.values())], TIMES)
    multiples = {name: taken / bare_seconds for name, taken in zip(pages, seconds, strict=True)}

    show(
        f"A full stash, as multiples of a bare view ({bare_seconds * 1000:.1f} ms)",
        ["page", "multiple", "queries"],
        [[name, multiples[name], counts[name]] for name in pages],
    )
    assert {name: round(multiple) for name, multiple in multiples.items() if multiple > PAGES[name][1]} == {}
    assert max(counts.values()) <= 20
