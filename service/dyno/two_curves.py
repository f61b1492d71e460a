"""Whole curves of two sets of pulls: the difference over speed with a band that holds everywhere at once."""

from dataclasses import dataclass
from math import pi, sqrt

import numpy
from scipy import stats
from scipy.optimize import brentq

from service.dyno.pulls import CONFIDENCE

POINTS = 60
# Sides whose scatter differs by more than this are unlike (house choice; at half as much again 6 pulls against 3 cover 92.5 % instead of 95).
UNLIKE_BEYOND = 1.5


@dataclass(frozen=True, slots=True)
class CurveComparison:
    """On a common grid of speeds: the difference B less A and its band; `real`: where the band leaves zero."""

    speeds: numpy.ndarray
    difference: numpy.ndarray
    low: numpy.ndarray
    high: numpy.ndarray
    interpolated: bool
    unlike: bool
    """The sides scatter unlike each other, or differ in number: the band is then too narrow."""

    @property
    def real(self) -> numpy.ndarray:
        return (self.low > 0) | (self.high < 0)


def compare_curves(first: list[tuple], second: list[tuple], points: int = POINTS) -> CurveComparison:
    """Curves of two sets, each pull a pair of lists (speeds, values) in SI.

    Pulls on unequal speeds are brought to a common grid of `points` speeds by straight lines, over the speeds that all of them reach. The band is
    the t field's: the chance that it leaves the truth anywhere is bounded by twice the mean number of crossings, with the
    roughness taken from the pulls themselves. Result: CurveComparison. Errors: ValueError for fewer than two pulls a side,
    speeds at or below zero, values that are not finite, no speeds in common. Valid for normal scatter, alike on both sides,
    that changes smoothly with speed. Source: Worsley, Advances in Applied Probability 26, 1994: from memory.
    """
    if min(len(first), len(second)) < 2:
        raise ValueError("at least two pulls on each side are needed")
    curves = [_ordered(*pull) for pull in (*first, *second)]
    low, high = max(speeds[0] for speeds, _ in curves), min(speeds[-1] for speeds, _ in curves)
    if not low < high:
        raise ValueError("the pulls have no speeds in common")
    interpolated = any(
        len(speeds) != len(curves[0][0]) or not numpy.allclose(speeds, curves[0][0]) for speeds, _ in curves
    )
    grid = numpy.linspace(low, high, points) if interpolated else curves[0][0]
    values = numpy.array([numpy.interp(grid, speeds, own) for speeds, own in curves])
    a, b = values[: len(first)], values[len(first) :]
    rest = numpy.concatenate([a - a.mean(axis=0), b - b.mean(axis=0)])
    freedom = len(rest) - 2
    length = numpy.sqrt((rest**2).sum(axis=0))
    error = length / sqrt(freedom) * sqrt(1 / len(a) + 1 / len(b))
    # Pulls that agree at one speed by chance are not known without error there.
    error = numpy.where(length > 0, error, error.max())
    shape = rest / numpy.where(length > 0, length, 1.0)
    roughness = float(numpy.sqrt((numpy.diff(shape, axis=1) ** 2).sum(axis=0)).sum())
    difference = b.mean(axis=0) - a.mean(axis=0)
    width = _edge(freedom, roughness) * error
    scatters = [float(side.std(axis=0, ddof=1).mean()) for side in (a, b)]
    unlike = len(a) != len(b) or max(scatters) > UNLIKE_BEYOND * min(scatters)
    return CurveComparison(grid, difference, difference - width, difference + width, interpolated, unlike)


def _edge(freedom: int, roughness: float) -> float:
    """How many standard errors wide the band is."""
    crossings = lambda edge: roughness / (2 * pi) * (1 + edge**2 / freedom) ** (-(freedom - 1) / 2)
    excess = lambda edge: 2 * (stats.t.sf(edge, freedom) + crossings(edge)) - (1 - CONFIDENCE)
    return float(brentq(excess, 0.1, 1e4))


def _ordered(speeds, values) -> tuple[numpy.ndarray, numpy.ndarray]:
    speeds, values = numpy.asarray(speeds, float), numpy.asarray(values, float)
    if speeds.shape != values.shape or speeds.ndim != 1 or len(speeds) < 2:
        raise ValueError("a pull is two lists of one length, at least two points")
    if not (numpy.isfinite(speeds).all() and numpy.isfinite(values).all() and (speeds > 0).all()):
        raise ValueError("speeds are finite and above zero, values finite")
    order = numpy.argsort(speeds)
    if (numpy.diff(speeds[order]) == 0).any():
        raise ValueError("a pull has one value at each speed")
    return speeds[order], values[order]
