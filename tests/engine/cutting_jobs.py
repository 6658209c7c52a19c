"""Cutting jobs for the tests, in inches, and random ones; and what the verifier says of their layouts."""

from dataclasses import asdict, replace
from fractions import Fraction

from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH
from quiltbook.yardage.cloths import Cloth, Flaw, Repeat
from quiltbook.yardage.cutting import CuttingJob, Layout, Wanted, lay_out
from quiltbook.yardage.patches import Join
from quiltbook.yardage.shrinkage import Shrinkage
from tests.engine.verifier import faults

IN = NM_PER_INCH


def nm(inches: float) -> int:
    return round(inches * IN)


def cloth(name: str, width: float, length: float, count: int = 1, *, fabric: str = "kelp", **more: object) -> Cloth:
    return Cloth(name, fabric, nm(width), nm(length), count, **more)  # type: ignore[arg-type]


def flaw(x: float, y: float, width: float, length: float) -> Flaw:
    return Flaw(nm(x), nm(y), nm(width), nm(length))


def patch(name: str, width: float, length: float, count: int = 1, **more: object) -> Wanted:
    return Wanted(name, nm(width), nm(length), count, **more)  # type: ignore[arg-type]


def repeat(width: float, length: float) -> Repeat:
    return Repeat(nm(width), nm(length))


def join(loss: float, least: float) -> Join:
    return Join(nm(loss), nm(least))


def job(cloths: list[Cloth], patches: list[Wanted], method: str = "close", **more: object) -> CuttingJob:
    return CuttingJob(tuple(cloths), tuple(patches), method, **more)  # type: ignore[arg-type]


def wrong(asked: CuttingJob, layout: Layout) -> list[str]:
    """What the verifier, which knows nothing of the engine, finds wrong."""
    cloths, patches = [asdict(c) for c in asked.cloths], [asdict(p) for p in asked.patches]
    shrinkage = asdict(asked.shrinkage) if asked.shrinkage else None
    return faults(
        cloths,
        patches,
        asked.least_offcut,
        asdict(layout),
        shrinkage=shrinkage,
        straightening=asked.straightening,
    )


def sound(asked: CuttingJob, **more: object) -> Layout:
    """The layout of a job, found right by the verifier."""
    layout = lay_out(asked, **more)  # type: ignore[arg-type]
    assert wrong(asked, layout) == []
    return layout


def opened(layout: Layout) -> int:
    """Area of cloth cut into, nm²."""
    return layout.used_area + layout.offcut_area + layout.waste_area


def largest(layout: Layout) -> int:
    return max((o.width * o.length for c in layout.cloths for o in c.offcuts), default=0)


def reach(layout: Layout) -> float:
    """How many inches of the cloths' length the patches take, cloth by cloth."""
    return sum(max(p.y + p.length for p in c.placements) for c in layout.cloths) / IN


# --- random jobs -----------------------------------------------------------------------------------------------------

_STEPS = (IN // 8, IN // 4, IN, 1_000_000, 100_000, IN // 3 + 1)


@st.composite
def jobs(draw: st.DrawFn, *, most_cloths: int = 5, most_patches: int = 5) -> CuttingJob:
    """Cloths of two fabrics with flaws and one-way prints; patches that may turn, be joined, or go six at a time."""
    step = draw(st.sampled_from(_STEPS))

    def side(low: int, high: int) -> int:
        return max(1, draw(st.integers(low * IN // step, high * IN // step))) * step

    def some_flaw() -> Flaw:
        return Flaw(side(0, 40), side(0, 40), side(1, 3), side(1, 3))

    cloths = tuple(
        Cloth(
            f"cloth {n}",
            draw(st.sampled_from(["kelp", "sand"])),
            side(3, 44),
            side(3, 60),
            draw(st.sampled_from([1, 1, 2, 50])),
            draw(st.booleans()),
            tuple(some_flaw() for _ in range(draw(st.sampled_from([0, 0, 1, 3])))),
        )
        for n in range(draw(st.integers(0, most_cloths)))
    )
    patches = tuple(
        Wanted(
            f"patch {n}",
            side(1, draw(st.sampled_from([4, 10]))),
            side(1, draw(st.sampled_from([4, 10, 90]))),
            draw(st.sampled_from([0, 1, 3, 25])),
            draw(st.booleans()),
            draw(st.sampled_from([1, 1, 4, 6])),
            draw(st.sampled_from([None, None, Join(IN // 2, 8 * IN), Join(0, 0)])),
        )
        for n in range(draw(st.integers(0, most_patches)))
    )
    return CuttingJob(
        cloths, patches, draw(st.sampled_from(["close", "strips"])), least_offcut=draw(st.sampled_from([0, IN, 3 * IN]))
    )


@st.composite
def printed_jobs(draw: st.DrawFn, *, most_cloths: int = 4, most_patches: int = 4) -> CuttingJob:
    """Such jobs on striped cloth and prints with a repeat, some of it raw and yet to be washed; fussy cuts among the patches."""
    plain = draw(jobs(most_cloths=most_cloths, most_patches=most_patches))
    stripes = st.sampled_from([None, "along", "across"])
    repeats = st.sampled_from([None, Repeat(4 * IN, 4 * IN), Repeat(3 * IN, 60_000_001), Repeat(12 * IN, 8 * IN)])
    cloths = tuple(
        replace(
            cloth,
            stripes=draw(stripes),
            repeat=draw(repeats),
            washed=draw(st.booleans()),
            raw_ends=draw(st.sampled_from([0, 1, 2])),
        )
        for cloth in plain.cloths
    )
    patches = []
    for one in plain.patches:
        fussy = draw(st.sampled_from([None, None, 1, 2, 3]))
        patches.append(replace(one, stripes=draw(stripes), per_repeat=fussy, join=None if fussy else one.join))
    return replace(
        plain,
        cloths=cloths,
        patches=tuple(patches),
        shrinkage=draw(st.sampled_from([None, Shrinkage(Fraction(3, 100), Fraction(5, 100))])),
        straightening=draw(st.sampled_from([0, IN // 2, IN])),
    )
