"""Which cloth is promised to the plan, and how is it to be cut? A cutting sheet holds whole pieces by a layout, cloth by cloth.

A sheet begins as a draft, which holds nothing; confirming it holds its pieces and creates their offcuts as expected pieces. What has been
cut is told by the ledger: a cloth is cut when it names the movement that ended its piece."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from plans.models.plan import Plan, there
from quiltbook.measures import Size
from quiltbook.yardage.cutting import Wanted
from quiltbook.yardage.patches import Join
from stash.models import Fabric, Hold, Movement, Piece

if TYPE_CHECKING:
    from quiltbook.people.models import Person


class CuttingSheetQuerySet(models.QuerySet["CuttingSheet"]):
    def of(self, owner: Person) -> Self:
        return self.filter(plan__owner=owner)

    def drafts(self) -> Self:
        return self.filter(state=CuttingSheet.State.DRAFT)

    def standing(self) -> Self:
        """Confirmed: to cut, or cut."""
        return self.filter(state__in=[CuttingSheet.State.TO_CUT, CuttingSheet.State.CUT])


class CuttingSheet(models.Model):
    class State(models.TextChoices):
        DRAFT = "draft", "Laid out, nothing held"
        TO_CUT = "to cut", "To cut"
        CUT = "cut", "Cut"
        RELEASED = "released", "Released"

    class Method(models.TextChoices):
        CLOSE = "close", "Close: less cloth"
        STRIPS = "strips", "Strips: quicker to cut"

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="sheets")
    fabric = models.ForeignKey(Fabric, on_delete=models.CASCADE, related_name="sheets")
    state = models.CharField(max_length=12, choices=State, default=State.DRAFT)
    method = models.CharField(max_length=8, choices=Method, default=Method.CLOSE)
    effort = models.CharField(max_length=10, default="quick")
    stood_in = models.BooleanField(default=False, help_text="The plain layout stood in for the solver's.")
    short = models.BooleanField(
        default=False, help_text="A cloth came out smaller than expected, so some of it did not fit any more."
    )
    uncut = models.JSONField(
        default=list,
        help_text="What did not fit: [{role, part, width, length, count, turn, join, stripes, per_repeat}], nm.",
    )
    handbook = models.JSONField(default=dict)
    made_at = models.DateTimeField()
    confirmed_at = models.DateTimeField(null=True, blank=True)

    objects = CuttingSheetQuerySet.as_manager()

    class Meta:
        ordering = ["plan", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "fabric"], condition=Q(state="draft"), name="one_draft_a_fabric_and_plan"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "to cut", "cut", "released"]), name="sheet_state_known"
            ),
            models.CheckConstraint(condition=Q(method__in=["close", "strips"]), name="sheet_method_known"),
            models.CheckConstraint(condition=Q(effort__in=["quick", "thorough"]), name="sheet_effort_known"),
            models.CheckConstraint(
                condition=Q(state="draft", confirmed_at__isnull=True)
                | (~Q(state="draft") & Q(confirmed_at__isnull=False)),
                name="sheet_confirmed_unless_draft",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.fabric} for {self.plan}"

    def get_absolute_url(self) -> str:
        return reverse("plans:sheet", args=[self.plan_id, self.pk])

    def uncut_wanted(self) -> tuple[Wanted, ...]:
        """What did not fit, as the engine is asked for it."""
        return tuple(
            Wanted(
                str(number),
                row["width"],
                row["length"],
                row["count"],
                turn=row["turn"],
                join=Join(**row["join"]) if row["join"] else None,
                stripes=row.get("stripes"),
                per_repeat=row.get("per_repeat"),
            )
            for number, row in enumerate(self.uncut)
        )


class SheetCloth(models.Model):
    """One piece on a sheet. `layout`: {placements, reserved, usable, cuts, offcuts} of the engine's answer in nanometres, and the
    `width` and `length` they lie on; of a draft on cloth still to be washed these are after its wash, and `before_wash` is its size now.

    `freed`: the sheet was released while others wait for this cloth's offcuts, so its patches are offcuts too now."""

    sheet = models.ForeignKey(CuttingSheet, on_delete=models.CASCADE, related_name="cloths")
    position = models.PositiveSmallIntegerField()
    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="sheet_cloths")
    hold = models.OneToOneField(Hold, on_delete=models.RESTRICT, null=True, blank=True, related_name="sheet_cloth")
    layout = models.JSONField()
    ticks = models.JSONField(default=list, help_text="Numbers of the cuts ticked at the table.")
    freed = models.BooleanField(default=False)
    released_at = models.DateTimeField(null=True, blank=True)
    cut_movement = models.OneToOneField(
        Movement, on_delete=models.RESTRICT, null=True, blank=True, related_name="sheet_cloth"
    )

    class Meta:
        ordering = ["sheet", "position"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "piece"], name="piece_once_a_sheet"),
            models.CheckConstraint(
                condition=Q(cut_movement__isnull=True) | Q(released_at__isnull=True),
                name="cloth_cut_or_released_not_both",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.piece} on {self.sheet}"

    @property
    def to_wash(self) -> bool:
        """It was laid out as it may be once washed, which it was not yet."""
        return "before_wash" in self.layout

    @property
    def laid_out_on(self) -> Size:
        """The size of the piece when it was laid out."""
        size = self.layout.get("before_wash", self.layout)
        return Size(size["width"], size["length"])

    @property
    def waiting(self) -> bool:
        """The piece is still to come from another sheet's cutting."""
        return self.cut_movement_id is None and self.piece.expected


