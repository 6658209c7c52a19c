"""What is the middle of the quilt? Its kind, and the figures of that kind; what was typed for another kind stays in its fields, unread.

A panel's finished size may be typed, or left to be worked out from its printed size less its printed seam on every side; the printed size may
be typed or be a stash panel's own. A top sewn before brings its size with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property

from plans.forms.blocks import BlockField
from plans.forms.fields import LARGEST_FLOWER_SIDE, LARGEST_QUILT, WIDEST_BORDER, Whole, example
from plans.forms.plan import size_of, whole_or_absent
from plans.models import Plan
from plans.models.plan import PAPERED, CentreKind
from plans.queries.sewn_tops import sewn_tops, sizes
from plans.services.plans import Centre, Pieces
from quiltbook.measures import Size, System, show_size
from quiltbook.people.figures import WIDEST_SEAM, Limit
from quiltbook.people.models import Person
from quiltbook.web.fields import LengthField
from quiltbook.yardage.fields import MOST_ROWS
from quiltbook.yardage.setting import MOST_ACROSS
from stash.models import Fabric

STRAIGHT, ON_POINT = "straight", "on point"
TRIMMED, APPLIED = "trimmed", "applied"
KINDS = [
    (CentreKind.PANEL, "One cloth, or a printed panel"),
    (CentreKind.WHOLE_CLOTH, "Whole cloth, seamed if it must be"),
    (CentreKind.BLOCKS, "Blocks"),
    (CentreKind.HEXAGONS, "Hexagons over papers"),
    (CentreKind.DIAMONDS, "Diamonds over papers"),
    (CentreKind.TOP, "A top sewn before"),
]
SETTINGS = [(STRAIGHT, "Straight, in rows"), (ON_POINT, "On point, with triangles at the edges")]
EDGES = [
    (TRIMMED, "Cut straight, to be joined into the quilt"),
    (APPLIED, "Left as they are, and sewn onto a background"),
]
ANGLES = [("60", "60°: six meet in a star"), ("45", "45°: eight meet in a star")]

_SIZE = ("width", "length")
_PRINT = ("printed_width", "printed_length", "printed_seam")
_SASHING = ("sashing", "sashing_outer", "sashing_cornerstones")
_BLOCKS = ("block", "other_block", "block_side", "blocks_across", "blocks_down", "setting", *_SASHING)
_BACKGROUND = ("background_width", "background_length")
_PAPERS = ("paper_side", "papers_across", "papers_down", "edge", *_BACKGROUND)
# Which fields belong to which kind; all the others (what it is called, what it measured) to every one.
FIELDS_OF: Mapping[str, tuple[str, ...]] = {
    CentreKind.PANEL: ("panel", *_PRINT, *_SIZE),
    CentreKind.WHOLE_CLOTH: _SIZE,
    CentreKind.BLOCKS: _BLOCKS,
    CentreKind.HEXAGONS: _PAPERS,
    CentreKind.DIAMONDS: (*_PAPERS, "diamond_angle"),
    CentreKind.TOP: ("sewn_top", *_SIZE),
}
_OF_SOME_KIND = {name for names in FIELDS_OF.values() for name in names}
# The engine's names for what the form calls otherwise; blocks and papers have fields of their own for what it names alike.
_FIELD_OF = {
    "printed": "printed_width",
    "measured": "measured_width",
    "designs": "block",
    "designs[0]": "block",
    "designs[1]": "other_block",
    "block": "block_side",
    "sashing.width": "sashing",
    "sashing.outer": "sashing_outer",
    "cornerstones": "sashing_cornerstones",
    "side": "paper_side",
    "rows": "papers_down",
    "columns": "papers_across",
    "background": "background_width",
}


class CentreForm(forms.Form):
    """The centre's kind and figures, of `plan` or of a plan to be."""

    def __init__(
        self,
        data: Any = None,
        *,
        system: System,
        owner: Person,
        plan: Plan | None = None,
        prefix: str | None = None,
    ) -> None:
        super().__init__(data, initial=_initial(plan), prefix=prefix)
        self.system, self.owner, self.plan = system, owner, plan
        kind = _choice("What the centre is made of", KINDS, "kinds")
        kind.required = False
        self.fields["kind"] = kind
        self._add_sized()
        self._add_blocks()
        self._add_papers()
        if plan is not None:
            self.fields["measured_width"] = self._length(
                "Measured width", help_text="Seam to seam, once it is trimmed."
            )
            self.fields["measured_length"] = self._length("Measured length", help_text="The rounds are then cut to it.")

    def _length(self, label: str, most: Limit = LARGEST_QUILT, *, required: bool = False, **extra: Any) -> LengthField:
        return LengthField(system=self.system, most=most.on(self.system), label=label, required=required, **extra)

    def _add_sized(self) -> None:
        self.fields["sewn_top"] = SewnTopField(sewn_tops(self.owner, self.plan), system=self.system)
        self.fields["printed_width"] = self._length(
            "Printed width", help_text="Edge to edge of the print, its seam included."
        )
        self.fields["printed_length"] = self._length("Printed length", help_text="From top to bottom of the print.")
        self.fields["printed_seam"] = self._length(
            "Printed seam",
            WIDEST_SEAM,
            allow_zero=True,
            help_text="How much of the print, on each side, goes into the seam: often "
            + example(self.system, "1/4 in.", "0.75 cm."),
        )
        self.fields["width"] = self._length("Finished width", help_text="Seam to seam.")
        self.fields["length"] = self._length("Finished length", help_text="Seam to seam.")

    def _add_blocks(self) -> None:
        self.fields["block"] = BlockField(label="The block")
        self.fields["other_block"] = BlockField(label="A block that takes turns with it", none="None: all are alike")
        self.fields["block_side"] = self._length(
            "Side of a block",
            WIDEST_BORDER,
            required=True,
            help_text="Finished: " + example(self.system, "such as 9 in.", "such as 24 cm."),
        )
        self.fields["blocks_across"] = Whole(
            least=1, most=MOST_ACROSS, needed="Say how many blocks lie in a row.", label="Blocks across"
        )
        self.fields["blocks_down"] = Whole(
            least=1, most=MOST_ACROSS, needed="Say how many rows of blocks there are.", label="Blocks down"
        )
        self.fields["setting"] = _choice("How they are set", SETTINGS)
        self.fields["sashing"] = self._length(
            "Width of the sashing", WIDEST_BORDER, allow_zero=True, help_text="Strips between the blocks. Empty: none."
        )
        self.fields["sashing_outer"] = forms.BooleanField(label="Sashing round the outside too", required=False)
        self.fields["sashing_cornerstones"] = forms.BooleanField(
            label="Cornerstones: squares where sashes meet", required=False
        )

    def _add_papers(self) -> None:
        self.fields["paper_side"] = self._length(
            "Side of a paper",
            LARGEST_FLOWER_SIDE,
            required=True,
            help_text="Along one edge: " + example(self.system, "such as 1 in.", "such as 2.5 cm."),
        )
        self.fields["papers_across"] = Whole(
            least=1, most=MOST_ROWS, needed="Say how many there are in a row.", label="How many in a row"
        )
        self.fields["papers_down"] = Whole(least=1, most=MOST_ROWS, needed="Say how many rows there are.", label="Rows")
        self.fields["diamond_angle"] = _choice("Their points", ANGLES)
        self.fields["edge"] = _choice("The edges of the whole", EDGES)
        self.fields["background_width"] = self._length(
            "Width of the background", help_text="Finished. Empty: as large as the pieced shapes."
        )
        self.fields["background_length"] = self._length("Length of the background", help_text="Finished.")

    def panel(self) -> Fabric | None:
        """The stash panel chosen, if this form offers one."""
        return None

    # --- what was typed ----------------------------------------------------------------------------------------------

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        kind = cleaned.get("kind") or (self.plan.centre if self.plan else CentreKind.PANEL)
        for name in _OF_SOME_KIND - set(self._read(kind)):
            self.errors.pop(name, None)
        for pair in (_PRINT[:2], _SIZE, _BACKGROUND, ("measured_width", "measured_length")):
            if pair[0] in self._read(kind) or pair[0].startswith("measured"):
                whole_or_absent(self, *pair)
        if not self.errors.keys() - {"name", "note"}:
            cleaned["centre"] = self._centre(kind)
        return cleaned

    def _read(self, kind: str) -> tuple[str, ...]:
        """The fields that count as things stand; a page shows no others."""
        hidden: tuple[str, ...] = ()
        if kind == CentreKind.TOP and self.data.get(self.add_prefix("sewn_top")):
            hidden = _SIZE
        elif kind in PAPERED and self.cleaned_data.get("edge") != APPLIED:
            hidden = _BACKGROUND
        return tuple(name for name in FIELDS_OF[kind] if name not in hidden)

    def _centre(self, kind: str) -> Centre | None:
        measured = size_of(self, "measured_width", "measured_length")
        if kind == CentreKind.BLOCKS:
            return Centre(kind=kind, pieces=self._blocks(), measured=measured)
        if kind in PAPERED:
            return self._papers(kind, measured)
        if kind == CentreKind.TOP:
            return self._sewn_top(measured)
        return self._one_cloth(kind, measured)

    def _blocks(self) -> Pieces:
        given = self.cleaned_data
        return Pieces(
            side=given["block_side"],
            across=given["blocks_across"],
            down=given["blocks_down"],
            block=given["block"],
            other=given["other_block"],
            on_point=given["setting"] == ON_POINT,
            sashing=given["sashing"] or 0,
            sashing_outer=given["sashing_outer"],
            sashing_cornerstones=given["sashing_cornerstones"],
        )

    def _papers(self, kind: str, measured: Size | None) -> Centre:
        given = self.cleaned_data
        applied = given["edge"] == APPLIED
        pieces = Pieces(
            side=given["paper_side"],
            across=given["papers_across"],
            down=given["papers_down"],
            angle=int(given["diamond_angle"]) if kind == CentreKind.DIAMONDS else 60,
            applied_whole=applied,
        )
        ground = size_of(self, *_BACKGROUND) if applied else None
        return _sized(ground, kind=kind, pieces=pieces, measured=measured)

    def _sewn_top(self, measured: Size | None) -> Centre | None:
        """The size of a top is taken over once, or again when she says so: what has been sewn does not change with a plan."""
        top: Plan | None = self.cleaned_data.get("sewn_top")
        if top is None:
            size = size_of(self, *_SIZE)
            if size is None:
                self.add_error(
                    "width", "Say how large the top is: choose one of your quilts, or write its finished size."
                )
                return None
            return _sized(size, kind=CentreKind.TOP, measured=measured)
        size = self._kept_size(top) or sizes([top]).get(top.pk)
        if size is None:
            self.add_error("sewn_top", f"“{top.name}” cannot be worked out as it stands: put its own top right first.")
            return None
        return _sized(size, kind=CentreKind.TOP, top=top, measured=measured)

    def _kept_size(self, top: Plan) -> Size | None:
        """The size that was taken over from that top before, unless she asks for what it is now."""
        if self.plan is None or self.plan.sewn_top_id != top.pk or self.data.get(self.add_prefix("take_size")):
            return None
        return centre_size(self.plan)

    def _one_cloth(self, kind: str, measured: Size | None) -> Centre | None:
        finished = size_of(self, *_SIZE)
        if kind == CentreKind.WHOLE_CLOTH:
            if finished is None:
                self.add_error("width", "Say how large the centre is.")
                return None
            return _sized(finished, kind=kind, measured=measured)
        seam = self.cleaned_data.get("printed_seam")
        printed = size_of(self, "printed_width", "printed_length")
        panel = self.panel()
        if printed is None and panel is not None:
            printed, seam = panel.printed, panel.printed_seam if seam is None else seam
        if printed is None and seam:
            self.add_error("printed_width", "Say how large the print is, or leave its seam empty.")
            return None
        if finished is None and printed is None:
            self.add_error("width", "Say how large the centre is: its finished size, or its printed size above.")
            return None
        if finished is None and printed is not None:
            finished = within_print(printed, seam or 0)
        if finished is None or finished.width <= 0 or finished.length <= 0:
            self.add_error("printed_seam", "The seam takes up the whole print: check both.")
            return None
        return _sized(finished, kind=kind, printed=printed, printed_seam=seam or 0, measured=measured)

    @property
    def centre(self) -> Centre | None:
        """What was typed, once it holds together."""
        centre: Centre | None = self.cleaned_data.get("centre") if self.is_valid() else None
        return centre

    # --- what is said about it ---------------------------------------------------------------------------------------

    def field_at_fault(self, engine_field: str) -> str | None:
        """The field of this form that the engine's refusal is about ("centre.rows"); None where no field here is."""
        name = engine_field.removeprefix("centre.")
        kind = self.cleaned_data.get("kind") or (self.plan.centre if self.plan else CentreKind.PANEL)
        several = "blocks" if kind == CentreKind.BLOCKS else "papers"
        name = _FIELD_OF.get(name, f"{several}_{name}" if name in ("across", "down") else name)
        return name if name in self.fields else None

    @cached_property
    def changed_top(self) -> Size | None:
        """What the top that is the centre finishes now, where that is no longer what was taken over from it."""
        if self.plan is None or self.plan.centre != CentreKind.TOP or self.plan.sewn_top is None:
            return None
        size = sizes([self.plan.sewn_top]).get(self.plan.sewn_top.pk)
        return None if size == centre_size(self.plan) else size


