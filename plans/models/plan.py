"""What quilt is this to be? The plan: its centre, its rounds of borders, the figures it is worked out with, and its state.

Lengths are whole nanometres. The figures are copied from the person's usual settings when the plan is made and are the plan's own from then on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from quiltbook.measures import Size
from quiltbook.yardage.thread import SPOOLS
from quiltbook.yardage.wadding import USUAL_ROLL

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class State(models.TextChoices):
    IDEA = "idea", "An idea"
    ON_THE_GO = "on the go", "On the go"
    PUT_ASIDE = "put aside", "Put aside"
    FINISHED = "finished", "Finished"
    GIVEN_UP = "given up", "Given up"


# The one table of states and what moves between them.
MOVES: dict[State, tuple[State, ...]] = {
    State.IDEA: (State.ON_THE_GO, State.PUT_ASIDE, State.GIVEN_UP),
    State.ON_THE_GO: (State.PUT_ASIDE, State.FINISHED, State.GIVEN_UP),
    State.PUT_ASIDE: (State.ON_THE_GO, State.IDEA, State.GIVEN_UP),
    State.FINISHED: (State.ON_THE_GO,),
    State.GIVEN_UP: (State.IDEA,),
}


class CentreKind(models.TextChoices):
    PANEL = "panel", "One cloth or a printed panel"
    WHOLE_CLOTH = "whole cloth", "Whole cloth, seamed if it must be"
    BLOCKS = "blocks", "Blocks"
    HEXAGONS = "hexagons", "Hexagons over papers"
    DIAMONDS = "diamonds", "Diamonds over papers"
    TOP = "top", "The top of another quilt"


class BackingSeams(models.TextChoices):
    LEAST = "least", "Whichever takes least"
    LENGTHWISE = "lengthwise", "Down the quilt"
    CROSSWISE = "crosswise", "Across the quilt"
    DIAGONAL = "diagonal", "Slid along a diagonal"


class BindingJoin(models.TextChoices):
    DIAGONAL = "diagonal", "Strips joined on the diagonal"
    STRAIGHT = "straight", "Strips joined straight"
    BIAS = "bias square", "A bias strip from a square"


class QuiltedBy(models.TextChoices):
    HAND = "hand quilting", "By hand"
    MACHINE = "machine quilting", "By machine"


SIZED = (CentreKind.PANEL, CentreKind.WHOLE_CLOTH, CentreKind.TOP)
PAPERED = (CentreKind.HEXAGONS, CentreKind.DIAMONDS)


def there(*columns: str) -> Q:
    """All of these columns hold more than nothing. That each holds anything is said outright: a comparison with nothing is neither
    true nor false, and a check would let it through."""
    return Q(**{f"{column}__isnull": False for column in columns}, **{f"{column}__gt": 0 for column in columns})


class PlanQuerySet(models.QuerySet["Plan"]):
    def of(self, owner: Person) -> Self:
        return self.filter(owner=owner)

    def on_the_go(self) -> Self:
        return self.filter(state=State.ON_THE_GO)


class Plan(models.Model):
    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="plans")
    name = models.CharField(max_length=120)
    note = models.TextField(blank=True, max_length=4000)
    state = models.CharField(max_length=12, choices=State, default=State.IDEA)
    created_at = models.DateTimeField()
    touched_at = models.DateTimeField(
        help_text="The last time she changed it or worked on it: orders what is on the go."
    )
    finished_on = models.DateField(null=True, blank=True)

    # The centre. Its finished size where it is not worked out (of a field applied whole, its background's); a printed panel's own
    # print and seam; and what it measured once sewn or trimmed.
    centre = models.CharField(max_length=12, choices=CentreKind, default=CentreKind.PANEL)
    centre_width = models.BigIntegerField(null=True, blank=True)
    centre_length = models.BigIntegerField(null=True, blank=True)
    printed_width = models.BigIntegerField(null=True, blank=True)
    printed_length = models.BigIntegerField(null=True, blank=True)
    printed_seam = models.BigIntegerField(default=0)
    measured_width = models.BigIntegerField(null=True, blank=True)
    measured_length = models.BigIntegerField(null=True, blank=True)

    # A centre pieced of blocks, or over papers: the finished side of one, and how many across and down.
    piece_side = models.BigIntegerField(null=True, blank=True)
    pieces_across = models.PositiveSmallIntegerField(null=True, blank=True)
    pieces_down = models.PositiveSmallIntegerField(null=True, blank=True)
    block = models.CharField(max_length=60, blank=True, help_text="The name of a block, as the engine knows it.")
    other_block = models.CharField(max_length=60, blank=True, help_text="The block that takes turns with it.")
    on_point = models.BooleanField(default=False)
    sashing = models.BigIntegerField(default=0)
    sashing_outer = models.BooleanField(default=False)
    sashing_cornerstones = models.BooleanField(default=False)
    diamond_angle = models.PositiveSmallIntegerField(default=60)
    applied_whole = models.BooleanField(
        default=False, help_text="The field is sewn onto a background, not cut straight."
    )
    # The quilt whose top is the centre. Its size is kept here: sewn is sewn, whatever becomes of that plan.
    sewn_top = models.ForeignKey("self", on_delete=models.SET_NULL, null=True, blank=True, related_name="centre_of")

    # The figures it is worked out with.
    seam_allowance = models.BigIntegerField()
    cutting_step = models.BigIntegerField()
    usable_width = models.BigIntegerField()
    mitre_extra = models.BigIntegerField()
    straightening = models.BigIntegerField(default=0)
    turn_allowance = models.BigIntegerField()
    least_offcut = models.BigIntegerField()
    backing_width = models.BigIntegerField()
    backing_overage = models.BigIntegerField()
    backing_seam = models.BigIntegerField()
    wadding_overage = models.BigIntegerField()
    binding_strip = models.BigIntegerField()
    binding_extra = models.BigIntegerField()
    shop_step = models.BigIntegerField()

    # How it is backed, filled and bound, and what it takes besides cloth. Empty is not decided, or not wanted.
    backing_repeat = models.BigIntegerField(default=0, help_text="Of the backing's print, along the cloth.")
    backing_seams = models.CharField(max_length=10, choices=BackingSeams, default=BackingSeams.LEAST)
    binding_join = models.CharField(max_length=11, choices=BindingJoin, default=BindingJoin.DIAGONAL)
    wadding_pack_width = models.BigIntegerField(null=True, blank=True)
    wadding_pack_length = models.BigIntegerField(null=True, blank=True)
    wadding_roll = models.BigIntegerField(default=USUAL_ROLL)
    quilted_by = models.CharField(max_length=16, choices=QuiltedBy, default=QuiltedBy.HAND)
    quilting_apart = models.BigIntegerField(null=True, blank=True)
    quilting_ways = models.PositiveSmallIntegerField(default=1)
    spool = models.BigIntegerField(default=SPOOLS[0], help_text="The length of thread on one.")
    papers_pack = models.PositiveIntegerField(default=100)
    papers_uses = models.PositiveSmallIntegerField(default=1)
    adhesive_covers = models.BigIntegerField(null=True, blank=True, help_text="What the label says, in mm².")
    web_width = models.BigIntegerField(null=True, blank=True)
    washes_first = models.BooleanField(default=False, help_text="Its cloth is washed before it is cut.")

    objects = PlanQuerySet.as_manager()

    class Meta:
        ordering = ["-touched_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(name=""), name="plan_has_a_name"),
            models.CheckConstraint(
                condition=Q(state__in=["idea", "on the go", "put aside", "finished", "given up"]),
                name="plan_state_known",
            ),
            models.CheckConstraint(
                condition=Q(centre__in=["panel", "whole cloth", "blocks", "hexagons", "diamonds", "top"]),
                name="plan_centre_known",
            ),
            models.CheckConstraint(
                condition=~Q(centre__in=["panel", "whole cloth", "top"]) | there("centre_width", "centre_length"),
                name="plan_centre_has_a_size",
            ),
            models.CheckConstraint(
                condition=Q(centre_width__isnull=True, centre_length__isnull=True)
                | there("centre_width", "centre_length"),
                name="plan_centre_size_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=~Q(centre__in=["blocks", "hexagons", "diamonds"])
                | there("piece_side", "pieces_across", "pieces_down"),
                name="plan_pieced_centre_has_pieces",
            ),
            models.CheckConstraint(condition=~Q(centre="blocks") | ~Q(block=""), name="plan_blocks_have_a_block"),
            models.CheckConstraint(condition=Q(sashing__gte=0), name="plan_sashing_not_negative"),
            models.CheckConstraint(condition=Q(diamond_angle__in=[45, 60]), name="plan_diamond_angle_known"),
            models.CheckConstraint(
                condition=Q(printed_width__isnull=True, printed_length__isnull=True, printed_seam=0)
                | there("printed_width", "printed_length") & Q(printed_seam__gte=0),
                name="plan_printed_size_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(measured_width__isnull=True, measured_length__isnull=True)
                | there("measured_width", "measured_length"),
                name="plan_measured_size_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(
                    seam_allowance__gt=0,
                    cutting_step__gt=0,
                    usable_width__gt=0,
                    backing_width__gt=0,
                    binding_strip__gt=0,
                    shop_step__gt=0,
                ),
                name="plan_figures_positive",
            ),
            models.CheckConstraint(
                condition=Q(
                    mitre_extra__gte=0,
                    straightening__gte=0,
                    turn_allowance__gte=0,
                    least_offcut__gte=0,
                    backing_overage__gte=0,
                    backing_seam__gte=0,
                    wadding_overage__gte=0,
                    binding_extra__gte=0,
                ),
                name="plan_allowances_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(
                    backing_seams__in=["least", "lengthwise", "crosswise", "diagonal"],
                    binding_join__in=["diagonal", "straight", "bias square"],
                    quilted_by__in=["hand quilting", "machine quilting"],
                    quilting_ways__in=[1, 2],
                ),
                name="plan_finishing_choices_known",
            ),
            models.CheckConstraint(
                condition=Q(wadding_pack_width__isnull=True, wadding_pack_length__isnull=True)
                | there("wadding_pack_width", "wadding_pack_length"),
                name="plan_wadding_pack_whole_or_absent",
            ),
            models.CheckConstraint(
                condition=Q(
                    backing_repeat__gte=0, wadding_roll__gt=0, spool__gt=0, papers_pack__gt=0, papers_uses__gt=0
                )
                & (Q(quilting_apart__isnull=True) | Q(quilting_apart__gt=0))
                & (Q(adhesive_covers__isnull=True) | Q(adhesive_covers__gt=0))
                & (Q(web_width__isnull=True) | Q(web_width__gt=0)),
                name="plan_notions_positive",
            ),
            models.CheckConstraint(
                condition=Q(state="finished", finished_on__isnull=False)
                | (~Q(state="finished") & Q(finished_on__isnull=True)),
                name="plan_finished_day_when_finished",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def printed(self) -> Size | None:
        if self.printed_width is None or self.printed_length is None:
            return None
        return Size(self.printed_width, self.printed_length)

    @property
    def measured(self) -> Size | None:
        if self.measured_width is None or self.measured_length is None:
            return None
        return Size(self.measured_width, self.measured_length)
