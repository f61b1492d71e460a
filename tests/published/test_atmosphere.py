"""Air pressure from altitude, through POST, against the US Standard Atmosphere 1976 of the fluids package."""

import fluids
import pytest


def air(working, altitude):
    build = {
        "conditions": {"altitude": altitude},
        "induction": {"boost": "10 psi"},
        "sensors": {"manifold_pressure_range": "3 bar abs"},
    }
    line = working("manifold-pressure-range", build)["ambient_pressure"]
    assert line["unit"] == "kPa" and line["source"]["citation"].startswith("ISO 2533:1975")
    return line["value"] * 1e3


# fluids and ICAO 1993 agree to 1e-5 among themselves.
@pytest.mark.parametrize("altitude", [-500, 0, 200, 500, 1000, 1500, 2000, 3000, 4500, 6000])
def test_against_the_standard_of_1976(working, altitude):
    assert air(working, f"{altitude} m") == pytest.approx(fluids.ATMOSPHERE_1976(altitude).P, rel=2e-5)


@pytest.mark.parametrize("feet", [0, 1000, 5280, 10_000])
def test_in_feet(working, feet):
    assert air(working, f"{feet} ft") == pytest.approx(fluids.ATMOSPHERE_1976(feet * 0.3048).P, rel=2e-5)


@pytest.mark.parametrize("pressure", ["711 mbar", "24.9 inHg", "84.6 kPa"])
def test_a_reading_beats_the_altitude(working, pressure):
    build = {
        "conditions": {"altitude": "1500 m", "ambient_pressure": pressure},
        "induction": {"boost": "10 psi"},
        "sensors": {"manifold_pressure_range": "3 bar abs"},
    }
    line = working("manifold-pressure-range", build)["highest_manifold_pressure"]
    # NIST SP 811: 1 psi = 6.894757 kPa, 1 inHg = 3.386389 kPa.
    read = {"711 mbar": 71.1, "24.9 inHg": 24.9 * 3.386389, "84.6 kPa": 84.6}[pressure]
    assert line["value"] == pytest.approx(read + 10 * 6.894757, rel=1e-6)
