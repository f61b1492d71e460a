import fluids
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from service.physics import gas, nozzle


@pytest.mark.parametrize("ratio", [1.2, 1.5, 2.0, 3.0])
@pytest.mark.parametrize("efficiency", [0.55, 0.65, 0.78])
def test_compression_against_real_air(ratio, efficiency):
    inlet, pressure = 298.15, 101325.0
    enthalpy = PropsSI("H", "T", inlet, "P", pressure, "Air")
    entropy = PropsSI("S", "T", inlet, "P", pressure, "Air")
    work = (PropsSI("H", "S", entropy, "P", ratio * pressure, "Air") - enthalpy) / efficiency
    outlet = PropsSI("T", "H", enthalpy + work, "P", ratio * pressure, "Air")
    tolerance = 2e-3 if outlet < 420 else 4e-3
    assert gas.compression_temperature(inlet, ratio, efficiency) == pytest.approx(outlet, rel=tolerance)
    assert gas.compression_work(inlet, ratio, efficiency) == pytest.approx(work, rel=1e-3)


def test_compression_worked():
    # Worked by hand: pressure ratio 2, 298.15 K, efficiency 0.65.
    assert gas.compression_temperature(298.15, 2.0) == pytest.approx(363.45, abs=0.01)
    assert gas.compression_temperature(298.15, 2.0, 0.65) == pytest.approx(398.61, abs=0.01)
    assert gas.compression_work(298.15, 2.0, 0.65) == pytest.approx(100.93e3, rel=1e-4)


@given(st.floats(250, 350), st.floats(1.01, 4), st.floats(0.4, 1.0))
def test_compression_against_fluids(inlet, ratio, efficiency):
    outlet = fluids.isentropic_T_rise_compression(inlet, 1e5, ratio * 1e5, 1.4, efficiency)
    assert gas.compression_temperature(inlet, ratio, efficiency) == pytest.approx(outlet)
    molar = fluids.isentropic_work_compression(T1=inlet, k=1.4, P1=1e5, P2=ratio * 1e5, eta=efficiency)
    assert gas.compression_work(inlet, ratio, efficiency) == pytest.approx(molar / 0.0289652, rel=2e-4)


def test_supercharged_textbook_engine():
    # Data: Ganesan, Internal Combustion Engines, Ex. 19.1 (second-hand), 3.0 L, 3,600 rpm, pressure ratio
    # 1.6, 300 K, efficiency 0.70, intake 5.6 K below delivery; results computed (air R 287, c_p 1.005).
    delivery = gas.compression_temperature(300.0, 1.6, 0.70)
    assert delivery == pytest.approx(361.6, abs=0.1)
    mass_flow = gas.density(1.6e5, delivery - 5.6, 287.0) * 3.0e-3 * 30
    assert mass_flow * 60 == pytest.approx(8.456, abs=0.01)
    assert mass_flow * gas.compression_work(300.0, 1.6, 0.70, gas=gas.Gas(287.0, 1.4)) == pytest.approx(
        8.72e3, rel=2e-3
    )


def test_field_check_of_the_temperature_rise():
    # Common practice: 80 degF, pressure ratio 2, exponent 0.28: rise 115.6 degF ideal, 192.7 degF at 60 %.
    exponent = 1 / (1 - 0.28)
    for efficiency, rise in ((1.0, 115.6), (0.6, 192.7)):
        outlet = gas.compression_temperature(540.0, 2.0, efficiency, exponent)
        assert outlet - 540.0 == pytest.approx(rise, abs=0.2)


def test_state_at_sea_level():
    # ISO 2533:1975: 1.225 kg/m3 and 340.294 m/s (from memory).
    assert gas.density(101325.0, 288.15) == pytest.approx(1.225, abs=1e-5)
    assert gas.speed_of_sound(288.15) == pytest.approx(340.294, abs=1e-3)


@pytest.mark.parametrize("k", [1.25, 1.33, 1.4])
def test_critical_ratio_against_fluids(k):
    assert nozzle.critical_pressure_ratio(k) == pytest.approx(fluids.P_critical_flow(1e5, k) / 1e5)


def test_choked_flow_per_area():
    # Worked by hand: 0.024124 kg/s per cm2 at 101,325 Pa and 288.15 K.
    assert nozzle.choked_flow(nozzle.GasState(101325.0, 288.15), 1e-4) == pytest.approx(0.024124, abs=1e-6)


# Data: Cengel, Fluid Mechanics, Ex. 12-4 (published); book results 6.77 and 7.10 kg/s (from memory).
@pytest.mark.parametrize(("back", "expected"), [(0.7e6, 6.77), (0.4e6, 7.10)])
def test_textbook_nozzle(back, expected):
    flow = nozzle.nozzle_flow(nozzle.GasState(1.0456e6, 884.2), back, 50e-4, gas=gas.Gas(287.0, 1.4))
    assert flow == pytest.approx(expected, rel=3e-3)


@given(st.floats(1e4, 1e5), st.floats(1e4, 1e5))
def test_flow_never_rises_with_back_pressure(first, second):
    low, high = sorted((first, second))
    flows = nozzle.nozzle_flow(nozzle.GasState(1e5, 300.0), np.array([low, high]), 1e-4)
    assert flows[1] <= flows[0] + 1e-12


def test_no_pressure_difference_no_flow():
    assert nozzle.nozzle_flow(nozzle.GasState(1e5, 300.0), 1e5, 1e-4) == 0.0


def test_polytropic_temperature_agrees_with_the_gas_law():
    volumes = 8.0
    pressure = gas.polytropic_pressure(1e5, volumes, 1.33)
    assert gas.polytropic_temperature(340.0, pressure / 1e5, 1.33) == pytest.approx(
        340.0 * pressure / 1e5 / volumes
    )
