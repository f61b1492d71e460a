"""Searches on a ladder: the nearest rung that will do, in a bounded number of trials."""

from collections.abc import Callable

# A ladder from one end to the other in doubling strides: no ladder of a number that can be right needs more.
MOST_STRIDES = 24


def nearest(first: int, last: int, will_do: Callable[[int], bool]) -> int | None:
    """The rung nearest to `first`, towards `last`, that will do; None where not even `last` does.

    Strides double until a rung will do, then the gap is halved; so where good and bad rungs alternate the one
    found is a good one with a bad neighbour, not always the very nearest.
    """
    way = 1 if last >= first else -1
    if will_do(first):
        return first
    bad, stride = first, 1
    for _ in range(MOST_STRIDES):
        good = bad + way * stride
        if (last - good) * way <= 0:
            good = last
        if good == bad:
            return None
        if will_do(good):
            return _between(bad, good, will_do)
        bad, stride = good, stride * 2
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
