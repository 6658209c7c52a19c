"""Does the engine's own check see every fault? A sound layout is spoiled in each way; the tests' verifier must see it too."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from quiltbook.yardage.cutting import Cut, CuttingJob, Layout, Offcut, Placement, Uncut, check, lay_out
from tests.engine.cutting_jobs import IN, cloth, flaw, job, join, patch, wrong

JOB = job(
    [cloth("kelp", 42, 20, flaws=(flaw(20, 1, 1, 1),)), cloth("sand", 12, 9, fabric="sand", one_way=True)],
    [
        patch("A", 2.5, 2, 30),
        patch("petal", 3, 2, 6, alike=3),
        patch("border", 2, 58, 2, join=join(0.5, 8)),
        patch("too wide", 60, 60, 2),
    ],
)
GOOD = lay_out(JOB)

type Spoil = Callable[[Layout], Layout]


def _first(layout: Layout, **changes: object) -> Layout:
    """The cloth with the most patches changed."""
    n = max(range(len(layout.cloths)), key=lambda n: len(layout.cloths[n].placements))
    cloths = list(layout.cloths)
    cloths[n] = replace(cloths[n], **changes)  # type: ignore[arg-type]
    return replace(layout, cloths=tuple(cloths))


def _busiest(layout: Layout) -> int:
    return max(range(len(layout.cloths)), key=lambda n: len(layout.cloths[n].placements))


def _placements(layout: Layout, change: Callable[[list[Placement]], list[Placement]]) -> Layout:
    return _first(layout, placements=tuple(change(list(layout.cloths[_busiest(layout)].placements))))


def _cuts(layout: Layout, change: Callable[[list[Cut]], list[Cut]]) -> Layout:
    return _first(layout, cuts=tuple(change(list(layout.cloths[_busiest(layout)].cuts))))


def _joined(layout: Layout, **changes: object) -> Layout:
    """The first length of a joined border changed."""
    n, k = next((n, k) for n, c in enumerate(layout.cloths) for k, p in enumerate(c.placements) if p.part)
    placements = list(layout.cloths[n].placements)
    placements[k] = replace(placements[k], **changes)  # type: ignore[arg-type]
    cloths = list(layout.cloths)
    cloths[n] = replace(cloths[n], placements=tuple(placements))
    return replace(layout, cloths=tuple(cloths))


SPOILT: dict[str, Spoil] = {
    "a patch is missing": lambda s: _placements(s, lambda ps: ps[1:]),
    "a patch lies on another": lambda s: _placements(s, lambda ps: [replace(ps[0], x=ps[1].x, y=ps[1].y), *ps[1:]]),
    "a patch is moved off its cuts": lambda s: _placements(s, lambda ps: [replace(ps[0], x=ps[0].x + 1), *ps[1:]]),
    "a patch sticks out": lambda s: _placements(s, lambda ps: [replace(ps[0], x=41 * IN), *ps[1:]]),
    "a patch is too small": lambda s: _placements(s, lambda ps: [replace(ps[0], width=ps[0].width - 1), *ps[1:]]),
    "a patch has another name": lambda s: _placements(s, lambda ps: [replace(ps[0], patch="too wide"), *ps[1:]]),
    "a patch that nobody asked for": lambda s: _placements(s, lambda ps: [replace(ps[0], patch="stray"), *ps[1:]]),
    "a cut is left out": lambda s: _cuts(s, lambda cs: cs[1:]),
    "the cuts are made in the wrong order": lambda s: _cuts(s, lambda cs: cs[::-1]),
    "a cut stops short": lambda s: _cuts(s, lambda cs: [replace(cs[0], end=cs[0].end - 1), *cs[1:]]),
    "a cut is made beside its place": lambda s: _cuts(s, lambda cs: [replace(cs[0], at=cs[0].at + 1), *cs[1:]]),
    "a cut goes through a patch": lambda s: _cuts(s, lambda cs: [*cs, Cut(len(cs) + 1, "across", 1, 0, 42 * IN)]),
    "an offcut is not there": lambda s: _first(
        s, offcuts=(*s.cloths[_busiest(s)].offcuts, Offcut(0, 0, 3 * IN, 3 * IN))
    ),
    "a cloth is not there": lambda s: replace(s, cloths=(*s.cloths, replace(s.cloths[0], copy=2))),
    "a cloth is cut twice": lambda s: replace(s, cloths=(*s.cloths, s.cloths[0])),
    "a cloth is listed for nothing": lambda s: _first(s, placements=(), cuts=(), offcuts=()),
    "a joined border lacks a length": lambda s: _joined(s, part=3),
    "a length belongs to another border": lambda s: _joined(s, whole=2),
    "a length says that it is whole": lambda s: _joined(s, part=None, whole=None),
    "uncut is not said": lambda s: replace(s, uncut=()),
    "uncut says too many": lambda s: replace(s, uncut=(Uncut("too wide", 3),)),
    "uncut is said twice": lambda s: replace(s, uncut=(Uncut("too wide", 1), Uncut("too wide", 1))),
    "the used area is wrong": lambda s: replace(s, used_area=s.used_area + 1, waste_area=s.waste_area - 1),
    "the offcut area is wrong": lambda s: replace(s, offcut_area=s.offcut_area + 1, waste_area=s.waste_area - 1),
    "the waste is wrong": lambda s: replace(s, waste_area=s.waste_area + 1),
}


def test_the_layout_is_sound_before_it_is_spoilt() -> None:
    assert check(JOB, GOOD) == []
    assert wrong(JOB, GOOD) == []
    assert any(p.part for laid in GOOD.cloths for p in laid.placements)


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT.keys())
def test_a_fault_is_seen_by_the_check_and_by_the_verifier_when(spoil: Spoil) -> None:
    spoilt = spoil(GOOD)
    assert spoilt != GOOD
    assert check(JOB, spoilt)
    assert wrong(JOB, spoilt)


STRICTER = {
    "a flaw": replace(JOB, cloths=tuple(replace(c, flaws=(*c.flaws, flaw(0, 0, 1, 1))) for c in JOB.cloths)),
    "a larger least offcut": replace(JOB, least_offcut=50 * IN),
    "a size": replace(JOB, patches=(replace(JOB.patches[0], width=3 * IN), *JOB.patches[1:])),
    "no leave to join": replace(JOB, patches=tuple(replace(p, join=None) for p in JOB.patches)),
    "a longer least length": replace(
        JOB, patches=tuple(replace(p, join=p.join and join(0.5, 40)) for p in JOB.patches)
    ),
    "another loss": replace(JOB, patches=tuple(replace(p, join=p.join and join(1, 8)) for p in JOB.patches)),
    "fewer cloths": replace(JOB, cloths=tuple(replace(c, count=0) for c in JOB.cloths)),
}


@pytest.mark.parametrize("asked", STRICTER.values(), ids=STRICTER.keys())
def test_a_sound_layout_is_not_sound_for_a_job_that_asks_for(asked: CuttingJob) -> None:
    assert check(asked, GOOD)
    assert wrong(asked, GOOD)


def test_two_sixes_of_two_fabrics_are_not_twelve_alike() -> None:
    asked = job([cloth("kelp", 6, 4), cloth("sand", 6, 4, fabric="sand")], [patch("petal", 2, 2, 12, alike=6)])
    layout = lay_out(asked)
    assert check(asked, layout) == wrong(asked, layout) == []
    twelve = replace(asked, patches=(replace(asked.patches[0], alike=12),))
    assert check(twelve, layout)
    assert wrong(twelve, layout)


def test_turning_is_only_right_where_the_patch_and_the_cloth_allow_it() -> None:
    asked = job([cloth("kelp", 42, 10)], [patch("A", 2, 30)])
    layout = lay_out(asked)
    assert check(asked, layout) == wrong(asked, layout) == []
    for stricter in (
        replace(asked, cloths=(replace(asked.cloths[0], one_way=True),)),
        replace(asked, patches=(replace(asked.patches[0], turn=False),)),
    ):
        assert check(stricter, layout)
        assert wrong(stricter, layout)
