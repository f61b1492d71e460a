"""How several uncertainties make one: the law of propagation for inputs that do not depend on each other."""

from collections.abc import Iterable
from math import sqrt
from typing import NamedTuple

# Even chances between two ends are a standard uncertainty of half the width over sqrt(3) (JCGM 100:2008,
# 4.3.7). One value in fifty lies past 2.054 standard uncertainties of a normal distribution, which several
# such inputs together come near.
ONE_IN_FIFTY = 2.054 / sqrt(3)


class Combined(NamedTuple):
    """From where to where a value may well lie, and the least and most it reaches more than once in fifty."""

    low: float
    high: float
    least: float
    most: float


def combined(value: float, ends: Iterable[tuple[float, float]]) -> Combined:
    """Where a value may lie when each of several inputs may lie at either of its ends.

    `ends`: for each input, the value with that input alone at its low and at its high end (unit of `value`).
    What takes the value up and what takes it down is combined apart, each side by root sum of squares; an
    input whose two ends move the value the same way counts once on that side, with the larger. `least` and
    `most` look further by ONE_IN_FIFTY, from the typical value and from the middle between all ends,
    whichever reaches further (an input whose typical value is one of its ends moves the middle), but never
    past all inputs at their worst together. All results in the unit of `value`. Valid while the inputs are
    independent and their effects do not multiply much. Source: JCGM 100:2008, 5.1.2 and 5.1.3, with finite
    steps for the partial derivatives.
    """
    up = down = all_up = all_down = half_widths = 0.0
    for end, other_end in ends:
        low, high = (other_end, end) if end > other_end else (end, other_end)
        rise, fall = max(high - value, 0.0), max(value - low, 0.0)
        if rise + fall > 0.0:
            up += rise * rise
            down += fall * fall
            half_widths += ((rise + fall) / 2) ** 2
            all_up += rise
            all_down += fall
    up, down, half_width = sqrt(up), sqrt(down), sqrt(half_widths)
    middle = (all_up - all_down) / 2
    return Combined(
        value - down,
        value + up,
        value - min(all_down, max(ONE_IN_FIFTY * down, ONE_IN_FIFTY * half_width - middle)),
        value + min(all_up, max(ONE_IN_FIFTY * up, ONE_IN_FIFTY * half_width + middle)),
    )