class SewnTopField(forms.ModelChoiceField):  # type: ignore[type-arg]  # only the stubs know it as generic
    """One of her other quilts, shown with what its top finishes."""

    def __init__(self, plans: Any, *, system: System) -> None:
        self.system = system
        self._sizes: Mapping[int, Size] | None = None
        super().__init__(
            plans,
            required=False,
            label="The top of one of your quilts",
            empty_label="None of them",
            help_text="Its finished size is taken over, as measured where you measured it.",
        )
        self.error_messages["invalid_choice"] = "That quilt is not there any more. Choose another."

    def label_from_instance(self, obj: Plan) -> str:
        if self._sizes is None:  # once for the whole list
            self._sizes = sizes(self.queryset.all()) if self.queryset is not None else {}
        size = self._sizes.get(obj.pk)
        return f"{obj.name}: {show_size(size, system=self.system)}" if size else f"{obj.name}: no size yet"


def _choice(label: str, choices: list[tuple[Any, str]], laid: str = "one-below-another") -> forms.ChoiceField:
    field = forms.ChoiceField(label=label, choices=choices, widget=forms.RadioSelect(attrs={"class": laid}))
    field.error_messages["invalid_choice"] = field.error_messages["required"] = "Choose one of these."
    return field


def within_print(printed: Size, seam: int) -> Size:
    """The finished size of a panel: its print less the printed seam on every side."""
    return Size(printed.width - 2 * seam, printed.length - 2 * seam)


