"""What is to be bought of cloth? What no cloth was found for, by the strip arithmetic at once and by the least length found when asked.

A fabric a draft is short of is one row, whatever parts it is for; a part without any cloth is a row of its own. The rest is in the stash."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil
from string import ascii_uppercase

from plans.models import CuttingSheet, Plan, SheetLine, ShoppingLine
from plans.queries.cloth import ClothPage, cloth_page
from plans.queries.needs import Key, key_of, laid_on, needs
from plans.queries.real_cloth import of_fabric, off_the_bolt
from plans.queries.says import HARD_SPACE, PARTS, number, show_length, show_size
from plans.queries.washing import shrinkage_of
from plans.queries.worked import Role, RolePatch, Worked
from quiltbook.measures import Length, Size, System, round_up, show_amount
from quiltbook.yardage.buying import Bought, Buying
from quiltbook.yardage.buying import buy as engine_buy
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutting import ClothLayout, CuttingError, CuttingJob, Wanted, handbook
from quiltbook.yardage.handbook import HandbookLine
from quiltbook.yardage.layouts import LONGEST_CLOTH
from quiltbook.yardage.shrinkage import Shrinkage, before_washing
from stash.models import Fabric

type Buy = Callable[[Buying], Bought]
METHODS = {"strips": "By strips: quick to cut", "close": "Close: least cloth"}


@dataclass(frozen=True, slots=True)
class Piece:
    """So many patches of one size, by the `letter` they have on a layout; `whose`: their part of the quilt where a row is for several."""

    letter: str
    count: int
    part: str
    size: Size
    whose: str = ""


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One cloth to buy: for a part of the quilt, or more of a `fabric` she has too little of. `panel`: a printed one, bought whole.

    `on_list`: the line of the shopping list it is on already."""

    key: str
    name: str
    what: str
    fabric: Fabric | None
    role: str
    width: int
    pieces: tuple[Piece, ...]
    wanted: tuple[Wanted, ...]
    panel: Size | None
    on_list: ShoppingLine | None

    @property
    def labels(self) -> dict[str, str]:
        """The letters of the pieces, by what the engine knows them by."""
        return {wanted.id: piece.letter for wanted, piece in zip(self.wanted, self.pieces, strict=True)}

    @property
    def one_way(self) -> bool:
        return self.fabric is not None and self.fabric.one_way


@dataclass(frozen=True, slots=True)
class BuyingPage:
    """`to_buy`; `covered`: parts with their cloth found, and how; `not_laid`: parts with a fabric, of which nobody knows yet whether
    there is enough."""

    to_buy: tuple[ToBuy, ...]
    covered: tuple[tuple[str, str], ...]
    not_laid: tuple[str, ...]

    def row(self, key: str) -> ToBuy | None:
        return next((row for row in self.to_buy if row.key == key), None)


@dataclass(frozen=True, slots=True)
class ClothLength:
    """A length of cloth and what a shop cuts of it, with how it came about. `missing`: patches that go on no length of it."""

    words: str
    length: int
    to_buy: int
    how: tuple[str, ...]
    missing: int
    layout: ClothLayout | None = None


# --- what is missing -------------------------------------------------------------------------------------------------


def buying_page(plan: Plan, work: Worked) -> BuyingPage:
    """What to buy for a plan worked out."""
    cloth = cloth_page(plan, work)
    not_laid = {role.key for role in cloth.roles if role.allotted and role.left.missing and not cloth.laid_out}
    lines = list(ShoppingLine.objects.to_buy().filter(plan=plan))
    short = list(_short_fabrics(plan, work, lines)) if cloth.laid_out else []
    rest = [row for row in _roles_without(plan, work, cloth, lines) if row.key not in not_laid]
    to_buy = {row.key: row for row in (*rest, *short)}
    return BuyingPage(
        to_buy=tuple(to_buy.values()),
        covered=tuple(_covered(cloth, not_laid)),
        not_laid=tuple(role.name for role in cloth.roles if role.key in not_laid),
    )


def _covered(cloth: ClothPage, not_laid: set[str]) -> Iterator[tuple[str, str]]:
    said = {"cut": "all cut", "held": "its cloth is held", "enough": "enough in the stash"}
    for role in cloth.roles:
        if role.standing in said and role.key not in not_laid:
            yield role.name, said[role.standing]


