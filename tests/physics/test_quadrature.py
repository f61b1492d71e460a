import numpy as np
import pytest
from scipy.integrate import quad

from service.physics.quadrature import chebyshev_nodes, gauss_nodes, interpolation, running_integral


@pytest.mark.parametrize("upper", [0.0, 0.1, 0.5, 0.77, 1.0])
def test_running_integral_against_adaptive_quadrature(upper):
    nodes, _ = gauss_nodes(14)
    expected = quad(lambda x: np.exp(-3 * x) * np.cos(4 * x), 0, upper)[0]
    found = running_integral(nodes, [upper])[0] @ (np.exp(-3 * nodes) * np.cos(4 * nodes))
    assert found == pytest.approx(expected, abs=1e-10)


def test_whole_interval_gives_the_gauss_weights():
    nodes, weights = gauss_nodes(9)
    assert running_integral(nodes, [1.0])[0] == pytest.approx(weights, abs=1e-13)


def test_interpolation_is_exact_for_a_polynomial():
    nodes, _ = gauss_nodes(6)
    targets = np.linspace(0, 1, 11)
    cubic = np.polynomial.Polynomial([1, -2, 3, 4])
    assert cubic(nodes) @ interpolation(nodes, targets) == pytest.approx(cubic(targets), abs=1e-12)


def test_chebyshev_nodes_lie_inside_and_are_symmetric():
    nodes = chebyshev_nodes(2.0, 6.0, 8)
    assert np.all(np.diff(nodes) > 0) and nodes[0] > 2 and nodes[-1] < 6
    assert nodes + nodes[::-1] == pytest.approx(8.0)
