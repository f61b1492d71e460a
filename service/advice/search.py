"""Searches on a ladder: the nearest rung that will do, in a bounded number of trials."""

from collections.abc import Callable
from itertools import pairwise

# Rungs looked at between two of which one came nearer to what will do.
PROBES = 8


def nearest(first: int, last: int, will_do: Callable[[int], bool]) -> int | None:
    """The rung nearest to `first`, towards `last`, that will do; None where not even `last` does.

    Strides double until a rung will do or `last` was looked at, then the gap is halved; so where good and bad
    rungs alternate the one found is a good one with a bad neighbour, not always the very nearest. How many
    rungs a ladder may have is bounded where rules are loaded: to give up on the way would be to say of a rung
    that was never looked at that it will not do.
    """
    way = 1 if last >= first else -1
    if will_do(first):
        return first
    bad, stride = first, 1
    while True:
        good = bad + way * stride
        if (last - good) * way <= 0:
            good = last
        if good == bad:
            return None
        if will_do(good):
            return _between(bad, good, will_do)
        bad, stride = good, stride * 2


def in_window(seen: dict[int, int], will_do: Callable[[int], bool]) -> int | None:
    """A rung that will do beside those seen that came nearer to it than the first: what passes between too
    little and too much is easily stepped over.

    `seen`: how bad each rung was, in the order in which they were looked at.
    """
    rungs = sorted(seen)
    first = next(iter(seen), 0)
    for low, high in sorted(pairwise(rungs), key=lambda gap: min(abs(gap[0] - first), abs(gap[1] - first))):
        if min(seen[low], seen[high]) >= seen[first]:
            continue
        near, far = (low, high) if abs(low - first) < abs(high - first) else (high, low)
        step = (far - near) / PROBES
        bad = near
        for rung in dict.fromkeys(round(near + step * probe) for probe in range(1, PROBES)):
            if rung not in (near, far) and will_do(rung):
                return _between(bad, rung, will_do)
            bad = rung
    return None


def farthest(first: int, last: int, will_do: Callable[[int], bool]) -> int:
    """The last rung from `first`, which will do, towards `last` before one that will not."""
    bad = nearest(first, last, lambda rung: not will_do(rung))
    return last if bad is None else bad - (1 if last >= first else -1)


def _between(bad: int, good: int, will_do: Callable[[int], bool]) -> int:
    while abs(good - bad) > 1:
        middle = (good + bad) // 2
        if will_do(middle):
            good = middle
        else:
            bad = middle
    return good
