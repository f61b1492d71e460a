"""Reading a curve of points: a pair (xs, ys) of equal length, xs rising, in any units."""

from bisect import bisect_right

import numpy as np
from numpy.typing import ArrayLike

from service.physics.arrays import Array

Curve = tuple[tuple[float, ...], tuple[float, ...]]


def curve_at(curve: Curve, x: float) -> float:
    """The curve's y at x, straight between its points.

    Parameters
    ----------
    curve : curve
    x : float, in the unit of the curve's x

    Returns
    -------
    y : float, in the unit of the curve's y; not a number outside its first and last point

    References
    ----------
    Linear interpolation, by definition.
    """
    xs, ys = curve
    if not xs[0] <= x <= xs[-1]:
        return float("nan")
    right = min(bisect_right(xs, x), len(xs) - 1)
    left = right - 1
    share = (x - xs[left]) / (xs[right] - xs[left])
    return ys[left] + share * (ys[right] - ys[left])


def curve_start(curve: Curve) -> float:
    """The curve's y at its first point.

    Parameters
    ----------
    curve : curve

    Returns
    -------
    y : float, in the unit of the curve's y

    References
    ----------
    Definition.
    """
    return curve[1][0]


def curve_at_columns(curve: Curve, x: ArrayLike) -> Array:
    """The curve's y at each x of a column, as curve_at.

    Parameters
    ----------
    curve : curve
    x : array (n,), in the unit of the curve's x

    Returns
    -------
    y : array (n,), in the unit of the curve's y; not a number outside its first and last point

    References
    ----------
    Linear interpolation, by definition.
    """
    xs, ys = (np.asarray(part, float) for part in curve)
    x = np.asarray(x, float)
    right = np.clip(np.searchsorted(xs, x, side="right"), 1, len(xs) - 1)
    share = (x - xs[right - 1]) / (xs[right] - xs[right - 1])
    inside = (x >= xs[0]) & (x <= xs[-1])
    return np.where(inside, ys[right - 1] + share * (ys[right] - ys[right - 1]), np.nan)
