"""Gauss nodes, running integrals and polynomial interpolation on a fixed interval, as matrices made once."""

import numpy as np
from numpy.polynomial import chebyshev, legendre


def gauss_nodes(count):
    """Gauss-Legendre nodes and weights on [0, 1]; both of shape (count,)."""
    nodes, weights = legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0


def running_integral(nodes, upper):
    """
    Matrix that turns values at nodes into integrals from 0 to each upper limit.

    nodes: (n,) Gauss nodes on [0, 1]; upper: (k,) limits in [0, 1].
    Result: (k, n) weights; exact for polynomials of degree below n.
    """
    count = len(nodes)
    to_coefficients = np.linalg.inv(legendre.legvander(2.0 * nodes - 1.0, count - 1))
    antiderivatives = legendre.legint(to_coefficients, lbnd=-1)
    return legendre.legval(2.0 * np.asarray(upper) - 1.0, antiderivatives).T / 2.0


def interpolation(nodes, targets):
    """Matrix (n, k) that turns values at Gauss nodes (n,) on [0, 1] into values at targets (k,)."""
    degree = len(nodes) - 1
    at_nodes = legendre.legvander(2.0 * nodes - 1.0, degree)
    at_targets = legendre.legvander(2.0 * np.asarray(targets) - 1.0, degree)
    return np.ascontiguousarray(np.linalg.solve(at_nodes.T, at_targets.T))


def chebyshev_nodes(low, high, count):
    """Chebyshev nodes of the first kind on [low, high], rising; shape (count,)."""
    return (low + high) / 2.0 + (high - low) / 2.0 * chebyshev.chebpts1(count)
