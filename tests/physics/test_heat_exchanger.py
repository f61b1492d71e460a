import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import ive

from service.physics import heat_exchanger as exchanger


# Computed with an independent package of effectiveness relations.
@pytest.mark.parametrize(
    ("arrangement", "units", "ratio", "expected"),
    [
        (exchanger.counterflow, 2.0, 0.5, 0.774600),
        (exchanger.crossflow_unmixed, 2.5, 0.6, 0.763225),
        (exchanger.crossflow_smaller_mixed, 2.0, 0.5, 0.717546),
        (exchanger.crossflow_larger_mixed, 2.0, 0.5, 0.702013),
    ],
)
def test_single_points(arrangement, units, ratio, expected):
    assert arrangement(units, ratio) == pytest.approx(expected, abs=1e-6)


def test_inverse_of_the_closed_form():
    # Data: Nellis & Klein, Heat Transfer (published); effectiveness 0.61 at a capacity ratio of 0.6.
    units = brentq(lambda n: exchanger.crossflow_unmixed(n, 0.6) - 0.61, 0.1, 5)
    assert units == pytest.approx(1.341, abs=1e-3)
    assert units * 30 == pytest.approx(40.23, abs=0.01)


def exact_crossflow(units, ratio):
    """Series of Mason with scaled Bessel functions."""
    argument = 2 * units * np.sqrt(ratio)
    scale = np.exp(argument - (1 + ratio) * units)
    order = np.arange(2, 120)
    tail = (1 - ratio) / ratio * np.sum(ratio ** (order / 2) * ive(order, argument))
    return 1 - scale * (ive(0, argument) + np.sqrt(ratio) * ive(1, argument) - tail)


def test_exact_series_itself():
    # Computed with an independent package.
    assert exact_crossflow(2.5, 0.6) == pytest.approx(0.755718, abs=1e-6)


@given(st.floats(1, 6), st.floats(0.05, 1))
def test_closed_form_near_the_exact_series(units, ratio):
    assert exchanger.crossflow_unmixed(units, ratio) == pytest.approx(
        exact_crossflow(units, ratio), rel=0.017
    )


@given(st.floats(0.1, 1), st.floats(0.05, 1))
def test_closed_form_reads_low_in_a_small_cooler(units, ratio):
    assert 0.96 < exchanger.crossflow_unmixed(units, ratio) / exact_crossflow(units, ratio) < 1.011


def test_textbook_gas_cooler():
    # Data: Incropera, Ex. 11.3 (second-hand): water 1 kg/s from 35 to 125 degC, gas from 300 to 100 degC.
    heat = 1.0 * 4197 * 90
    smaller = heat / 200
    effectiveness = heat / (smaller * 265)
    units = brentq(lambda n: exchanger.crossflow_unmixed(n, smaller / 4197) - effectiveness, 0.1, 5)
    assert units == pytest.approx(2.1, rel=0.04)
    assert exchanger.heat_flow(effectiveness, smaller, 573.15, 308.15) == pytest.approx(377.7e3, rel=1e-3)


@given(st.floats(0.1, 6), st.floats(0.05, 0.98))
def test_counterflow_by_the_mean_temperature_difference(units, ratio):
    effectiveness = exchanger.counterflow(units, ratio)
    hot_end, cold_end = 1 - ratio * effectiveness, 1 - effectiveness
    mean = (hot_end - cold_end) / np.log(hot_end / cold_end)
    assert units * mean == pytest.approx(effectiveness, rel=1e-6)


def test_counterflow_at_equal_capacity_rates():
    assert exchanger.counterflow(2.0, 1.0) == pytest.approx(2 / 3)
    for gap in (1e-9, 2.3e-16):
        assert exchanger.counterflow(2.0, 1 - gap) == pytest.approx(2 / 3, rel=1e-8)


@given(st.floats(0.2, 5), st.floats(0.1, 1.0))
def test_counterflow_is_the_best(units, ratio):
    best = exchanger.counterflow(units, ratio)
    for other in (exchanger.crossflow_smaller_mixed, exchanger.crossflow_larger_mixed):
        assert other(units, ratio) <= best + 1e-12


# Worked by hand (computed): 10 kW into 3, 5, 8 and 10 US gal/min of half glycol.
@pytest.mark.parametrize(("gallons", "expected"), [(3, 14.5), (5, 8.7), (8, 5.4), (10, 4.35)])
def test_coolant_rise(gallons, expected):
    mass_flow = gallons * 3.785411784e-3 / 60 * 1040
    assert exchanger.temperature_change(10e3, mass_flow, 3500.0) == pytest.approx(expected, abs=0.06)
