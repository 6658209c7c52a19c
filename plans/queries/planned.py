"""Which stages does a plan make, and what does each wait for? Names and sizes from the plan worked out; how far each can go from what is cut
and sewn.

Pure: nothing is read but what is handed in. Sizes are in the stored unit, to three decimals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from plans.models import Round, Stage
from plans.queries.worked import BLOCK_PATCH, Role, Worked, role_key, round_name
from quiltbook.measures import NM_PER_METRE
from quiltbook.yardage.tops import RoundResult

Unit, Technique = Stage.Unit, Stage.Technique
SHAPES_A_FLOWER = 7
CUTTING, LAYERING, QUILTING, BINDING = "cutting", "layering", "quilting", "binding"
PIECE_BLOCKS, JOIN_BLOCKS, BASTE_FIELD, PIECE_FIELD = "piece-blocks", "join-blocks", "baste-field", "piece-field"
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
        *_centre_stages(work),
        *(stage for row, name in named(work) if row.flowers for stage in _flower_stages(row, name)),
        *(stage for row, name in named(work) for stage in _border_stages(work, row, name)),
        Planned(LAYERING, "Layering", Technique.LAYERING, Unit.SQUARE_METRE, area),
        Planned(QUILTING, "Quilting", Technique.QUILTING, Unit.SQUARE_METRE, area),
        Planned(BINDING, "Binding", Technique.BINDING, Unit.METRE, edge),
    )


def _centre_stages(work: Worked) -> Iterator[Planned]:
    """What there is to sew before the first round: blocks, or a field over papers."""
    centre = work.top.centre
    count = Decimal(centre.count)
    if centre.kind == "blocks":
        yield Planned(PIECE_BLOCKS, "Piece blocks", Technique.PIECING, Unit.BLOCK, count)
        yield Planned(JOIN_BLOCKS, "Join blocks", Technique.JOINING, Unit.BLOCK, count)
    elif centre.kind.endswith("field"):
        yield Planned(BASTE_FIELD, "Centre: baste shapes", Technique.BASTING_SHAPES, Unit.SHAPE, count)
        yield Planned(PIECE_FIELD, "Centre: piece the field", Technique.PIECING, Unit.SHAPE, count)


def _flower_stages(row: Round, name: str) -> tuple[Planned, ...]:
    keys, flowers = keys_of(row), Decimal(row.flowers)
    return (
        Planned(keys.baste, f"{name}: baste shapes", Technique.BASTING_SHAPES, Unit.SHAPE, flowers * SHAPES_A_FLOWER),
        Planned(keys.piece, f"{name}: piece flowers", Technique.PIECING, Unit.FLOWER, flowers),
    )


def _border_stages(work: Worked, row: Round, name: str) -> tuple[Planned, ...]:
    keys, result = keys_of(row), _result(work, row)
    join = Planned(keys.join, f"{name}: join", Technique.JOINING, Unit.STRIP, Decimal(result.strips))
    if result.pieced:
        units = 2 * (result.pieced.fit.across + result.pieced.fit.down)
        return (Planned(keys.piece, f"{name}: piece units", Technique.PIECING, Unit.UNIT, Decimal(units)), join)
    if not row.flowers:
        return (join,)
    sew_on = Planned(keys.sew_on, f"{name}: appliqué flowers", Technique.APPLIQUE, Unit.FLOWER, Decimal(row.flowers))
    return (sew_on, join) if row.applied == Round.Applied.BEFORE else (join, sew_on)


def _result(work: Worked, row: Round) -> RoundResult:
    return work.top.rounds[work.rounds.index(row)]


def _decimal(value: Fraction) -> Decimal:
    return Decimal(round(value * 1000)) / 1000


# --- what each waits for ---------------------------------------------------------------------------------------------


def limits(work: Worked, *, have: Mapping[str, Decimal], cut: Mapping[str, int]) -> dict[str, tuple[Limit, ...]]:
    """How far each stage can go. `have` is what is done of every planned stage (its whole size where she calls it finished
    or skips it), `cut` the good patches of every role."""
    so_far = _SoFar(work, {stage.key: stage.size for stage in planned(work)}, have, cut)
    found = _centre_limits(so_far)
    inside = [key for key in (JOIN_BLOCKS, PIECE_FIELD) if key in found]
    top = list(inside)
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

    def whole_of(self, count: int, roles: Iterable[Role]) -> Decimal:
        """How many of `count` alike can be sewn from what is cut of all these roles."""
        shares = [Fraction(self.cut.get(role.key, 0), role.count) for role in roles if role.count]
        return Decimal(int(count * min(shares, default=Fraction(1))))

    def cut_of(self, *roles: str) -> Decimal:
        return Decimal(sum(self.cut.get(role, 0) for role in roles))


def _gate(opened: bool, what: str) -> Limit:
    return Limit(ENDLESS if opened else Decimal(0), what)


def _centre_limits(so_far: _SoFar) -> dict[str, tuple[Limit, ...]]:
    work = so_far.work
    centre = work.top.centre
    roles = [role for role in work.roles if role.round_id is None]
    if centre.kind == "blocks":
        blocks = so_far.whole_of(centre.count, (role for role in roles if role.kind.startswith(BLOCK_PATCH)))
        between = [role.key for role in roles if role.kind in ("sashing", "sashing cornerstones", "setting triangles")]
        return {
            PIECE_BLOCKS: (Limit(blocks, "its patches to be cut"),),
            JOIN_BLOCKS: (
                Limit(so_far.have[PIECE_BLOCKS], "blocks to be pieced"),
                so_far.all_cut(between, "what lies between the blocks to be cut"),
            ),
        }
    if centre.kind.endswith("field"):
        return {
            BASTE_FIELD: (Limit(so_far.cut_of(role_key("field patch", None)), "its patches to be cut"),),
            PIECE_FIELD: (Limit(so_far.have[BASTE_FIELD], "shapes to be basted"),),
        }
    return {}


def _pieced_limits(so_far: _SoFar, row: Round, inside: list[str]) -> dict[str, tuple[Limit, ...]]:
    keys, units = keys_of(row), so_far.sizes[keys_of(row).piece]
    roles = [role for role in so_far.work.roles if role.round_id == row.pk]
    pieced = so_far.whole_of(int(units), (role for role in roles if role.kind.startswith(BLOCK_PATCH)))
    plain = [role.key for role in roles if not role.kind.startswith(BLOCK_PATCH)]
    return {
        keys.piece: (Limit(pieced, "its patches to be cut"),),
        keys.join: (
            so_far.after([keys.piece], "its units to be pieced"),
            so_far.all_cut(plain, "its coping and corners to be cut"),
            so_far.after(inside, "the round inside it"),
        ),
    }


def _round_limits(so_far: _SoFar, row: Round, inside: list[str]) -> dict[str, tuple[Limit, ...]]:
    keys = keys_of(row)
    if row.unit_length:
        return _pieced_limits(so_far, row, inside)
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
