import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from service.physics.wiebe import burn_rate, burned_fraction, progress_at


def test_half_burned_and_ten_to_ninety():
    # Worked by hand for a = 5, m = 2.
    assert progress_at(0.5) == pytest.approx(0.5175, abs=1e-4)
    assert progress_at(0.9) - progress_at(0.1) == pytest.approx(0.4960, abs=1e-4)
    assert burned_fraction(1.0) == pytest.approx(0.993, abs=5e-4)


@given(st.floats(0.0, 0.99))
def test_progress_inverts_the_burned_fraction(fraction):
    assert burned_fraction(progress_at(fraction)) == pytest.approx(fraction, abs=1e-12)


@pytest.mark.parametrize("progress", [0.2, 0.6, 1.0])
def test_rate_integrates_to_the_fraction(progress):
    assert quad(burn_rate, 0, progress)[0] == pytest.approx(burned_fraction(progress), rel=1e-10)


def test_float_in_float_out():
    assert isinstance(burned_fraction(0.3), float)
    assert np.shape(burned_fraction(np.array([0.1, 0.2]))) == (2,)