def _short_fabrics(plan: Plan, work: Worked, lines: Iterable[ShoppingLine]) -> Iterator[ToBuy]:
    """One for each draft that is short of its fabric."""
    names = {role.key: role.name for role in work.roles}
    for sheet in CuttingSheet.objects.drafts().filter(plan=plan).select_related("fabric"):
        if not sheet.uncut:
            continue
        fabric = sheet.fabric
        yield ToBuy(
            key=f"fabric-{fabric.pk}",
            name=fabric.name,
            what=fabric.name,
            fabric=fabric,
            role="",
            width=fabric.usable_width,
            pieces=tuple(
                Piece(
                    _letter(n),
                    row["count"],
                    PARTS[row["part"]],
                    Size(row["width"], row["length"]),
                    names.get(row["role"], ""),
                )
                for n, row in enumerate(sheet.uncut)
            ),
            wanted=sheet.uncut_wanted(),
            panel=plan.printed if any(row["part"] == "panel" for row in sheet.uncut) else None,
            on_list=next((line for line in lines if line.fabric_id == fabric.pk), None),
        )


def _roles_without(plan: Plan, work: Worked, cloth: ClothPage, lines: Iterable[ShoppingLine]) -> Iterator[ToBuy]:
    """Each part with patches that no fabric was asked for."""
    asked = _asked_for(plan) if cloth.laid_out else Counter()
    allotted = {role.key for role in cloth.roles if role.allotted}
    missing: dict[str, list[tuple[RolePatch, int]]] = {}
    for need in needs(plan, work):
        count = need.count - (asked[need.key] if need.role.key in allotted else 0)
        if count > 0:
            missing.setdefault(need.role.key, []).append((need.patch, count))
    named = {row.pk for row in work.rounds if row.name}
    for role in work.roles:
        if role.key in missing:
            line = next((line for line in lines if line.role == role.key), None)
            yield _role_row(plan, role, _mid_sentence(role, named), missing[role.key], line)


def _asked_for(plan: Plan) -> Counter[Key]:
    """Patches that the drafts were asked for, laid out or not."""
    drafts = CuttingSheet.objects.drafts().filter(plan=plan)
    asked = laid_on(SheetLine.objects.filter(cloth__sheet__in=drafts))
    for sheet in drafts:
        for row in sheet.uncut:
            asked[key_of(row["role"], row["part"], Size(row["width"], row["length"]))] += row["count"]
    return asked


def _mid_sentence(role: Role, named: set[int]) -> str:
    """ "the first border: petals", or her own name for the round."""
    return role.name if role.round_id in named else f"the {role.name[:1].lower()}{role.name[1:]}"


def _role_row(
    plan: Plan, role: Role, what: str, missing: list[tuple[RolePatch, int]], line: ShoppingLine | None
) -> ToBuy:
    return ToBuy(
        key=role.key,
        name=role.name,
        what=what,
        fabric=None,
        role=role.key,
        width=plan.backing_width if role.kind == "backing" else plan.usable_width,
        pieces=tuple(
            Piece(_letter(n), count, PARTS[patch.part], patch.size) for n, (patch, count) in enumerate(missing)
        ),
        wanted=tuple(_wanted(n, patch, count) for n, (patch, count) in enumerate(missing)),
        panel=plan.printed if role.kind == "panel" else None,
        on_list=line,
    )


def _letter(n: int) -> str:
    return ascii_uppercase[n] if n < len(ascii_uppercase) else str(n + 1)


def _wanted(n: int, patch: RolePatch, count: int) -> Wanted:
    return Wanted(str(n), int(patch.size.width), int(patch.size.length), count, turn=patch.turn, join=patch.join)


# --- how much of it --------------------------------------------------------------------------------------------------


def at_once(row: ToBuy, plan: Plan, system: System) -> ClothLength:
    """The strip arithmetic of the handbooks: each size in strips of its own across the cloth."""
    lost = _shrinkage(row, plan)
    bolt = replace(_bolt(row), washed=lost is None)
    book = handbook(CuttingJob((bolt,), row.wanted, "strips", "quick", plan.least_offcut, lost))
    assert book is not None  # noqa: S101  (there is a bolt)
    how = [_strips(line, system) for line in book.lines]
    length = book.length and book.length + plan.straightening
    if plan.straightening:
        how.append(_squaring(plan.straightening, system))
    if lost and length:
        needed = Size(row.width * (1 - lost.width), length)
        length = ceil(before_washing(needed, lost).size.length)
        how.append(_washing(needed.length, length, system))
    missing = sum(wanted.count for wanted in row.wanted if wanted.id in book.too_wide)
    return ClothLength("By the strip arithmetic", length, round_up(length, plan.shop_step), tuple(how), missing)


