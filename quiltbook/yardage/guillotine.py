"""In what order of edge-to-edge cuts does a cloth come apart into its patches, and what is left over?

`tidied` closes up the patches of a cloth; `cut_up` finds the parts it is cut into, with leftovers as large as the cuts
allow; `numbered` puts the cuts in the order a person makes them. Works on any boxes that edge-to-edge cuts can separate.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from quiltbook.yardage.boxes import Box, clear
from quiltbook.yardage.layouts import Cut

ACROSS, ALONG = "across", "along"  # the way a cut runs: across cuts part the cloth along y
_OTHER = {ACROSS: ALONG, ALONG: ACROSS}
_DEEPEST = 100
_LONGEST_RUN = 30


class NotEdgeToEdge(ValueError):
    """No row of edge-to-edge cuts separates these boxes."""


class Item(NamedTuple):
    box: Box
    tag: int


def _span(box: Box, way: str) -> tuple[int, int]:
    """Where the box begins and ends in the direction that cuts of this way part."""
    return (box.y0, box.y1) if way == ACROSS else (box.x0, box.x1)


def _slice(box: Box, way: str, low: int, high: int) -> Box:
    return Box(box.x0, low, box.x1, high) if way == ACROSS else Box(low, box.y0, high, box.y1)


def _groups(items: Sequence[Item], way: str) -> list[list[Item]]:
    """The items in the groups that cuts of this way can separate."""
    groups: list[list[Item]] = []
    end = 0
    for item in sorted(items, key=lambda item: _span(item.box, way)):
        low, high = _span(item.box, way)
        if groups and low < end:
            groups[-1].append(item)
            end = max(end, high)
        else:
            groups.append([item])
            end = high
    return groups


# --- closing up ------------------------------------------------------------------------------------------------------


class _Block(NamedTuple):
    width: int
    length: int
    items: list[Item]


def tidied(items: Sequence[Item], first: str, *, fullest_first: bool) -> list[Item]:
    """The items pushed together at the near corner, `first` cuts first, in the same strips and columns.

    Strips go by how full they are, so that what is left at their ends lies together, or by height, so that equal ones do.
    Raises `NotEdgeToEdge`.
    """
    return _block(list(items), first, fullest_first, _DEEPEST).items


def _block(items: list[Item], way: str, fullest_first: bool, deepest: int) -> _Block:
    if len(items) == 1:
        [(box, tag)] = items
        return _Block(box.width, box.length, [Item(Box(0, 0, box.width, box.length), tag)])
    groups = _groups(items, way)
    if len(groups) == 1:
        way = _OTHER[way]
        groups = _groups(items, way)
    if len(groups) == 1 or not deepest:
        raise NotEdgeToEdge
    blocks = [_block(group, _OTHER[way], fullest_first, deepest - 1) for group in groups]
    if way == ACROSS:
        blocks.sort(key=lambda b: (-b.width, -b.length) if fullest_first else (-b.length, -b.width))
    else:
        blocks.sort(key=lambda b: (-b.length, -b.width))
    return _stacked(blocks, way)


def _stacked(blocks: Sequence[_Block], way: str) -> _Block:
    moved, x, y = [], 0, 0
    for block in blocks:
        moved += [Item(Box(b.x0 + x, b.y0 + y, b.x1 + x, b.y1 + y), tag) for b, tag in block.items]
        x, y = (x, y + block.length) if way == ACROSS else (x + block.width, y)
    if way == ACROSS:
        return _Block(max(b.width for b in blocks), y, moved)
    return _Block(x, max(b.length for b in blocks), moved)


# --- cutting up ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the cloth: cut this `way` into `parts`, or else a patch, an offcut or waste."""

    box: Box
    what: str = ""
    tag: int | None = None
    way: str = ""
    parts: tuple["Part", ...] = ()

    def leaves(self) -> Iterator["Part"]:
        if not self.parts:
            yield self
        for part in self.parts:
            yield from part.leaves()

    def offcuts(self) -> list[Box]:
        return [leaf.box for leaf in self.leaves() if leaf.what == "offcut"]


class _Segment(NamedTuple):
    """What lies between two cuts; `trailing` of it is free at its far end."""

    low: int
    high: int
    items: list[Item]
    trailing: int


