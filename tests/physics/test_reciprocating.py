import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import reciprocating
from service.physics.slider_crank import piston_travel

RPM = np.pi / 30
INCH = 0.0254


# First row: Performance Automotive Engine Math (second-hand); the others worked by hand (computed).
@pytest.mark.parametrize(
    ("stroke", "rpm", "expected"),
    [(3.0 * INCH, 6000, 15.24), (3.48 * INCH, 6500, 19.15), (0.088, 7000, 20.53), (0.0394, 19000, 24.95)],
)
def test_mean_piston_speed(stroke, rpm, expected):
    assert reciprocating.mean_piston_speed(stroke, rpm * RPM) == pytest.approx(expected, abs=6e-3)


def test_acceleration_worked():
    # Worked by hand (computed): stroke 4.0, rod 5.91 in, 7,000 rpm; 0.9 kg.
    arguments = (4 * INCH, 5.91 * INCH, 7000 * RPM)
    assert reciprocating.acceleration_at_top(*arguments) == pytest.approx(36_535, abs=5)
    assert reciprocating.acceleration_at_bottom(*arguments) == pytest.approx(18_060, abs=5)
    assert reciprocating.inertia_force_at_top(0.9, *arguments) == pytest.approx(32.9e3, rel=1e-3)


# Worked by hand (computed).
@pytest.mark.parametrize(
    ("mass", "big_end", "stroke", "rod", "rpm", "alone", "bolts"),
    [
        (0.74, 0.36, 0.094, 0.155, 6500, 21.0, 28.8),
        (0.74, 0.36, 0.094, 0.155, 7150, 25.4, 34.9),
        (0.50, 0.25, 0.086, 0.139, 8500, 22.3, 30.8),
    ],
)
def test_rod_bolt_load(mass, big_end, stroke, rod, rpm, alone, bolts):
    arguments = (stroke, rod, rpm * RPM)
    assert reciprocating.inertia_force_at_top(mass, *arguments) / 1e3 == pytest.approx(alone, abs=0.06)
    assert reciprocating.inertia_force_at_top(mass, *arguments, big_end) / 1e3 == pytest.approx(bolts, abs=0.06)


@given(st.floats(0.06, 0.11), st.floats(1.4, 2.2), st.floats(100, 900))
def test_acceleration_is_the_second_derivative_of_travel(stroke, rod_ratio, speed):
    step, rod = 1e-3, rod_ratio * stroke

    def bend(angle):
        before, here, after = (piston_travel(angle + shift, stroke, rod) for shift in (-step, 0.0, step))
        return (before - 2 * here + after) / step**2 * speed**2

    assert reciprocating.acceleration_at_top(stroke, rod, speed) == pytest.approx(bend(0.0), rel=1e-5)
    assert reciprocating.acceleration_at_bottom(stroke, rod, speed) == pytest.approx(-bend(np.pi), rel=1e-5)
