"""What is left to cut? Patches by role, from the sheets: cut, held, and still without cloth. Counts what the plan wants now, so a change
of the plan shows here at once."""

from __future__ import annotations

from dataclasses import dataclass

from plans.models import Plan, ShoppingLine
from plans.queries.needs import Covered, covered, key_of
from plans.queries.worked import Role, Worked


@dataclass(frozen=True, slots=True)
class RoleLeft:
    """A role's patches: `needed` = `cut` + `held` (on sheets still to cut) + `missing` (no cloth held for them yet)."""

    key: str
    name: str
    kind: str
    needed: int
    cut: int
    held: int

    @property
    def left(self) -> int:
        return self.needed - self.cut

    @property
    def missing(self) -> int:
        return self.needed - self.cut - self.held


def roles_left(plan: Plan, work: Worked) -> tuple[RoleLeft, ...]:
    have = covered(plan)
    return tuple(_role_left(role, have) for role in work.roles)


def open_lines(plan: Plan) -> tuple[ShoppingLine, ...]:
    """What the shopping list has for the plan and is not bought yet."""
    return tuple(ShoppingLine.objects.to_buy().filter(plan=plan).select_related("fabric"))


def _role_left(role: Role, have: Covered) -> RoleLeft:
    cut = held = 0
    for patch in role.patches:
        key = key_of(role.key, patch.part, patch.size)
        good = min(patch.count, have.cut[key])
        cut += good
        held += min(patch.count - good, have.held[key])
    return RoleLeft(role.key, role.name, role.kind, role.count, cut, held)