@dataclass(frozen=True, slots=True)
class Cutter:
    """Cuts up cloths. `merge`: what is left at the ends of neighbouring strips comes off in one, before they are parted."""

    flaws: tuple[Box, ...]
    least: int
    merge: bool

    def cut_up(self, box: Box, items: Sequence[Item], first: str) -> Part:
        """The tree of parts of the cloth `box` with these items on it, `first` cuts first. Raises `NotEdgeToEdge`."""
        return self._part(box, list(items), first, _DEEPEST)

    def _part(self, box: Box, items: list[Item], way: str, deepest: int) -> Part:
        if not items:
            return self._empty(box)
        if len(items) == 1 and items[0].box == box:
            return Part(box, "patch", items[0].tag)
        if not deepest:
            raise NotEdgeToEdge
        segments = self._segments(box, items, way)
        if len(segments) == 1:
            way = _OTHER[way]
            segments = self._segments(box, items, way)
            if len(segments) == 1:
                raise NotEdgeToEdge
        runs = self._runs(box, segments, way) if self.merge else [[segment] for segment in segments]
        if len(runs) == 1:
            return self._column(box, segments, way, deepest - 1)
        return Part(box, way=way, parts=tuple(self._run(box, run, way, deepest - 1) for run in runs))

    def _segments(self, box: Box, items: list[Item], way: str) -> list[_Segment]:
        """Groups of items, and the free bands between them."""
        end, last = _span(box, way)
        far = _span(box, _OTHER[way])[1]
        breadth = far - _span(box, _OTHER[way])[0]
        segments = []
        for group in _groups(items, way):
            low, high = _span(group[0].box, way)[0], max(_span(item.box, way)[1] for item in group)
            if low < end or high > last:
                raise NotEdgeToEdge
            if low > end:
                segments.append(_Segment(end, low, [], breadth))
            trailing = far - max(_span(item.box, _OTHER[way])[1] for item in group)
            segments.append(_Segment(low, high, group, trailing))
            end = high
        if end < last:
            segments.append(_Segment(end, last, [], breadth))
        return segments

    def _run(self, box: Box, run: list[_Segment], way: str, deepest: int) -> Part:
        within = _slice(box, way, run[0].low, run[-1].high)
        if len(run) == 1:
            return self._part(within, run[0].items, _OTHER[way], deepest)
        return self._column(within, run, way, deepest)

    def _column(self, box: Box, run: list[_Segment], way: str, deepest: int) -> Part:
        """Cut off what is free at the end of every strip of the run, then go on with the strips."""
        near, far = _span(box, _OTHER[way])
        at = far - min(segment.trailing for segment in run)
        items = [item for segment in run for item in segment.items]
        strips = self._part(_slice(box, _OTHER[way], near, at), items, way, deepest)
        return Part(box, way=_OTHER[way], parts=(strips, self._empty(_slice(box, _OTHER[way], at, far))))

    def _runs(self, box: Box, segments: list[_Segment], way: str) -> list[list[_Segment]]:
        """The segments in runs, so that the squares of the areas left at their ends sum to the most: large ones count."""
        best: list[tuple[int, int]] = [(0, 0)]  # worth of the first n segments, and where their last run begins
        for n in range(1, len(segments) + 1):
            choices = [(best[n - 1][0] + self._worth(segments[n - 1], 0), n - 1)]
            starts = list(range(max(0, n - _LONGEST_RUN), n - 1))
            if n == len(segments) and starts and starts[0]:
                starts.insert(0, 0)
            for start in starts:
                worth = self._run_worth(box, segments[start:n], way)
                if worth:
                    choices.append((best[start][0] + worth, start))
            best.append(max(choices, key=lambda choice: (choice[0], choice[1])))
        runs = []
        end = len(segments)
        while end:
            start = best[end][1]
            runs.append(segments[start:end])
            end = start
        return runs[::-1]

    def _run_worth(self, box: Box, run: list[_Segment], way: str) -> int:
        """What a run is worth when its end is cut off in one; 0 when that is nothing to keep."""
        free = min(segment.trailing for segment in run)
        near, far = _span(box, _OTHER[way])
        column = _slice(_slice(box, way, run[0].low, run[-1].high), _OTHER[way], far - free, far)
        if not self._keeps(column) or not clear(column, self.flaws) or far - free == near:
            return 0
        return column.area**2 + sum(self._worth(segment, free) for segment in run)

    def _worth(self, segment: _Segment, taken: int) -> int:
        sides = segment.trailing - taken, segment.high - segment.low
        return (sides[0] * sides[1]) ** 2 if min(sides) >= self.least else 0

    def _keeps(self, box: Box) -> bool:
        return min(box.width, box.length) >= max(self.least, 1)

    def _empty(self, box: Box) -> Part:
        """A part with nothing laid on it: kept, thrown away, or flaws cut out of it."""
        if not self._keeps(box):
            return Part(box, "waste")
        flaws = [flaw for flaw in self.flaws if not clear(box, [flaw])]
        best = _largest_clear(box, flaws, max(self.least, 1))
        return self._around(box, best) if best else Part(box, "waste")

    def _around(self, box: Box, middle: Box) -> Part:
        """Cut out the clear middle of an empty part, the way that leaves the larger band beside it."""
        if box == middle:
            return Part(box, "offcut")
        way = max(
            (ACROSS, ALONG), key=lambda way: max(_slice(box, way, *ends).area for ends in _beside(box, middle, way))
        )
        near, far = (_slice(box, way, *ends) for ends in _beside(box, middle, way))
        inner = self._around(_slice(box, way, *_span(middle, way)), middle)
        bands = ([self._empty(near)] if near.area else []) + [inner] + ([self._empty(far)] if far.area else [])
        return Part(box, way=way, parts=tuple(bands))


