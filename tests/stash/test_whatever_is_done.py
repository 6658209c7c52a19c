"""Whatever two people do to their cloth, in whatever order, cloth is conserved and never promised twice."""

from collections.abc import Callable, Iterable
from typing import Any

import pytest
from django.db import transaction
from django.db.models import Count
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from quiltbook.measures import Size
from stash.models import Fabric, Hold, Movement, MovementLine, Piece
from stash.services import cloth, holds, ledger, offcuts
from stash.services.cloth import Paid
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, FabricFactory, PersonFactory, bought, inches
from tests.stash.ledger import balances, came_in_mm2, shelf_mm2, told_by_the_lines

WHEN: dict[str, Any] = {"day": TODAY, "now": NOW}
SIDES = st.integers(300_000, 1_200_000_000)  # a third of a millimetre to a good metre, in nm
SIZES = st.lists(st.builds(Size, SIDES, SIDES), min_size=1, max_size=3)
SHARES = st.integers(1, 12)
PLACES = st.sampled_from(["", "Box", "Drawer", "Table"])
PICK = st.integers(0, 1000)


def pick[T](rows: Iterable[T], n: int) -> T | None:
    """One of the rows, if there is any."""
    listed = list(rows)
    return listed[n % len(listed)] if listed else None


class Stash(RuleBasedStateMachine):
    """Two people, a fabric each, and everything the services let them do."""

    def __init__(self) -> None:
        super().__init__()
        self.world = transaction.atomic()
        self.world.__enter__()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.world.__exit__(None, None, None)

    @initialize()
    def two_people(self) -> None:
        self.fabrics = [FabricFactory.create(owner=PersonFactory.create()) for _ in range(2)]
        for fabric in self.fabrics:
            bought(fabric, [inches(42, 36), inches(21, 18)])

    def attempt(self, deed: Callable[[], object]) -> None:
        """Do it; where it is refused, nothing at all may have changed."""
        before = self.everything()
        refusal = ""
        try:
            deed()
        except StashError as why:
            refusal = str(why)
        assert not refusal or (refusal.endswith(".") and self.everything() == before)

    @staticmethod
    def everything() -> list[list[tuple[Any, ...]]]:
        tables = (Piece.objects, Movement.objects, MovementLine.objects, Hold.objects)
        return [list(table.order_by("pk").values_list()) for table in tables]

    @staticmethod
    def piece(n: int) -> Piece | None:
        """Three times in four one that is on the shelf, else any: refusals are to be tried too."""
        pieces = Piece.objects.select_related("fabric__owner").order_by("pk")
        return pick(pieces if n % 4 == 0 else pieces.on_shelf(), n // 4)

    @rule(who=st.integers(0, 1), sizes=SIZES, place=PLACES, paid=st.booleans())
    def cloth_comes(self, who: int, sizes: list[Size], place: str, paid: bool) -> None:
        fabric: Fabric = self.fabrics[who]
        if paid:
            cloth.buy(fabric=fabric, sizes=sizes, paid=Paid(None, "EUR"), place=place, **WHEN)
        else:
            cloth.find(fabric=fabric, sizes=sizes, place=place, **WHEN)

    @rule(n=PICK, width=SIDES, length=SIDES, there=st.booleans())
    def count(self, n: int, width: int, length: int, there: bool) -> None:
        if piece := self.piece(n):
            measured = Size(width, length) if there else None
            self.attempt(lambda: cloth.recount(piece=piece, measured=measured, **WHEN))

    @rule(n=PICK, twelfths=SHARES)
    def wash(self, n: int, twelfths: int) -> None:
        if piece := self.piece(n):
            shrunk = Size(max(1, piece.width * twelfths // 12), piece.length)
            self.attempt(lambda: cloth.wash(piece=piece, measured=shrunk, **WHEN))

    @rule(n=PICK, twelfths=st.lists(SHARES, min_size=1, max_size=3), keep_rest=st.booleans(), across=st.booleans())
    def split(self, n: int, twelfths: list[int], keep_rest: bool, across: bool) -> None:
        if piece := self.piece(n):
            parts = [
                Size(piece.width, max(1, piece.length * part // 12))
                if across
                else Size(max(1, piece.width * part // 12), piece.length)
                for part in twelfths
            ]
            self.attempt(lambda: cloth.split(piece=piece, sizes=parts, keep_rest=keep_rest, **WHEN))

    @rule(n=PICK, scrapped=st.booleans())
    def let_go(self, n: int, scrapped: bool) -> None:
        if piece := self.piece(n):
            deed = cloth.scrap if scrapped else cloth.give_away
            self.attempt(lambda: deed(piece=piece, **WHEN))

    @rule(n=PICK, place=PLACES)
    def move(self, n: int, place: str) -> None:
        if piece := self.piece(n):
            self.attempt(lambda: cloth.move(piece=piece, place=place, **WHEN))

    @rule(who=st.integers(0, 1), place=PLACES)
    def move_everything(self, who: int, place: str) -> None:
        pieces = list(Piece.objects.on_shelf().filter(fabric=self.fabrics[who]).select_related("fabric"))
        self.attempt(lambda: cloth.move_all(pieces=pieces, place=place, **WHEN))

    @rule(n=PICK, more=st.booleans())
    def hold(self, n: int, more: bool) -> None:
        pieces = {p.pk: p for p in (self.piece(n), self.piece(n + 1) if more else None) if p}
        self.attempt(lambda: holds.hold(pieces=list(pieces.values()), reason="a plan", link="/plans/1/", now=NOW))

    @rule(n=PICK)
    def release(self, n: int) -> None:
        if held := pick(Hold.objects.order_by("pk"), n):
            self.attempt(lambda: holds.release(holds=[held], now=NOW))

    @rule(who=st.integers(0, 1), sizes=SIZES)
    def expect_offcuts(self, who: int, sizes: list[Size]) -> None:
        offcuts.expect(fabric=self.fabrics[who], sizes=sizes)

    @rule(n=PICK)
    def expect_it_no_longer(self, n: int) -> None:
        if piece := self.piece(n):
            self.attempt(lambda: offcuts.no_longer_expect(pieces=[piece]))

    @rule(n=PICK, m=PICK, twelfths=SHARES, width=SIDES)
    def cut(self, n: int, m: int, twelfths: int, width: int) -> None:
        """As a cutting sheet does it: its own hold let go, an offcut measured, the rest patches and waste."""
        piece = self.piece(n)
        if piece is None:
            return
        expected = pick(Piece.objects.expected().filter(fabric=piece.fabric).select_related("fabric__owner"), m)
        offcut = expected or offcuts.expect(fabric=piece.fabric, sizes=[piece.size])[0]

        @transaction.atomic
        def deed() -> None:
            ledger.not_held([piece])
            size = Size(min(width, piece.width), piece.length)
            came = ledger.Coming(offcuts.measured(piece=offcut, size=size), "Drawer")
            ledger.record(
                owner=piece.owner,
                kind=Movement.Kind.CUT,
                leaving=[piece],
                coming=[came],
                patches_mm2=piece.area_mm2 * twelfths // 24,
                waste_mm2=piece.area_mm2 // 24,
                **WHEN,
            )

        self.attempt(deed)

    @rule(n=PICK)
    def undo(self, n: int) -> None:
        if movement := pick(Movement.objects.order_by("-pk"), n % 8):
            self.attempt(lambda: ledger.undo(movement=movement, **WHEN))

    @invariant()
    def every_movement_balances(self) -> None:
        assert all(balances(m) for m in Movement.objects.prefetch_related("lines__piece"))

    @invariant()
    def a_piece_is_on_the_shelf_when_its_lines_sum_to_one(self) -> None:
        shown = {piece.pk: int(piece.on_shelf) for piece in Piece.objects.all()}
        assert shown == told_by_the_lines()

    @invariant()
    def what_lies_there_is_what_came_less_what_went(self) -> None:
        for fabric in getattr(self, "fabrics", []):
            movements = Movement.objects.of(fabric.owner)
            assert shelf_mm2(Piece.objects.of(fabric.owner)) == came_in_mm2(movements)
            assert not MovementLine.objects.filter(movement__in=movements).exclude(piece__owner=fabric.owner).exists()

    @invariant()
    def no_piece_is_promised_twice_nor_one_that_is_gone(self) -> None:
        live = Hold.objects.live()
        assert not live.values("piece").annotate(times=Count("pk")).filter(times__gt=1).exists()
        assert not live.filter(piece__on_shelf=False, piece__expected=False).exists()

    @invariant()
    def the_ledger_told_again_gives_the_same_shelf(self) -> None:
        shelf: dict[int, str] = {}
        for line in MovementLine.objects.order_by("movement_id", "pk"):
            if line.change == -1:
                assert shelf.pop(line.piece_id) == line.place
            else:
                assert line.piece_id not in shelf
                shelf[line.piece_id] = line.place
        assert shelf == dict(Piece.objects.on_shelf().values_list("pk", "place"))


@pytest.mark.django_db
def test_cloth_is_conserved_and_never_promised_twice() -> None:
    # Making a failure smaller takes minutes here, so it is shown as it was found.
    found = settings(max_examples=12, stateful_step_count=25, phases=[Phase.generate])
    run_state_machine_as_test(Stash, settings=found)
