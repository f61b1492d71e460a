import fluids
import numpy as np
import pytest

from service.physics import atmosphere


@pytest.mark.parametrize("altitude", [-400.0, 0.0, 500.0, 1000.0, 1609.3, 3000.0, 8000.0, 11000.0])
def test_against_the_standard_of_1976(altitude):
    standard = fluids.ATMOSPHERE_1976(altitude)
    assert atmosphere.pressure(altitude) == pytest.approx(standard.P, rel=2e-5)
    assert atmosphere.temperature(altitude) == pytest.approx(standard.T, rel=1e-5)


def test_table():
    # Computed with an independent package of the 1993 ICAO standard.
    altitude = np.array([500.0, 1500.0, 2000.0])
    assert atmosphere.pressure(altitude) == pytest.approx([95461.3, 84559.7, 79501.4], abs=0.5)
    assert atmosphere.temperature(altitude) == pytest.approx([284.900, 278.402, 275.154], abs=1e-3)


@pytest.mark.parametrize("altitude", [-2001.0, 11001.0])
def test_outside_the_layer(altitude):
    with pytest.raises(ValueError, match="altitude"):
        atmosphere.pressure(altitude)