def _beside(box: Box, middle: Box, way: str) -> tuple[tuple[int, int], tuple[int, int]]:
    """From where to where the bands before and behind the middle of a box run."""
    (low, high), (near, far) = _span(box, way), _span(middle, way)
    return (low, near), (far, high)


def _largest_clear(box: Box, flaws: Sequence[Box], least: int) -> Box | None:
    """The largest rectangle of the box that is clear of flaws and nowhere narrower than `least`; None where there is none."""
    best: Box | None = None
    lefts = {box.x0, *(flaw.x1 for flaw in flaws)}
    rights = {box.x1, *(flaw.x0 for flaw in flaws)}
    spans = sorted(((right - left, left, right) for left in lefts for right in rights), reverse=True)
    for width, left, right in spans:
        if width < least or (best and width * box.length <= best.area) or left < box.x0 or right > box.x1:
            continue
        y = box.y0
        for flaw in [*sorted((f for f in flaws if f.x0 < right and f.x1 > left), key=lambda f: f.y0), None]:
            bottom = min(flaw.y0, box.y1) if flaw else box.y1
            if bottom - y >= least and (best is None or width * (bottom - y) > best.area):
                best = Box(left, y, right, bottom)
            y = max(y, flaw.y1) if flaw else y
    return best


# --- numbering -------------------------------------------------------------------------------------------------------


def numbered(root: Part) -> list[Cut]:
    """All cuts in the order a person makes them: first those of the whole cloth, then those of what they leave, and so on.

    Where an offcut lies at the far end of the whole cloth, it comes off first: the rough cut.
    """
    cuts: list[Cut] = []
    queue: deque[tuple[Part, int, int | None]] = deque([(root, 1, None)])
    while queue:
        part, depth, strip = queue.popleft()
        if not part.parts:
            continue
        start, end = _span(part.box, _OTHER[part.way])
        usual = "strip" if part.way == root.way else "cross"
        for at, setting, kind in _lines(part, usual, rough=depth == 1):
            cuts.append(Cut(len(cuts) + 1, part.way, at, start, end, depth, kind, strip, setting))
        queue.extend((child, depth + 1, strip or n) for n, child in enumerate(part.parts, 1))
    return cuts


def _lines(part: Part, usual: str, *, rough: bool) -> list[tuple[int, int, str]]:
    """Where the cuts of one part lie, each with what the ruler is set to and what the cut is called."""
    near = _span(part.box, part.way)[0]
    lines = []
    for before, after in pairwise(part.parts):
        low, high = _span(before.box, part.way)
        trims = not rough and "waste" in (before.what, after.what)
        lines.append((high, high - low, "trim" if trims else usual))
    if rough and part.parts[-1].what == "offcut":
        at = lines.pop()[0]
        lines.insert(0, (at, at - near, "rough"))
    return lines