class SheetLine(models.Model):
    """So many patches of one size for one role from one cloth. `join_part`: the n-th of the `join_of` lengths of a joined strip."""

    cloth = models.ForeignKey(SheetCloth, on_delete=models.CASCADE, related_name="lines")
    label = models.CharField(max_length=4, help_text="The letter it bears on the drawing.")
    role = models.CharField(max_length=60)
    part = models.CharField(max_length=40)
    width = models.BigIntegerField(help_text="Of the whole patch, also where this is one length of it.")
    length = models.BigIntegerField()
    whole = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Which joined strip of the sheet this is a length of."
    )
    join_part = models.PositiveSmallIntegerField(null=True, blank=True)
    join_of = models.PositiveSmallIntegerField(null=True, blank=True)
    count = models.PositiveIntegerField()

    class Meta:
        ordering = ["cloth", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="sheet_line_has_patches"),
            models.CheckConstraint(condition=Q(width__gt=0, length__gt=0), name="sheet_line_has_a_size"),
            models.CheckConstraint(
                condition=Q(whole__isnull=True, join_part__isnull=True, join_of__isnull=True)
                | there("whole", "join_part", "join_of") & Q(count=1, join_part__lte=F("join_of")),
                name="sheet_line_joined_one_length_at_a_time",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} {self.part}"

    @property
    def size(self) -> Size:
        return Size(self.width, self.length)

    @property
    def good(self) -> int:
        """Those not spoiled."""
        return self.count - sum(miscut.count for miscut in self.miscuts.all() if miscut.taken_back_at is None)


class SheetOffcut(models.Model):
    """Where on the cloth an expected offcut lies, and the piece it is or will be."""

    cloth = models.ForeignKey(SheetCloth, on_delete=models.CASCADE, related_name="offcuts")
    piece = models.OneToOneField(Piece, on_delete=models.CASCADE, related_name="sheet_offcut")
    x = models.BigIntegerField()
    y = models.BigIntegerField()
    width = models.BigIntegerField()
    length = models.BigIntegerField()

    class Meta:
        ordering = ["cloth", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(x__gte=0, y__gte=0, width__gt=0, length__gt=0), name="sheet_offcut_on_the_cloth"
            )
        ]

    def __str__(self) -> str:
        return f"offcut of {self.cloth}"


class Miscut(models.Model):
    """Patches spoiled: they no longer count as cut. Kept when taken back, so that both can be told."""

    line = models.ForeignKey(SheetLine, on_delete=models.CASCADE, related_name="miscuts")
    count = models.PositiveIntegerField()
    note = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-recorded_at", "-pk"]
        constraints = [models.CheckConstraint(condition=Q(count__gt=0), name="miscut_has_patches")]

    def __str__(self) -> str:
        return f"{self.count} spoiled of {self.line}"
