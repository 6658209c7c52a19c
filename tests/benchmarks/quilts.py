"""Which quilts are measured? Six of our own, each as the patches that are to come from one cloth of 42 in, and two large ones.

Four are worked out by the engine from a top or its finishing, so that their sizes are what a quilter would cut; strips longer than the
cloth is wide may be joined.
"""

from collections.abc import Iterable

from quiltbook.measures import NM_PER_INCH, Size, round_up
from quiltbook.yardage.cloths import Cloth
from quiltbook.yardage.cutting import CuttingJob, Wanted
from quiltbook.yardage.finishing import binding
from quiltbook.yardage.motifs import Motif, MotifsOnRound
from quiltbook.yardage.patches import Join, Patch
from quiltbook.yardage.setting import Setting
from quiltbook.yardage.topplan import Blocks, Centre, Panel, Round, TopPlan
from quiltbook.yardage.tops import Top, work_out
from quiltbook.yardage.traditional import TRADITIONAL
from quiltbook.yardage.units import half_square_cut

IN = NM_PER_INCH
WIDTH = 42 * IN
SEAM = IN // 4
STEP = IN // 8

# Width and length in eighths of an inch, and count: squares, rectangles and the halves of triangles of a sampler of 25 blocks.
_SAMPLER = (
    (12, 12, 48), (12, 20, 32), (12, 28, 16), (12, 36, 16), (15, 15, 24), (16, 16, 36), (16, 28, 20), (18, 18, 16),
    (20, 20, 40), (20, 36, 24), (20, 52, 12), (23, 23, 16), (24, 24, 12), (28, 28, 20), (28, 52, 8), (31, 31, 12),
    (34, 34, 9), (36, 36, 16), (38, 38, 8), (42, 42, 4), (52, 52, 8), (58, 58, 4),
)  # fmt: skip


def quilts() -> dict[str, tuple[Wanted, ...]]:
    """The patches of each quilt, by its name."""
    return {
        "medallion borders": _medallion(),
        "12 blocks and sashing": _blocks(),
        "60 flowers, rough cut": _flowers(),
        "100 triangles and ground": _triangles(),
        "binding and sleeve": _binding(),
        "sampler of 22 sizes": tuple(
            Wanted(f"size {n}", width * STEP, length * STEP, count) for n, (width, length, count) in enumerate(_SAMPLER)
        ),
    }


def _top(centre: Centre, *rounds: Round, motifs: dict[str, Motif] | None = None) -> Top:
    return work_out(TopPlan(centre, rounds, motifs or {}, SEAM, STEP, WIDTH))


def _wanted(patches: Iterable[Patch]) -> tuple[Wanted, ...]:
    """The rectangles to cut for them."""
    return tuple(
        Wanted(f"{n} {p.role}", round(p.cut.width), round(p.cut.length), p.to_cut, p.turn, p.alike, p.join)
        for n, p in enumerate(patches)
    )


def _medallion() -> tuple[Wanted, ...]:
    """All the borders of a medallion of three rounds, its centre left out."""
    rounds = (Round(2 * IN, "butted"), Round(5 * IN, "cornerstones"), Round(IN * 3 // 2, "butted"))
    top = _top(Panel(18 * IN, 22 * IN), *rounds)
    return _wanted(patch for patch in top.patches if patch.round is not None)


def _blocks() -> tuple[Wanted, ...]:
    """Twelve blocks of a star in one cloth, with the sashing and its cornerstones."""
    setting = Setting(9 * IN, 3, 4, sashing=2 * IN, outer=True, cornerstones=True)
    return _wanted(_top(Blocks((TRADITIONAL["sawtooth star"],), setting)).patches)


def _flowers() -> tuple[Wanted, ...]:
    """Sixty hexagon flowers on a border: petals and centres, each as a rectangle to be cut round."""
    on = MotifsOnRound("flower", 15, 15, 15, 15)
    top = _top(
        Panel(80 * IN, 80 * IN),
        Round(7 * IN, "cornerstones", motifs=on),
        motifs={"flower": Motif("flower", IN, IN, SEAM)},
    )
    return _wanted(patch for patch in top.patches if patch.part in ("petal", "petal hexagon", "flower centre"))


def _triangles() -> tuple[Wanted, ...]:
    """A hundred half squares of 3 in from squares cut once across, and twelve squares and four strips of ground."""
    square = round_up(half_square_cut(3 * IN, SEAM, 2), STEP)
    return (
        Wanted("triangles", square, square, 50),
        Wanted("ground", 13 * IN // 2, 13 * IN // 2, 12),
        Wanted("strips of ground", 7 * IN // 2, 73 * IN // 2, 4),
    )


def _binding() -> tuple[Wanted, ...]:
    """Binding for a top of 56 by 70 in, joined on the slant, with its sleeve and two corners to hang it by."""
    strip = 5 * IN // 2
    bound = binding(
        Size(56 * IN, 70 * IN),
        extra=10 * IN,
        strip_width=strip,
        cloth_width=WIDTH,
        join="diagonal",
        seam_allowance=SEAM,
    )
    return (
        Wanted("binding", WIDTH, strip, bound.strips, turn=False),
        Wanted("sleeve", 55 * IN, 9 * IN, 1, join=Join(IN // 2, 8 * IN)),
        Wanted("corners", 6 * IN, 6 * IN, 2),
    )


# --- large ones ------------------------------------------------------------------------------------------------------


def large_top() -> TopPlan:
    """Two blocks in turns, sashing, and twelve rounds, four of them with flowers: 30 roles in all."""
    setting = Setting(9 * IN, 3, 4, sashing=2 * IN, outer=True, cornerstones=True)
    centre = Blocks((TRADITIONAL["sawtooth star"], TRADITIONAL["churn dash"]), setting)
    rounds = tuple(
        Round((5 if n % 3 == 1 else 2) * IN, ("cornerstones", "mitred", "butted")[n % 3], motifs=_on(n))
        for n in range(12)
    )
    return TopPlan(centre, rounds, {"flower": Motif("flower", IN, IN, SEAM)}, SEAM, STEP, WIDTH)


def _on(n: int) -> MotifsOnRound | None:
    return MotifsOnRound("flower", 3, 3, 4, 4) if n % 3 == 1 else None


def large_quilt() -> CuttingJob:
    """Ten rounds with sixty flowers, to be cut from sixty pieces of one cloth, from scraps to lengths."""
    rounds = tuple(
        Round((6 if n % 2 else 2) * IN, "cornerstones", motifs=MotifsOnRound("flower", 3, 3, 3, 3) if n % 2 else None)
        for n in range(10)
    )
    top = _top(Panel(24 * IN, 30 * IN), *rounds, motifs={"flower": Motif("flower", IN, IN, SEAM)})
    cloths = tuple(Cloth(f"piece {n}", "kelp", (10 + 7 * n % 33) * IN, (8 + 11 * n % 47) * IN) for n in range(60))
    return CuttingJob(cloths, _wanted(patch for patch in top.patches if patch.round is not None))
