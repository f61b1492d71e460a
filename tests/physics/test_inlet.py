import pytest

from service.physics.inlet import inlet_mach_index
from service.physics.reciprocating import mean_piston_speed

INCH = 0.0254


# Worked by hand (computed): 4.0 in bore, 2.02 in valve, 3.48 in stroke, 6,500 rpm.
@pytest.mark.parametrize(("coefficient", "expected"), [(0.35, 0.6255), (0.42, 0.5212)])
def test_inlet_mach_index(coefficient, expected):
    speed = mean_piston_speed(3.48 * INCH, 6500 * 3.141592653589793 / 30)
    found = inlet_mach_index(4.0 * INCH, 2.02 * INCH, 1, coefficient, speed, 343.0)
    assert found == pytest.approx(expected, abs=2e-4)


def test_two_valves_halve_the_index():
    assert inlet_mach_index(0.1, 0.04, 2, 0.35, 20.0, 343.0) == pytest.approx(
        inlet_mach_index(0.1, 0.04, 1, 0.35, 20.0, 343.0) / 2
    )
