import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import orifice


# Worked by hand (computed).
@pytest.mark.parametrize(
    ("rated", "rated_drop", "drop", "expected"),
    [
        (1.0, 3.0, 4.0, 1.1547), (60.0, 43.5, 58.0, 69.28), (60.0, 43.5, 36.0, 54.58),
        (1.0, 1.0, 1.5, 1.225), (1.0, 1.0, 0.7, 0.837),
    ],
)  # fmt: skip
def test_flow_against_pressure(rated, rated_drop, drop, expected):
    assert orifice.mass_flow(rated, rated_drop, drop) == pytest.approx(expected, abs=6e-3 if rated > 1 else 6e-4)


# Worked by hand (computed): test fluid n-heptane 0.684 kg/L to petrol 0.745 and to E85 0.786.
@pytest.mark.parametrize(("density", "by_mass", "by_volume"), [(0.745, 4.4, -4.2), (0.786, 7.2, -6.7)])
def test_flow_against_density(density, by_mass, by_volume):
    assert (orifice.mass_flow(1, 3, 3, 0.684, density) - 1) * 100 == pytest.approx(by_mass, abs=0.06)
    assert (orifice.volume_flow(1, 3, 3, 0.684, density) - 1) * 100 == pytest.approx(by_volume, abs=0.06)


@given(st.floats(0.5, 1.2), st.floats(0.5, 1.2), st.floats(1, 10), st.floats(0, 10))
def test_mass_is_density_times_volume(rated_density, density, rated_drop, drop):
    volume = orifice.volume_flow(1.0, rated_drop, drop, rated_density, density)
    mass = orifice.mass_flow(rated_density, rated_drop, drop, rated_density, density)
    assert mass == pytest.approx(density * volume)
