"""What must still be cut? The plan's patches, less what its confirmed sheets have cut or hold.

A patch counts as covered when a standing sheet has one of the same role, part and size that was not spoiled. A strip joined of several
lengths counts as a whole, and only when all its lengths stand."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from plans.models import CuttingSheet, Plan, SheetLine
from plans.queries.worked import Role, RolePatch, Worked
from quiltbook.measures import Size

type Key = tuple[str, str, int, int]


@dataclass(frozen=True, slots=True)
class Need:
    """So many patches of one size still to find cloth for."""

    role: Role
    patch: RolePatch
    count: int

    @property
    def key(self) -> Key:
        return key_of(self.role.key, self.patch.part, self.patch.size)


@dataclass(frozen=True, slots=True)
class Covered:
    """Patches by key: cut and good, and held on sheets still to cut; and both together by role and fabric."""

    cut: Counter[Key]
    held: Counter[Key]
    by_fabric: Counter[tuple[str, int]]

    def of(self, key: Key) -> int:
        return self.cut[key] + self.held[key]


@dataclass(frozen=True, slots=True)
class Misfit:
    """Patches on confirmed sheets that the plan, as it is now, does not want."""

    role: str
    part: str
    size: Size
    count: int
    sheet_id: int


def key_of(role: str, part: str, size: Size) -> Key:
    return (role, part, int(size.width), int(size.length))


def covered(plan: Plan) -> Covered:
    """What the plan's standing sheets have."""
    cut: Counter[Key] = Counter()
    held: Counter[Key] = Counter()
    by_fabric: Counter[tuple[str, int]] = Counter()
    wholes: dict[tuple[int, Key, int], list[SheetLine]] = defaultdict(list)
    for line in _lines(plan):
        key = key_of(line.role, line.part, line.size)
        if line.whole is not None:
            wholes[line.cloth.sheet_id, key, line.whole].append(line)
        elif _stands(line):
            (cut if line.cloth.cut_movement_id else held)[key] += line.good
            by_fabric[line.role, line.cloth.sheet.fabric_id] += line.good
    for (_, key, _), lines in wholes.items():
        if len(lines) == lines[0].join_of and all(_stands(line) and line.good for line in lines):
            (cut if all(line.cloth.cut_movement_id for line in lines) else held)[key] += 1
            by_fabric[key[0], lines[0].cloth.sheet.fabric_id] += 1
    return Covered(cut, held, by_fabric)


def needs(plan: Plan, worked: Worked) -> tuple[Need, ...]:
    """What is still to be found cloth for, in the order of the roles."""
    have = covered(plan)
    wanted = (Need(role, patch, patch.count) for role in worked.roles for patch in role.patches)
    left = (replace(need, count=need.count - have.of(need.key)) for need in wanted)
    return tuple(need for need in left if need.count > 0)


def misfits(plan: Plan, worked: Worked) -> tuple[Misfit, ...]:
    """What confirmed sheets hold or have cut beyond what the plan wants now: the plan was changed since."""
    spare = Counter(
        {key_of(role.key, patch.part, patch.size): patch.count for role in worked.roles for patch in role.patches}
    )
    found = []
    for line in _lines(plan):
        if not _stands(line) or line.join_part not in (None, 1):
            continue
        key = key_of(line.role, line.part, line.size)
        over = line.good - max(0, spare[key])
        spare[key] -= line.good
        if over > 0:
            found.append(Misfit(line.role, line.part, line.size, min(over, line.good), line.cloth.sheet_id))
    return tuple(found)


def laid_on(lines: Iterable[SheetLine]) -> Counter[Key]:
    """Patches that lie on these lines of sheets; a joined strip once, by the first of its lengths."""
    laid: Counter[Key] = Counter()
    for line in lines:
        if line.join_part in (None, 1):
            laid[key_of(line.role, line.part, line.size)] += line.count
    return laid


def _lines(plan: Plan) -> Iterable[SheetLine]:
    lines = SheetLine.objects.filter(cloth__sheet__plan=plan).exclude(cloth__sheet__state=CuttingSheet.State.DRAFT)
    return lines.select_related("cloth__sheet").prefetch_related("miscuts")


def _stands(line: SheetLine) -> bool:
    return line.cloth.released_at is None and not line.cloth.freed
