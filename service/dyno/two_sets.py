"""Pulls with one part against pulls with another: is the difference real, and could the test have seen it."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import NamedTuple

import numpy
from numpy.typing import NDArray

from service.dyno.distributions import distributions
from service.dyno.pulls import CONFIDENCE, Pulls

Array = NDArray[numpy.float64]
WANTED_POWER = 0.80
MOST_PULLS = 60
# Quantiles of the two sample variances over which the chance of a detection is averaged.
_QUANTILES = (numpy.arange(60) + 0.5) / 60


@dataclass(frozen=True, slots=True)
class Comparison:
    """B less A: the difference, what the test says of it, and what such a test can see."""

    test: str
    difference: float
    low: float
    high: float
    statistic: float
    freedom: float
    chance: float
    seen: float
    needed: int | None
    drift: float | None
    drift_chance: float | None
    beside_drift: float | None
    """The chance of the difference from scatter alone once a steady drift is allowed for."""

    @property
    def real(self) -> bool:
        return self.chance < 1 - CONFIDENCE


def compare(
    first: Pulls,
    second: Pulls,
    interleaved: bool = False,
    claimed: float | None = None,
    in_order: bool = False,
) -> Comparison:
    """Welch's t, or the paired t where runs were made in turns.

    first, second: figures in SI, at least two each; interleaved: pull n of one was made beside pull n of the
    other; claimed: a difference somebody speaks of (SI), the found one where none is; in_order: the pulls are
    given in the order they were made, first all of one set and then the other, or in turns. Result:
    Comparison, differences in SI. Errors: ValueError for too few pulls or unequal pairs. Valid for scatter
    that is near normal and independent from pull to pull. Source: Welch, Biometrika 34, 1947; Student,
    Biometrika 6, 1908.
    """
    a, b = numpy.array(first.values), numpy.array(second.values)
    if min(len(a), len(b)) < 2:
        raise ValueError("at least two pulls on each side are needed")
    if interleaved and len(a) != len(b):
        raise ValueError("runs made in turns come in pairs; the two sides have unequal counts")
    difference = float(b.mean() - a.mean())
    test = _paired(a, b) if interleaved else _welch(a, b)
    statistic, chance = test.of(difference)
    width = float(distributions().t.ppf((1 + CONFIDENCE) / 2, test.freedom)) * test.error
    drift = _drift(a, b, interleaved) if in_order else (None, None)
    looked_for = abs(difference if claimed is None else claimed)
    return Comparison(
        "paired" if interleaved else "Welch",
        difference,
        difference - width,
        difference + width,
        statistic,
        test.freedom,
        chance,
        _smallest_seen(lambda size: test.power(size, len(a), len(b)), test.error),
        _needed(lambda count: test.power(looked_for, count, count)) if looked_for else None,
        *drift,
        _beside_drift(a, b) if in_order and not interleaved else None,
    )


class _Test(NamedTuple):
    """The error of the difference, its degrees of freedom, and the power for a difference and the counts of
    both sides.
    """

    error: float
    freedom: float
    power: Callable[[float, int, int], float]

    def of(self, difference: float) -> tuple[float, float]:
        """The statistic of a difference, and the chance of one like it from scatter alone."""
        if self.error == 0:
            return (0.0, 1.0) if difference == 0 else (float("inf"), 0.0)
        statistic = difference / self.error
        return statistic, float(2 * distributions().t.sf(abs(statistic), self.freedom))


def _paired(a: Array, b: Array) -> _Test:
    pairs = b - a
    scatter = float(pairs.std(ddof=1))
    error, freedom = scatter / sqrt(len(pairs)), float(len(pairs) - 1)
    return _Test(error, freedom, lambda size, count, _: paired_power(size, scatter, count))


def _welch(a: Array, b: Array) -> _Test:
    error = sqrt(a.var(ddof=1) / len(a) + b.var(ddof=1) / len(b))
    freedom = _freedom(a.var(ddof=1), b.var(ddof=1), len(a), len(b))
    scatters = (float(a.std(ddof=1)), float(b.std(ddof=1)))
    return _Test(error, freedom, lambda size, count, other: welch_power(size, *scatters, count, other))


def _freedom(first: float, second: float, count: int, other: int) -> float:
    """Welch and Satterthwaite's degrees of freedom; of no scatter at all those of pooling."""
    share, other_share = first / count, second / other
    total = share + other_share
    if not total:
        return float(count + other - 2)
    return total**2 / (share**2 / (count - 1) + other_share**2 / (other - 1))


def paired_power(difference: float, scatter: float, count: int) -> float:
    """Chance that the paired test calls a true difference real. scatter: of the differences of pairs. Source:
    noncentral t.
    """
    if scatter == 0:
        return 1.0 if difference else 0.0
    shift, freedom = difference / scatter * sqrt(count), count - 1
    edge = distributions().t.ppf((1 + CONFIDENCE) / 2, freedom)
    return float(
        distributions().nct.sf(edge, freedom, shift) + distributions().nct.cdf(-edge, freedom, shift)
    )


