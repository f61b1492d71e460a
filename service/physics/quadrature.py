"""Gauss nodes, running integrals and polynomial interpolation on a fixed interval, as matrices made once."""

import numpy as np
from numpy.polynomial import chebyshev, legendre
from numpy.typing import ArrayLike

from service.physics.arrays import Array


def gauss_nodes(count: int) -> tuple[Array, Array]:
    """Gauss-Legendre nodes and weights on [0, 1].

    Parameters
    ----------
    count : int [-]

    Returns
    -------
    nodes : array (count,) [-]
    weights : array (count,) [-]

    References
    ----------
    Gauss-Legendre quadrature.
    """
    nodes, weights = legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0


def running_integral(nodes: Array, upper: ArrayLike) -> Array:
    """Matrix that turns values at nodes into integrals from 0 to each upper limit.

    Parameters
    ----------
    nodes : array (n,), Gauss nodes from 0 to 1 [-]
    upper : array (k,), limits from 0 to 1 [-]

    Returns
    -------
    weights : array (k, n) [-]

    Notes
    -----
    Exact for polynomials of degree below n.

    References
    ----------
    Integral of the Legendre interpolant.
    """
    count = len(nodes)
    to_coefficients = np.linalg.inv(legendre.legvander(2.0 * nodes - 1.0, count - 1))
    antiderivatives = legendre.legint(to_coefficients, lbnd=-1)
    integrals = legendre.legval(2.0 * np.asarray(upper) - 1.0, antiderivatives)
    return np.asarray(integrals.T / 2.0, dtype=float)


def interpolation(nodes: Array, targets: ArrayLike) -> Array:
    """Matrix that turns values at Gauss nodes into values at targets.

    Parameters
    ----------
    nodes : array (n,), Gauss nodes from 0 to 1 [-]
    targets : array (k,), from 0 to 1 [-]

    Returns
    -------
    weights : array (n, k) [-]

    References
    ----------
    Legendre interpolant.
    """
    degree = len(nodes) - 1
    at_nodes = legendre.legvander(2.0 * nodes - 1.0, degree)
    at_targets = legendre.legvander(2.0 * np.asarray(targets) - 1.0, degree)
    return np.ascontiguousarray(np.linalg.solve(at_nodes.T, at_targets.T))


def chebyshev_nodes(low: float, high: float, count: int) -> Array:
    """Chebyshev nodes of the first kind on [low, high], rising.

    Parameters
    ----------
    low : float, in any unit
    high : float, in the same unit
    count : int [-]

    Returns
    -------
    nodes : array (count,), in the same unit

    References
    ----------
    Definition.
    """
    return (low + high) / 2.0 + (high - low) / 2.0 * chebyshev.chebpts1(count)
