"""Is there cloth for it? A plan's roles with the fabrics allotted to them, how each stands, and whether the drafts still say the truth."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from plans.models import Allotment, CuttingSheet, Plan, SheetCloth, SheetLine
from plans.queries.left import RoleLeft, roles_left
from plans.queries.needs import Key, Misfit, key_of, laid_on, misfits, needs
from plans.queries.sheets import SheetRow, drafts
from plans.queries.worked import RolePatch, Worked
from quiltbook.measures import Size
from stash.models import Hold, MovementLine, Piece


@dataclass(frozen=True, slots=True)
class AllottedRow:
    """A fabric a role is cut from; `count` None: as much as is left over."""

    id: int
    fabric_id: int
    fabric: str
    colour: str
    photo_url: str
    count: int | None
    first: bool
    has_repeat: bool


@dataclass(frozen=True, slots=True)
class RoleRow:
    """A role and how it stands. `laid`: patches that the drafts have laid out of those that are missing. `stripes` and `per_repeat`: how
    the print is to lie."""

    key: str
    name: str
    kind: str
    patches: tuple[RolePatch, ...]
    left: RoleLeft
    allotted: tuple[AllottedRow, ...]
    laid: int
    stripes: str
    per_repeat: int | None

    @property
    def without_repeat(self) -> tuple[AllottedRow, ...]:
        """Fabrics that give no fussy cut, since nobody has written down the repeat of their print."""
        return tuple(row for row in self.allotted if not row.has_repeat) if self.per_repeat else ()

    @property
    def short(self) -> int:
        return self.left.missing - self.laid

    @property
    def standing(self) -> str:
        """cut, held, unallotted, short or enough."""
        if self.left.left == 0:
            return "cut"
        if self.left.missing == 0:
            return "held"
        if not self.allotted:
            return "unallotted"
        return "short" if self.short > 0 else "enough"


@dataclass(frozen=True, slots=True)
class ClothPage:
    """`laid_out`: the drafts answer the plan and the stash as they are now. `misfits`: what confirmed sheets hold in vain."""

    roles: tuple[RoleRow, ...]
    drafts: tuple[SheetRow, ...]
    laid_out: bool
    misfits: tuple[Misfit, ...]

    @property
    def to_lay_out(self) -> bool:
        return not self.laid_out and any(role.allotted and role.left.missing for role in self.roles)

    @property
    def all_found(self) -> bool:
        return not any(role.left.missing for role in self.roles)


def cloth_page(plan: Plan, work: Worked) -> ClothPage:
    laid, asked = _in_drafts(plan)
    allotted = _allotted(plan)
    wishes = {wish.role: wish for wish in plan.print_wishes.all()}
    roles = tuple(
        RoleRow(
            key=role.key,
            name=role.name,
            kind=role.kind,
            patches=role.patches,
            left=left,
            allotted=allotted.get(role.key, ()),
            laid=sum(laid[key_of(role.key, patch.part, patch.size)] for patch in role.patches),
            stripes=wishes[role.key].stripes if role.key in wishes else "",
            per_repeat=wishes[role.key].per_repeat if role.key in wishes else None,
        )
        for role, left in zip(work.roles, roles_left(plan, work), strict=True)
    )
    return ClothPage(roles, drafts(plan, work), _true_still(plan, work, allotted, asked), misfits(plan, work))


def _allotted(plan: Plan) -> dict[str, tuple[AllottedRow, ...]]:
    by_role: dict[str, list[Allotment]] = {}
    for row in plan.allotments.select_related("fabric").order_by("position", "pk"):
        by_role.setdefault(row.role, []).append(row)
    return {role: tuple(_allotted_row(row, i == 0) for i, row in enumerate(rows)) for role, rows in by_role.items()}


def _allotted_row(row: Allotment, first: bool) -> AllottedRow:
    fabric = row.fabric
    photo = fabric.photo.url if fabric.photo else ""
    return AllottedRow(
        row.pk, fabric.pk, fabric.name, fabric.colour, photo, row.count, first, fabric.repeat is not None
    )


def _in_drafts(plan: Plan) -> tuple[Counter[Key], Counter[Key]]:
    """Patches the drafts have laid out, and those they were asked for (laid out or not)."""
    missing: Counter[Key] = Counter()
    rows = CuttingSheet.objects.drafts().filter(plan=plan)
    laid = laid_on(SheetLine.objects.filter(cloth__sheet__in=rows))
    for sheet in rows:
        for row in sheet.uncut:
            missing[key_of(row["role"], row["part"], Size(row["width"], row["length"]))] += row["count"]
    return laid, laid + missing


def _true_still(plan: Plan, work: Worked, allotted: dict[str, tuple[AllottedRow, ...]], asked: Counter[Key]) -> bool:
    wanted = Counter({need.key: need.count for need in needs(plan, work) if need.role.key in allotted})
    capped = {key for key in wanted if all(row.count is not None for row in allotted[key[0]])}
    answered = all(asked[key] == count or (key in capped and asked[key] <= count) for key, count in wanted.items())
    return answered and not (set(asked) - set(wanted)) and _cloth_as_it_was(plan)


def _cloth_as_it_was(plan: Plan) -> bool:
    """Every piece laid on is still free and of the same size, and a fabric that was short has had nothing come or let go since."""
    sheets = list(CuttingSheet.objects.drafts().filter(plan=plan))
    cloths = list(SheetCloth.objects.filter(sheet__in=sheets).select_related("piece"))
    free = set(Piece.objects.free().filter(pk__in=[c.piece_id for c in cloths]).values_list("pk", flat=True))
    same = all(c.piece_id in free and c.piece.size == c.laid_out_on for c in cloths)
    return same and not any(sheet.uncut and _more_since(sheet) for sheet in sheets)


def _more_since(sheet: CuttingSheet) -> bool:
    """Whether cloth of the draft's fabric may have become free after it was laid out."""
    came = MovementLine.objects.filter(piece__fabric=sheet.fabric_id, movement__recorded_at__gt=sheet.made_at)
    let_go = Hold.objects.filter(piece__fabric=sheet.fabric_id, released_at__gt=sheet.made_at)
    return came.exists() or let_go.exists()
