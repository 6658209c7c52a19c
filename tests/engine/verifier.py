"""Can a layout be cut as it says? A verifier that shares nothing with the engine: it reads plain dictionaries, as the command line has them.

It is slow and simple on purpose: every pair of rectangles is compared, and the cuts are made one after the other on a list of rectangles.
`slack` is how far two numbers that should be equal may differ (0 for whole nm, a few millionths for six decimals).
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

type Rectangle = tuple[float, float, float, float]  # left, top, right, bottom


def rectangle(thing: Mapping[str, Any]) -> Rectangle:
    return thing["x"], thing["y"], thing["x"] + thing["width"], thing["y"] + thing["length"]


def overlap(a: Rectangle, b: Rectangle, slack: float) -> bool:
    return (
        min(a[2], b[2]) - max(a[0], b[0]) > slack
        and min(a[3], b[3]) - max(a[1], b[1]) > slack
    )  # fmt: skip


def same(a: Rectangle, b: Rectangle, slack: float) -> bool:
    return all(abs(p - q) <= slack for p, q in zip(a, b, strict=True))


def faults(
    cloths: Sequence[Mapping[str, Any]],
    patches: Sequence[Mapping[str, Any]],
    least_offcut: float,
    answer: Mapping[str, Any],
    slack: float = 0,
    *,
    shrinkage: Mapping[str, Any] | None = None,
    straightening: float = 0,
) -> list[str]:
    """What is wrong with the answer; empty when a quilter could cut it. `shrinkage`: the shares lost, of cloth yet to be washed."""
    if shrinkage:
        cloths = [cloth if cloth.get("washed", True) else _shrunk(cloth, shrinkage, slack) for cloth in cloths]
    return [
        *_cloth_faults(cloths, answer, least_offcut, slack),
        *_usable_faults(cloths, answer, straightening, slack),
        *_patch_faults(cloths, patches, answer, slack),
        *_reserved_faults(cloths, patches, answer, slack),
        *_area_faults(cloths, patches, answer, slack),
    ]


def _shrunk(cloth: Mapping[str, Any], shrinkage: Mapping[str, Any], slack: float) -> dict[str, Any]:
    """The cloth after its wash. In whole numbers cloth is rounded down, flaws and repeat up."""
    down, up = (float, float) if slack else (math.floor, math.ceil)
    left = {"width": 1 - shrinkage["width"], "length": 1 - shrinkage["length"]}
    flaws = []
    for flaw in cloth.get("flaws", ()):
        x, y = down(flaw["x"] * left["width"]), down(flaw["y"] * left["length"])
        far = up((flaw["x"] + flaw["width"]) * left["width"]), up((flaw["y"] + flaw["length"]) * left["length"])
        flaws.append({"x": x, "y": y, "width": far[0] - x, "length": far[1] - y})
    repeat = cloth.get("repeat") and {side: up(cloth["repeat"][side] * left[side]) for side in left}
    return {**cloth, **{side: down(cloth[side] * left[side]) for side in left}, "flaws": flaws, "repeat": repeat}


def _usable_faults(
    cloths: Sequence[Mapping[str, Any]], answer: Mapping[str, Any], straightening: float, slack: float
) -> Iterator[str]:
    """Nothing but waste may lie at a raw end, and `usable` must say so."""
    by_id = {cloth["id"]: cloth for cloth in cloths}
    for laid in answer["cloths"]:
        cloth = by_id[laid["id"]]
        ends = cloth.get("raw_ends", 1)
        top = straightening if ends >= 1 else 0
        bottom = cloth["length"] - (straightening if ends == 2 else 0)
        for thing in (*laid["placements"], *laid["offcuts"], *laid["reserved"]):
            if thing["y"] < top - slack or thing["y"] + thing["length"] > bottom + slack:
                yield f"{laid['id']}: {thing} lies on a raw end"
        if not same(rectangle(laid["usable"]), (0, top, cloth["width"], bottom), slack):
            yield f"{laid['id']}: what is usable is wrong"


def _cloth_faults(
    cloths: Sequence[Mapping[str, Any]], answer: Mapping[str, Any], least: float, slack: float
) -> Iterator[str]:
    by_id = {cloth["id"]: cloth for cloth in cloths}
    copies = Counter(laid["id"] for laid in answer["cloths"])
    for laid in answer["cloths"]:
        name, cloth = f"{laid['id']}/{laid['copy']}", by_id[laid["id"]]
        if not 1 <= laid["copy"] <= cloth.get("count", 1):
            yield f"{name}: no such copy"
        if not laid["placements"] and not laid["reserved"]:
            yield f"{name}: listed without a patch"
        things = [rectangle(thing) for thing in (*laid["placements"], *laid["offcuts"], *laid["reserved"])]
        for n, thing in enumerate(things):
            if min(thing[:2]) < -slack or thing[2] > cloth["width"] + slack or thing[3] > cloth["length"] + slack:
                yield f"{name}: {thing} sticks out"
            if any(overlap(thing, other, slack) for other in things[:n]):
                yield f"{name}: {thing} overlaps another"
            if any(overlap(thing, rectangle(flaw), slack) for flaw in cloth.get("flaws", ())):
                yield f"{name}: {thing} lies on a flaw"
        for offcut in laid["offcuts"]:
            if min(offcut["width"], offcut["length"]) < least - slack:
                yield f"{name}: an offcut is below the least"
        yield from _cut_faults(name, cloth, laid, things, slack)
    for name, number in copies.items():
        if len({laid["copy"] for laid in answer["cloths"] if laid["id"] == name}) < number:
            yield f"{name}: a copy is cut twice"


def _cut_faults(
    name: str, cloth: Mapping[str, Any], laid: Mapping[str, Any], things: Sequence[Rectangle], slack: float
) -> Iterator[str]:
    """Make the cuts, each across the whole of the part it falls on, and see that everything comes off."""
    parts: list[Rectangle] = [(0, 0, cloth["width"], cloth["length"])]
    for number, cut in enumerate(laid["cuts"], 1):
        at, start, end, across = cut["at"], cut["start"], cut["end"], cut["direction"] == "across"
        low, high = (1, 3) if across else (0, 2)
        near, far = (0, 2) if across else (1, 3)
        on = [
            part
            for part in parts
            if abs(part[near] - start) <= slack
            and abs(part[far] - end) <= slack
            and part[low] + slack < at < part[high] - slack
        ]
        if cut["number"] != number or len(on) != 1:
            yield f"{name}: cut {cut['number']} does not go edge to edge through one part"
            return
        [part] = on
        parts.remove(part)
        left, right, top, bottom = part[0], part[2], part[1], part[3]
        parts += (
            [(left, top, right, at), (left, at, right, bottom)]
            if across
            else [(left, top, at, bottom), (at, top, right, bottom)]
        )
    free = list(parts)
    for thing in things:
        match = next((part for part in free if same(part, thing, slack)), None)
        if match is None:
            yield f"{name}: {thing} is not cut free"
        else:
            free.remove(match)


def _patch_faults(
    cloths: Sequence[Mapping[str, Any]], patches: Sequence[Mapping[str, Any]], answer: Mapping[str, Any], slack: float
) -> Iterator[str]:
    by_id = {cloth["id"]: cloth for cloth in cloths}
    lying: defaultdict[str, list[tuple[Mapping[str, Any], Mapping[str, Any]]]] = defaultdict(list)
    for laid in answer["cloths"]:
        for placement in laid["placements"]:
            lying[placement["patch"]].append((by_id[laid["id"]], placement))
    by_eye: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for laid in answer["cloths"]:
        for one in laid["reserved"]:
            by_eye[one["patch"]][by_id[laid["id"]]["fabric"]] += one["count"]
    uncut = {row["patch"]: row["count"] for row in answer["uncut"]}
    if len(uncut) < len(answer["uncut"]) or any(count <= 0 for count in uncut.values()):
        yield "uncut is not plain"
    for patch in patches:
        here = lying.pop(patch["id"], [])
        whole = [(cloth, p) for cloth, p in here if p["part"] is None]
        for cloth, p in whole:
            if not _sized(patch, cloth, (p["width"], p["length"]), slack):
                yield f"{patch['id']}: {p} is the wrong size or lies the wrong way"
        joined: defaultdict[Any, list[tuple[Mapping[str, Any], Mapping[str, Any]]]] = defaultdict(list)
        for cloth, p in here:
            if p["part"] is not None:
                joined[p["whole"]].append((cloth, p))
        for lengths in joined.values():
            yield from _join_faults(patch, lengths, slack)
        motifs = by_eye.pop(patch["id"], Counter())
        if here and patch.get("per_repeat"):
            yield f"{patch['id']}: cut without an eye for its motif"
        if len(whole) + len(joined) + motifs.total() + uncut.pop(patch["id"], 0) != patch.get("count", 1):
            yield f"{patch['id']}: the counts do not add up"
        fabrics = Counter(cloth["fabric"] for cloth, _ in whole)
        fabrics.update(lengths[0][0]["fabric"] for lengths in joined.values())
        fabrics.update(motifs)
        alike = patch.get("alike", 1)
        odd = [number % alike for number in fabrics.values() if number % alike]
        if len(odd) > 1 or any(number != patch.get("count", 1) % alike for number in odd):
            yield f"{patch['id']}: {dict(fabrics)} are not {alike} at a time"
    if lying or uncut or by_eye:
        yield "something is cut that was not asked for"


def _sized(patch: Mapping[str, Any], cloth: Mapping[str, Any], lies: tuple[float, float], slack: float) -> bool:
    ways = []
    if _may_lie(patch, cloth, turned=False):
        ways.append((patch["width"], patch["length"]))
    if _may_lie(patch, cloth, turned=True):
        ways.append((patch["length"], patch["width"]))
    return any(abs(w - lies[0]) <= slack and abs(h - lies[1]) <= slack for w, h in ways)


def _may_lie(patch: Mapping[str, Any], cloth: Mapping[str, Any], *, turned: bool) -> bool:
    """Whether direction, nap and stripes let the patch lie so."""
    if turned and (cloth.get("one_way", False) or not patch.get("turn", True)):
        return False
    asked, printed = patch.get("stripes"), cloth.get("stripes")
    if not asked or not printed:
        return True
    # Where the patch's length runs on the cloth, and so where the stripes run on the patch.
    along_its_length: bool = printed == ("across" if turned else "along")
    return along_its_length is (asked == "along")


def _reserved_faults(
    cloths: Sequence[Mapping[str, Any]], patches: Sequence[Mapping[str, Any]], answer: Mapping[str, Any], slack: float
) -> Iterator[str]:
    """Slide the print under each reserved rectangle, and see that it never holds fewer whole motifs than are to be cut."""
    by_id, wanted = {cloth["id"]: cloth for cloth in cloths}, {patch["id"]: patch for patch in patches}
    for laid in answer["cloths"]:
        cloth = by_id[laid["id"]]
        for one in laid["reserved"]:
            patch = wanted.get(one["patch"])
            repeat = cloth.get("repeat")
            if not patch or not repeat or not patch.get("per_repeat") or not _may_lie(patch, cloth, turned=False):
                yield f"{laid['id']}: {one} is reserved for nothing that comes from this cloth"
                continue
            across, rows = (
                min(
                    _whole(one[start], one[side], patch[side], repeat[side], shift * repeat[side] / 12, slack)
                    for shift in range(12)
                )
                for start, side in (("x", "width"), ("y", "length"))
            )
            if across < one["across"] or rows < one["rows"]:
                yield f"{laid['id']}: {one} may hold only {across} by {rows}"
            if not 0 < one["count"] <= one["across"] * one["rows"] * _each(patch, repeat, slack):
                yield f"{laid['id']}: {one} is to give too many"


def _whole(start: float, extent: float, side: float, repeat: float, shift: float, slack: float) -> int:
    """How many motifs of that side lie whole on the stretch, side by side, when the first begins so far into it."""
    found, at = 0, start + shift
    while at + side <= start + extent + slack:
        found += 1
        free = at + side
        while at < free - slack:
            at += repeat
    return found


def _each(patch: Mapping[str, Any], repeat: Mapping[str, Any], slack: float) -> int:
    """How many patches a repeat gives: as many as are said, if so many go side by side on it."""
    beside = [int((repeat[side] + slack) // patch[side]) for side in ("width", "length")]
    said: int = patch["per_repeat"]
    return said if said <= beside[0] * beside[1] else 1


def _join_faults(
    patch: Mapping[str, Any], lengths: Sequence[tuple[Mapping[str, Any], Mapping[str, Any]]], slack: float
) -> Iterator[str]:
    join = patch.get("join")
    if not join:
        yield f"{patch['id']}: may not be joined"
        return
    if len({cloth["fabric"] for cloth, _ in lengths}) > 1:
        yield f"{patch['id']}: joined of two fabrics"
    if sorted(p["part"] for _, p in lengths) != list(range(1, len(lengths) + 1)) or len(lengths) < 2:
        yield f"{patch['id']}: parts missing"
    upright = patch["length"] >= patch["width"]
    runs = []
    for cloth, p in lengths:
        # With its thickness the right way it lies as asked; else it is turned.
        thick, run = (p["width"], p["length"]) if upright else (p["length"], p["width"])
        wanted = min(patch["width"], patch["length"])
        square = abs(thick - run) <= slack and _may_lie(patch, cloth, turned=True)
        if abs(thick - wanted) > slack or not (square or _may_lie(patch, cloth, turned=False)):
            thick, run = run, thick
            if abs(thick - wanted) > slack or not _may_lie(patch, cloth, turned=True):
                yield f"{patch['id']}: a length is too thin, too thick or turned"
        runs.append(run)
    if min(runs) < join["least"] - slack:
        yield f"{patch['id']}: a length is below the least"
    if abs(sum(runs) - (len(runs) - 1) * join["loss"] - max(patch["width"], patch["length"])) > slack * (len(runs) + 1):
        yield f"{patch['id']}: the lengths do not make it up"


def _area_faults(
    cloths: Sequence[Mapping[str, Any]], patches: Sequence[Mapping[str, Any]], answer: Mapping[str, Any], slack: float
) -> Iterator[str]:
    by_id = {cloth["id"]: cloth for cloth in cloths}
    sizes = {patch["id"]: patch["width"] * patch["length"] for patch in patches}
    opened = sum(by_id[laid["id"]]["width"] * by_id[laid["id"]]["length"] for laid in answer["cloths"])
    used = sum(p["width"] * p["length"] for laid in answer["cloths"] for p in laid["placements"])
    used += sum(one["count"] * sizes.get(one["patch"], 0) for laid in answer["cloths"] for one in laid["reserved"])
    kept = sum(o["width"] * o["length"] for laid in answer["cloths"] for o in laid["offcuts"])
    room = slack * (1 + opened)
    if abs(used - answer["used_area"]) > room or abs(kept - answer["offcut_area"]) > room:
        yield "used or offcut area is wrong"
    if (
        abs(answer["used_area"] + answer["offcut_area"] + answer["waste_area"] - opened) > room
        or answer["waste_area"] < -room
    ):
        yield "the areas do not add up to the cloth opened"
