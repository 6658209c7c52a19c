"""Whatever is held, cut, undone, spoiled, released or measured short, in whatever order, by two people with two quilts each: no piece is
held twice, cloth is conserved, and every layout that stands can be cut from the piece it lies on."""

from collections import Counter
from collections.abc import Callable
from functools import partial

import pytest
from django.db import transaction
from django.db.models import Sum
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from plans.models import CuttingSheet, Miscut, Plan, SheetCloth
from plans.queries.needs import covered, needs
from plans.queries.worked import Worked, worked
from plans.services import at_the_table, sheets, short
from plans.services.at_the_table import Kept
from plans.services.errors import PlanError
from quiltbook.measures import Size
from stash.models import Hold, Movement, MovementLine, Piece
from stash.services import cloth as stash_cloth
from stash.services.errors import StashError
from tests.factories import NOW, TODAY, PersonFactory, inches
from tests.plans.quilts import border_role, cloth, framed, give, laid_out
from tests.plans.simple_engine import lay_out


class Cutting(RuleBasedStateMachine):
    """Two quilters, each with two framed squares and one fabric that is not quite enough for both."""

    def __init__(self) -> None:
        super().__init__()
        self.plans: list[Plan] = []
        self.refusals: list[str] = []
        # Each run is undone as a whole, so that the next begins on an empty database.
        self.undone = transaction.atomic()
        self.undone.__enter__()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.undone.__exit__(None, None, None)

    @initialize()
    def begin(self) -> None:
        for name in ("ada", "bea"):
            person = PersonFactory.create(username=name)
            kelp = cloth(person, "Kelp", inches(42, 28), inches(15, 6), inches(20, 4))
            for title in ("First", "Second"):
                plan = framed(person, title)
                give(plan, border_role(plan), kelp)
                self.plans.append(plan)

    @rule(which=st.integers(0, 3))
    def lay_out(self, which: int) -> None:
        laid_out(self.plans[which])

    @rule(which=st.integers(0, 3))
    def confirm(self, which: int) -> None:
        for sheet in CuttingSheet.objects.drafts().filter(plan=self.plans[which]):
            self._try(partial(sheets.confirm, sheet=sheet, now=NOW))

    @rule(which=st.integers(0, 3), nth=st.integers(0, 2), share=st.sampled_from([None, 0.2, 0.5, 1.0]))
    def cut(self, which: int, nth: int, share: float | None) -> None:
        """Record a cloth as cut; its offcuts come as expected, smaller, or are thrown away."""
        found = self._cloth(which, nth)
        if found is None:
            return
        kept = {row.pk: None if share is None else Kept(_shrunk(row.piece, share), "") for row in found.offcuts.all()}
        self._try(lambda: at_the_table.record_cut(cloth=found, measured=kept, day=TODAY, now=NOW))
        short.lay_short_again(owner=self.plans[which].owner, now=NOW, lay_out=lay_out)

    @rule(which=st.integers(0, 3), nth=st.integers(0, 2))
    def undo_cut(self, which: int, nth: int) -> None:
        found = self._cloth(which, nth)
        if found is not None:
            self._try(lambda: at_the_table.undo_cut(cloth=found, day=TODAY, now=NOW))

    @rule(which=st.integers(0, 3), nth=st.integers(0, 2), count=st.integers(1, 2))
    def spoil(self, which: int, nth: int, count: int) -> None:
        found = self._cloth(which, nth)
        line = found.lines.first() if found else None
        if line is not None:
            self._try(lambda: at_the_table.spoil(line=line, count=count, note="", now=NOW))

    @rule()
    def take_back_a_miscut(self) -> None:
        miscut = Miscut.objects.filter(taken_back_at=None).first()
        if miscut is not None:
            at_the_table.take_back_miscut(miscut=miscut, now=NOW)

    @rule(which=st.integers(0, 3))
    def release(self, which: int) -> None:
        for sheet in CuttingSheet.objects.filter(plan=self.plans[which]):
            self._try(partial(sheets.release, sheet=sheet, now=NOW))

    @rule(nth=st.integers(0, 5), act=st.sampled_from(["scrap", "give_away", "move"]))
    def do_something_with_a_piece(self, nth: int, act: str) -> None:
        pieces = list(Piece.objects.on_shelf().order_by("pk"))
        if len(pieces) > nth:
            extra = {"place": f"Box {nth}"} if act == "move" else {}
            service = getattr(stash_cloth, act)
            self._try(lambda: service(piece=pieces[nth], day=TODAY, now=NOW, **extra))

    def _cloth(self, which: int, nth: int) -> SheetCloth | None:
        found = SheetCloth.objects.filter(sheet__plan=self.plans[which]).exclude(sheet__state="draft").order_by("pk")
        rows = list(found[nth : nth + 1])
        return rows[0] if rows else None

    def _try(self, act: Callable[[], object]) -> None:
        """Refusals are sentences; anything else is a failure."""
        try:
            act()
        except (PlanError, StashError) as refusal:
            self.refusals.append(str(refusal))

    @invariant()
    def every_refusal_is_a_sentence(self) -> None:
        assert all(refusal.endswith(".") for refusal in self.refusals)

    @invariant()
    def no_piece_is_held_twice(self) -> None:
        held = Counter(Hold.objects.live().values_list("piece", flat=True))
        assert all(count == 1 for count in held.values())

    @invariant()
    def what_is_held_is_there_or_expected(self) -> None:
        held = Piece.objects.held()
        assert held.filter(on_shelf=False, expected=False).count() == 0

    @invariant()
    def a_cloth_still_to_cut_holds_its_piece(self) -> None:
        for found in SheetCloth.objects.filter(
            sheet__state="to cut", cut_movement=None, released_at=None
        ).select_related("hold", "piece"):
            assert found.hold is not None
            assert found.hold.released_at is None
            assert found.hold.piece_id == found.piece_id

    @invariant()
    def every_hold_belongs_to_a_cloth_still_to_cut(self) -> None:
        for hold in Hold.objects.live().select_related("sheet_cloth__sheet"):
            assert hold.sheet_cloth.cut_movement_id is None
            assert hold.sheet_cloth.released_at is None
            assert hold.sheet_cloth.sheet.state == "to cut"

    @invariant()
    def an_expected_piece_belongs_to_a_cloth_still_to_cut(self) -> None:
        for piece in Piece.objects.expected():
            source = piece.sheet_offcut.cloth
            assert source.cut_movement_id is None
            assert source.released_at is None

    @invariant()
    def the_shelf_is_the_sum_of_the_ledger(self) -> None:
        sums = dict(MovementLine.objects.values_list("piece").annotate(total=Sum("change")))
        for piece in Piece.objects.all():
            assert sums.get(piece.pk, 0) == int(piece.on_shelf)

    @invariant()
    def every_movement_balances(self) -> None:
        for movement in Movement.objects.prefetch_related("lines__piece"):
            lines = list(movement.lines.all())
            ended = sum(line.piece.area_mm2 for line in lines if line.change == -1)
            begun = sum(line.piece.area_mm2 for line in lines if line.change == 1)
            assert ended == begun + movement.patches_mm2 + movement.waste_mm2 + movement.difference_mm2

    @invariant()
    def every_layout_that_stands_lies_inside_its_piece(self) -> None:
        standing = SheetCloth.objects.filter(sheet__state="to cut", cut_movement=None, released_at=None)
        for found in standing.select_related("piece"):
            for placed in (*found.layout["placements"], *found.layout["offcuts"]):
                assert placed["x"] + placed["width"] <= found.piece.width
                assert placed["y"] + placed["length"] <= found.piece.length

    @invariant()
    def what_is_needed_and_what_is_covered_make_the_plan(self) -> None:
        for plan in self.plans:
            work = worked(plan)
            assert isinstance(work, Worked)
            have = covered(plan)
            still = {need.key: need.count for need in needs(plan, work)}
            for role in work.roles:
                for patch in role.patches:
                    key = (role.key, patch.part, int(patch.size.width), int(patch.size.length))
                    assert still.get(key, 0) == max(0, patch.count - have.of(key))


def _shrunk(piece: Piece, share: float) -> Size:
    return Size(max(1, int(piece.width * share)), max(1, int(piece.length * share)))


@pytest.mark.django_db
def test_every_way_through() -> None:
    run_state_machine_as_test(
        Cutting, settings=settings(max_examples=20, stateful_step_count=20, deadline=None, derandomize=True)
    )
