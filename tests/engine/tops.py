"""Random plans of quilt tops, and one plain one, for the tests."""

from fractions import Fraction

from hypothesis import strategies as st

from quiltbook.measures import NM_PER_INCH, Length, Size
from quiltbook.yardage.motifs import Motif, MotifsOnRound
from quiltbook.yardage.tops import Panel, Round, TopPlan

IN = NM_PER_INCH


def plan(*rounds: Round, width: int = 24, length: int = 18, **settings: object) -> TopPlan:
    """A panel of `width` by `length` inches with those rounds, quarter inch seams, eighths, 42 in cloth."""
    values: dict[str, object] = {
        "centre": Panel(width * IN, length * IN),
        "rounds": rounds,
        "motifs": {"rosette": Motif("rosette", IN, IN, 3 * IN // 8), "plain": Motif("plain", IN, None, IN // 4)},
        "seam_allowance": IN // 4,
        "round_up": IN // 8,
        "cloth_width": 42 * IN,
    }
    return TopPlan(**(values | settings))  # type: ignore[arg-type]


def inches(size: Size) -> tuple[float, float]:
    return float(Fraction(size.width) / IN), float(Fraction(size.length) / IN)


lengths = st.integers(1, 400).map(lambda eighths: eighths * IN // 8)
few = st.integers(0, 4)
seams: st.SearchStrategy[Length] = st.sampled_from([IN // 4, 7_500_000, Fraction(IN, 3)])


@st.composite
def rounds(draw: st.DrawFn) -> Round:
    on = st.builds(
        MotifsOnRound, motif=st.sampled_from(["rosette", "plain"]), left=few, right=few, top=few, bottom=few,
        rule=st.sampled_from(["even", "cells", "margins"]), applied=st.sampled_from(["before", "after"]),
    )  # fmt: skip
    return draw(
        st.builds(
            Round,
            width=lengths,
            corners=st.sampled_from(["butted", "cornerstones", "mitred"]),
            first=st.sampled_from(["sides", "ends"]),
            cut_long=st.sampled_from([0, IN]),
            motifs=st.one_of(st.none(), on),
        )
    )


@st.composite
def plans(draw: st.DrawFn) -> TopPlan:
    width, length = draw(lengths), draw(lengths)
    measured = draw(st.sampled_from([None, Size(width + IN // 8, length)]))
    return TopPlan(
        centre=Panel(width, length, measured=measured),
        rounds=tuple(draw(st.lists(rounds(), max_size=5))),
        motifs={"rosette": Motif("rosette", IN, IN, 3 * IN // 8), "plain": Motif("plain", 3 * IN // 4, None, IN // 4)},
        seam_allowance=draw(seams),
        round_up=draw(st.sampled_from([IN // 8, 1_000_000])),
        cloth_width=draw(st.sampled_from([40 * IN, 42 * IN, 1_070_000_000])),
        mitre_extra=draw(st.sampled_from([0, 4 * IN])),
    )