def _bolt(row: ToBuy) -> Cloth:
    """As much of it as there may be."""
    if row.fabric is None:
        return Cloth("bolt", "bolt", row.width, LONGEST_CLOTH)
    return of_fabric("bolt", row.fabric, row.width, LONGEST_CLOTH, raw_ends=0)


def _squaring(taken: Length, system: System) -> str:
    return f"Squaring up the cut end takes {show_length(taken, system=system)} more."


def _shrinkage(row: ToBuy, plan: Plan) -> Shrinkage | None:
    return shrinkage_of(plan, row.fabric.kind if row.fabric else Fabric.Kind.COTTON)


def _washing(left: Length, length: Length, system: System) -> str:
    return f"So that {_rough(left, system)} is left after the wash, {_rough(length, system)} must be bought."


def _strips(line: HandbookLine, system: System) -> str:
    strips = "One strip" if line.strips == 1 else f"{number(line.strips).capitalize()} strips"
    strip, long_ = (show_length(nm, system=system) for nm in (line.strip, line.across))
    if line.lengths > 1:
        return f"{strips} of {strip} across the cloth, joined into {number(line.needed)} of {long_}."
    return f"{strips} of {strip} across the cloth, {number(line.per_strip)} a strip: {number(line.needed)} needed."


def least(row: ToBuy, plan: Plan, system: System, *, buy: Buy | None = None) -> tuple[tuple[str, ClothLength], ...]:
    """The least length found, by strips and by any edge-to-edge cuts. Each may take the engine a second."""
    return tuple((method, _found(row, plan, method, system, buy or bought)) for method in METHODS)


def length_of(row: ToBuy, plan: Plan, way: str, system: System, *, buy: Buy | None = None) -> ClothLength:
    """The length of one `way`: "handbook", "strips" or "close"."""
    if way in METHODS:
        return _found(row, plan, way, system, buy or bought)
    return at_once(row, plan, system)


@lru_cache(maxsize=64)
def bought(job: Buying) -> Bought:
    """The engine's answer, which is the same whenever it is asked."""
    return engine_buy(job)


def _found(row: ToBuy, plan: Plan, method: str, system: System, buy: Buy) -> ClothLength:
    job = off_the_bolt(plan, _bolt(row), row.wanted, method, _shrinkage(row, plan))
    try:
        found = buy(job)
    except CuttingError:
        how = "That is more cloth than a shop could cut."
        return ClothLength(METHODS[method], 0, 0, (how,), sum(wanted.count for wanted in row.wanted))
    if found.layout.stood_in:
        bought.cache_clear()  # the solver may answer in time when it is asked again
    missing = sum(uncut.count for uncut in found.layout.uncut)
    cloth = next(iter(found.layout.cloths), None)
    return ClothLength(METHODS[method], found.length, found.to_buy, tuple(_how(found, system)), missing, cloth)


def _how(found: Bought, system: System) -> Iterator[str]:
    for step in found.steps:
        at = {name: show_length(nm, system=system) for name, nm in step.lengths.items()}
        if step.what == "length found":
            count = step.counts["patches"]
            lie = "The one patch lies" if count == 1 else f"The {number(count)} patches lie"
            yield (
                f"{lie} within {at['length']} of cloth {at['cloth width']} wide. Their area alone would take"
                f" {_rough(step.lengths['least by area'], system)}."
            )
        elif step.what == "straightening":
            yield _squaring(step.lengths["straightening"], system)
        elif step.what == "before washing":
            yield _washing(step.lengths["needed length"], step.lengths["length"], system)
        elif step.what == "to buy":
            amount = show_amount(step.lengths["to buy"], system=system).replace(" ", HARD_SPACE)
            yield f"A shop that cuts by {at['increment']} cuts {amount}."
    if found.layout.stood_in:
        yield "The solver did not answer in time, so a plain layout stands in: a shorter length may do."


def _rough(nm: Length, system: System) -> str:
    """A length nobody cuts: to the eighth of an inch or the millimetre."""
    step = 3_175_000 if system is System.INCHES else 1_000_000
    return show_length(nm, system=system, step=step)


def layout_title(row: ToBuy, length: ClothLength, system: System) -> str:
    return f"{row.name}: {show_size(Size(row.width, length.to_buy), system=system)}"
