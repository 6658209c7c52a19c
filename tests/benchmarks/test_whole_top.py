"""How long does a large top take to work out, the engine to import, and a large quilt to lay out? Ratios of medians, never seconds.

The bounds are several times what was measured, so that only a change of kind breaks them.
"""

import subprocess
import sys
from dataclasses import fields
from functools import partial

from quiltbook.yardage import tops
from quiltbook.yardage.aside import SOLVER
from quiltbook.yardage.borders import RoundResult, border
from quiltbook.yardage.centres import centre_of
from quiltbook.yardage.check import check
from quiltbook.yardage.cutting import lay_out
from quiltbook.yardage.patches import Patch
from quiltbook.yardage.topplan import TopPlan
from tests.benchmarks.clock import medians
from tests.benchmarks.quilts import large_quilt, large_top
from tests.benchmarks.tables import Show
from tests.engine.cutting_jobs import opened, wrong


def patches(plan: TopPlan) -> list[Patch]:
    """What must be cut for a top and nothing else: no check of the plan, no order of sewing."""
    centre = centre_of(plan)
    rounds: list[RoundResult] = []
    for index in range(len(plan.rounds)):
        rounds.append(border(plan, index, rounds[-1].finished if rounds else centre.finished, rounds))
    return list(tops._patches(plan, centre, rounds))


def test_a_top_of_thirty_roles_is_worked_out_in_little_more_than_its_patches_take(show: Show) -> None:
    """A small multiple of deriving the patches; hundreds of times of what it takes to write down as many that are known already."""
    plan = large_top()
    top = tops.work_out(plan)
    known = [{field.name: getattr(patch, field.name) for field in fields(patch)} for patch in top.patches]
    assert len({patch.role for patch in top.patches}) == 30
    assert patches(plan) == list(top.patches)
    whole, derived, written = medians(
        [lambda: tops.work_out(plan), lambda: patches(plan), lambda: [Patch(**row) for row in known]], 15
    )
    rows = [
        ("worked out", f"{whole * 1000:.2f} ms", 1.0),
        ("its patches alone derived", f"{derived * 1000:.2f} ms", whole / derived),
        ("as many patches written down", f"{written * 1000:.2f} ms", whole / written),
    ]
    show(f"A top of 30 roles, {len(known)} kinds of patches", ["", "took", "ratio"], rows)
    assert whole < 5 * derived
    assert whole < 1000 * written


def test_the_engine_is_imported_in_a_few_times_the_start_of_an_interpreter(show: Show) -> None:
    everything = "import quiltbook.yardage.verbs, quiltbook.yardage.target, quiltbook.yardage.drawing"
    imports = {
        "an interpreter and nothing": "pass",
        "the standard library it leans on": "import dataclasses, decimal, fractions, json, pathlib, subprocess",
        "quiltbook.yardage": "import quiltbook.yardage",
        "all that the command line answers with": everything,
        "Django's models, for comparison": "import django.db.models",
    }
    took = medians([partial(_python, code) for code in imports.values()], 5)
    rows = [(name, f"{one * 1000:.0f} ms", one / took[0]) for name, one in zip(imports, took, strict=True)]
    show("Importing the engine in a fresh interpreter", ["", "took", "ratio"], rows)
    assert took[2] < 3 * took[0]
    assert took[3] < 20 * took[0]


def _python(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_quick_layout_of_a_large_quilt_takes_so_many_plain_ones(show: Show) -> None:
    """10 rounds, 60 flowers, 60 pieces of cloth. The plain layout stands in when the solver fails."""
    job = large_quilt()
    roles = len(job.patches)
    layout, plain = lay_out(job, limit=600), lay_out(job, solver=["false"])
    quick_seconds, plain_seconds, start = medians(
        [
            partial(lay_out, job, limit=600),
            partial(lay_out, job, solver=["false"]),
            partial(subprocess.run, [*SOLVER[:1], "-c", "import packingsolver"], check=True),
        ],
        3,
    )
    rows = [
        ("quick", f"{quick_seconds:.2f} s", quick_seconds / plain_seconds, layout.used_area / opened(layout)),
        ("plain alone", f"{plain_seconds:.2f} s", 1.0, plain.used_area / opened(plain)),
        ("starting the solver's process", f"{start:.2f} s", start / plain_seconds, ""),
    ]
    count = sum(patch.count for patch in job.patches)
    show(f"{count} patches of {roles} kinds on 60 pieces of cloth", ["", "took", "ratio", "of the cloth used"], rows)
    assert len(job.cloths) == 60
    assert roles >= 8
    assert wrong(job, layout) == check(job, plain) == []
    assert layout.uncut == ()
    assert not layout.stood_in
    assert opened(layout) <= opened(plain)
    assert quick_seconds < 100 * plain_seconds
