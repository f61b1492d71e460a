import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import pump

EXPONENT_PRESSURES, EXPONENTS = (45.0, 65.0, 85.0), (1.13, 1.5, 2.1)


# 800 to 700 lb/h from 13.5 to 12 V at 45 psi: common practice, one large in-line pump; the others computed from it.
@pytest.mark.parametrize(("rated", "expected"), [(800, 700), (600, 500), (450, 350)])
def test_a_lower_voltage_takes_off_a_flow(rated, expected):
    assert pump.flow_at_voltage(rated, 900.0, 12.0, 13.5) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("pressure", "exponent"), [(40, 1.13), (45, 1.13), (55, 1.315), (65, 1.5), (85, 2.1), (99, 2.1)]
)
def test_exponent_by_pressure(pressure, exponent):
    found = pump.flow_at_voltage_without_curve(800.0, pressure, 12.0, 13.5, EXPONENT_PRESSURES, EXPONENTS)
    assert found == pytest.approx(800 * (12 / 13.5) ** exponent)


def test_both_laws_agree_where_the_exponents_were_read():
    for rated, pressure in ((800, 45), (600, 65), (450, 85)):
        flow = pump.flow_at_voltage(rated, 900.0, 12.0, 13.5)
        without = pump.flow_at_voltage_without_curve(rated, pressure, 12.0, 13.5, EXPONENT_PRESSURES, EXPONENTS)
        assert without == pytest.approx(flow, rel=0.01)


@given(st.floats(0, 800), st.floats(8, 13.5))
def test_flow_stays_between_nothing_and_rated(rated, voltage):
    assert 0.0 <= pump.flow_at_voltage(rated, 900.0, voltage, 13.5) <= rated


def test_hydraulic_power():
    # Worked by hand: 340 L/h at 4 bar.
    assert pump.hydraulic_power(340e-3 / 3600, 4e5) == pytest.approx(37.8, abs=0.05)
