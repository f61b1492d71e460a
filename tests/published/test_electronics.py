"""Air meter, calibration, electrical load, boost cut, idle pulse, window of direct injection."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.support.pint_units import UNIT

FEW = settings(max_examples=25)


def at_crank(power, **sensors):
    return {"target": {"power": power, "power_at": "crank"}, "sensors": sensors}


def test_air_meter(work_out, outcome):
    # Common practice: 6.6 lb of air for each hp and hour; 550 hp take 3,630 lb/h.
    flow = (
        work_out(at_crank("550 hp", airflow_meter_range="1900 kg/h"), "meter_air_flow")
        * UNIT.kilogram
        / UNIT.second
    )
    assert flow.m_as("pound / hour") == pytest.approx(550 * 6.6, rel=1e-9)
    assert flow.m_as("kilogram / hour") == pytest.approx(1647, abs=0.6)
    # Nine tenths of the range are used up at 1,829 kg/h; at 1,497 even the least air of common practice, 6.0,
    # pegs it.
    assert [
        outcome("airflow-meter-range", at_crank("550 hp", airflow_meter_range=f"{limit} kg/h"))
        for limit in (1835, 1640, 1490)
    ] == ["pass", "warn", "fail"]


@FEW
@given(power=st.floats(50, 900), factor=st.floats(0.5, 3))
def test_meter_share_is_proportional_to_power(work_out, power, factor):
    one, other = (
        work_out(at_crank(f"{power * times} hp", airflow_meter_range="2000 kg/h"), "meter_share")
        for times in (1, factor)
    )
    assert other == pytest.approx(one * factor, rel=1e-9)


# Ratios by hand: 42 against 60 lb/h is 43 % apart; within 2 % counts as the same part (common practice).
@pytest.mark.parametrize(
    ("calibration", "fitted", "verdict"),
    [
        ({"injector_flow": "60 lb/h"}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "pass"),
        ({"injector_flow": "59 lb/h"}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "pass"),
        ({"injector_flow": "61.1 lb/h"}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "pass"),
        ({"injector_flow": "61.3 lb/h"}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "fail"),
        ({"injector_flow": "42 lb/h"}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "fail"),
        ({"manifold_pressure_range": "2 bar"}, {"sensors": {"manifold_pressure_range": "2.5 bar"}}, "fail"),
        ({"boost": "12 psi"}, {"induction": {"kind": "turbo", "boost": "12 psi"}}, "pass"),
        ({"boost": "8 psi"}, {"induction": {"kind": "turbo", "boost": "12 psi"}}, "fail"),
        (
            {"injector_flow": "60 lb/h", "fuel_grade": "premium_98_ron"},
            {"fuel_system": {"injector_flow": "60 lb/h"}, "fuel": {"grade": "regular_91_ron"}},
            "fail",
        ),
        ({}, {"fuel_system": {"injector_flow": "60 lb/h"}}, "not_checked"),
        ({"injector_flow": "60 lb/h"}, {}, "not_checked"),
    ],
)
def test_calibration(calibration, fitted, verdict, outcome):
    assert outcome("calibration-match", {"calibration": calibration} | fitted) == verdict


# Common practice, and every handbook's "or higher": only fuel below the tune is a fault, from 1 number a
# warning, from 3 a fail. By hand: E10, E30 and E85 (as E70) want 4, 13 and 37 % more fuel than petrol.
@pytest.mark.parametrize(
    ("tune", "fuel", "verdict"),
    [
        ("premium_91_aki", {"grade": "premium_93_aki"}, "pass"),
        ("regular_87_aki", {"grade": "premium_93_aki"}, "pass"),
        ("premium_98_ron", {"ron": 97}, "warn"),
        ("premium_98_ron", {"ron": 96}, "warn"),
        ("premium_98_ron", {"ron": 95}, "fail"),
        ("premium_93_aki", {"grade": "premium_93_aki", "ethanol": 0.10}, "pass"),
        ("premium_93_aki", {"grade": "e30"}, "warn"),
        ("premium_93_aki", {"grade": "e85"}, "fail"),
        ("e85", {"grade": "premium_93_aki"}, "fail"),
    ],
)
def test_tune_against_the_fuel(tune, fuel, verdict, outcome):
    assert outcome("calibration-match", {"calibration": {"fuel_grade": tune}, "fuel": fuel}) == verdict


# Common practice: a sensor marked 1 bar reads to 105 kPa and serves an engine without boost.
@pytest.mark.parametrize(("kilopascals", "verdict"), [(105, "pass"), (100, "warn"), (94, "fail")])
def test_pressure_sensor_of_a_natural_engine(kilopascals, verdict, outcome):
    build = {
        "induction": {"kind": "natural"},
        "sensors": {"manifold_pressure_range": f"{kilopascals} kPa"},
        "conditions": {"ambient_pressure": "101.325 kPa"},
    }
    assert outcome("manifold-pressure-range", build) == verdict


def test_electrical_load(work_out, outcome):
    # Worked by hand: two pumps 20, loop 4, fan 40 and the rest 15 A are 79 A. Workshop manual of a 3.0 L
    # V6, 1992: a sound alternator gives its rating within 10 percent, so 79 A want one of 87.8 A.
    def load(alternator):
        return {
            "electrical": {
                "pump_current": "20 A",
                "loop_pump_current": "4 A",
                "fan_current": "40 A",
                "alternator_current": f"{alternator} A",
            }
        }

    assert work_out(load(100), "electrical_load") == pytest.approx(79)
    assert [outcome("electrical-load", load(amperes)) for amperes in (99, 88, 87, 80, 65)] == [
        "pass",
        "pass",
        "warn",
        "warn",
        "fail",
    ]


# From memory, as sold: a motorcycle's 20 A at idle, and a carburettor car of 1965 with 12 A. By hand 70 A
# over 0.8 on the latter's is seven times too much.
@pytest.mark.parametrize(
    ("delivery", "amperes", "verdict"),
    [
        ("port", (20, 3.5, 4), "pass"),
        ("carburettor", (12, 0, 0), "pass"),
        ("port", (12, 15, 40), "fail"),
        ("port", (67, 5, 20), "pass"),
        ("carburettor", (7, 0, 0), "pass"),
        ("port", (14, 1.8, 0), "pass"),
    ],
)
def test_alternators_as_sold(delivery, amperes, verdict, outcome):
    alternator, pump, fan = (f"{current} A" for current in amperes)
    electrical = {"alternator_current": alternator, "pump_current": pump, "fan_current": fan}
    build = {"fuel_system": {"delivery": delivery}, "electrical": electrical}
    assert outcome("electrical-load", build) == verdict


def test_no_fan_draws_no_current(work_out):
    build = {"cooling": {"radiator_fan": False}, "electrical": {"pump_current": "10 A"}}
    assert work_out(build, "electrical_load") == pytest.approx(25)


# A real engine crept from 12 psi to a cut at 12.5 psi and was cut (from memory). Workshop manuals leave 21
# kPa (1.6 L turbo four, 1991: 56 and 77 kPa) and 3.0 to 5.8 psi (2.0 L turbo four, 1987: 8.7 to 10.1 and
# 13.1 to 14.5 psi).
@pytest.mark.parametrize(
    ("cut", "verdict"), [(15.0, "pass"), (14.8, "warn"), (12.5, "warn"), (12.0, "fail"), (11.0, "fail")]
)
def test_boost_cut(cut, verdict, outcome):
    stated = (cut * UNIT.psi).m_as("kilopascal")
    for text in (f"{cut} psi", f"{stated!r} kPa"):
        assert (
            outcome(
                "boost-cut",
                {"induction": {"kind": "turbo", "boost": "12 psi"}, "sensors": {"boost_cut": text}},
            )
            == verdict
        )


# The same two engines as they were sold.
@pytest.mark.parametrize(
    ("boost", "cut"), [("56 kPa", "77 kPa"), ("10.1 psi", "13.1 psi"), ("8.7 psi", "14.5 psi")]
)
def test_boost_cuts_as_sold(boost, cut, outcome):
    build = {"induction": {"kind": "turbo", "boost": boost}, "sensors": {"boost_cut": cut}}
    assert outcome("boost-cut", build) == "pass"


# From memory: 0.8 ms beyond the dead time idles well; it never fails.
@pytest.mark.parametrize(("pulse", "verdict"), [(1.8, "pass"), (1.6, "warn"), (1.0, "warn")])
def test_idle_pulse(pulse, verdict, outcome, work_out):
    build = {"fuel_system": {"injector_idle_pulse": f"{pulse} ms", "injector_dead_time": "0.9 ms"}}
    assert work_out(build, "idle_pulse") == pytest.approx((pulse - 0.9) / 1e3)
    assert outcome("injector-low-flow", build) == verdict


# By hand: 200 hp at 0.51 lb/hp/h through four injectors of f lb/h are open 102/(4 f) of 720 degrees; the
# house takes nine tenths of 240 degrees as enough.
@pytest.mark.parametrize(
    ("share", "verdict"), [(0.89, "pass"), (0.91, "warn"), (0.99, "warn"), (1.01, "fail")]
)
def test_window_of_direct_injection(share, verdict, outcome, work_out):
    flow = 102 / 4 * 720 / 240 / share
    build = {
        "target": {"power": "200 hp", "power_at": "crank"},
        "fuel": {"brake_specific_consumption": "0.51 lb/hp/h"},
        "fuel_system": {
            "delivery": "direct",
            "injector_count": 4,
            "injector_flow": f"{flow} lb/h",
            "injector_rated_fluid": "petrol",
            "injection_window": "240 deg",
            "rail_pressure": "100 bar",
            "injector_rated_pressure": "100 bar",
            "boost_referenced": "electronic",
        },
    }
    assert work_out(build, "injection_window_share") == pytest.approx(share, rel=1e-6)
    assert outcome("injector-window", build) == verdict
