import numpy as np
import pytest

from service.physics import shaft


# Published: Philpot, MecMovies 15.1; then worked by hand (computed).
@pytest.mark.parametrize(
    ("torque", "outer", "inner", "megapascals"),
    [(5000, 0.114, 0.102, 47.862), (1500, 0.028, 0.0, 348), (1347, 0.028, 0.0, 312.5), (4662, 0.033, 0.0, 660)],
)
def test_torsion_stress(torque, outer, inner, megapascals):
    assert shaft.torsion_stress(torque, outer, inner) / 1e6 == pytest.approx(megapascals, rel=1.5e-3)


def test_polar_moment():
    # Published: Philpot, MecMovies 15.1 and 6.4 (book: 430 N m at 50 MPa).
    assert shaft.polar_moment(0.114, 0.102) * 1e12 == pytest.approx(5_954_575, abs=1)
    assert shaft.polar_moment(0.040, 0.030) * 1e12 == pytest.approx(171_805.85, abs=0.01)
    assert 50e6 / shaft.torsion_stress(1.0, 0.040, 0.030) == pytest.approx(430, abs=1)


def test_twist():
    # Published: university notes ENGN0310.
    assert np.degrees(shaft.twist(250.0, 0.4, 77e9, 0.030)) == pytest.approx(0.93572, abs=1e-5)
