"""Reading a curve of points."""

from bisect import bisect_right

import numpy

Curve = tuple[tuple[float, ...], tuple[float, ...]]


def curve_at(curve: Curve, x: float) -> float:
    """The curve's y at x, straight between its points.

    Arguments: curve, a pair (xs, ys) of equal length, xs rising, any units; x in the unit of xs.
    Result: y in the unit of ys; not a number outside the first and last point (no extrapolation).
    Source: linear interpolation, by definition.
    """
    xs, ys = curve
    if not xs[0] <= x <= xs[-1]:
        return float("nan")
    right = min(bisect_right(xs, x), len(xs) - 1)
    left = right - 1
    share = (x - xs[left]) / (xs[right] - xs[left])
    return ys[left] + share * (ys[right] - ys[left])


def curve_start(curve: Curve) -> float:
    """The curve's y at its first point. Argument: curve as for curve_at. Result: y in the unit of ys. Source: definition."""
    return curve[1][0]


def curve_at_columns(curve: Curve, x) -> numpy.ndarray:
    """As curve_at, for a column of x; shape as x."""
    xs, ys = (numpy.asarray(part, float) for part in curve)
    x = numpy.asarray(x, float)
    right = numpy.clip(numpy.searchsorted(xs, x, side="right"), 1, len(xs) - 1)
    share = (x - xs[right - 1]) / (xs[right] - xs[right - 1])
    inside = (x >= xs[0]) & (x <= xs[-1])
    return numpy.where(inside, ys[right - 1] + share * (ys[right] - ys[right - 1]), numpy.nan)