def welch_power(difference: float, scatter: float, other_scatter: float, count: int, other: int) -> float:
    """Chance that Welch's test calls a true difference real, averaged over what the two sample variances may
    come out as.
    """
    if scatter == other_scatter == 0:
        return 1.0 if difference else 0.0
    reach, error = _edges(scatter, other_scatter, count, other)
    beyond = distributions().norm.sf((reach - difference) / error) + distributions().norm.cdf(
        (-reach - difference) / error
    )
    return float(beyond.mean())


@lru_cache(maxsize=512)
def _edges(scatter: float, other_scatter: float, count: int, other: int) -> tuple[Array, float]:
    """For each pair of sample variances how large the difference of means has to be, and the true error of
    that difference.
    """
    share = scatter**2 * distributions().chi2.ppf(_QUANTILES, count - 1)[:, None] / (count - 1) / count
    other_share = (
        other_scatter**2 * distributions().chi2.ppf(_QUANTILES, other - 1)[None, :] / (other - 1) / other
    )
    total = share + other_share
    freedom = total**2 / (share**2 / (count - 1) + other_share**2 / (other - 1))
    reach = distributions().t.ppf((1 + CONFIDENCE) / 2, freedom) * numpy.sqrt(total)
    return reach, sqrt(scatter**2 / count + other_scatter**2 / other)


def _smallest_seen(power: Callable[[float], float], error: float) -> float:
    """The smallest true difference that the test would call real four times of five."""
    if error == 0:
        return 0.0
    low, high = 0.0, 4 * error
    while power(high) < WANTED_POWER:
        high *= 2
    for _ in range(40):
        middle = (low + high) / 2
        if power(middle) < WANTED_POWER:
            low = middle
        else:
            high = middle
    return high


def _needed(power: Callable[[int], float]) -> int | None:
    """The fewest pulls on each side that see a difference four times of five; None where more than MOST_PULLS
    are needed.
    """
    low, high = 2, MOST_PULLS
    if power(high) < WANTED_POWER:
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if power(middle) >= WANTED_POWER else (middle + 1, high)
    return low


def _drift(a: Array, b: Array, interleaved: bool) -> tuple[float | None, float | None]:
    """Change from pull to pull within the sets (heat soak), and the chance of such a slope from scatter
    alone.
    """
    if interleaved:
        order = [numpy.arange(len(a)) * 2.0, numpy.arange(len(b)) * 2.0 + 1]
    else:
        order = [numpy.arange(len(a), dtype=float), numpy.arange(len(b), dtype=float) + len(a)]
    x = numpy.concatenate([place - place.mean() for place in order])
    y = numpy.concatenate([a - a.mean(), b - b.mean()])
    freedom = len(y) - 3
    if freedom < 1 or not x.any():
        return None, None
    slope = float(x @ y / (x @ x))
    rest = y - slope * x
    error = sqrt(float(rest @ rest) / freedom / float(x @ x))
    if error == 0:
        return slope, 1.0 if slope == 0 else 0.0
    return slope, float(2 * distributions().t.sf(abs(slope / error), freedom))


def _beside_drift(a: Array, b: Array) -> float | None:
    """A step between the sets and a slope over all pulls fitted together: the chance of such a step from
    scatter alone. Source: least squares.
    """
    count = len(a) + len(b)
    if count < 4:
        return None
    columns = numpy.column_stack(
        [numpy.ones(count), numpy.repeat([0.0, 1.0], [len(a), len(b)]), numpy.arange(count, dtype=float)]
    )
    values = numpy.concatenate([a, b])
    solution, *_ = numpy.linalg.lstsq(columns, values, rcond=None)
    rest = values - columns @ solution
    freedom = count - 3
    error = sqrt(float(rest @ rest) / freedom * float(numpy.linalg.inv(columns.T @ columns)[1, 1]))
    return float(2 * distributions().t.sf(abs(solution[1]) / error, freedom)) if error else 0.0


def scatter_that_would_do(first: float, second: float, count: int, other: int) -> float:
    """Of two means and their counts alone: the largest scatter of one pull, the same on both sides, at which
    the difference would be real.

    first, second: means in SI; count, other: pulls, at least two each. Result: standard deviation in SI.
    Source: Welch's t with equal spreads.
    """
    if min(count, other) < 2:
        raise ValueError("a mean of one pull says nothing of scatter")
    freedom = _freedom(1.0, 1.0, count, other)
    return abs(second - first) / (
        float(distributions().t.ppf((1 + CONFIDENCE) / 2, freedom)) * sqrt(1 / count + 1 / other)
    )
