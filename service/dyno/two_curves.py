"""Whole curves of two sets of pulls: the difference over speed with a band that holds everywhere at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import NamedTuple

import numpy
from numpy.typing import NDArray

from service.dyno.distributions import distributions
from service.dyno.pulls import CONFIDENCE

POINTS = 60
# Sides whose scatter differs by more than this are unlike (house choice; at half as much again 6 pulls
# against 3 cover 92.5 % instead of 95).
UNLIKE_BEYOND = 1.5

Array = NDArray[numpy.float64]
# One pull: speeds, and the figure at each, in SI.
Curve = tuple[Sequence[float], Sequence[float]]


@dataclass(frozen=True, slots=True)
class CurveComparison:
    """On a common grid of speeds: the difference B less A, and its band; `real`: where that leaves zero."""

    speeds: Array
    difference: Array
    low: Array
    high: Array
    interpolated: bool
    unlike: bool
    """The sides scatter unlike each other, or differ in number: the band is then too narrow."""

    @property
    def real(self) -> NDArray[numpy.bool_]:
        return (self.low > 0) | (self.high < 0)


def compare_curves(first: Sequence[Curve], second: Sequence[Curve], points: int = POINTS) -> CurveComparison:
    """Curves of two sets, each pull a pair of lists (speeds, values) in SI.

    Pulls on unequal speeds are brought to a common grid of `points` speeds by straight lines, over the speeds
    that all of them reach. The band is the t field's: the chance that it leaves the truth anywhere is bounded
    by twice the mean number of crossings, with the roughness taken from the pulls themselves. Result:
    CurveComparison. Errors: ValueError for fewer than two pulls a side, speeds at or below zero, values that
    are not finite, no speeds in common. Valid for normal scatter, alike on both sides, that changes smoothly
    with speed. Source: Worsley, Advances in Applied Probability 26, 1994: from memory.
    """
    if min(len(first), len(second)) < 2:
        raise ValueError("at least two pulls on each side are needed")
    grid = _on_a_grid([*first, *second], points)
    a, b = grid.values[: len(first)], grid.values[len(first) :]
    difference = b.mean(axis=0) - a.mean(axis=0)
    width = _band(a, b)
    scatters = [float(side.std(axis=0, ddof=1).mean()) for side in (a, b)]
    unlike = len(a) != len(b) or max(scatters) > UNLIKE_BEYOND * min(scatters)
    return CurveComparison(
        grid.speeds, difference, difference - width, difference + width, grid.interpolated, unlike
    )


class _Grid(NamedTuple):
    """All pulls over the same speeds, a row each."""

    speeds: Array
    values: Array
    interpolated: bool


def _on_a_grid(pulls: list[Curve], points: int) -> _Grid:
    curves = [_ordered(*pull) for pull in pulls]
    low, high = max(speeds[0] for speeds, _ in curves), min(speeds[-1] for speeds, _ in curves)
    if not low < high:
        raise ValueError("the pulls have no speeds in common")
    first = curves[0][0]
    interpolated = any(len(speeds) != len(first) or not numpy.allclose(speeds, first) for speeds, _ in curves)
    grid = numpy.linspace(low, high, points) if interpolated else first
    values = numpy.array([numpy.interp(grid, speeds, figures) for speeds, figures in curves])
    return _Grid(grid, values, interpolated)


def _band(a: Array, b: Array) -> Array:
    """Half the width of the band at each speed."""
    rest = numpy.concatenate([a - a.mean(axis=0), b - b.mean(axis=0)])
    freedom = len(rest) - 2
    length = numpy.sqrt((rest**2).sum(axis=0))
    error = length / sqrt(freedom) * sqrt(1 / len(a) + 1 / len(b))
    # Pulls that agree at one speed by chance are not known without error there.
    error = numpy.where(length > 0, error, error.max())
    shape = rest / numpy.where(length > 0, length, 1.0)
    roughness = float(numpy.sqrt((numpy.diff(shape, axis=1) ** 2).sum(axis=0)).sum())
    width: Array = _edge(freedom, roughness) * error
    return width


def _edge(freedom: int, roughness: float) -> float:
    """How many standard errors wide the band is."""
    # Imported when first needed, as the distributions are, which come with it.
    student = distributions().t
    from scipy.optimize import brentq

    def excess(edge: float) -> float:
        crossings = roughness / (2 * pi) * (1 + edge**2 / freedom) ** (-(freedom - 1) / 2)
        return float(2 * (student.sf(edge, freedom) + crossings) - (1 - CONFIDENCE))

    return float(brentq(excess, 0.1, 1e4))


def _ordered(speeds: Sequence[float], values: Sequence[float]) -> tuple[Array, Array]:
    x, y = numpy.asarray(speeds, float), numpy.asarray(values, float)
    if x.shape != y.shape or x.ndim != 1 or len(x) < 2:
        raise ValueError("a pull is two lists of one length, at least two points")
    if not (numpy.isfinite(x).all() and numpy.isfinite(y).all() and (x > 0).all()):
        raise ValueError("speeds are finite and above zero, values finite")
    order = numpy.argsort(x)
    if (numpy.diff(x[order]) == 0).any():
        raise ValueError("a pull has one value at each speed")
    return x[order], y[order]
