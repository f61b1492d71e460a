import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from service.physics import clutch


def test_given_clamp_load():
    # Published: Purdue ME 452 homework 14, problem 1; the uniform-pressure torque computed.
    assert clutch.highest_pressure_uniform_wear(5000.0, 0.300, 0.225) == pytest.approx(188_628, abs=1)
    assert clutch.torque_uniform_wear(5000.0, 0.25, 0.300, 0.225) == pytest.approx(164.063, abs=1e-3)
    assert clutch.facing_pressure(5000.0, 0.300, 0.225) == pytest.approx(161_681, abs=1)
    assert clutch.torque_uniform_pressure(5000.0, 0.25, 0.300, 0.225) == pytest.approx(165.179, abs=1e-3)


def test_given_pressure():
    # Bhandari, Design of Machine Elements, Ex. 11.1 and 11.2 (second-hand); power at 750 rpm.
    load = clutch.clamp_load_uniform_wear(1e6, 0.2, 0.1)
    assert load == pytest.approx(15_707.96, abs=0.01)
    torque = clutch.torque_uniform_wear(load, 0.2, 0.2, 0.1)
    assert torque == pytest.approx(235.619, abs=1e-3)
    assert torque * 750 * np.pi / 30 == pytest.approx(18_506, abs=1)
    load = clutch.clamp_load_uniform_pressure(1e6, 0.2, 0.1)
    assert load == pytest.approx(23_561.94, abs=0.01)
    assert clutch.torque_uniform_pressure(load, 0.2, 0.2, 0.1) == pytest.approx(366.519, abs=1e-3)


# Bhandari, Ex. 11.3 (second-hand): 550 N m, friction 0.25, 0.5 MPa, outer 250 mm, two pairs. The second pair
# of numbers is the other root, computed.
@pytest.mark.parametrize(("inner", "load"), [(0.174166, 10_373.3), (0.11229, 12_145.0)])
def test_two_inner_diameters_fit_one_torque(inner, load):
    found = clutch.clamp_load_uniform_wear(0.5e6, 0.250, inner)
    assert found == pytest.approx(load, rel=1e-4)
    assert clutch.torque_uniform_wear(found, 0.25, 0.250, inner, pairs=2) == pytest.approx(550.0, rel=1e-4)


def test_safety_of_a_spring_loaded_clutch():
    # Bhandari, Ex. 11.6 (second-hand): 250 N m engine, nine springs of 800 N.
    arguments = (9 * 800.0, 0.35, 0.250, 0.175, 2)
    assert clutch.torque_uniform_pressure(*arguments) / 250 == pytest.approx(2.1642, abs=1e-4)
    assert clutch.torque_uniform_wear(*arguments) / 250 == pytest.approx(2.1420, abs=1e-4)


# Uniform wear. Rows: Bhandari, Ex. 11.8 (second-hand); data Grieve, mechanical design notes, 2010
# (published), result computed; data Khurmi, Theory of Machines, about Ex. 10.22 (from memory), result
# computed.
@pytest.mark.parametrize(
    ("outer", "inner", "pressure", "friction", "pairs", "load", "torque"),
    [
        (0.150, 0.075, 0.3e6, 0.1, 8, 2650.72, 119.282),
        (0.200, 0.140, 1.0e6, 0.5, 2, 13_194.7, 1121.55),
        (0.300, 0.200, 0.1e6, 0.3, 2, 3141.6, 235.62),
    ],
)
def test_plate_clutches(outer, inner, pressure, friction, pairs, load, torque):
    found = clutch.clamp_load_uniform_wear(pressure, outer, inner)
    assert found == pytest.approx(load, rel=1e-5)
    assert clutch.torque_uniform_wear(found, friction, outer, inner, pairs) == pytest.approx(torque, rel=1e-5)


def test_car_clutch_worked():
    # Worked by hand (computed): 9,500 N on 265/170 mm, two faces, friction 0.30; button share 0.45.
    torque = clutch.torque_uniform_wear(9500.0, 0.30, 0.265, 0.170, 2)
    assert torque / 1.355818 == pytest.approx(457, abs=0.6)
    assert clutch.facing_pressure(9500.0, 0.265, 0.170) / 1e3 == pytest.approx(293, abs=0.6)
    assert clutch.facing_pressure(9500.0, 0.265, 0.170, 0.45) / 1e3 == pytest.approx(650, abs=1)


def test_best_inner_diameter():
    # At a given pressure, uniform wear, torque is greatest at inner/outer = 1/sqrt(3): Shigley (second-hand).
    inner = np.linspace(0.3, 0.9, 6001)
    torque = clutch.torque_uniform_wear(clutch.clamp_load_uniform_wear(1.0, 1.0, inner), 0.3, 1.0, inner)
    assert inner[torque.argmax()] == pytest.approx(3**-0.5, abs=1e-3)


@given(st.floats(0.15, 0.4), st.floats(0.45, 0.9), st.floats(0.1, 0.6))
def test_torque_by_integration_over_the_ring(outer, share, friction):
    inner, pressure = share * outer, 2e5
    wear = quad(lambda r: 2 * np.pi * friction * pressure * inner / 2 * r, inner / 2, outer / 2)[0]
    load = clutch.clamp_load_uniform_wear(pressure, outer, inner)
    assert clutch.torque_uniform_wear(load, friction, outer, inner) == pytest.approx(wear)
    new = quad(lambda r: 2 * np.pi * friction * pressure * r**2, inner / 2, outer / 2)[0]
    load = clutch.clamp_load_uniform_pressure(pressure, outer, inner)
    assert clutch.torque_uniform_pressure(load, friction, outer, inner) == pytest.approx(new)
