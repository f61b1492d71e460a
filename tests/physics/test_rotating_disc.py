import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import rotating_disc

RPM = np.pi / 30


def test_steel_rings():
    # Data: Singer & Pytel, Strength of Materials, problems 140 and 139 (second-hand); speeds computed.
    assert rotating_disc.ring_stress(7850.0, 0.22 * 628.3) / 1e6 == pytest.approx(150, abs=0.05)
    density, foot, ksi = 490 * 0.45359237 / 0.3048**3, 0.3048, 6.894757e6
    assert rotating_disc.ring_stress(density, 434.9 * foot) == pytest.approx(20 * ksi, rel=1e-3)
    assert rotating_disc.ring_stress(density, 0.254 * 6103 * RPM) == pytest.approx(30 * ksi, rel=1e-3)


# Worked by hand (computed): outer radius 165 mm, inner 50 mm; iron, steel, aluminium.
@pytest.mark.parametrize(
    ("density", "poisson", "at_8000", "at_10000"),
    [(7200, 0.26, 114.5, 178.8), (7850, 0.30, 126.2, 197.1), (2700, 0.30, 43.4, 67.8)],
)
def test_flywheels(density, poisson, at_8000, at_10000):
    for rpm, expected in ((8000, at_8000), (10000, at_10000)):
        found = rotating_disc.bore_stress(density, poisson, 0.165, 0.050, rpm * RPM)
        assert found / 1e6 == pytest.approx(expected, abs=0.06)


# Worked by hand (computed): strength 207 MPa over stress at 1.1 times the speed; flywheel, then pressure plate.
@pytest.mark.parametrize(
    ("outer", "inner", "rpm", "expected"),
    [
        (0.165, 0.050, 4500, 4.7), (0.165, 0.050, 5500, 3.2), (0.165, 0.050, 6000, 2.66), (0.165, 0.050, 7000, 1.95),
        (0.150, 0.085, 6500, 2.61), (0.150, 0.085, 7000, 2.25), (0.150, 0.085, 8000, 1.72),
    ],
)  # fmt: skip
def test_iron_safety(outer, inner, rpm, expected):
    stress = rotating_disc.bore_stress(7200.0, 0.26, outer, inner, 1.1 * rpm * RPM)
    assert 207e6 / stress == pytest.approx(expected, abs=0.06)


def test_limits_of_the_annular_disc():
    # A thin ring carries density times rim speed squared; a pinhole doubles the stress at the centre of a solid disc.
    ring = rotating_disc.bore_stress(7850.0, 0.3, 0.2, 0.2, 600.0)
    assert ring == pytest.approx(rotating_disc.ring_stress(7850.0, 120.0))
    pinhole = rotating_disc.bore_stress(7850.0, 0.3, 0.2, 0.0, 600.0)
    assert pinhole == pytest.approx(2 * rotating_disc.solid_disc_stress(7850.0, 0.3, 0.2, 600.0))


@given(st.floats(0.02, 0.14), st.floats(200, 1200))
def test_forces_of_a_half_disc_balance(inner, speed):
    # Mean hoop stress over the section carries the half disc's inertia, so the bore stress must lie above it.
    outer, density = 0.15, 7850.0
    mean = density * speed**2 * (outer**3 - inner**3) / (3 * (outer - inner))
    assert rotating_disc.bore_stress(density, 0.3, outer, inner, speed) >= mean
