import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import belt

RPM = np.pi / 30
PRACTICE = 0.5123  # exponent per radian of wrap, common practice of V-belt design


# Worked by hand (computed); 0.018 kg/m per rib from memory.
@pytest.mark.parametrize(
    ("kilowatts", "diameter", "rpm", "ribs", "wrap", "speed", "pull", "centrifugal", "needed"),
    [
        (38, 0.076, 14000, 8, 150, 55.7, 85, 56, 129),
        (38, 0.076, 14000, 6, 150, 55.7, 114, 56, 153),
        (26, 0.071, 13750, 6, 120, 51.1, 85, 47, 133),
        (26, 0.071, 13750, 8, 160, 51.1, 64, 47, 99),
        (100, 0.065, 18000, 10, 150, 61.3, 163, 68, 207),
        (100, 0.065, 18000, 8, 120, 61.3, 204, 68, 276),
    ],
)
def test_blower_belts(kilowatts, diameter, rpm, ribs, wrap, speed, pull, centrifugal, needed):
    found = belt.belt_speed(diameter, rpm * RPM)
    assert found == pytest.approx(speed, abs=0.06)
    tension = belt.centrifugal_tension(0.018, found)
    assert tension == pytest.approx(centrifugal, abs=0.7)
    strand = belt.pull(kilowatts * 1e3 / ribs, found)
    assert strand == pytest.approx(pull, abs=0.7)
    ratio = belt.tension_ratio(PRACTICE, np.radians(wrap))
    assert belt.mean_tension_needed(strand, tension, ratio) == pytest.approx(needed, abs=0.7)


@pytest.mark.parametrize(("wrap", "expected"), [(150, 3.82), (120, 2.92)])
def test_tension_ratio_of_practice(wrap, expected):
    assert belt.tension_ratio(PRACTICE, np.radians(wrap)) == pytest.approx(expected, abs=6e-3)


def test_tension_ratio_of_euler():
    # Worked by hand (computed): friction 0.3, groove 40 degrees, wrap 150 degrees; flat belt, 180 degrees.
    groove = belt.wedge_friction(0.3, np.radians(40))
    assert belt.tension_ratio(groove, np.radians(150)) == pytest.approx(9.938, abs=1e-3)
    assert belt.tension_ratio(0.3, np.pi) == pytest.approx(2.566, abs=1e-3)


@given(st.floats(10, 500), st.floats(0, 100), st.floats(1.5, 10))
def test_mean_tension_is_that_of_the_two_strands(pull, centrifugal, ratio):
    slack = centrifugal + pull / (ratio - 1)
    tight = slack + pull
    assert (tight - centrifugal) / (slack - centrifugal) == pytest.approx(ratio)
    assert belt.mean_tension_needed(pull, centrifugal, ratio) == pytest.approx((tight + slack) / 2)
