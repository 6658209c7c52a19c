"""How long does it take, compared with something else in the same run? Medians of turns taken by turns, so that a busy machine slows both."""

from collections.abc import Callable, Sequence
from statistics import median
from time import perf_counter


def medians(doings: Sequence[Callable[[], object]], times: int) -> list[float]:
    """The median seconds of each, done one after the other so many times."""
    taken: list[list[float]] = [[] for _ in doings]
    for _ in range(times):
        for doing, seconds in zip(doings, taken, strict=True):
            begun = perf_counter()
            doing()
            seconds.append(perf_counter() - begun)
    return [median(seconds) for seconds in taken]
