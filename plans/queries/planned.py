"""Which stages does a plan make, and what does each wait for? Names and sizes from the plan worked out; how far each can go from what is cut
and sewn.

Pure: nothing is read but what is handed in. Sizes are in the stored unit, to three decimals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from plans.models import Round, Stage
from plans.queries.worked import Worked, role_key, round_name
from quiltbook.measures import NM_PER_METRE

Unit, Technique = Stage.Unit, Stage.Technique
SHAPES_A_FLOWER = 7
CUTTING, LAYERING, QUILTING, BINDING = "cutting", "layering", "quilting", "binding"
ENDLESS = Decimal("Infinity")


@dataclass(frozen=True, slots=True)
class Planned:
    """A stage that the plan makes. `key` names a round by its row, so renaming and reordering rounds keep what was done."""

    key: str
    name: str
    technique: str
    unit: str
    size: Decimal


@dataclass(frozen=True, slots=True)
class Limit:
    """Work can go on until `amount` of the stage is done; beyond that it waits for `what`."""

    amount: Decimal
    what: str


@dataclass(frozen=True, slots=True)
class RoundKeys:
    """The keys of the stages of one round."""

    baste: str
    piece: str
    sew_on: str
    join: str


def keys_of(row: Round) -> RoundKeys:
    return RoundKeys(*(f"round-{row.pk}-{step}" for step in ("baste", "piece", "applique", "join")))


def named(work: Worked) -> Iterator[tuple[Round, str]]:
    """The rounds with what they are called, inner first."""
    return ((row, round_name(position, row)) for position, row in enumerate(work.rounds))


def planned(work: Worked) -> tuple[Planned, ...]:
    """The stages in the order in which they can be done."""
    size = work.top.finished
    width, length = Fraction(size.width) / NM_PER_METRE, Fraction(size.length) / NM_PER_METRE
    area, edge = _decimal(width * length), _decimal(2 * (width + length))
    return (
        Planned(CUTTING, "Cutting", Technique.CUTTING, Unit.PATCH, Decimal(sum(role.count for role in work.roles))),
        *(stage for row, name in named(work) if row.flowers for stage in _flower_stages(row, name)),
        *(stage for row, name in named(work) for stage in _border_stages(work, row, name)),
        Planned(LAYERING, "Layering", Technique.LAYERING, Unit.SQUARE_METRE, area),
        Planned(QUILTING, "Quilting", Technique.QUILTING, Unit.SQUARE_METRE, area),
        Planned(BINDING, "Binding", Technique.BINDING, Unit.METRE, edge),
    )


def _flower_stages(row: Round, name: str) -> tuple[Planned, ...]:
    keys, flowers = keys_of(row), Decimal(row.flowers)
    return (
        Planned(keys.baste, f"{name}: baste shapes", Technique.BASTING_SHAPES, Unit.SHAPE, flowers * SHAPES_A_FLOWER),
        Planned(keys.piece, f"{name}: piece flowers", Technique.PIECING, Unit.FLOWER, flowers),
    )


def _border_stages(work: Worked, row: Round, name: str) -> tuple[Planned, ...]:
    keys, strips = keys_of(row), work.role(role_key("side", row.pk))
    join = Planned(keys.join, f"{name}: join", Technique.JOINING, Unit.STRIP, Decimal(strips.count if strips else 0))
    if not row.flowers:
        return (join,)
    sew_on = Planned(keys.sew_on, f"{name}: appliqué flowers", Technique.APPLIQUE, Unit.FLOWER, Decimal(row.flowers))
    return (sew_on, join) if row.applied == Round.Applied.BEFORE else (join, sew_on)


def _decimal(value: Fraction) -> Decimal:
    return Decimal(round(value * 1000)) / 1000


# --- what each waits for ---------------------------------------------------------------------------------------------


def limits(work: Worked, *, have: Mapping[str, Decimal], cut: Mapping[str, int]) -> dict[str, tuple[Limit, ...]]:
    """How far each stage can go. `have` is what is done of every planned stage (its whole size where she calls it finished
    or skips it), `cut` the good patches of every role."""
    so_far = _SoFar(work, {stage.key: stage.size for stage in planned(work)}, have, cut)
    found: dict[str, tuple[Limit, ...]] = {}
    inside: list[str] = []
    top: list[str] = []
    for row in work.rounds:
        found |= _round_limits(so_far, row, inside)
        keys = keys_of(row)
        inside = [keys.join]
        top += [keys.join, keys.sew_on] if row.flowers else [keys.join]
    found[LAYERING] = (
        so_far.after(top, "the top to be finished"),
        so_far.all_cut(["backing"], "the backing to be cut"),
    )
    found[QUILTING] = (so_far.after([LAYERING], "the layers to be put together"),)
    found[BINDING] = (so_far.after([QUILTING], "the quilting"), so_far.all_cut(["binding"], "the binding to be cut"))
    return found


@dataclass(frozen=True, slots=True)
class _SoFar:
    work: Worked
    sizes: Mapping[str, Decimal]
    have: Mapping[str, Decimal]
    cut: Mapping[str, int]

    def after(self, stages: list[str], what: str) -> Limit:
        """Nothing until all of `stages` is done."""
        return _gate(all(self.have[key] >= self.sizes[key] for key in stages), what)

    def all_cut(self, roles: list[str], what: str) -> Limit:
        wanted = [role for role in self.work.roles if role.key in roles]
        return _gate(all(self.cut.get(role.key, 0) >= role.count for role in wanted), what)

    def cut_of(self, *roles: str) -> Decimal:
        return Decimal(sum(self.cut.get(role, 0) for role in roles))


def _gate(opened: bool, what: str) -> Limit:
    return Limit(ENDLESS if opened else Decimal(0), what)


def _round_limits(so_far: _SoFar, row: Round, inside: list[str]) -> dict[str, tuple[Limit, ...]]:
    keys = keys_of(row)
    border, stones, petals, centres = (
        role_key(part, row.pk) for part in ("side", "cornerstone", "petal", "flower centre")
    )
    join = [
        Limit(so_far.cut_of(border), "its strips to be cut"),
        so_far.all_cut([stones], "its cornerstones to be cut"),
        so_far.after(inside, "the round inside it"),
    ]
    if not row.flowers:
        return {keys.join: tuple(join)}
    pieced = Limit(so_far.have[keys.piece], "flowers to be pieced")
    if row.applied == Round.Applied.BEFORE:
        sew_on = (pieced, so_far.all_cut([border], "the border's strips to be cut"))
        join.append(so_far.after([keys.sew_on], "its flowers to be sewn on"))
    else:
        sew_on = (pieced, so_far.after([keys.join], "the border to be joined"))
    return {
        keys.baste: (Limit(so_far.cut_of(petals, centres), "its patches to be cut"),),
        keys.piece: (Limit(so_far.have[keys.baste] // SHAPES_A_FLOWER, "shapes to be basted"),),
        keys.sew_on: sew_on,
        keys.join: tuple(join),
    }