def centre_size(plan: Plan) -> Size | None:
    """The centre's finished size as it was typed, or taken over from another top."""
    if plan.centre_width is None or plan.centre_length is None:
        return None
    return Size(plan.centre_width, plan.centre_length)


def _sized(size: Size | None, **more: Any) -> Centre:
    width, length = (None, None) if size is None else (int(size.width), int(size.length))
    return Centre(width=width, length=length, **more)


def _initial(plan: Plan | None) -> dict[str, Any]:
    first: dict[str, Any] = {
        "kind": CentreKind.PANEL,
        "other_block": "",
        "setting": STRAIGHT,
        "diamond_angle": "60",
        "edge": TRIMMED,
    }
    if plan is None:
        return first
    kind = CentreKind(plan.centre)
    first |= {"kind": kind, "measured_width": plan.measured_width, "measured_length": plan.measured_length}
    if kind == CentreKind.BLOCKS:
        return first | _blocks_initial(plan)
    if kind in PAPERED:
        return first | _papers_initial(plan)
    return first | _sized_initial(plan)


def _sized_initial(plan: Plan) -> dict[str, Any]:
    worked_out = plan.printed is not None and within_print(plan.printed, plan.printed_seam) == centre_size(plan)
    return {
        "sewn_top": plan.sewn_top_id,
        "printed_width": plan.printed_width,
        "printed_length": plan.printed_length,
        "printed_seam": plan.printed_seam if plan.printed else None,
        "width": None if worked_out else plan.centre_width,
        "length": None if worked_out else plan.centre_length,
    }


def _blocks_initial(plan: Plan) -> dict[str, Any]:
    return {
        "block": plan.block,
        "other_block": plan.other_block,
        "block_side": plan.piece_side,
        "blocks_across": plan.pieces_across,
        "blocks_down": plan.pieces_down,
        "setting": ON_POINT if plan.on_point else STRAIGHT,
        "sashing": plan.sashing or None,
        "sashing_outer": plan.sashing_outer,
        "sashing_cornerstones": plan.sashing_cornerstones,
    }


def _papers_initial(plan: Plan) -> dict[str, Any]:
    return {
        "paper_side": plan.piece_side,
        "papers_across": plan.pieces_across,
        "papers_down": plan.pieces_down,
        "diamond_angle": str(plan.diamond_angle),
        "edge": APPLIED if plan.applied_whole else TRIMMED,
        "background_width": plan.centre_width,
        "background_length": plan.centre_length,
    }
